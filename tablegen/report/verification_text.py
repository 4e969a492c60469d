"""Checks as text: a line for each quantity of each source, single checks, those that do not pass, and the count."""

from __future__ import annotations

import math
import re
import string
from collections.abc import Mapping, Sequence

import pandas as pd

from tablegen.report.formatter import NBSP
from tablegen.report.rounding import MINUS, decimals, round_half_even
from tablegen.verification.check import CheckKind, Provenance, Verdict
from tablegen.verification.table import counts
from tablegen.wording import terms
from tablegen.wording import verification as wording
from tablegen.wording.data_texts import translated_text, with_figures
from tablegen.wording.language import figure
from tablegen.wording.message import in_clauses

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
# Which columns of lines and of single checks contain figures.
LINE_NUMERIC = (3, 4, 6, 7)
CHECK_NUMERIC = (2, 3, 5, 6)
# A line names no more of its refrigerants if it can say which ones it leaves out.
_FEW = 2
# Characters of a list of refrigerants, above which they are counted.
_LONGEST = 40


def line_header() -> tuple[str, ...]:
    """The columns of `line_cells`."""
    return (
        wording.QUANTITY(),
        wording.CHECKS_OF(),
        wording.NEAREST(),
        wording.SOURCE_VALUE(),
        wording.OURS(),
        wording.UNIT(),
        wording.OFF_BY(),
        wording.ALLOWED(),
        wording.WHY(),
    )


def check_header() -> tuple[str, ...]:
    """The columns of `check_cells`."""
    return (
        wording.OF(),
        wording.CONDITION(),
        wording.SOURCE_VALUE(),
        wording.OURS(),
        wording.UNIT(),
        wording.OFF_BY(),
        wording.ALLOWED(),
        wording.VERDICT(),
    )


def kind_caption(kind: CheckKind, count: int) -> str:
    """A kind of checks with their number and what it means."""
    return wording.CHECKS[kind](count=count, meaning=terms.CHECKS_EXPLAINED[kind]())


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


def in_language(checks: pd.DataFrame, own_texts: Mapping[str, str]) -> pd.DataFrame:
    """The frame with its texts in the language of the publication; `own_texts` are the catalogue's in it.

    Figures of sources keep their point: they are numbers until they are printed.
    """

    def said(text: str) -> str:
        return with_figures(translated_text(text, wording.STATED))

    texts = {column: checks[column].map(said) for column in ("quantity", "condition", "why_allowed")}
    sources = checks["source"].map(lambda source: translated_text(source, wording.SOURCE_TEXTS))
    explanations = checks["explanation"].map(lambda why: _own_text(why, own_texts) or said(why))
    return checks.assign(**texts, source=sources, explanation=explanations)


def _own_text(why: str, own_texts: Mapping[str, str]) -> str:
    """The reason that a catalogue states for its uncertainty, of which a check leaves out the provenance at the end."""
    return next((text for english, text in own_texts.items() if why and english.startswith(why)), "")


def line_cells(
    rows: pd.DataFrame, sources: Sequence[str], reasons: Sequence[str], names: Sequence[str], is_short: bool = False
) -> list[str]:
    """One quantity of one source; a long list of its refrigerants is counted if it is to be short."""
    # A check that fails comes before any that passes; of bands, which allow nothing beyond, the one farthest outside.
    away = rows["deviation"].abs()
    worst = rows.assign(away=away).sort_values(["share", "away"], ascending=False, kind="stable").iloc[0]
    letters = sorted({reasons.index(why) for why in rows["why_allowed"]})
    return [
        f"{worst['quantity']}{NBSP}[{sources.index(worst['source']) + 1}{_mark(worst['provenance'])}]",
        _counted(rows, names, is_short),
        _where(worst, rows["refrigerant"].nunique() > 1),
        _published(worst),
        _ours(worst),
        _unit(worst["unit"]),
        _off(worst["deviation"]),
        _small(worst["allowed_deviation"]),
        ", ".join(reason_sign(i) for i in letters),
    ]


def _counted(rows: pd.DataFrame, names: Sequence[str], is_short: bool) -> str:
    """How many checks a line stands for, of which refrigerants, and how many of them do not pass."""
    count = len(rows)
    own = [name for name in names if name in set(rows["refrigerant"])]
    others = [name for name in names if name not in own]
    if own and len(others) <= _FEW < len(own):
        if others:
            counted = wording.COUNT_OF_ALL_BUT(count=count, names=", ".join(others))
        else:
            counted = wording.COUNT_OF_ALL(count=count)
    else:
        counted = wording.COUNT_OF(count=count, names=", ".join(own)) if own else str(count)
    if is_short and len(counted) > _LONGEST:
        counted = wording.COUNT_OF_SEVERAL(count=count, number=len(own))
    failing = [
        wording.FAILING(count=number, verdict=wording.VERDICTS[verdict]())
        for verdict in (Verdict.EXPLAINED, Verdict.FAILS)
        if (number := int((rows["verdict"] == verdict).sum()))
    ]
    return wording.COUNT_WITH(counted=counted, failing=", ".join(failing)) if failing else counted


