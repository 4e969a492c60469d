"""Pages of verification: computed values beside those of sources, and flow laws beside published correlations."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

HEADING = Message("Verification")
ABOUT = Message(
    "A line for each quantity and source: how many values, of which refrigerants; of these the one nearest to its limit, "
    "with the figure as its source prints it, ours, and the deviation (of a temperature in °C: in K; of a band: from its "
    "nearer end). A mid-point is the mean of bubble and dew temperature at one pressure. A † marks a figure that was not "
    "checked against the source."
)
ATTACHED = Message(
    "Every check is a row of verification.csv, which is attached to this file, with its kind, condition, both "
    "values, deviation and allowance."
)
ALLOWED_BECAUSE = Message("Reasons for the allowed deviations: {reasons}.")
REASON = Message("({letter})\N{NO-BREAK SPACE}{reason}")
CHECKS: Mapping[str, Message] = {
    "published": Message("Published ({count} checks): {meaning}"),
    "rule_of_thumb": Message("Rule of thumb ({count} checks): {meaning}"),
    "second_implementation": Message("Second implementation ({count} checks): {meaning}"),
    "self_check": Message("Self-check ({count} checks): {meaning}"),
}
SOURCE = Message("[{number}]\N{NO-BREAK SPACE}{source}")
# By how the figures came here.
SOURCES: Mapping[str, Message] = {
    "checked": Message("Checked against the source ({count} checks): {sources}."),
    "not_checked": Message("Not checked against the source\N{NO-BREAK SPACE}† ({count} checks): {sources}."),
    "no_source": Message("No outside source ({count} checks): {sources}."),
}

# Columns of lines and of single checks.
QUANTITY = Message("Quantity [source]")
CHECKS_OF = Message("Checks of")
NEAREST = Message("Nearest to its limit")
SOURCE_VALUE = Message("Source")
OURS = Message("Ours")
UNIT = Message("Unit")
OFF_BY = Message("Off by")
ALLOWED = Message("Allowed")
WHY = Message("Why")
OF = Message("Of")
CONDITION = Message("Condition")
VERDICT = Message("Verdict")
# What a check is called by its verdict; those that do not pass must be seen.
VERDICTS: Mapping[str, Message] = {
    "passes": Message("passes"),
    "outside_explained": Message("OUTSIDE"),
    "fails": Message("FAILS"),
}
NO_VALUE = Message("none")
COUNT_OF_ALL = Message("{count} of all")
COUNT_OF_ALL_BUT = Message("{count} of all but {names}")
COUNT_OF = Message("{count} of {names}")
COUNT_WITH = Message("{counted}: {failing}")
FAILING = Message("{count}\N{NO-BREAK SPACE}{verdict}")
AT = Message("{refrigerant}, {condition}")

# Checks that do not pass, in a sentence.
CHECK = Message("{subject}, {condition}: {kind} {published}, ours {ours}")
OFF = Message("off by {off} where {allowed} is allowed")
ABOVE = Message("{off} above the band")
BELOW = Message("{off} below the band")
FAILS = Message("FAILS: {check}, {off} ({source}).")
OUTSIDE = Message("OUTSIDE ITS BAND, EXPLAINED: {check}, {off} ({source}). Why: {why}.")

# What all checks amount to.
HEADLINE = Message("Published values: {outcome}; {checked} of the {count} were checked against the source.")
NOT_COUNTED = Message("Not counted: {others}.")
OTHER_KIND = Message("{kind} ({outcome})")
ALL_PASS = Message("all {count} pass")
SOME_PASS = Message("{passed} of {count} pass")
EXPLAINED_COUNT = Message("{count} outside the band, explained")
FAILED_COUNT = Plural("{count} FAILS", "{count} FAIL")

# Documents.
BOOK_SUBJECT = Message("Computed values beside those of sources")

# Flow laws beside published correlations.
FLOW_LAWS = Message("Flow laws compared with published correlations")
DEVICE = Message("Device")
POINTS = Message("Points")
LAW = Message("Law")
KV = Message("Kv, m³/h")
ROOT_MEAN_SQUARE = Message("Root mean square")
MAXIMUM = Message("Max")
DEVICES: Mapping[str, Message] = {
    "short tube": Message("short tube"),
    "electronic valve": Message("electronic valve"),
}
LAWS: Mapping[str, Message] = {"orifice": Message("orifice"), "choked": Message("choked")}
FLOW_SOURCES: Mapping[str, Message] = {
    "short tube": Message("Short tube: {source} ({provenance}), for {refrigerants}."),
    "electronic valve": Message("Electronic valve: {source} ({provenance}), for {refrigerants}."),
}
FLOW_MEANING = Message(
    "We found no table of measured flows that we may cite, so both laws are compared with published correlations, "
    "each law with the single Kv that best fits all points of a device. The remaining deviation shows how well a law "
    "follows head pressure and subcooling. Only the coefficients are taken from the papers named. The choked law has "
    "a recovery factor of {recovery}. Head pressures are those of summer; the correlations do not cover floating "
    "head pressure in winter. A family names its law with a reason, and there is no default: if nothing is known "
    "about a port, the law with the lower flow is the safer choice."
)
FLOW_GRAPH = Message("Correlated against computed flow of the {device}")
FLOW_CAPTION = Message(
    "{device}. Open circles: orifice law; filled squares: choked law. The line is parity; dotted, 10 % to either side."
)
FLOW_CAPTION_BOTH = Message(
    "Left: {left}. Right: {right}. Open circles: orifice law; filled squares: choked law. The line is parity; dotted, 10 % "
    "to either side."
)
LAW_AXIS = Message("by the law with one Kv, kg/h ({device})")
CORRELATION_AXIS = Message("by the correlation, kg/h")
