"""What is in stock: the sheet that says so, and what an answer says of it."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

STOCK_SHEETS_ARE_SMALL = Message("that is too large for a stock sheet")
NOTHING_LISTED = Message("no row lists a valve; write one row for each valve in stock")
QUANTITY_RULE = Message("must be a whole number from 0 to {maximum}, or empty if it is not counted")
PRICE_RULE = Message("must be a number from 0 to {maximum}; the currency goes into the heading, as in 'price [USD]'")
POINT_OF_WHAT = Message("could mean {thousand} or {decimal}; remove the point, or use a decimal comma")
MORE_CELLS = Message("this row has more cells than the {count} headings; put a cell with a comma in quotes")
TEXT_RULE = Message("must be printable characters")
OTHER_CURRENCY = Message("prices of one sheet are in one currency, here {currency}")
NOT_COUNTED = Message("{file}: no quantity column: every row counts as in stock")
OWN_COLUMNS = Message("{file}: your own columns, shown in answers but not on the phone page: {headings}")
UNREAD_COLUMNS = Message("{file}: cost columns are not read and are never shown: {headings}")
OTHER_VALVE = Message("{stated} is not what part number {number} is for in the list of part numbers: {listed}")
NOT_VALVES = Plural(
    "{file}: {count} row is skipped: its part number is not in the list, and it names no family: {rows}",
    "{file}: {count} rows are skipped: their part numbers are not in the list, and they name no family: {rows}",
)
ROW = Message("line {line}")
ROW_OF = Message("line {line} ({text})")
ROWS_AND_MORE = Message("{rows}, ...")
NEARLY = Plural(
    "{file}: {count} skipped row has a part number close to one in the list: {rows}",
    "{file}: {count} skipped rows have part numbers close to ones in the list: {rows}",
)
NEAR_NUMBER = Message("line {line}, {text} (is it {meant}?)")
NEGATIVE = Plural(
    "{file}: {count} negative quantity counts as 0: {rows}",
    "{file}: {count} negative quantities count as 0: {rows}",
)
LONG_TEXT = Plural(
    "{file}: {count} text has more than {most} characters and is shortened: {rows}",
    "{file}: {count} texts have more than {most} characters and are shortened: {rows}",
)
NO_CURRENCY = Message("{file}: prices without a currency; write it in the heading, as in {heading}")
NO_VALVES = Message(
    "no row names a valve of the catalogue: no part number is in the list and no row has a family; first rows: {rows}"
)
OTHERS = Message("others")
LEFT_OUT = Plural(
    "{file}: {count} row has an error and is left out ({rows}); 'tablegen check' says what is wrong.",
    "{file}: {count} rows have an error and are left out ({rows}); 'tablegen check' says what is wrong.",
)
WHICH_COLUMNS = Message(
    "no column says which valve a row is; name one column part_number (or {numbers}), or name two family ({families}) and size ({sizes})"
)
LIST_NEEDED = Message(
    "{heading} identifies a valve only through a list of part numbers: make one, CSV or XLSX, with the columns "
    "part_number, family, size and charge, and name it under part_numbers in catalogue.yaml"
)
NOT_A_PART_NUMBER = Message("part number {number} is not in the list of part numbers; state family and size")
WHICH_VALVE = Message("state family and size, or a part number of the list of part numbers")
WHICH_CHARGE = Message("state the charge: {family} has {charges}")
SIZE_OF_ANOTHER = Message("{size} is no size of {family}")
STOCK_HELP = Message(
    "your stock sheet (CSV or XLSX) instead of the catalogue's: part_number, or family, size and charge; quantity, price, location"
)
ALL_SIZES_HELP = Message("recommend valves that are not in stock too")
ALL_SIZES_WITHOUT_STOCK = Message("{--all-sizes} is for a stock sheet; name one with {--stock} or in the catalogue")

IN_STOCK = Message("In stock")
COUNT = Message("{count}")
YES = Message("yes")
NO = Message("no")
FITTING = Message("Valves that cover the load, in stock first, then largest margin first")
NO_VALVE_IN_STOCK = Message("No valve in stock covers this load.")
NEXT = Message("Not in stock, but it fits: {valve}, margin {margin}.")
LARGER_MARGIN = Message("Larger margin, but not in stock: {valve}, margin {margin}.")
FIRST_IN_STOCK = Message(
    "First choice: {valve}, with the largest margin in stock. Your load is {over_minimum} times this valve's "
    "minimum load, and its maximum load is {under_maximum} times your load."
)
TOO_FEW = Plural("Only {count} of {wanted} is in stock.", "Only {count} of {wanted} are in stock.")
TOGETHER = Message("All evaporators together need {wanted} {valve}: {count} in stock, {short} to order.")
WITH_ENOUGH = Message("{valve} has {count} in stock, margin {margin}.")
ON_THE_SHELF = Message("On the shelf: {items}")
NOT_ON_THE_SHELF = Message("This valve is not in stock.")
# Parts of one item on the shelf, joined by commas.
ITEM: Mapping[str, Message] = {
    "part_number": Message("part number {text}"),
    "quantity": Message("{text} in stock"),
    "uncounted": Message("in stock"),
    "location": Message("location {text}"),
    "price": Message("price {text}"),
}
