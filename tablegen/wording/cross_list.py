"""A cross list: what replaces the valves of another catalogue, and where it does not cover the same loads."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

HELP = Message("list the valve in stock that covers the same load windows as each valve of another catalogue")
DESCRIPTION = Message(
    "For every valve of another catalogue of your own, list the valve of this one that covers the same load windows, or "
    "most of them, and where it does not. Without --application all applications that both have are compared."
)
EPILOG = Message("Exit code 1: some valve has none that covers all of its load windows.")
OTHER_HELP = Message("the other catalogue, a file or its folder: each of its valves gets a row")
CSV_ROWS = Message("a row for each valve of the other catalogue, refrigerant group and application")
OUTPUT_HELP = Message(
    "also write the answer to FILE: .xlsx (a row for each valve, to sort and filter, in the units of the answer), .csv "
    "(as --csv), .pdf, .html, .txt or .json"
)
NO_COMMON_APPLICATION = Message("{other} has no application of this catalogue; it has {theirs}, this one {own}")

HEADING = Message("Cross list: valves of {catalogue} for those of {other}")
SUMMARY = Plural(
    "{covered} of {count} valve has a replacement that covers every load window.",
    "{covered} of {count} valves have a replacement that covers every load window.",
)
SUMMARY_IN_STOCK = Plural(
    "{covered} of {count} valve has a replacement in stock that covers every load window.",
    "{covered} of {count} valves have a replacement in stock that covers every load window.",
)
IN_PART = Plural(
    "For {count} valve the closest match covers only part of the load windows, down to {share} of one window.",
    "For {count} valves the closest match covers only part of the load windows, down to {share} of one window.",
)
SECTION = Message("{application}: {refrigerants}")
OTHER_VALVE = Message("Valve")
REPLACEMENT = Message("Closest match")
REPLACEMENT_IN_STOCK = Message("Closest match in stock")
COVERS = Message("Covers the whole load window at SST {unit}")
ELSEWHERE = Message("Worst case: loads covered, {unit}")
PART_NUMBER = Message("Part number")
NOT_IN_STOCK = Message("Better match, not in stock")
ALL_SSTS = Message("all")
RANGE = Message("{first} to {last}")
NO_SST = Message("no SST")
NEARLY_ALL = Message("nearly all")
NO_VALVE = Message("no valve")
NO_WINDOW = Message("has no load window")
LEAST = Message("only {low} to {high} ({share}); needs {minimum} to {maximum}, at SST {sst}")
NO_LOAD = Message("no load of {minimum} to {maximum}, at SST {sst}")

# The sheet of a workbook.
SHEET = Message("Cross list")
APPLICATION = Message("Application")
REFRIGERANTS = Message("Refrigerants")
CHARGE = Message("Charge")
WORST_SST = Message("Worst case: SST, {unit}")
NEEDS_MINIMUM = Message("Minimum load needed, {unit}")
NEEDS_MAXIMUM = Message("Maximum load needed, {unit}")
COVERS_MINIMUM = Message("Minimum load covered, {unit}")
COVERS_MAXIMUM = Message("Maximum load covered, {unit}")
SHARE = Message("Share covered, %")

HOW = Message(
    "Loads are at the rating point. Each valve is compared only with valves of the same kind, with the charge "
    "for the refrigerant group. If no valve covers every load window, the closest match is listed, provided it "
    "covers part of each window or all of one. Percents are on a log scale; nearly all is at least {nearly} of "
    "each window. Before substituting, check charge and MOP, equalizer, connections, working pressure, allowed "
    "differential and approval for the refrigerant; measure superheat after installation."
)
OTHER_CONDITIONS = Message(
    "{application}: the two catalogues use different operating conditions. Each load window is valid only for its own."
)
NO_GROUP = Message("{application}: this catalogue has no table with {refrigerants}.")
NO_APPLICATION = Message("{application} is not an application of this catalogue.")
