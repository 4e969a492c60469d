"""The phone page: its labels, hints, answers and errors, which the page's own script fills in."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording import booklet_pages, orders, unit_texts
from tablegen.wording.message import AND, CLAUSES, OR, Message, Plural

# Handed to the page as a table; tests compare its keys and placeholders with those that page and script use.
TEXTS: Mapping[str, Message | Plural] = {
    # Headings, labels and buttons.
    "no_script": Message("This page needs JavaScript, which is blocked here. Use the printed tables instead."),
    "system": Message("Your system"),
    "application": Message("Application"),
    "refrigerant": Message("Refrigerant"),
    "load": Message("Load, {unit}"),
    "box": Message("Box, {unit}"),
    "difference": Message("TD, {unit}"),
    "sst": Message("SST, {unit}"),
    "load_unit": Message("Unit of the load"),
    "temperature_unit": Message("Unit of temperatures"),
    "sizes": Message("Sizes to recommend"),
    "in_stock_only": Message("in stock"),
    "all_sizes": Message("all sizes"),
    "actions": Message("Next steps"),
    "order_line": Message("Order line"),
    "why": Message("Why?"),
    "family": Message("Valve family"),
    "answer": Message("Answer"),
    "choose_application": Message("Choose an application"),
    "choose_refrigerant": Message("Choose a refrigerant"),
    "groups": Message("All refrigerants of a group"),
    "all_families": Message("All families"),
    # The case.
    "each_of": Message("each of {group}"),
    "temperature": Message("{figure}\N{NO-BREAK SPACE}{unit}"),
    "load_figure": Message("{figure}\N{NO-BREAK SPACE}{unit}"),
    "span": Message("{first} to {last}\N{NO-BREAK SPACE}{unit}"),
    "load_both": Message("{own} ({same})"),
    "sst_alone": Message("SST {sst}"),
    "sst_and_box": Message("SST {sst}, box {box}, TD {difference}"),
    "case": Message("{refrigerant}, {application}; {temperature} (SST at dew point); load {load} at the rating point"),
    "for_case": Message("For {case}."),
    "and": AND,
    "clauses": CLAUSES,
    "or": OR,
    # Hints at the fields.
    "group_hint": Message("Valid for {refrigerants}: only loads inside the load windows of all of them."),
    "sst_hint": Message("This application covers an SST of {span}."),
    "difference_hint": Message(
        "SST (saturated suction temperature, dew point) is the box temperature minus the coil temperature difference (TD)."
    ),
    "difference_default": Message("If you leave TD empty, the application's {difference} is used."),
    "stock_hint": Message("Stock of {file}, as it was when this page was made."),
    "stock_hint_dated": Message("Stock of {file} as of {date}."),
    "load_hint": Message(
        "Load is the gross capacity of the system at its rating point; a unit may follow, as in 1.5 tons."
    ),
    "kbtu_hint": Message("1 kBtu/h is 1000 Btu/h."),
    "rating_point": booklet_pages.RATING_POINT,
    "rating_hint": Message(
        "Rating point: {rating}. Convert a capacity that is stated at other temperatures to this point first."
    ),
    # What is wrong with a figure, and what is missing.
    "sst_error": Message("Suction temperature: {error}"),
    "box_error": Message("Box temperature: {error}"),
    "difference_error": Message("Coil temperature difference: {error}"),
    "load_error": Message("Load: {error}"),
    "temperature_example": Message("24 or −10.5"),
    "difference_example": Message("10 or 5.5"),
    "load_example": Message("20 or 5.9"),
    "two_readings": Message("“{text}” can be read two ways; write {first} or {second}."),
    "decimal_point": Message("“{text}” has a comma where a decimal point belongs; if that is meant, write {figure}."),
    "not_a_number": Message("“{text}” is not a number; write one such as {example}."),
    "unknown_unit": Message("“{text}” has a unit that is not known here; write {units}, or no unit."),
    "motor_rating": unit_texts.MOTOR_RATING,
    "too_long": Message("write a number of at most {most} characters."),
    "too_much_digits": Message("“{text}” is too large a number."),
    "difference_range": Message("enter a figure from {minimum} to {maximum}."),
    "other_balance": Message("this application is computed with {difference}; leave the field empty."),
    "above_zero": Message("enter a figure above zero."),
    "outside_sst": Message("this application covers {span}; do not extrapolate."),
    "sst_covered": Message("This temperature is covered by: {applications}."),
    "sst_covered_for": Message("For {refrigerant} this temperature is covered by: {applications}."),
    "sst_not_covered": Message("No application covers it."),
    "sst_not_covered_for": Message("No application with a valve for {refrigerant} covers it."),
    "still_needed": Message("Still needed: {fields}. The size that covers the load is then shown here."),
    "needs_application": Message("application"),
    "needs_refrigerant": Message("refrigerant"),
    "needs_temperature": Message("box temperature or SST"),
    "needs_difference": Message("coil temperature difference (TD)"),
    "needs_load": Message("load"),
    "unknown_link": Plural(
        "The link asks for {names}, which is not in these tables. Choose again.",
        "The link asks for {names}, which are not in these tables. Choose again.",
    ),
    "quoted": Message("“{text}”"),
    "family_not_offered": Message(
        "This family is not offered for {refrigerant} in this application. {why} Offered: {families}."
    ),
    "nothing_offered": Message(
        "No valve is offered for {refrigerant} in this application. {why} Ask the manufacturer."
    ),
    "offered_elsewhere": Message(
        "No valve is offered for {refrigerant} in this application. {why} Offered in: {applications}."
    ),
    # The answer.
    "fits_at_limit": Message("fits at its limit, margin {margin}"),
    "fits_with_margin": Message("fits, margin {margin}"),
    "covers": Message("covers {minimum} to {maximum} at SST {sst}"),
    "no_size_fits": Message("No size fits"),
    "none_in_stock": Message("None in stock"),
    "no_stocked_size": Message("No stocked size covers the load."),
    "not_in_stock_covers": Message("Not in stock, but it fits: {valve}, {minimum} to {maximum}, margin {margin}."),
    "in_stock_limits": Message("In stock: {limits}."),
    "ends_at": Message("{valve} covers up to {limit}"),
    "begins_at": Message("{valve} covers from {limit}"),
    "in_stock_counted": Message("{quantity} in stock"),
    "in_stock_uncounted": Message("in stock"),
    "stock_location": Message("location {location}"),
    "not_in_stock": Message("not in stock"),
    "too_few": Plural("Only {count} of {wanted} is in stock.", "Only {count} of {wanted} are in stock."),
    "with_enough": Message("{valve} has {quantity} in stock, margin {margin}."),
    "on_the_shelf": Message("On the shelf: {items}."),
    "not_on_the_shelf": Message("This valve is not in stock."),
    "no_window_at_all": Message("No size has a load window here, for the reasons below. Ask the manufacturer."),
    "too_much": Message(
        "The largest load that any valve here covers is {limit} ({valve}). Split the load among several "
        "evaporators or valves and look up each one, or ask the manufacturer."
    ),
    "check_unit": Message("Check the unit of the load."),
    "thousandfold": Message("Did you mean {load}?"),
    "too_little": Message(
        "The smallest load that any valve here covers is {limit} ({valve}); below that, it hunts or floods "
        "back. Ask the manufacturer for a smaller valve."
    ),
    "between_sizes": Message(
        "The load is between the windows of neighboring sizes; try the other families, or ask the manufacturer."
    ),
    "between_sizes_of_all": Message("The load is between the windows of neighboring sizes; ask the manufacturer."),
    "other_difference": Message("Call before you select: these tables assume a TD of {difference}."),
    "other_limits": Message("At another TD the load windows are different, and this page cannot calculate them."),
    "larger_difference": Message(
        "These tables assume a TD of {difference}. A larger TD does not change minimum loads or lower maximum loads, "
        "so a size that fits here also fits at your TD."
    ),
    "between_rows": Message(
        "The temperature is between the rows at {rows}; the stricter limit of the two rows is used, to be safe."
    ),
    "load_mark": Message("load {load}"),
    "fitting": Message("Sizes that fit, largest margin first"),
    "fitting_in_stock": Message("Sizes that fit, in stock first, then largest margin first"),
    "show_all": Plural("Show all {count}", "Show all {count}"),
    "margin_hint": Message(
        "Margin is the ratio between the load and the nearer limit: at 1.00 the load is at the limit."
    ),
    "family_note": Message("{family}: {note}"),
    "window": Message(": {minimum} to {maximum}. {note}"),
    "margin": Message("Margin {margin}"),
    "margin_at_limit": Message("Margin {margin}, at its limit"),
    "first_choice": Message("first choice"),
    "best_of_family": Message("best of {family}"),
    "notes": Message("{notes}."),
    "specify": Message("Order this"),
    "specify_valve": Message("Order {valve}"),
    "neighbors": Message("Neighboring sizes that do not fit"),
    "too_small": Message("Too small: its maximum load is {limit}, because {why} (set by {refrigerant})."),
    "too_large": Message("Too large: its minimum load is {limit}, because {why} (set by {refrigerant})."),
    "no_window": Message(": no window: {why} (set by {refrigerant})."),
    "not_offered": Message(": not offered here. {why}"),
    "no_common_load": Message("no load is inside all of its load windows"),
    "conditions": Message("Conditions: {refrigerant}, {application}"),
    "cautions": Message("Cautions"),
    # The order.
    "specification": Message("Order: {valve}"),
    "connections": Message("Connections"),
    "capillary": Message("Capillary length"),
    "quantity": Message("Quantity"),
    "job": Message("Job reference"),
    "choose": Message("Choose"),
    "quantity_error": Message("Quantity: enter a whole number from 1 to 9999."),
    "copy": Message("Copy this line"),
    "copied": Message("Copied."),
    "not_copied": Message("Not copied: the browser does not allow it. The line is selected; copy it yourself."),
    "window_table": Message("Window table in the booklet"),
    "booklet_file": Message("({file}, in the folder of this page)"),
    "order_valve": orders.ORDERED_VALVE,
    "order_caution": orders.CAUTION,
    "order_connections": orders.CONNECTIONS,
    "order_choose_connections": orders.CHOOSE_CONNECTIONS,
    "order_capillary": orders.CAPILLARY,
    "order_choose_capillary": orders.CHOOSE_CAPILLARY,
    "order_driver": orders.DRIVER,
    "order_unknown_driver": orders.UNKNOWN_DRIVER,
    "order_part_number": orders.PART_NUMBER,
    "order_no_part_number": orders.NO_PART_NUMBER,
    "order_part_number_open": orders.PART_NUMBER_OPEN,
    "order_quantity": orders.QUANTITY,
    "order_no_quantity": orders.NO_QUANTITY,
    "order_job": orders.JOB,
    "order_no_job": orders.NO_JOB,
    "order_case": Message("for {case}"),
    "order_window": Message("window {minimum} to {maximum}, nominal limits"),
    "order_window_at_confidence": Message("window {minimum} to {maximum}, limits at {confidence} confidence"),
    "order_rows": Message("stricter limits of the rows at {rows}"),
    "order_data": orders.DATA,
    "order": Message("{clauses}. {notice}"),
    # The foot of the page.
    "limits_nominal": Message(
        "Limits are nominal, for a valve exactly as designed. Minimum loads are rounded up and maximum loads down to "
        "three significant figures in either unit. This page compares printed limits; it does not calculate."
    ),
    "limits_at_confidence": Message(
        "Limits are at {confidence} confidence. Minimum loads are rounded up and maximum loads down to three "
        "significant figures in either unit. This page compares printed limits; it does not calculate."
    ),
}
REVISION = Message("rev {revision}")
CALL = Message("Call {telephone}")
CALL_WHOM = Message("Call {telephone}, {name}")
# Not "tons of refrigeration": beside other units it must be short.
TONS = Message("tons")
TON = Message("ton")
PAGE_TITLE = Message("{title}: valve sizes by load")
ORIGIN = Message("{company}, revision {revision} of {date}, data {data}.")
PAPER_FOOT = Message("{notice} {origin}")
PAGE_NUMBER = Message("Page {page} of {pages}")

# What a counter asks of a valve first, by the kind of its family.
KINDS: Mapping[str, Message] = {
    "thermostatic": Message("thermostatic"),
    "stepper": Message("electronic, needs a driver"),
    "pulse_modulated": Message("electronic, needs a driver"),
}
# By whether it is flammable, and whether it is toxic.
SAFETY: Mapping[tuple[bool, bool], Message] = {
    (False, False): Message("{refrigerant}: safety group {group} (ASHRAE 34)."),
    (True, False): Message("{refrigerant}: safety group {group} (ASHRAE 34), flammable."),
    (False, True): Message("{refrigerant}: safety group {group} (ASHRAE 34), toxic."),
    (True, True): Message("{refrigerant}: safety group {group} (ASHRAE 34), flammable and toxic."),
}

# Of a catalogue that is too large for one page.
CHOOSE_PAGE = Message("Choose an application")
SAME_FOLDER = Message("Each application has a page of its own, which works offline; keep the pages in one folder.")
ALL_PAGES = Message("All applications")
OTHER_PAGES: Mapping[str, Message] = {
    "sst_not_covered": Message("This page covers one application; the others have pages of their own."),
    "sst_not_covered_for": Message(
        "This page covers one application; for {refrigerant} see also the pages of the others."
    ),
}
PAGE_TOO_LARGE = Message(
    "the page for {application} would be larger than {most} MB, which a phone opens too slowly; split the catalogue into "
    "several, each with fewer families."
)
