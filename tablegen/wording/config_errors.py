"""What is wrong with a value of a config file, after "file:line: key: value is not allowed;" or the key alone."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

# Keys.
KEY_MISSING = Message("the key is missing; it is required")
NO_WHOLESALER = Message("the key is missing; state it here, or wholesaler with name and telephone in company.yaml")
KEY_UNKNOWN = Message("the key is not known")
KEY_UNKNOWN_ALLOWED = Message("the key is not known; allowed are {allowed}")
KEY_RENAMED = Message("the key is now called {new}; 'tablegen upgrade' renames it")
VALUE_RENAMED = Message("it is now called {new}; 'tablegen upgrade' renames it")
CANNOT_BE_EDITED = Message(
    "the key or its value is written in a form that tablegen cannot change; change it in an editor, or write the value on one line"
)
NO_CATALOGUE = Message("the key is missing, so this is no catalogue file")
BOTH_NAMES = Message("the key is now called {new}, which is there too (line {line}); delete one of the two")
FORMAT = Message("this version of tablegen reads format {latest}; use a later version")
KIND = Message("kind {value}")
KIND_MISSING = Message("the key 'kind' is missing; must be one of {allowed}")
KIND_REQUIRED = Message("the key 'kind' is missing; it is required")
EXACTLY_ONE_OF = Message("exactly one of these keys is required: {keys}")

# Types and bounds.
AT_LEAST = Message("must be at least {minimum}")
AT_MOST = Message("must be at most {maximum}")
WITHIN = Message("must be at least {minimum} and at most {maximum}")
ABOVE = Message("must be above {minimum}")
ONE_OF = Message("must be one of {allowed}")
MUST_BE_MAPPING = Message("must be a mapping of keys and values")
MUST_BE_LIST = Message("must be a list")
MUST_BE_WHOLE = Message("must be a whole number")
MUST_BE_FINITE = Message("the number must be finite")
MUST_BE_TEXT = Message("must be text")
MUST_BE_OTHERWISE = Message("must be a value of another type")
BARE_NUMBER = Message("must be a number without a unit")
EMPTY_VALUE = Message("an empty value")
EMPTY_MAPPING = Message("an empty mapping")
EMPTY_LIST = Message("an empty list")
MAPPING = Plural("a mapping of {count} key", "a mapping of {count} keys")
LIST = Plural("a list of {count} item", "a list of {count} items")
AT_LEAST_ITEMS = Plural("must have at least {count} item", "must have at least {count} items")
AT_MOST_ITEMS = Plural("must have at most {count} item", "must have at most {count} items")
AT_LEAST_KEYS = Plural("must have at least {count} key", "must have at least {count} keys")
AT_MOST_KEYS = Plural("must have at most {count} key", "must have at most {count} keys")
NOT_ABOVE_EARLIER = Message("{value} is not above {earlier} (line {line}); {rule}: one of the two is wrong")
MINIMUM_ABOVE_MAXIMUM = Message("minimum must not be above maximum")
MINIMUM_NOT_BELOW_MAXIMUM = Message("minimum must be below maximum")

# Names, texts and dates.
NAME_IS_TEXT = Message("a name is text")
IN_QUOTES = Message("write '{text}' in quotes")
NAME_CHARACTERS = Message(
    "a name has 1 to 40 letters, digits, '_', '-', '.', '(' or ')', and begins with a letter or digit"
)
DEVICE_NAME = Message("Windows uses this name for a device; choose another name")
NAME_OF_FILE = Message("must be {name}, the name of the file")
TEXT_TOO_LONG = Message("must have at most {most} characters, has {count}")
CONTROL_CHARACTERS = Message("must not contain control characters")
NOT_IN_TYPEFACE = Message("the pages cannot print {characters}: their typeface lacks it")
NOT_IN_TYPEFACE_AND_MORE = Message("the pages cannot print {characters} and {count} more: their typeface lacks them")
DATE = Message("write a calendar date as year-month-day, such as 2026-11-25")
LISTED_TWICE = Message("it is listed twice")

# Applications.
NOT_WHOLE_STEPS = Message(
    "a span of {span} delta_degF in steps of {step} delta_degF is not allowed; minimum must be below maximum, by a "
    "whole number of steps"
)
TOO_MANY_SST_ROWS = Message("{count} suction temperatures are not allowed; must be at most {most}")
TWO_COIL_DIFFERENCES = Message(
    "it must equal suction.box_difference: both are the temperature difference between box and SST"
)
CONSTANT_CAPACITY_RESPONSE = Message(
    "must be 'constant' where compressor.kind is constant_capacity, because the SST of the rack does not change"
)
CONSTANT_CAPACITY_FLOW = Message("compressor.kind constant_capacity has no compressor flow that differs")
RECEIVER_COMPRESSOR = Message("intermediate_receiver needs compressor.kind constant_capacity")
BOX_DIFFERENCE_MISSING = Message(
    "box_difference or coil_temperature_difference is required unless the response is 'constant'"
)
COIL_DIFFERENCE_MISSING = Message(
    "it needs coil_temperature_difference, the temperature difference between box and SST at the rating point"
)
CONDUCTANCE_RATIO_MISSING = Message("it needs coil.conductance_ratio, the conductance of a dry wall over a wetted one")
LOOP_NEEDS = Message("method loop also needs {missing}")
LOOP_OF_FAMILY_NEEDS = Message("loop also needs in application {application}: {missing}")
LOOP_NEEDS_OF_FAMILY = Message(
    "{key} is required: in application {application} the loop of valve and coil gives the minimum opening"
)
NOT_BELOW_SHARE = Message(
    "must be below the maximum superheat, which is {fahrenheit} delta_degF ({kelvin} K) at most with this coil"
)
NOT_BELOW_DIFFERENCE = Message(
    "must be below the coil temperature difference, {fahrenheit} delta_degF ({kelvin} K): no coil is warmer at its outlet "
    "than the air"
)
EXAMPLE_OFF_RANGE = Message("must be one of the temperatures of sst_range")
BASIS_OF_CONDENSING = Message(
    "basis (dew, bubble or mid) is required with condensing_temperature, and allowed only with it"
)
SUBCOOLING_NEEDS_BUBBLE = Message(
    "subcooling is measured from saturated liquid: it needs condensing_temperature on basis bubble"
)
NOT_BELOW_MAXIMUM = Message("must be below maximum")
ABOVE_ZERO_PERCENT = Message("must be above 0 percent")
MAP_PAIRS = Message("suction and discharge are each a pair [minimum, maximum]")
TABLE_ASCENDS = Message("suction and discharge must ascend")
TABLE_SHAPE = Message("flows must have one row per suction temperature, one figure per discharge temperature")
TABLE_POSITIVE = Message("flows must be positive")
SITE_PRESSURE = Message("must be an absolute pressure, at least 50 kPa_absolute and at most 110 kPa_absolute")
BY_REFRIGERANT_MAPPING = Message("must be a mapping of refrigerants to the keys that differ for them")
OWN_KEYS_MAPPING = Message("must be a mapping of the keys that differ")
SAME_FOR_ALL = Message("{key} cannot differ between the refrigerants of one application")

# Families.
TOLERANCE_WITHOUT = Message("it is the tolerance of {key}, which is not given")
STOP_BELOW_RATED = Message("must be at least 100 percent: rated stroke is within the travel")
BETWEEN_ZERO_AND_ALL = Message("must be above 0 and below 100 percent")
POINTS_OF_CHARACTERISTIC = Message("points may be given only with 'characteristic: points', which requires them")
CHARACTERISTIC_PAIRS = Message("points are at least three pairs [opening, share of Kv]")
CHARACTERISTIC_ASCENDS = Message("points must ascend in opening and in share")
CHARACTERISTIC_ENDS = Message("points must begin at [0 percent, 0 percent] and include [100 percent, 100 percent]")
CHARACTERISTIC_SHORT = Message("points must reach the stop at {stop}; they are not extrapolated")
APPROVED_FOR_NOTHING = Message("at least one refrigerant or one safety group is required")
RECOVERY_OF_CHOKED = Message("pressure_recovery (F_L) is required with 'flow_law: choked', and allowed only with it")
COEFFICIENT_OF_ITS_LAW = Message(
    "discharge_coefficient is required with 'flow_law: discharge_coefficient', and allowed only with it"
)
VALID_RANGE_ASCENDS = Message("must be two shares above 0, the lower one first")
VALID_DROP_BELOW_ALL = Message("must be below 100 percent: the outlet pressure is above 0 absolute")
REFERENCE_IN_VALID_RANGE = Message("must be within valid.{key}")
RATING_OUTSIDE_FLOW_LAW = Message(
    "the rating's subcooling or pressure drop is outside discharge_coefficient.valid, so the Kv does not follow from it"
)
MUST_BE_GAUGE = Message("must be a gauge pressure, as the pressure equipment codes state it")
SIZE_TWICE = Message("another size of the family has this key")
SIZE_NEEDS_DISPLAY = Message("a size has at most {most} characters in print: give it a 'display' as well")
SIZE_NAME_TAKEN = Message("size {owner} of this family already has that name")
SIZE_KEY_AND_DISPLAY = Message("to print {shown}, write {entry}")
SIZE_WITHOUT_CONNECTIONS = Message("no connections are offered for size {size}")
NO_CAPILLARY = Message("an electronic valve has no capillary")
CAPACITY_NEEDS_RATING = Message("a capacity needs the family's 'rating', the condition that it is stated at")
KV_OR_CAPACITY_FOR_ALL = Message("all sizes are given by kv, or all by capacity")
SIZES_ASCEND = Message("sizes must ascend in {key}")
NO_TRAVEL_LEFT = Message("with {steps} full steps, no travel is left between minimum_steps and control_reserve")
DUTIES = Message("minimum_duty must be above 0 and below maximum_duty")
NO_RATED_FLOW = Message(
    "the refrigerant has no liquid state or no flow at this rating; check its temperatures and pressure drop"
)
FAMILY_NAME_TAKEN = Message("the family {owner} ({file}) already has that name")
SEE_APPROVED = Message("{reason} (see 'approved')")

# What a drive is, in print.
STEPPER = Message("stepper, {steps} full steps, operates from {minimum} steps up; sized to full travel")
STEPPER_WITH_RESERVE = Message(
    "stepper, {steps} full steps, operates from {minimum} steps up; sized to {used} percent of travel, {reserve} "
    "percent in reserve"
)
PULSE = Message("pulse modulation, open for {minimum} to {maximum} percent of the cycle")

# Bulb charges.
CHARGE_CURVE = Message("a {kind} charge takes exactly one of these keys: {keys}")
A_CHARGE_WITH_CURVE = Message("a charge of the family with a curve of its own")
CHARGE_TWICE = Message("another charge of the family has this key")
CHARGE_POINTS = Message("points must be at least two, ascending in temperature and in pressure")
BULB_IS_SEALED = Message("must be an absolute pressure: the bulb is sealed")
GAS_CHARGE_NEEDS_MOP = Message("maximum_operating_pressure is required: above it no liquid is left in a gas charge")
ADSORPTION_HAS_NO_MOP = Message("an adsorption charge has no liquid that could run out")
CHARGE_FALLS = Message("the bulb pressure does not rise with temperature at {temperature}")
STATIC_SUPERHEAT_TOO_LOW = Message(
    "with {refrigerant} the static superheat falls to {fahrenheit} delta_degF ({kelvin} K) at an evaporating (dew) "
    "temperature of {temperature}; must be at least {minimum} delta_degF"
)

# Tolerances and scatter.
CONFIDENCE_OF_BOUND = Message("confidence is required with plus_minus, and allowed only with it")
CONFIDENCE_RANGE = Message("must be at least 50 and below 100 percent")
TOLERANCE_OF_ZERO = Message("no measured value is exact: give its tolerance, or leave the key out")
HEAD_DEVIATION_UNITS = Message("a difference of head pressure takes one of the units {units}")

# Refrigerants.
A_COMPONENT = Message("a component")
FRACTIONS_SUM = Message("a sum of mass fractions of {total} percent is not allowed; must be 100 percent")
COMPONENT_OF_ZERO = Message("leave the component out")
REPORT_TWICE = Message("an assessment report is listed twice")
PAIR_RULE_OR_PARAMETERS = Message(
    "either 'rule: linear' or at least one of beta_t, gamma_t, beta_v, gamma_v is required"
)
PAIR_OF_STRANGER = Message("must be a component of the blend: {components}")
PAIR_OF_ONE = Message("a pair has two different components")
PAIR_TWICE = Message("the pair is listed twice, in either order")
GIVE_PAIRS = Plural(
    "{rule}; give it under 'pairs' with a source (beta_t and gamma_t, or 'rule: linear', which may miss the pressure "
    "by 15 percent)",
    "{rule}; give them under 'pairs' with a source (beta_t and gamma_t, or 'rule: linear', which may miss the pressure "
    "by 15 percent)",
)
CHECK_PAIRS = Message("{error} (check the parameters of the pairs)")
CRITICAL_POINT_IN_PART = Message("give both critical_temperature and critical_pressure, or neither")
MUST_BE_ABSOLUTE = Message("must be an absolute pressure")
CRITICAL_POINT = Message("leave out both critical_temperature and critical_pressure to have them computed")
CRITICAL_POINT_OR_PAIRS = Message(
    "leave out both critical_temperature and critical_pressure to have them computed; or the parameters under "
    "'pairs' are wrong"
)

# Port designs and the loss of connections.
A_PORT_DESIGN = Message("a port design of the family (key port_designs)")
DESIGN_TWICE = Message("the port design is listed twice")
DESIGN_NOT_USED = Message("no size names this port design; give a size 'port_design', or delete the design")
DESIGN_STATES_NOTHING = Message("the port design states nothing; give a key that differs from the family's")
LOSS_TWICE = Message("its port design {design} gives a connection_loss too; keep one of them")
CAPACITY_IS_OF_VALVE = Message(
    "a capacity is that of the valve with its connections: give the size's kv, or connection_loss with "
    "'size_kv: with_connections'"
)
CONNECTIONS_TOO_SMALL = Message(
    "the Kv of body and connections must be above that of the whole valve: size {size} has {kv} m3/h"
)
KV_WITH_CONNECTIONS_ASCENDS = Message(
    "with the loss of its connections this size has a Kv of {kv} m3/h, not above the {before} m3/h of the next smaller size"
)

# Model codes.
A_FIELD = Message("a field of a model code")
A_VALUE = Message("a value of {field}")
PATTERN_BRACES = Message("a pattern is text with names of fields in braces")
CODES_NOT_USED = Message("the pattern does not name {field}")
FIELD_WITHOUT_VALUE = Message("the family, or one of its sizes, has no {field}")
CODE_MISSING = Message("a code of its own is required under {field} for: {values}")
LENGTH_NOT_OFFERED = Message("must be a length that the family offers: {lengths}")
MODEL_CODE_LONG = Message("the model code {code} is longer than {most} characters")
MODEL_CODE_TWICE = Message(
    "the pattern gives {code} for two valves, of size {first} and of size {second}; name what sets them apart, or "
    "separate the fields by a sign"
)
MODEL_CODES_MANY = Message(
    "the pattern gives more than {most} model codes; leave out connections or capillary, which the order names anyway"
)
MODEL_CODE_TAKEN = Message("the pattern gives {code}, which is a model code of family {owner} too")

# Catalogue, groups and rules.
A_GROUP = Message("a group")
A_MEMBER = Message("a member")
A_PUBLICATION = Message("a publication")
A_PART = Message("a part")
MINIMUM_DROP = Message("it must be below maximum_pressure_drop, which is {usual} where it is not given")
REVISION_WITHOUT_ENTRY = Message("'revisions' has no entry for it, only for {listed}: add one that says what changed")
REASON_MISSING = Message(
    "revision {revision} gives no reason for what changed printed limits: {file}, {keys}; add one such as {entry}"
)
REASON_OF_KEY = Message("{{file: {file}, key: {key}, why: ...}}")
REASON_OF_FILE = Message("{{file: {file}, why: ...}}")
KEY_WAS_AND_IS = Message("{key} ({earlier}, now {now})")
WHOLE_FILE = Message("the file")
AND_MORE_KEYS = Plural("{keys} and {count} more key", "{keys} and {count} more keys")
RULE_NAMES_NOTHING = Message("at least one of these keys is required: family, group, application")
RULE_TAKES_NOTHING = Message(
    "the rule leaves out nothing: the catalogue has no such combination, or an earlier rule already leaves it out"
)
NOTHING_LEFT = Message("nothing is left to print")
FAMILY_OF_RULE = Message("the family of a rule")
GROUP_OF_RULE = Message("the group of a rule")
APPLICATION_OF_RULE = Message("the application of a rule")
KEEP_FAMILY = Message("delete it from the rule, or put its file back into families/ (the catalogue need not list it)")
KEEP_GROUP = Message("delete it from the rule, or put it back into groups.yaml (the catalogue need not list it)")
KEEP_APPLICATION = Message(
    "delete it from the rule, or put its file back into applications/ (the catalogue need not list it)"
)
FILE_BESIDE = Message("must be a file in the catalogue's folder")
NO_SUCH_FILE = Message("the file does not exist in the catalogue's folder")
LINK_TO_NOTHING = Message("it is a link to a file that does not exist")
APPROVED_FOR_NO_GROUP = Message("no family is approved for the refrigerants of any group that it is combined with")
APPROVED_FOR_SOME = Message(
    "{family} cannot be offered for the group: {reason}; a group is one table: put that member in a group of its "
    "own, or leave the family out for this group"
)
INTERNAL_EQUALIZER = Message(
    "application {application} has a distributor, and an internal equalizer senses pressure upstream of "
    "it (use external, or set losses.distributor to 0 psi)"
)
EQUALIZER_LEFT_OUT = Message("This system has a distributor, so the valve needs an external equalizer.")
HEAD_ABOVE_WORKING_PRESSURE = Message(
    "the {head} of {application} is {pressure} or more with every member of {group} ({refrigerant}: {place}); lower "
    "that head pressure, or leave the family out for that application under leave_out in catalogue.yaml"
)
DIFFERENT_CHARGES = Message(
    "{family} needs different bulb charges for the members ({charges}); a group is one table and one valve: put them "
    "in separate groups, or leave the family out for this group"
)

# The company's file and its logo.
COMPANY_FILE = Message("the company's file must end in .yaml")
COLOR = Message("a color is '#' and six digits from 0 to 9 or A to F, in quotes, such as '#1F4E79'")
LOW_CONTRAST = Message(
    "its contrast with white paper is {ratio}:1 and must be at least {minimum}:1, so that it can be read; choose a "
    "darker color"
)
NUMBER_LENGTH = Message("a document number has at most {most} characters")
DOCUMENT_NUMBER_TWICE = Message("another publication has this number")
REVIEW_AFTER = Message("must be after the catalogue's date, {date}")
NOT_XML = Message("it is not valid XML")
LOGO_NEITHER = Message("the file cannot be read: a logo is a PNG or an SVG file")
LOGO_TOO_MANY_CURVES = Message("the drawing has too many curves for a logo; simplify its paths")
LOGO_IS_EMPTY = Message("it has no filled area; convert lines and texts to paths with a fill")
LOGO_DECLARATION = Message("a document type or a processing instruction is not allowed in a logo; delete the line")
LOGO_TOO_COMPLEX = Message("a logo has at most {shapes} shapes, nested at most {depth} deep")
LOGO_ROOT = Message("the file must have one element svg with everything else in it")
LOGO_ELEMENT = Message("the element is not allowed in a logo; allowed are {allowed}; convert texts and lines to paths")
LOGO_ATTRIBUTE = Message("the attribute is not allowed in a logo; save it as a simple SVG of filled shapes")
LOGO_NEUTRAL = Message("{value} is not allowed; must be {allowed}, because a logo has only filled areas")
LOGO_FILL = Message("{value} is not allowed; a fill is a color such as #1F4E79, black, white or none")
LOGO_NUMBERS = Message("{value} is not allowed; the numbers or commands are not those of SVG")
LOGO_VIEW_BOX = Message("a viewBox of four numbers, or a width and a height in numbers, is required")
LOGO_RATIO = Message("must be at most {most} times as wide as high, and at most {most} times as high as wide")
LOGO_PIXELS = Message("a PNG logo has at most {most} x {most} pixels of 8 bits")
LOGO_DAMAGED = Message("the file cannot be read: the PNG image is damaged; save it again")

# Publications.
SAME_PRINT_TWICE = Message("the same paper and units are listed twice")
NO_GRAPHS = Message("this kind of publication has no graphs that could be files; remove the key")
TWO_SSTS = Message("the first temperature must be below the second")
NO_SUCH_ROW = Message("the SST must be a row of the tables of {application}; nearest: {rows}")
EXAMPLE_ROW_REQUIRED = Message(
    "the rows must include {sst}, the SST of the example of {application}, because the pages read the tables by it"
)
TABLES_REQUIRED = Message(
    "'tables' is missing: a booklet always has its cover, contents, tables with their conditions, and cautions"
)
CHAPTER_TWICE = Message("the chapter is listed twice: a booklet has it once, in itself or in its separate document")
TOO_WIDE = Message(
    "{count} labels with margin and gaps are {needed} wide, but the paper ({paper}) is {room}; use fewer or narrower ones"
)
TOO_HIGH = Message(
    "{count} labels with margin and gaps are {needed} high, but the paper ({paper}) is {room}; use fewer or lower ones"
)
BEYOND_SHEET = Message("the sheet has {count} labels")
LABEL_TEXT = Message("the labels do not fit: {reason}")
NOT_TRANSLATED = Plural(
    "{count} text of the catalogue has no translation: {texts}",
    "{count} texts of the catalogue have no translation, the first of them {texts}",
)
LANGUAGE = Message("must be the code of a language, one of {languages}")
FILE_TAKEN = Message("the publication {owner} writes a file {file} too")
THE_FAMILY = Message("the family")
THE_THERMOSTATIC_FAMILY = Message("the thermostatic family")
THE_APPLICATION = Message("the application")
A_COMPUTED_GROUP = Message("a group that the catalogue computes for this family and application")
NO_STOCK = Message("list the sizes in stock here, or name a stock sheet with the key stock in catalogue.yaml")
EMPTY_CHART = Message("its chart would be empty: {reason}")
EMPTY_HANDOUT = Message("the handout would have nothing to teach: {reason}")

# Values given for one case, after the name of the option.
KEY_AND_VALUE = Message("it takes KEY=VALUE, such as losses.lift='20 ft'")
KEY_OF_OFFER = Message(
    "{key} sets what the catalogue offers and cannot be changed for one case; change the application's file"
)
KEY_HAS_VALUE = Message("{key} is already set to a value")
NO_YAML_VALUE = Message("it is not YAML 1.2")
TURNS_AROUND_ZERO = Message(
    "turns count from the factory setting: the minimum must be at most 0, the maximum at least 0 and above it"
)
TURNED_TOO_FAR = Message("at the minimum of its turns the spring exerts no pressure")

# The mapping file of an old table.
COLUMN_OF_FIGURES = Message("this column has a figure in every row, so it needs its heading under 'column'")
COLUMN_OF_NAMES = Message("this column has names, so it takes no unit")

STILL_THE_DEMO = Message(
    "{file}:{line}: {keys}: still as in the demo. The valves are yours: enter your company, notice and date"
)
STILL_THE_DEMO_SYSTEM = Message(
    "{file}:{line}: {keys}: the sources are still those of the demo, and are printed. Check the values and enter your sources"
)
BEFORE_BENCH_DATA = Message(
    "{file}:{line}: date: {date} is before the newest bench data, {bench} of {tested}; enter the day of this revision"
)
