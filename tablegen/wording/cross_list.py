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
NO_COMMON_APPLICATION = Message("{other} has no application of this catalogue; it has {theirs}, this one {own}")

HEADING = Message("Cross list: valves of {catalogue} for those of {other}")
SUMMARY = Plural(
    "{covered} of {count} valve has one that covers all of its load windows.",
    "{covered} of {count} valves have one that covers all of their load windows.",
)
SUMMARY_IN_STOCK = Plural(
    "{covered} of {count} valve has one in stock that covers all of its load windows.",
    "{covered} of {count} valves have one in stock that covers all of their load windows.",
)
SECTION = Message("{application}: {refrigerants}")
OTHER_VALVE = Message("Valve")
REPLACEMENT = Message("Replacement")
REPLACEMENT_IN_STOCK = Message("Replacement in stock")
COVERS = Message("Covers the same loads at SST {unit}")
ELSEWHERE = Message("Smallest part covered, {unit}")
PART_NUMBER = Message("Part number")
NOT_IN_STOCK = Message("Not in stock, covers more")
ALL_SSTS = Message("all")
RANGE = Message("{first} to {last}")
NO_SST = Message("none")
NEARLY_ALL = Message("nearly all")
NO_VALVE = Message("no valve")
NO_WINDOW = Message("has no load window")
LEAST = Message("{low} to {high} of {minimum} to {maximum} at {sst}, covers {share}")
NO_LOAD = Message("none of {minimum} to {maximum} at {sst}")

HOW = Message(
    "Loads are stated at the rating point. A valve is listed with the charge of its group, and only for one of the same "
    "kind. Where none covers every window, the one that covers most of them is listed, if it covers part of each or all of "
    "one. Percents are on a log scale; nearly all is at least {nearly} of each window. Check equalizer, connections, "
    "working pressure and what the family is approved for."
)
OTHER_CONDITIONS = Message(
    "Operating conditions of {application} differ between the two catalogues: each window is stated for its own."
)
NO_GROUP = Message("{application}: this catalogue has no table with {refrigerants}.")
NO_APPLICATION = Message("{application} is not an application of this catalogue.")
