"""A fit of bench data: the answer, its graphs, the fragment of a family's file, and the command."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

HEADING = Message("{title}: fit of bench data")
SUBJECT = Message("Parameters of a valve family")
FITTED = Plural(
    "{count} parameter can be determined from these rows.", "{count} parameters can be determined from these rows."
)
NONE_FITTED = Message("No parameter can be determined from these rows.")
DATED = Message("{name}, test of {date}")
UNDATED = Message("{name}, undated")

SEVERAL_DESIGNS = Message(
    "the rows are of sizes with different port designs ({sizes}); make a bench file for each port design"
)
OF_DESIGN = Message(
    "These sizes have the port design {design}: unbalance and characteristic are under port_designs; everything else comes "
    "from the family."
)
WITH_LOSS = Message(
    "Readings include the loss of the connections. With these Kv use 'size_kv: with_connections'; with these points of the "
    "characteristic leave connection_loss out."
)
READINGS = Message("Readings")
READINGS_OF = Plural("{source}, {count} row; {refrigerants}", "{source}, {count} rows; {refrigerants}")
WITH_SPECIMENS = Plural("{readings}; {count} specimen", "{readings}; {count} specimens")
PARAMETER = Message("Parameter")
VALUE = Message("Value")
BOUND = Message("± at {confidence}")
UNIT = Message("Unit")
ROWS = Message("Rows")
STATED = Message("Catalogue value")
SCATTER_OF_VALVES = Message("Scatter from one valve to the next")
STANDARD_DEVIATION = Message("Standard deviation")
BETWEEN = Message("Between, at {confidence}")
SPECIMENS = Message("Specimens")
NOT_DETERMINED = Message("What cannot be determined from these rows")
REASON = Message("Reason")
MISSING = Message("Missing test")
LACK_OF_FIT = Message("Lack of fit")
WHICH = Message("Which rows")
SUSPECT = Message("Suspect")
OUTLIERS = Message("Outliers, set aside")
LINE = Message("Line")
LINES = Message("Lines")
OFF = Message("Reading")
OFF_BY = Message("Off the fit by")
DEVIATIONS = Message("Standard deviations")
LEFT_OUT = Message("Rows left out")
PART = Message("Part of the fit")

FLOW = Message("Mass flow")
BALANCE = Message("Force balance")
FLOW_LAW = Message("Flow law")
DISCHARGE = Message("Discharge coefficient")
SUPPORTED = Message("{law}: {reason}; {misfit} ({odds})")
UNDECIDED = Message("not decided by these rows: {misfit}")
MISFIT = Message(
    "mass flow is off the fit by {orifice} with the orifice law, {choked} with the choked law and {discharge} with a "
    "discharge coefficient"
)
ODDS = Message("odds of {odds} to one or more in favor of {law} over {other}")
BEYOND_A_MILLION = Message("odds of more than a million to one in favor of {law} over {other}")
LAWS: Mapping[str, Message] = {
    "orifice": Message("the orifice law"),
    "choked": Message("the choked law"),
    "discharge_coefficient": Message("a discharge coefficient"),
}
SCATTER = Message("Scatter")
FLOW_SCATTER = Plural(
    "the flow meter accounts for {flow} of the reading ({count} row)",
    "the flow meter accounts for {flow} of the reading ({count} rows)",
)
OPENING_SCATTER = Message("the opening accounts for {opening} of rated stroke")
DROP_SCATTER = Message("the pressure drop accounts for {drop}")
OVER_STATED = Message("the scatter is {ratio} times what the stated uncertainties of the instruments explain")
BULB_SCATTER = Plural(
    "bulb temperature scatters by {scatter} ({count} row)", "bulb temperature scatters by {scatter} ({count} rows)"
)

CURVE = Plural(
    "The curve of charge {charge} is measured from {low} to {high}, within {bound} of pressure ({count} row).",
    "The curve of charge {charge} is measured from {low} to {high}, within {bound} of pressure ({count} rows).",
)
OTHER_LAW = Message(
    "The rows support the {supported} law, not the {stated} law: the values given here, for the {stated} law, do not "
    "describe them."
)
LINEAR = Message("The opening characteristic is linear from {low} to {high} opening.")
LINEAR_WITHIN = Message(
    "The opening characteristic is linear from {low} to {high} opening; points instead would be within {bend} of it."
)
INFERRED: Mapping[str, Plural] = {
    "rows": Plural(
        "Opening inferred from flow in {count} row, with Kv of {sizes} from the rows with an opening.",
        "Opening inferred from flow in {count} rows, with Kv of {sizes} from the rows with an opening.",
    ),
    "family": Plural(
        "Opening inferred from flow in {count} row, with Kv of {sizes} from the family's file.",
        "Opening inferred from flow in {count} rows, with Kv of {sizes} from the family's file.",
    ),
}
BY_SUPERHEAT = Message(
    "Kv of {sizes} comes from rows without an opening: the force balance of the other rows says how far the superheat "
    "opened the valve. Its bound includes the error of that balance."
)
INFERRED_ERROR = Message("Their standard uncertainty is up to {error} of rated stroke.")
FLOW_ERROR_UNKNOWN = Message("The flow meter's uncertainty is not stated; it is taken from the scatter of the rows.")
EXACT_KV = Message("No tolerance is stated for Kv of {sizes}, so bounds do not include its error.")
SIZES = Plural("size {sizes}", "sizes {sizes}")
CHOKING_LIMIT = Message(
    "The choking limit is the inlet pressure minus the critical pressure ratio times the liquid's bubble pressure "
    "(IEC 60534-2-1): the drop at which a valve with a pressure recovery factor of 1 begins to choke."
)
READ_LACK = Message(
    "Lack of fit: under one condition all rows lie on one side of the fit, so the law or the family's data are wrong "
    "there, not the rows. They stay in the fit, and each bound is widened to cover fits that leave out, in turn, a "
    "third of the rows by that condition (or one size or refrigerant). If the rows do follow the law, at most {rate} "
    "of tests report a lack of fit by chance, counted separately for flow and for balance."
)
BOUNDS = Message(
    "Bounds are two-sided, at {confidence}, from the scatter of rows that are treated as independent. They do not "
    "include an error that all rows share, such as an instrument out of calibration, nor the scatter from one valve "
    "to the next, which the family's key 'scatter' states."
)
BOUNDS_OF_SPECIMENS = Message(
    "Each value is that of the mean valve. Bounds are two-sided, at {confidence}, and include how specimens scatter and "
    "how few they are; they do not include an error that all rows share, such as an instrument out of calibration. "
    "Scatter is the standard deviation from one valve to the next, without the noise of the readings (random-effects "
    "model, Paule and Mandel 1982; its bounds by chi-square, Viechtbauer 2007). Pressure recovery factor and opening "
    "characteristic are taken as the same in all specimens."
)
LONE_SPECIMENS = Message("The scatter of {quantities} is unknown: two or more specimens that are alike are needed.")
LIQUID = Message(
    "Density and bubble pressure of the liquid come from the refrigerant tables; the Kv is valid only with these "
    "tables."
)
TRUTH = Message("Invented readings, made from: {truth}.")
STATED_IS = Message("The catalogue value is what the family's file states now.")
OF_FRAGMENT = Message("Fragment: {note}.")
FRAGMENT_PROBLEM = Message("with these values {problem}")

# Graphs.
FLOW_ALT = Message(
    "Measured flow divided by that of the orifice law; measured against computed mass flow; residuals of mass flow"
)
FLOW_CAPTION = Message(
    "Top left: flow divided by that of the orifice law, against drop divided by the choking limit; rows reach "
    "{reached} of the limit. Rows on the level line follow the orifice law, rows on the falling line choke. Top "
    "right: the fit. Bottom: deviation of measured from computed flow; dotted: twice the scatter, by drop, by "
    "opening, and of the flow meter alone. Crosses: outliers with their line in the file, drawn at the edge if far "
    "out. A slope or a bend means that the fit misses something."
)
BALANCE_ALT = Message("Spring pressure against opening; residuals of bulb temperature")
BALANCE_CAPTION = Message(
    "Top: bulb pressure minus the pressure under the diaphragm and the port's effect; its value at zero opening is "
    "the spring pressure, its slope the spring gradient. Bottom: measured minus computed bulb temperature; dotted: "
    "twice the scatter."
)
BRACKET = Message("Lack of fit: the filled points below the bracket are off the law on one side.")
AXIS = Message("{quantity}, {unit}")
LAW_DROP_AXIS = Message("drop relative to the choking limit")
LAW_FLOW_AXIS = Message("flow relative to the orifice law")
ORIFICE_LINE = Message("orifice")
CHOKED_LINE = Message("choked, recovery factor {recovery}")
CHOKED_LIMIT_LINE = Message("choked, recovery factor 1 (the highest)")
COMPUTED_AXIS = Message("computed mass flow, {unit}")
MEASURED_AXIS = Message("measured, {unit}")
SIZE_LABEL = Message("size {size}")
LINE_LABEL = Message("line {line}")
FLOW_RESIDUAL_AXIS = Message("mass flow off the fit, %")
BULB_RESIDUAL_AXIS = Message("bulb off the balance, {unit}")
STROKE_AXIS = Message("opening, % of rated stroke")
SPRING_AXIS = Message("bulb minus evaporator and port, {unit}")
LACK_LABEL = Message("lack of fit")

# The fragment of a family's file.
FRAGMENT_OF = Message("Family {family}, fitted to {source}: {rows} rows; two-sided bounds at {confidence}.")
FRAGMENT_USE = Message(
    "Each key replaces the same key in {file}; under 'charges' and 'port_designs', each entry replaces the one of the same "
    "name."
)
FRAGMENT_SIZES = Message("Kv of {sizes} are measured; other sizes are unchanged.")
FRAGMENT_LACK = Message("Lack of fit: {lack}; suspect {suspect}.")
FRAGMENT_MISSING = Message("Cannot be determined: {parameter}: {reason}.")
FRAGMENT_SHARE = Message("{parameter}: {value}, plus or minus {bound} ({rows} rows)")
FRAGMENT_NOTE = Message("Note: {note}")
OF_SIZES_ALONE = Plural(
    "{keys} were fitted to rows of size {sizes} only but apply to every size of the family",
    "{keys} were fitted to rows of sizes {sizes} only but apply to every size of the family",
)
LAW_STAYS = Message(
    "flow_law stays as it is: the choked law needs the pressure recovery factor, which cannot be determined from these rows"
)
LAW_STAYS_WITHOUT_EXPONENTS = Message(
    "flow_law stays as it is: the discharge coefficient needs both exponents, which cannot be determined from these rows"
)
EXPONENTS_SOURCE = Message("{source}, {rows} rows; exponents {bounds} at {confidence} percent confidence")
# Printed in the booklet.
LAW_REASON_FITTED = Message("{rows} readings of mass flow ({test}) scatter by {misfit} about this law.")
LAW_REASON_STATED = Message(
    "Chosen for this family: {rows} readings of mass flow ({test}) scatter by {misfit} about it, and do not decide between laws."
)
TEST = Message("test of {date}")
UNDATED_TEST = Message("undated test")
SIZES_OMITTED = Plural(
    "size {sizes} is left out of the fragment: its Kv was rated under the {family_law} law, and the fragment names "
    "the {law} law",
    "sizes {sizes} are left out of the fragment: their Kv were rated under the {family_law} law, and the fragment "
    "names the {law} law",
)
NO_SCATTER = Message(
    "scatter of {quantity} stays as it is: it is not seen above the noise of the readings, and is at most {high}"
)
SCATTER_SOURCE = Plural("{source}, {count} specimen", "{source}, {count} specimens")
OTHER_SCATTER = Message("{source}; other values: {other}")
LIQUID_CHARGE = Message(
    "the measured curve of charge {charge} is left out: a liquid charge uses the curve of its fluid"
)
SOURCE_ROWS = Message("{source}, {rows} rows")
WITH_LACK = Message("{source}; lack of fit under {conditions}")

# The command.
HELP = Message("find a family's Kv, flow law, setting and unbalance from bench data")
DESCRIPTION = Message(
    "Fit the parameters of a family to readings of a test bench, with bounds. What cannot be determined from the rows is "
    "reported with the test that is missing. If all rows taken under one condition lie on the same side of the fit, they "
    "are reported as lack of fit, with what to suspect, and stay in the fit; isolated outliers are set aside and listed by "
    "line. A row without an opening (an empty cell, or no such column) is used in the force balance if it has a mass flow, "
    "a bulb temperature and an evaporator pressure: its opening is inferred from the flow."
)
EPILOG = Message(
    "Exit codes: 0 at least one parameter fitted, 1 none, 2 bad input.  Example: tablegen fit bench/alder.csv --family "
    "alder --fragment alder_fitted.yaml --output residuals.pdf"
)
BENCH_HELP = Message("bench file with a row for each steady state (default with --demo: the demo's)")
FAMILY_HELP = Message("the family tested (default: the name of the file)")
LAW_HELP = Message("flow law to fit; 'any' lets the rows decide (default)")
CHARGE_HELP = Message("bulb charge for rows that name none")
OPENINGS_HELP = Message("openings at which to fit points of the characteristic, such as '25 percent, 50 percent'")
CONFIDENCE_HELP = Message("confidence of the two-sided bounds (default: 95 percent)")
FLOW_UNCERTAINTY_HELP = Message("standard uncertainty of the flow meter, as a share of the reading")
OPENING_UNCERTAINTY_HELP = Message("standard uncertainty of the opening, as a share of rated stroke")
DROP_UNCERTAINTY_HELP = Message("standard uncertainty of the pressure drop, such as '0.3 psi'")
DATE_HELP = Message("day of the test, such as 2026-11-20 (default: the one in the file)")
FRAGMENT_HELP = Message("write the fitted parameters to FILE.yaml, as keys of the family's file")
PLAN_HELP = Message(
    "plan the rows that would halve the bound of a parameter, such as 'kv 45', 'static_superheat' or 'unbalance'"
)
CONDITIONS_HELP = Message(
    "with --plan: conditions to choose from, as a bench file without readings (default: those tested)"
)
SHOW_CHANGES_HELP = Message("show what --apply would change in the family's file; nothing is written")
APPLY_HELP = Message("write the fitted parameters into the family's file and show what changed")
CSV_ROWS = Message("a row for every parameter")
NO_BENCH = Message("{--bench} is missing; name a file, or use the demo catalogue")
A_CHARGE = Message("a charge of {family}")
CONFIDENCE_RULE = Message("{--confidence}: {text} is not allowed; it must be at least 50 and at most 99.9 percent")
UNCERTAINTY_PAIR = Message("{option}: it is missing; give the uncertainties of flow and opening together")
BEYOND_STOP = Message("{--openings}: an opening is beyond the stop of the family, {stop}")
OPENINGS_RULE = Message("openings must ascend from above 0 percent, 1 percent or more apart")
A_PARAMETER = Message("a parameter that these rows determine")
CONDITIONS_ALONE = Message("{--conditions}: it goes with {--plan=}")
PLAN_OFF_LAW = Message(
    "{--plan}: no number of further rows halves the bound of {parameter} while rows are off the law (lack of fit under "
    "{conditions}); correct that first"
)
PLAN_WITHOUT_OPENING = Message(
    "{--plan}: {parameter} comes from rows without an opening; measure it with an opening first"
)
NO_CONDITIONS = Message("{--conditions}: none of them can be set for {parameter}")

# Planned tests.
PLAN = Message("Tests that would halve the bound of {parameter}")
PLAN_SUMMARY = Plural(
    "Measure {count} further row: the bound of {parameter} falls from ±{before} to about ±{after}.",
    "Measure {count} further rows: the bound of {parameter} falls from ±{before} to about ±{after}.",
)
PLAN_NOT_ENOUGH = Plural(
    "Even {count} further row does not halve the bound of {parameter}: it falls from ±{before} to about ±{after}.",
    "Even {count} further rows do not halve the bound of {parameter}: it falls from ±{before} to about ±{after}.",
)
PLAN_SPECIMENS = Plural(
    "Test {count} further specimen at the same conditions: the bound of {parameter} falls from ±{before} to about "
    "±{after}. More rows of the same specimens would not halve it.",
    "Test {count} further specimens at the same conditions: the bound of {parameter} falls from ±{before} to about "
    "±{after}. More rows of the same specimens would not halve it.",
)
PLAN_NOTE = Message(
    "Set each row anew, or its error is that of the row before. The plan is c-optimal (Atkinson and Donev 1992) for the "
    "fitted law and the scatter of these rows; it does not test the law itself."
)
TIMES = Message("Rows")
CONDITION = Message("Condition")
CONDITION_OF_FLOW = Message(
    "{refrigerant}, size {size} at {opening} opening: inlet {inlet} and {liquid}, outlet {outlet}"
)
CONDITION_OF_BALANCE = Message(
    "{refrigerant}, size {size}, charge {charge} at {opening} opening: inlet {inlet}, outlet {outlet}, evaporator "
    "{evaporator}; expect the bulb at {bulb}"
)
APPLY_TO_DEMO = Message(
    "{--apply}: the files of the demo cannot be changed; name a catalogue of your own with {--catalogue=}"
)
APPLY_LOSES_SIZES = Plural(
    "{--apply}: nothing is written, because size {sizes} has a Kv rated under the other flow law; test it too, or name "
    "the law of the file with {--law=}",
    "{--apply}: nothing is written, because sizes {sizes} have a Kv rated under the other flow law; test them too, or "
    "name the law of the file with {--law=}",
)
APPLY_UNSOUND = Message("not changed, because the catalogue would not pass the check with the fitted values:")
AGAIN = Message("run the fit again")
FITTED_FILE = Message("{file} (fitted)")
CHANGES_IN = Message("Changes in {file}")
KEY = Message("Key")
FILE_HAS = Message("In the file")
FITTED_VALUE = Message("Fitted")
NO_CHANGES = Message("{file}: not changed, because it has these values already")
CHANGES_NOT_WRITTEN = Message("{file}: not changed; --apply would write this")
FRAGMENT_WRITTEN = Message("{file}: written")
FRAGMENT_NOT_WRITTEN = Message("{file}: not written, because no parameter can be determined")
