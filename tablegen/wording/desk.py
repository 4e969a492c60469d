"""The desk in a browser: what its pages say beside the answers, what its fields are called, and its options."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message
from tablegen.wording.valve_kinds import VALVE_KIND

HELP = Message("open the desk: answer one case after another in a browser as you type")
DESCRIPTION = Message(
    "Start a server on this computer and open its page: pick a valve, check an existing one, convert a "
    "capacity, look up a pressure, see a calculation step by step. The answers are those of the commands. "
    "Press Ctrl-C to stop."
)
EPILOG = Message(
    "Exit codes: 0 stopped, 2 bad input.  Other computers can connect only with --host; use the printed "
    "address with its token. Traffic is not encrypted.  Example: tablegen desk --demo"
)
HOST_HELP = Message("network address to listen on (default: {default}, this computer only)")
PORT_HELP = Message("port to listen on (default: {default}, or the next one that is free)")
NO_BROWSER_HELP = Message("print the address and open no browser")
READY = Message("{url}: ready; press Ctrl-C to stop")
ENDED = Message("stopped")
PORT_RULE = Message("{--port}: {port} is not allowed; it must be at least 1 and at most 65535")
PORT_TAKEN = Message("{--port}: nothing can listen on {host}, port {port}: {reason}")
NO_PORT = Message("{--port}: none of the ports {first} to {last} is free at {host}; name another one")
HOST_RULE = Message("{--host}: {host} is not allowed; {reason}")

# The pages.
TITLE = Message("{page} \N{EN DASH} {company}")
PICK = Message("Pick a valve")
RETROFIT = Message("Existing valve")
CONVERT = Message("Convert a capacity")
STATES = Message("Pressure\N{EN DASH}temperature")
TRACE = Message("Step by step")
JOBS = Message("List of jobs")
QUESTIONS = Message("Pages")
THE_ANSWER = Message("Answer")
SKIP = Message("Go to the answer")
MORE = Message("More")
NO_SCRIPT = Message("This page needs JavaScript to answer as you type.")
STILL_TO_ENTER = Message("Still needed: {fields}.")
COPY = Message("Copy order line")
COPIED = Message("Copied")
NOT_COPIED = Message("Not copied: select the line and copy it")
PRINT = Message("Print the answer")
NOT_REACHED = Message("The desk does not answer: is it still running?")
CHOOSE = Message("Choose")
UNIT_OF = Message("Unit: {field}")

# Fields by the names of parameters; what is wrong with a value is said of the field by its label.
LABELS: Mapping[str, Message] = {
    "refrigerant": Message("Refrigerant"),
    "load": Message("Load at the rating point"),
    "sst": Message("SST (dew)"),
    "box": Message("Box temperature"),
    "coil_difference": Message("Coil TD"),
    "application": Message("Application"),
    "family": Message("Family"),
    "valve_kind": VALVE_KIND,
    "size": Message("Size"),
    "all_sizes": Message("Recommend valves that are not in stock too"),
    "quantity": Message("Quantity"),
    "job": Message("Job"),
    "connections": Message("Connections"),
    "capillary": Message("Capillary length"),
    "split": Message("Load of each evaporator"),
    "overrides": Message("Changes to the application"),
    "low_head": Message("Low head pressure"),
    "low_condensing": Message("Low head, condensing temperature (bubble)"),
    "was_low_head": Message("Old low head pressure"),
    "was_low_condensing": Message("Old low head, condensing temperature (bubble)"),
    "units": Message("Units"),
    "was": Message("Old refrigerant"),
    "was_load": Message("Old load"),
    "was_application": Message("Old application"),
    "was_overrides": Message("Changes to the old application"),
    "charge": Message("Charge in the valve"),
    "static_superheat": Message("Static superheat as set now"),
    "turns": Message("Stem turns from factory setting (clockwise +)"),
    "capacity": Message("Capacity"),
    "condensing": Message("Condensing temperature"),
    "basis": Message("Condensing temperature (bubble, dew or mid)"),
    "subcooling": Message("Subcooling"),
    "liquid": Message("Liquid temperature (instead of subcooling)"),
    "stated_sst": Message("SST of the stated capacity"),
    "back": Message("Convert back from the rating point"),
    "coldest": Message("From"),
    "warmest": Message("To"),
    "step": Message("Step"),
    "columns": Message("Columns"),
    "pressure": Message("Unit of pressure"),
    "limit": Message("Limit"),
}
HINTS: Mapping[str, Message] = {
    "refrigerant": Message("One refrigerant, or a group of the catalogue"),
    "refrigerants": Message("One, or several with commas between"),
    "split": Message("30 percent, 70 percent"),
    "overrides": Message("One per line: losses.lift=20 ft"),
    "columns": Message("pressure, absolute, glide, density, latent_heat, enthalpy, entropy"),
    "pressure": Message("psig, kPa_absolute, bar_gauge"),
}
ANY_APPLICATION = Message("The one that covers the SST")
ALL_FAMILIES = Message("All families")
ALL_KINDS = Message("All kinds")
BOTH_LIMITS = Message("Both")
USUAL_UNITS = Message("The catalogue's")
SAME = Message("The same")
BASES: Mapping[str, Message] = {
    "bubble": Message("bubble point"),
    "dew": Message("dew point"),
    "mid": Message("midway between bubble and dew point"),
}
SIDES: Mapping[str, Message] = {"minimum": Message("minimum load"), "maximum": Message("maximum load")}

JOBS_FILE = Message("A list with one job on each row: CSV or XLSX")
JOBS_HINT = Message(
    "Required columns: refrigerant, sst or box, load. Optional: TD, application, family, valve kind, quantity, job. Put "
    "units in the heading, such as 'load [kBtu/h]', or in each cell. The file is not stored."
)
JOBS_WORKBOOK = Message("Save the answers as a workbook")
JOBS_ANSWERED_NAME = Message("{name}-answered.xlsx")
JOBS_KIND = Message("{name} is not allowed; a list of jobs is a file that ends in .csv or .xlsx")
JOBS_TOO_LARGE = Message("{name} is not allowed; a list of jobs has at most {maximum} MB")

# What is wrong with a request.
NO_FIELD = Message("{name} is not a field of this page")
TOO_LONG = Message("{field}: {value} is not allowed; it must be at most {maximum} characters")
WHOLE_NUMBER = Message("{field}: {value} is not allowed; it must be a whole number")
A_NUMBER = Message("{field}: {value} is not allowed; it must be a number, such as -1.5")
NO_PAGE = Message("there is no such page here")
WRONG_HOST = Message("this address is not the desk's; use the one that was printed when it was started")
NO_TOKEN = Message("the desk asks for the address with its token, which was printed when it was started")
WRONG_ORIGIN = Message("this request came from another web page; open the printed address")
UNEXPECTED = Message("unexpected error: {error}; details are in the window where the program was started")
