"""A capacity converted between a stated condition and the rating point."""

from __future__ import annotations

from tablegen.wording.message import Message

TO_RATING_HEADING = Message("{refrigerant}: {capacity} converted to the rating point")
FROM_RATING_HEADING = Message("{refrigerant}: {capacity} at the rating point converted to another condition")
TO_RATING = Message("{capacity} at the stated condition is {answer} at the rating point.")
FROM_RATING = Message("{capacity} at the rating point is {answer} at the stated condition.")

FACTOR = Message("Factor to the rating point")
FACTOR_IS = Message("{factor} = mass flow ratio {flow} × refrigerating effect ratio {effect}")
UNCERTAINTY = Message("Uncertainty of properties")
CLEARANCE = Message("With 0 to {clearance} compressor clearance")
CLEARANCE_RANGE = Message("{lowest} to {highest} (assumption for reciprocating compressors)")
CLEARANCE_SAME = Message("{capacity} (assumption for reciprocating compressors)")
OTHER_COMPRESSORS = Message("For another type of compressor, ask its manufacturer.")

CONDITION = Message("Condition")
STATED = Message("stated condition")
AS_STATED = Message("As stated")
HEAD_PRESSURE = Message("Head pressure")
LIQUID = Message("Liquid at the valve")
SST = Message("SST (dew)")
CAPACITY = Message("Capacity")

NOT_LIQUID = Message("liquid at {temperature} would be above the bubble point at that head pressure, {bubble}")
NO_FACTOR = Message(
    "no factor for {refrigerant}: the compressor data or the refrigerant properties do not cover both conditions"
)

HELP = Message("convert a capacity to the rating point, or back")
DESCRIPTION = Message(
    "Convert a capacity between a stated condition and the rating point, with the application's compressor."
)
EPILOG = Message(
    "Example: tablegen convert R448A --capacity '20 kBtu/h' --condensing '120 degF' --basis dew --subcooling "
    "'5 delta_degF' --sst '24 degF' --application walk_in_medium --demo"
)
CAPACITY_HELP = Message("the capacity, such as '20 kBtu/h'")
CONDENSING_HELP = Message("condensing temperature of the stated condition")
BASIS_HELP = Message("basis of the condensing temperature")
SUBCOOLING_HELP = Message("subcooling of the liquid below its bubble point, such as 9F")
LIQUID_HELP = Message("liquid temperature at the valve")
STATED_SST_HELP = Message("suction temperature of the stated condition (default: --sst)")
BACK_HELP = Message("from the rating point to the stated condition")
CSV_ROWS = Message("a row for each condition")
