"""What was checked against what: values of sources beside computed ones, a line for each quantity of each source.

Published values come first and alone are counted as verification; rules of thumb, second implementations and
self-checks stand in tables of their own, and checks that do not pass stand in words above all of them.
"""

from __future__ import annotations

import math
import re
import string
from collections.abc import Mapping, Sequence

import pandas as pd

from tablegen.report.formatter import NBSP
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.rounding import MINUS, decimals, round_half_even
from tablegen.verification.check import CheckKind, Provenance, Verdict
from tablegen.verification.table import counts
from tablegen.wording import terms

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import CondPageBreak, Flowable

_UNITS = {
    "degC": "°C",
    "degF": "°F",
    "delta_degF": "°F",
    "m3/h": "m³/h",
    "kg/m3": "kg/m³",
    "m3/kg": "m³/kg",
    "percent": "%",
    "1": "",
}
_FIGURE_AND_UNIT = re.compile(r"(?<=\d) (delta_degF|degC|degF|MPa|kPa|bar|psia|percent)\b")
# A symbol stays with its figure.
_SYMBOL = re.compile(r"\b((?:[A-Za-z]_)?[A-Za-z]) (?=\d)")
# Figures that we did not see in their source.
_MARKS: Mapping[str, str] = {Provenance.NOT_CHECKED: "†"}
_MINUS_SIGN = re.compile(r"(?<!\w)-(?=\d)")
_TINY = 1e-6
# Columns of `line_cells` and `check_cells`, and which of them hold figures.
LINE_HEADER = (
    "Quantity [source]",
    "Checks of",
    "Nearest to its limit",
    "Source",
    "Ours",
    "Unit",
    "Off by",
    "Allowed",
    "Why",
)
LINE_NUMERIC = (3, 4, 6, 7)
CHECK_HEADER = ("Of", "Condition", "Source", "Ours", "Unit", "Off by", "Allowed", "Verdict")
CHECK_NUMERIC = (2, 3, 5, 6)
# A line names no more of its refrigerants if it can say which ones it leaves out.
_FEW = 2
# Room for a caption and the first rows of its table [pt].
_OPENING = 110.0
# What a check that does not pass is called where it stands.
_LOUD = {Verdict.EXPLAINED: "OUTSIDE", Verdict.FAILS: "FAILS"}


def verification(checks: pd.DataFrame, names: Sequence[str], width: float, is_attached: bool = True) -> list[Flowable]:
    """The checks of a verification frame by kind; those that do not pass are stated first, and in their lines.

    `names` are the refrigerants that they could be of; `is_attached` says that the document carries the frame.
    """
    frame = with_share(checks)
    if frame.empty:
        return []
    provenances = dict.fromkeys(frame["provenance"])
    sources = [s for p in provenances for s in dict.fromkeys(frame.loc[frame["provenance"] == p, "source"])]
    reasons = list(dict.fromkeys(frame["why_allowed"]))
    tables = [
        part
        for kind in CheckKind
        for part in _of_kind(frame[frame["kind"] == kind], kind, sources, reasons, names, width)
    ]
    attached = paragraph(
        "Every check is a row of verification.csv, which this file carries as an attachment, with its kind, condition, "
        "both values, deviation and allowance."
    )
    return [
        Heading("Verification"),
        paragraph(headline(frame), "caption"),
        paragraph(
            "A line for each quantity and source: how many values, of which refrigerants; of these the one nearest to "
            "its limit, with the figure as its source prints it, ours, and the deviation (of a temperature in °C: "
            "in K; of a band: from its nearer end). A mid-point is the mean of bubble and dew temperature at one "
            "pressure. A † marks a figure that was not checked against the source."
        ),
        *_not_passing(frame),
        *tables,
        *(_sources(frame, sources, str(provenance)) for provenance in provenances),
        paragraph(
            "Why so much is allowed: "
            + "; ".join(f"({reason_sign(i)}){NBSP}{spelt(w)}" for i, w in enumerate(reasons)).replace(" %", NBSP + "%")
            + ".",
            "small",
        ),
        *([attached] if is_attached else []),
    ]