def failure_text(row: pd.Series) -> str:
    """A check that does not pass in one sentence, with its reason where it is known."""
    if row["allowed_deviation"] == 0.0 and row["deviation"]:
        side = wording.ABOVE if row["deviation"] > 0.0 else wording.BELOW
        off = side(off=_small(abs(row["deviation"])))
    else:
        allowed = f"{_small(row['allowed_deviation'])}{NBSP}{_unit(row['deviation_unit'])}"
        off = wording.OFF(off=_off(row["deviation"]), allowed=allowed)
    check = wording.CHECK(
        subject=" ".join(filter(None, (row["refrigerant"], row["quantity"]))),
        condition=_where(row, False),
        kind=terms.CHECKS[row["kind"]](),
        published=f"{_published(row)}{NBSP}{_unit(row['unit'])}",
        ours=_ours(row),
    )
    source = spelled(row["source"])
    if row["verdict"] != Verdict.EXPLAINED:
        return wording.FAILS(check=check, off=off, source=source)
    why = spelled(row["explanation"]).replace(" %", NBSP + "%")
    return wording.OUTSIDE(check=check, off=off, source=source, why=why)


def check_cells(row: pd.Series) -> list[str]:
    """One check: what it is of, condition, published, ours, unit, deviation, what is allowed, verdict."""
    return [
        row["refrigerant"],
        _where(row, False),
        _published(row),
        _ours(row),
        _unit(row["unit"]),
        _off(row["deviation"]),
        _small(row["allowed_deviation"]),
        wording.VERDICTS[row["verdict"]](),
    ]


def headline(frame: pd.DataFrame) -> str:
    """How many published checks there are and how many pass; then the other kinds, which are not counted in."""
    by_kind = counts(frame)
    own = by_kind[CheckKind.PUBLISHED]
    text = wording.HEADLINE(outcome=_outcome(own), checked=own["checked_against_source"], count=own["checks"])
    others = [
        wording.OTHER_KIND(kind=terms.CHECKS[kind](), outcome=_outcome(tally))
        for kind, tally in by_kind.items()
        if kind != CheckKind.PUBLISHED and tally["checks"]
    ]
    return f"{text} {wording.NOT_COUNTED(others=in_clauses(others))}" if others else text


def _outcome(tally: Mapping[str, int]) -> str:
    """Of one kind: how many pass, lie outside for a known reason, fail."""
    if tally["passed"] == tally["checks"]:
        return wording.ALL_PASS(count=tally["checks"])
    parts = [wording.SOME_PASS(passed=tally["passed"], count=tally["checks"])]
    if tally["outside_explained"]:
        parts.append(wording.EXPLAINED_COUNT(count=tally["outside_explained"]))
    if tally["failed"]:
        parts.append(wording.FAILED_COUNT(tally["failed"]))
    return ", ".join(parts)


def reason_sign(index: int) -> str:
    """From a to z, then two letters."""
    more, last = divmod(index, len(string.ascii_lowercase))
    return (string.ascii_lowercase[more - 1] if more else "") + string.ascii_lowercase[last]


def _where(row: pd.Series, is_named: bool) -> str:
    """Condition of a check, with its refrigerant where the line has several."""
    text = spelled(_signed(row["condition"]))
    return wording.AT(refrigerant=row["refrigerant"], condition=text) if is_named else text


def _published(row: pd.Series) -> str:
    """The figure or band of the source, as it prints it but for the decimal sign."""
    return _signed(with_figures(translated_text(str(row["published_text"]), [wording.BAND])))


def _ours(row: pd.Series) -> str:
    """The computed value with a decimal more than the published one, so that their difference can be seen."""
    value = float(row["computed_value"])
    return (
        wording.NO_VALUE()
        if math.isnan(value)
        else decimals(value, len(str(row["published_text"]).partition(".")[2]) + 1)
    )


def _mark(provenance: str) -> str:
    return _MARKS.get(provenance, "")


def _unit(text: str) -> str:
    return _UNITS.get(text, text)


def spelled(text: str) -> str:
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
    """Two figures of a value that is not negative; one that rounding alone may cause is its power of ten."""
    if 0.0 < value < _TINY:
        digits, _, power = f"{value:.1e}".partition("e")
        return f"{figure(digits)}e{MINUS}{abs(int(power))}"
    return "–" if math.isnan(value) else round_half_even(value, 2)
