"""Where a valve is offered, and what is wrong with a case that asks for it elsewhere."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

NO_VALVE = Message("no valve is offered for {refrigerant} in {application}: {reasons}")
NOT_OFFERED_IN = Message("{family} is not offered for {refrigerant} in {application}: {reason}")
NOT_OFFERED_FOR = Message("{family} is not offered for {refrigerant}: {reason}")
NOT_COMBINED = Message("The catalogue does not combine them.")
NOT_APPROVED = Message("Not approved for {refrigerant} ({safety_group}); approved for {approved}.")
SAFETY_GROUPS = Plural("safety group {groups}", "safety groups {groups}")
CHARGE_FOR = Message("{charge} for {refrigerant}")

SST_OUTSIDE = Message(
    "{application} covers an SST of {range}, not {sst}; for {refrigerant} that SST is covered by {others}"
)
SST_NOT_COVERED = Message(
    "{application} covers an SST of {range}, not {sst}; no application of the catalogue covers it for {refrigerant}"
)
SEVERAL_APPLICATIONS = Message(
    "several applications cover an SST of {sst} for {refrigerant}: {applications}; name one with {--application=}"
)
NO_APPLICATION = Message("no application with a valve for {refrigerant} covers an SST of {sst}; {details}")
APPLICATIONS_COVER = Plural("{applications} covers {range}", "{applications} cover {range}")
NO_VALVE_IN = Message("{application} covers it, but has no valve for {refrigerant}: {reasons}")

# Rules for head pressures, after "the low head ... is not allowed;".
TOO_COLD = Message("condensing must stay above {limits}: nothing is computed below")
TOO_WARM = Message("condensing must stay below {limits}, just under the critical point: subcritical systems only")
LIMIT_WITH = Message("{temperature} with {refrigerant}")
OTHER_TEMPERATURE = Message("{temperature} for {refrigerant}, which needs {pressure}")
TOO_FAR_APART = Message(
    "it means condensing (bubble) at {temperature} for {refrigerant}, but {others} to condense at the same temperature; one "
    "setting fits refrigerants within {allowed} delta_degF of the first"
)
GIVE_OWN_SETTINGS = Message(
    "give them settings of their own under by_refrigerant, or all of them a condensing_temperature"
)
NOT_BELOW_RATING = Message(
    "it means {temperature} condensing (bubble) with {refrigerant} and must be below the rating point's {rating}"
)
NOT_ABOVE_RATING = Message(
    "it means {temperature} condensing (bubble) with {refrigerant} and must be above the rating point's {rating}"
)
NOT_ABOVE_EVAPORATOR = Message(
    "it must be above the evaporator's pressure at every SST of the application: {pressure} with {refrigerant} at {sst}"
)
AND_MORE = Message("{names} and {count} more")


A_CHARGE_OF = Message("a charge of {family}")
LOAD_NOT_ABOVE_ZERO = Message("a load of {load} W is not allowed; it must be above zero")
HEAD_NOT_ALLOWED = Message("{application}: the {condition} is not allowed; {reason}")
HEAD_OF_REFRIGERANT_NOT_ALLOWED = Message("{application}: the {condition} of {refrigerant} is not allowed; {reason}")
MIXED_CHARGES = Message(
    "{family} needs different bulb charges for the members of {group} ({charges}); ask for one refrigerant"
)

CONNECTIONS_OF = Message("the connections of {valve}")
CAPILLARY_NOT_OFFERED = Message("{--capillary}: {length} is not allowed; {family} is offered with {offered}")
NONE_OFFERED = Message("none")

TOO_FEW_PARTS = Message("a split needs at least two evaporators")
PART_NOT_ABOVE_ZERO = Message("every part of a split must be above zero")
SHARES_DO_NOT_ADD_UP = Message(
    "the shares add up to {percent} percent of the unit's capacity; they must add up to 100 percent"
)
LOADS_DO_NOT_ADD_UP = Message(
    "the loads add up to {percent} percent of the unit's capacity; they must add up to 100 percent"
)

EXAMPLE_WITHOUT_WINDOW = Message(
    "its example, size {size} at {sst} ({application}: suction.example_sst), has no window, because {reason}"
)
NO_ROW_COVERED = Message(
    "no size covers a whole row in any column: the maximum load of the widest window is only {ratio} times its minimum load. "
    "Most maximum loads are set because {reason}: change that in the application, or show another family"
)
EVERY_WINDOW_EMPTY = Message("every window is empty, most because {reason}")


APPLICATION = Message("Application")
ONLY_APPLICATION = Message("{title}: the only application with a valve for this refrigerant at this SST")
CHANGED = Message("Changed")
LOAD = Message("Load")
GROSS_LOAD = Message("{load}, gross capacity at the rating point")
DATA = Message("{title}, revision {revision} of {date}; computed with {version}.")
