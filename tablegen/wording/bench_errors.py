"""What is wrong with a file of bench readings, after file, line and column."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

READINGS_ARE_FEW = Message("give one row for each steady state")
TOO_MANY_ROWS = Message(
    "more than {count} rows; give one row for each steady state, not a log of its readings: those depend on each other, "
    "and every bound would be too narrow"
)
NO_HEADER = Message(
    "none found; the first row must name the columns, as 'refrigerant, size, inlet_pressure [psi_absolute], "
    "inlet_temperature [degF], ...'"
)
NO_ROWS = Message("the file has no rows below its header")
MORE_ERRORS = Plural("{count} more error in this line and below", "{count} more errors in this line and below")
WIDTH = Message("{count} cells, where the header has {width} (is a decimal comma among them?)")
WIDTH_OF_ONE = Message("{count} cell, where the header has {width} (separate cells by commas)")

# The header.
SEMICOLONS = Message("cells are separated by semicolons; save the file with commas")
TABS = Message("cells are separated by tabs; save the file with commas")
COLUMN = Message("column {number}")
NAME_AND_UNIT = Message("a column is called 'name [unit]'")
COLUMN_TWICE = Message("the column appears twice, as column {first} and column {second}")
NO_UNIT = Message("this column has no unit")
UNIT_MISSING = Message("{quantity} needs its unit in the header, as '{example}'")
NO_STEPS = Message("the family is not a stepper; give opening [percent]")
STEPS_AND_OPENING = Message("opening and steps are both given; give only one of them")
ELECTRONIC = Message("the family is electronic: it has no bulb and no balance of forces")
ATMOSPHERE_MISSING = Message(
    "a gauge reading needs the pressure of the atmosphere: a column site_pressure [kPa_absolute], a line "
    "'# site_pressure: 101.3 kPa_absolute' above the header, or --site-pressure"
)

# Cells.
PRESSURE_RANGE = Message("must be at least 0.01 and at most 200 bar absolute (0.15 to 2900 psi)")
TEMPERATURE_RANGE = Message("must be at least -100 and at most 150 degC (-148 to 302 degF)")
FLOW_RANGE = Message("must be above 0 and at most 100 kg/s; leave the cell empty where there was no flow")
OPENING_RANGE = Message("must be at least 0 and at most 300 percent of rated stroke")
STEPS_RANGE = Message("steps are a count from 0 up")
ATMOSPHERE_RANGE = Message("an atmosphere is between 50 and 110 kPa (7.3 to 16 psi)")
NUMBER = Message("must be a number; leave the cell empty where there was no reading")
NUMBER_ALONE = Message("must be a number alone; its unit is in the header ({unit})")
COUNT_ALONE = Message("must be a number alone, without a unit")
NUMBER_WITH_POINT = Message("must be a number with a decimal point and no separator of thousands")
NUMBER_WITH_MINUS = Message("must be a number; write its minus as '-'")
STEPS = Message("steps are whole and at most {count}, the full travel of the family")
NO_ATMOSPHERE = Message("the cell is empty, and the row has gauge readings")
A_CHARGE = Message("a charge of the family")
A_SIZE = Message("a size of the family")
NO_READING = Message("the row has neither a mass flow nor a bulb temperature, so it cannot be used")
ROW_LACKS = Message("the cell is empty, and the row lacks {columns}")
ROW_LACKS_CHARGE = Message("the cell is empty, and the row lacks {columns}; name it in the column, or with --charge")
ROW_LACKS_OPENING = Message("the cell is empty, and the row lacks {columns}; add it, or give a mass flow in the row")
OPENING_OR_STEPS = Message("opening (or steps)")

# Remarks.
REMARK_KEYS = Message("a remark may give {keys}")
GIVEN_TWICE = Message("{key} is given twice")
ATMOSPHERE_ABSOLUTE = Message("an atmospheric pressure is absolute, between 50 and 110 kPa (7.3 and 16 psi)")
UNCERTAINTY = Message("a standard uncertainty is above 0 and at most 20 percent")
DROP_UNCERTAINTY = Message("a standard uncertainty of a pressure drop is above 0 and at most 1 bar (14.5 psi)")
TRUTH = Message("truth is a text of 1 to 300 characters that can be printed")