def _of_kind(
    rows: pd.DataFrame,
    kind: CheckKind,
    sources: Sequence[str],
    reasons: Sequence[str],
    names: Sequence[str],
    width: float,
) -> list[Flowable]:
    """The table of one kind under its name; nothing where there is no such check."""
    if rows.empty:
        return []
    body = [line_cells(own, sources, reasons, names) for own in lines(rows)]
    caption = paragraph(f"{kind_title(kind)} ({len(rows)} checks): {terms.CHECKS_EXPLAINED[kind]()}", "caption")
    # Kept with the table as a whole it would leave half a page empty.
    caption.keepWithNext = False
    return [
        CondPageBreak(_OPENING),
        caption,
        data_table(LINE_HEADER, body, width, numeric=LINE_NUMERIC, size=8.0),
    ]


def kind_title(kind: CheckKind) -> str:
    """A kind as a heading."""
    title = terms.CHECKS[kind]()
    return f"{title[0].upper()}{title[1:]}"


def lines(rows: pd.DataFrame) -> list[pd.DataFrame]:
    """The rows by quantity and source, those of one quantity side by side."""
    order = {quantity: i for i, quantity in enumerate(dict.fromkeys(rows["quantity"]))}
    found = [own for _, own in rows.groupby(["quantity", "source"], sort=False)]
    return sorted(found, key=lambda own: order[own["quantity"].iloc[0]])


def with_share(checks: pd.DataFrame) -> pd.DataFrame:
    """The frame with each deviation as a share of what is allowed, infinite where there is no value of ours."""
    if checks.empty:
        return checks
    away = checks["deviation"].abs()
    # Of a band nothing is allowed beyond its ends.
    share = (away / checks["allowed_deviation"]).mask(away == 0.0, 0.0).fillna(math.inf)
    return checks.assign(share=share)


def line_cells(rows: pd.DataFrame, sources: Sequence[str], reasons: Sequence[str], names: Sequence[str]) -> list[str]:
    """One quantity of one source."""
    # A check that fails comes before any that passes; of bands, which allow nothing beyond, the one farthest outside.
    away = rows["deviation"].abs()
    worst = rows.assign(away=away).sort_values(["share", "away"], ascending=False, kind="stable").iloc[0]
    letters = sorted({reasons.index(why) for why in rows["why_allowed"]})
    return [
        f"{worst['quantity']}{NBSP}[{sources.index(worst['source']) + 1}{_mark(worst['provenance'])}]",
        _counted(rows, names),
        _where(worst, rows["refrigerant"].nunique() > 1),
        _signed(str(worst["published_text"])),
        _ours(worst),
        _unit(worst["unit"]),
        _off(worst["deviation"]),
        _small(worst["allowed_deviation"]),
        ", ".join(reason_sign(i) for i in letters),
    ]


def _counted(rows: pd.DataFrame, names: Sequence[str]) -> str:
    """How many checks a line stands for, of which refrigerants, and how many of them do not pass."""
    text = str(len(rows))
    own = [name for name in names if name in set(rows["refrigerant"])]
    others = [name for name in names if name not in own]
    if own and len(others) <= _FEW < len(own):
        text += " of all" + (f" but {', '.join(others)}" if others else "")
    elif own:
        text += f" of {', '.join(own)}"
    loud = [f"{n}{NBSP}{word}" for verdict, word in _LOUD.items() if (n := int((rows["verdict"] == verdict).sum()))]
    return f"{text}: {', '.join(loud)}" if loud else text


def _not_passing(frame: pd.DataFrame) -> list[Flowable]:
    """A sentence for each check that does not pass, unexplained failures first."""
    rows = frame[frame["verdict"] != Verdict.PASSES].sort_values(
        "verdict", key=lambda verdicts: verdicts != Verdict.FAILS, kind="stable"
    )
    return [paragraph(failure_words(row)) for _, row in rows.iterrows()]


def failure_words(row: pd.Series) -> str:
    """A check that does not pass in one sentence, with its reason where it is known."""
    is_known = row["verdict"] == Verdict.EXPLAINED
    why = f" Why: {spelt(row['explanation'])}.".replace(" %", NBSP + "%") if is_known else ""
    subject = " ".join(filter(None, (row["refrigerant"], row["quantity"])))
    if row["allowed_deviation"] == 0.0 and row["deviation"]:
        side = "above" if row["deviation"] > 0.0 else "below"
        off = f"{_small(abs(row['deviation']))} {side} the band"
    else:
        allowed = f"{_small(row['allowed_deviation'])}{NBSP}{_unit(row['deviation_unit'])}"
        off = f"off by {_off(row['deviation'])} where {allowed} is allowed"
    return (
        f"{'OUTSIDE ITS BAND, EXPLAINED' if is_known else 'FAILS'}: {subject}, {_where(row, False)}: {terms.CHECKS[row['kind']]()} "
        f"{_signed(row['published_text'])}{NBSP}{_unit(row['unit'])}, ours {_ours(row)}, {off} "
        f"({spelt(row['source'])}).{why}"
    )


