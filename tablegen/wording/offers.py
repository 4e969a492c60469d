"""What a catalogue offers and why not, and head pressures that no table can be computed for."""

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
    "several applications cover an SST of {sst} for {refrigerant}: {applications}; name one with --application"
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
    "it means condensing (bubble) at {temperature} for {refrigerant}, but {others} for the same temperature; one "
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
AND_MORE = Message("{names} and {count} more")
