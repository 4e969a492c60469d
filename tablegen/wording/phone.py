"""The phone page: its labels, hints, answers and errors, which the page's own script fills in."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording import booklet_pages, orders
from tablegen.wording.message import AND, CLAUSES, OR, Message, Plural

# Handed to the page as a table; tests compare its keys and placeholders with those that page and script use.
TEXTS: Mapping[str, Message | Plural] = {
    # Headings, labels and buttons.
    "no_script": Message("This page needs JavaScript, which is blocked here. Use the printed tables instead."),
    "system": Message("Your system"),
    "application": Message("Application"),
    "refrigerant": Message("Refrigerant"),
    "sst": Message("Saturated suction temperature (SST, dew point)"),
    "sst_unit": Message("Unit of the suction temperature"),
    "load": Message("Load: gross capacity of the system at its rating point"),
    "load_unit": Message("Unit of the load"),
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
    "case": Message("{refrigerant}, {application}; SST {temperature} (dew point); load {load} at the rating point"),
    "for_case": Message("For {case}."),
    "and": AND,
    "clauses": CLAUSES,
    "or": OR,
    # Hints at the fields.
    "group_hint": Message("Valid for {refrigerants}: only loads inside the load windows of all of them."),
    "sst_hint": Message("This application covers {span}."),
    "kbtu_hint": Message("1 kBtu/h is 1000 Btu/h."),
    "rating_point": booklet_pages.RATING_POINT,
    "rating_hint": Message(
        "Rating point: {rating}. Convert a capacity that is stated at other temperatures to this point first."
    ),
    # What is wrong with a figure, and what is missing.
    "sst_error": Message("Suction temperature: {error}"),
    "load_error": Message("Load: {error}"),
    "sst_example": Message("24 or −10.5"),
    "load_example": Message("20 or 5.9"),
    "other_unit": Message("“{text}” is in the other unit; choose the unit next to the field."),
    "two_readings": Message("“{text}” can be read two ways; write {first} or {second}."),
    "commas": Message("“{text}” has commas; write {figure}."),
    "not_a_number": Message("“{text}” is not a number; write one such as {example}."),
    "above_zero": Message("enter a figure above zero."),
    "outside_sst": Message("this application covers {span}; do not extrapolate."),
    "sst_covered": Message("This temperature is covered by: {applications}."),
    "sst_covered_for": Message("For {refrigerant} this temperature is covered by: {applications}."),
    "sst_not_covered": Message("No application covers it."),
    "sst_not_covered_for": Message("No application with a valve for {refrigerant} covers it."),
    "still_needed": Message(
        "Still to enter: {fields}. The sizes that cover the load at low head, rating point and high head will be "
        "listed here."
    ),
    "needs_application": Message("application"),
    "needs_refrigerant": Message("refrigerant"),
    "needs_sst": Message("suction temperature"),
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
    "none_fits": Message("No size fits. {advice}"),
    "no_window_at_all": Message("No size has a load window here, for the reasons below. Ask the manufacturer."),
    "too_much": Message(
        "The largest load that any valve here covers is {limit} ({valve}). Split the load among several "
        "evaporators or valves and look up each one, or ask the manufacturer."
    ),
    "thousandfold": Message("Did you mean {unit}? Then enter {figure}."),
    "too_little": Message(
        "The smallest load that any valve here covers is {limit} ({valve}); below that, it hunts or floods "
        "back. Ask the manufacturer for a smaller valve."
    ),
    "between_sizes": Message(
        "The load is between the windows of neighboring sizes; try the other families, or ask the manufacturer."
    ),
    "between_sizes_of_all": Message("The load is between the windows of neighboring sizes; ask the manufacturer."),
    "fits": Plural("One size fits.", "{count} sizes fit."),
    "first_of_many": Message(
        "First choice: {valve}, which covers {minimum} to {maximum}; its margin of {margin} is the largest."
    ),
    "first_alone": Message("First choice: {valve}, which covers {minimum} to {maximum}; its margin is {margin}."),
    "first_at_limit": Message(
        "First choice: {valve}, which covers {minimum} to {maximum}; the load is at its limit, with almost no margin."
    ),
    "between_rows": Message(
        "The temperature is between the rows at {rows}; the stricter limit of the two rows is used, to be safe."
    ),
    "load_mark": Message("load {load}"),
    "fitting": Message("Sizes that fit, largest margin first"),
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
    "specify": Message("Specify"),
    "specify_valve": Message("Specify {valve}"),
    "neighbors": Message("Neighboring sizes that do not fit"),
    "too_small": Message("Too small: its maximum load is {limit}, because {why} (set by {refrigerant})."),
    "too_large": Message("Too large: its minimum load is {limit}, because {why} (set by {refrigerant})."),
    "no_window": Message(": no window: {why} (set by {refrigerant})."),
    "not_offered": Message(": not offered here. {why}"),
    "no_common_load": Message("no load is inside all of its load windows"),
    "conditions": Message("Conditions: {refrigerant}, {application}"),
    "cautions": Message("Cautions"),
    # The order.
    "specification": Message("Specification: {valve}"),
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