def _sources(frame: pd.DataFrame, sources: Sequence[str], provenance: str) -> Flowable:
    """The sources whose figures came here in one way, by their numbers."""
    own = frame.loc[frame["provenance"] == provenance]
    listed = [f"[{i}]{NBSP}{spelt(s)}" for i, s in enumerate(sources, start=1) if s in set(own["source"])]
    stated = terms.PROVENANCES[provenance]()
    title = f"{stated[0].upper()}{stated[1:]}{NBSP}{_mark(provenance)}".rstrip()
    return paragraph(f"{title} ({len(own)} checks): {'; '.join(listed)}.", "small")


def check_cells(row: pd.Series) -> list[str]:
    """One check: what it is of, condition, published, ours, unit, deviation, what is allowed, verdict."""
    return [
        row["refrigerant"],
        _where(row, False),
        _signed(str(row["published_text"])),
        _ours(row),
        _unit(row["unit"]),
        _off(row["deviation"]),
        _small(row["allowed_deviation"]),
        _LOUD.get(row["verdict"], "passes"),
    ]


def headline(frame: pd.DataFrame) -> str:
    """How many published checks there are and what came of them; then the other kinds, which are not counted in."""
    by_kind = counts(frame)
    own = by_kind[CheckKind.PUBLISHED]
    text = (
        f"Published values: {_outcome(own)}; {own['checked_against_source']} of the {own['checks']} were checked "
        "against the source."
    )
    others = [
        f"{terms.CHECKS[kind]()} ({_outcome(tally)})"
        for kind, tally in by_kind.items()
        if kind != CheckKind.PUBLISHED and tally["checks"]
    ]
    return f"{text} Not counted: {'; '.join(others)}." if others else text


def _outcome(tally: Mapping[str, int]) -> str:
    """Of one kind: how many pass, lie outside for a known reason, fail."""
    if tally["passed"] == tally["checks"]:
        return f"all {tally['checks']} pass"
    formatter = [f"{tally['passed']} of {tally['checks']} pass"]
    if tally["outside_explained"]:
        formatter.append(f"{tally['outside_explained']} outside the band, explained")
    if tally["failed"]:
        formatter.append(f"{tally['failed']} FAIL")
    return ", ".join(formatter)


def reason_sign(index: int) -> str:
    """From a to z, then two letters."""
    more, last = divmod(index, len(string.ascii_lowercase))
    return (string.ascii_lowercase[more - 1] if more else "") + string.ascii_lowercase[last]


def _where(row: pd.Series, is_named: bool) -> str:
    """Condition of a check, with its refrigerant where the line has several."""
    text = spelt(_signed(row["condition"]))
    return f"{row['refrigerant']}, {text}" if is_named else text


def _ours(row: pd.Series) -> str:
    """The computed value with a decimal more than the published one, so that their difference can be seen."""
    value = float(row["computed_value"])
    return "none" if math.isnan(value) else decimals(value, len(str(row["published_text"]).partition(".")[2]) + 1)


def _mark(provenance: str) -> str:
    return _MARKS.get(provenance, "")


def _unit(text: str) -> str:
    return _UNITS.get(text, text)


def spelt(text: str) -> str:
    """Units after figures as they are printed."""
    return _SYMBOL.sub(rf"\1{NBSP}", _FIGURE_AND_UNIT.sub(lambda found: NBSP + _unit(found[1]), text))


def _signed(text: str) -> str:
    """Text with a true minus before figures."""
    return _MINUS_SIGN.sub(MINUS, text)


def _off(deviation: float) -> str:
    """A deviation with its sign, two figures."""
    if math.isnan(deviation):
        return "–"
    if deviation == 0.0:
        return "0"
    return ("+" if deviation > 0.0 else MINUS) + _small(abs(deviation))


def _small(value: float) -> str:
    """Two figures of a value that is not negative; what rounding alone may do is told by its power of ten."""
    if 0.0 < value < _TINY:
        figure, _, power = f"{value:.1e}".partition("e")
        return f"{figure}e{MINUS}{abs(int(power))}"
    return "–" if math.isnan(value) else round_half_even(value, 2)
