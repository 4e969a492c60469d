"""What was checked against what: published values beside computed ones, a line for each quantity of each source."""

from __future__ import annotations

import math
import re
import string
from collections.abc import Sequence

import pandas as pd

from tablegen.publish.page import Heading, paragraph
from tablegen.publish.rounding import MINUS, decimals, round_half_even
from tablegen.publish.tables import data_table
from tablegen.publish.wording import NBSP

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable

_UNITS = {
    "degC": "°C", "degF": "°F", "delta_degF": "°F", "m3/h": "m³/h", "kg/m3": "kg/m³", "m3/kg": "m³/kg", "percent": "%",
    "psi/degF": "psi/°F", "1": "",
}  # fmt: skip
_FIGURE_AND_UNIT = re.compile(r"(?<=\d) (delta_degF|degC|degF|MPa|kPa|bar|psia|percent)\b")
# A symbol stays with its figure.
_SYMBOL = re.compile(r"\b((?:[A-Za-z]_)?[A-Za-z]) (?=\d)")
# Figures that nobody can look up where they are said to stand.
_MARKS = {"from memory": "†", "computed elsewhere, not published": "‡"}
_MINUS_SIGN = re.compile(r"(?<!\w)-(?=\d)")
_TINY = 1e-6
# Columns of `line_cells` and `check_cells`, and which of them hold figures.
LINE_HEADER = ("Quantity [source]", "Checks of", "Nearest to its limit", "Published", "Ours", "Unit", "Off by",
               "Allowed", "Why")  # fmt: skip
LINE_NUMERIC = (3, 4, 6, 7)
CHECK_HEADER = ("Of", "Condition", "Published", "Ours", "Unit", "Off by", "Allowed", "Verdict")
CHECK_NUMERIC = (2, 3, 5, 6)
# A line names no more of its refrigerants if it can say which ones it leaves out.
_FEW = 2


def verification(
    checks: pd.DataFrame, names: Sequence[str], width: float, is_attached: bool = True
) -> list[Flowable]:
    """The checks of a verification frame, grouped; one that fails is told first, and in its line.

    `names` are the refrigerants that they could be of; `is_attached` tells that the document carries the frame.
    """
    frame = with_share(checks)
    if frame.empty:
        return []
    order = {quantity: i for i, quantity in enumerate(dict.fromkeys(frame["quantity"]))}
    lines = [rows for _, rows in frame.groupby(["quantity", "source"], sort=False)]
    lines.sort(key=lambda rows: order[rows["quantity"].iloc[0]])
    provenances = dict.fromkeys(frame["provenance"])
    sources = [s for p in provenances for s in dict.fromkeys(frame.loc[frame["provenance"] == p, "source"])]
    reasons = list(dict.fromkeys(why for rows in lines for why in rows["why_allowed"]))
    body = [line_cells(rows, sources, reasons, names) for rows in lines]
    return [
        Heading("Verification"),
        paragraph(
            "What windows are computed from, held against published values. A line for each quantity and source: "
            "how many values, of which refrigerants; of these the one that comes nearest to what is allowed, with the "
            "figure as its source prints it, ours, and the deviation (of a temperature in °C: in K; of a band: from "
            "its middle). A mid-point is the mean of bubble and dew temperature at one pressure; for † and ‡ see the "
            "sources."
        ),
        *_told(frame),
        data_table(LINE_HEADER, body, width, numeric=LINE_NUMERIC, size=8.0),
        *(_sources(frame, sources, str(provenance)) for provenance in provenances),
        paragraph(
            "Why so much is allowed: "
            + "; ".join(f"({reason_sign(i)}){NBSP}{spelt(w)}" for i, w in enumerate(reasons)).replace(" %", NBSP + "%")
            + ".",
            "small",
        ),
        paragraph(_summary(frame, is_attached)),
    ]


def with_share(checks: pd.DataFrame) -> pd.DataFrame:
    """The frame with each deviation as a share of what is allowed, infinite where there is no value of ours."""
    if checks.empty:
        return checks
    share = (checks["deviation"].abs() / checks["allowed_deviation"]).fillna(math.inf)
    return checks.assign(share=share)


def line_cells(rows: pd.DataFrame, sources: Sequence[str], reasons: Sequence[str], names: Sequence[str]) -> list[str]:
    """One quantity of one source."""
    # A check that fails comes before any that passes.
    worst = rows.sort_values("share", ascending=False, kind="stable").iloc[0]
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
    """How many checks a line stands for, of which refrigerants, and how many of them fail."""
    failed = int((rows["verdict"] != "passes").sum())
    text = str(len(rows))
    own = [name for name in names if name in set(rows["refrigerant"])]
    others = [name for name in names if name not in own]
    if own and len(others) <= _FEW < len(own):
        text += " of all" + (f" but {', '.join(others)}" if others else "")
    elif own:
        text += f" of {', '.join(own)}"
    return f"{text}: {failed}{NBSP}FAIL{'S' if failed == 1 else ''}" if failed else text


def _told(frame: pd.DataFrame) -> list[Flowable]:
    """A sentence for each check that fails."""
    return [
        paragraph(
            f"FAILS: {' '.join(filter(None, (row['refrigerant'], row['quantity'])))}, {_where(row, False)}: published "
            f"{_signed(row['published_text'])}{NBSP}{_unit(row['unit'])}, ours {_ours(row)}, off by "
            f"{_off(row['deviation'])} where {_small(row['allowed_deviation'])}{NBSP}"
            f"{_unit(row['deviation_unit'])} is allowed ({row['source']})."
        )
        for _, row in frame[frame["verdict"] != "passes"].iterrows()
    ]


def _sources(frame: pd.DataFrame, sources: Sequence[str], provenance: str) -> Flowable:
    """The sources whose figures came here in one way, by their numbers."""
    own = frame.loc[frame["provenance"] == provenance]
    listed = [f"[{i}]{NBSP}{spelt(s)}" for i, s in enumerate(sources, start=1) if s in set(own["source"])]
    title = f"{provenance[0].upper()}{provenance[1:]}{NBSP}{_mark(provenance)}".rstrip()
    return paragraph(f"{title} ({len(own)} checks): {'; '.join(listed)}.", "small")


def check_cells(row: pd.Series) -> list[str]:
    """One check: what it is of, condition, published, ours, unit, deviation, what is allowed, verdict."""
    return [
        row["refrigerant"], _where(row, False), _signed(str(row["published_text"])), _ours(row), _unit(row["unit"]),
        _off(row["deviation"]), _small(row["allowed_deviation"]),
        "passes" if row["verdict"] == "passes" else "FAILS",
    ]  # fmt: skip


def verdict(frame: pd.DataFrame) -> str:
    """How many checks pass."""
    passed = int((frame["verdict"] == "passes").sum())
    return f"All {passed} checks pass" if passed == len(frame) else f"{passed} of {len(frame)} checks pass"


def _summary(frame: pd.DataFrame, is_attached: bool) -> str:
    if not is_attached:
        return f"{verdict(frame)}."
    return (
        f"{verdict(frame)}. Every check is a row of verification.csv, which this file carries as an attachment, with "
        "its condition, both values, deviation and allowance."
    )


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
