"""A fit of bench data in words and figures, from its record as plain values."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from tablegen.report.formatter import DASH, NBSP, Formatter, percent
from tablegen.report.rounding import MINUS, decimals, with_bound
from tablegen.units import print_unit

PLUS_MINUS = "\N{PLUS-MINUS SIGN}"
NONE = DASH
# Where choking begins if F_L is 1, as messages and as pages write it.
_PLAIN_LIMIT, PRINTED_LIMIT = "p1 - F_F pv", "p₁ − F_F p_v"
Record = Mapping[str, Any]


def factor_and_unit(kind: str, formatter: Formatter) -> tuple[float, str]:
    """What turns SI into the printed figure of a kind of estimate, and the unit beside it."""
    if kind == "share":
        return 100.0, "%"
    unit = print_unit(kind, formatter.system)
    return unit.of(1.0), unit.label


def estimate_header(confidence: float) -> list[str]:
    """Header of the table of estimates."""
    return [
        "Parameter",
        "Value",
        f"{PLUS_MINUS} at {percent(confidence, _places(confidence))}",
        "Unit",
        "Rows",
        "Catalogue value",
    ]


def _places(confidence: float) -> int:
    return 0 if abs(100.0 * confidence - round(100.0 * confidence)) < 1e-9 else 1


def estimate_cells(record: Record, formatter: Formatter) -> list[list[str]]:
    """A row for each estimate, with what the family's file states now."""
    rows = []
    for estimate in record["findings"]["estimates"]:
        factor, unit = factor_and_unit(estimate["kind"], formatter)
        value, bound = with_bound(factor * estimate["value"], factor * estimate["half_width"])
        stated = estimate["stated"]
        # To the place of the value, or its own where that is finer.
        places = len(value.partition(".")[2])
        shown = NONE if stated is None else decimals(factor * stated, places)
        rows.append([_titled(estimate["words"]), value, bound, unit, str(estimate["rows"]), shown])
    return rows


def _titled(text: str) -> str:
    bare = text.removeprefix("the ").replace(" percent", f"{NBSP}%")
    return bare[0].upper() + bare[1:]


def not_told_cells(record: Record) -> list[list[str]]:
    """A row for each parameter that is not told: what, why, and the missing test."""
    return [[_titled(n["words"]), signed(n["why"]), signed(n["test"])] for n in record["findings"]["not_determined"]]


def law_text(flow: Mapping[str, Any]) -> str:
    """What the rows say of the flow law, and by how much."""
    verdict = flow["verdict"]
    about = (
        f"total misfit of mass flow {share(verdict['orifice_scatter'])} about the law orifice and "
        f"{share(verdict['choked_scatter'])} about choked"
    )
    if verdict["law"] is None:
        return f"not told by these rows: {about}"
    return signed(f"{verdict['law']}: {verdict['why']}; {about} ({odds(verdict['evidence'])})")


def odds(evidence: float) -> str:
    """Odds of the better law against the other, in a round power of ten."""
    tens = math.floor(abs(evidence) / math.log(10.0))
    return "odds beyond a million to one" if tens >= 6 else f"odds of {10**tens} to one or more"


def share(value: float) -> str:
    """A small share in two figures."""
    if not math.isfinite(value):
        return NONE
    places = max(0, 1 - math.floor(math.log10(max(abs(100.0 * value), 1e-4))))
    return percent(value, min(places, 3))


def scatter_lines(record: Record, formatter: Formatter) -> list[tuple[str, str]]:
    """What each instrument accounts for of the rows' misfit, and how far bulb temperatures scatter."""
    lines = []
    if (flow := record["flow"]) is not None:
        text = f"of the misfit the flow meter accounts for {share(flow['flow_scatter'])} of the reading"
        if flow["opening_scatter"]:
            text += f", the opening for {share(flow['opening_scatter'])} of rated stroke"
        if flow["drop_scatter_pa"]:
            text += f", the pressure drop for {formatter.drop(flow['drop_scatter_pa'], 1)}"
        if flow["over_stated"] is not None:
            text += f"; that is {flow['over_stated']:.2f} times the stated uncertainties of the instruments"
        lines.append(("Mass flow", f"{text} ({flow['rows']} rows)"))
    if (balance := record["balance"]) is not None:
        text = f"scatters by {formatter.step(balance['scatter_k'], 2)} ({balance['rows']} rows)"
        lines.append(("Bulb temperature", text))
    return lines


def lack_of_fit_lines(record: Record, formatter: Formatter) -> list[str]:
    """A line for each condition under which rows lie off the law: which rows, how far, what to suspect."""
    return [_lack_line(lack, formatter) for lack in record["findings"]["lack_of_fit"]]


def _lack_line(lack: Mapping[str, Any], formatter: Formatter) -> str:
    middle, farthest = lack["residual"], lack["farthest"]
    above, below = ("warmer than", "colder than") if lack["part"] == "balance" else ("above", "below")
    law = {"flow": "the law", "balance": "the balance of forces", "charge": "the charge curve"}[lack["part"]]
    kept = ""
    if lines := lack["lines"]:
        kept = f"; far off, yet not set aside: line{'s' if len(lines) > 1 else ''} {listed(lines)}"
    side = above if farthest > 0 else below
    also = f" (the rows do not tell it from {', '.join(lack['also'])})" if lack["also"] else ""
    average, most = (_residual(lack["part"], amount, formatter) for amount in (middle, farthest))
    if middle * farthest < 0.0:
        average = f"{MINUS}{average}"
    return signed(
        f"{lack['rows']} rows {_under(lack, formatter)} lie {side} {law}, {average} on average and up to {most}{also}{kept}"
        f"; suspect {lack['suspect']}"
    )


def _residual(part: str, amount: float, formatter: Formatter) -> str:
    return formatter.step(abs(amount), 2) if part == "balance" else share(abs(amount))


def _under(lack: Mapping[str, Any], formatter: Formatter) -> str:
    """The condition of some rows, as 'with low inlet subcooling, 1.2 to 4.5 K'."""
    if not lack["kind"]:
        return f"of {lack['formatter']} {lack['group']}"
    low, high = lack["low"], lack["high"]
    if lack["kind"] == "count":
        ends = f"{low:.0f}", f"{high:.0f}"
    elif lack["kind"] == "share":
        ends = f"{100.0 * low:.0f}", f"{100.0 * high:.0f} percent"
    else:
        unit = print_unit(lack["kind"], formatter.system)
        places = 0 if lack["kind"] == "pressure difference" else 1
        ends = decimals(unit.of(low), places), f"{decimals(unit.of(high), places)}{NBSP}{unit.label}"
    level = {"lowest": "low", "middle": "medium", "highest": "high"}[lack["group"]]
    if lack["condition"] == "line":
        return f"at lines {ends[0]} to {ends[1]}"
    return f"with {level} {lack['formatter']} ({ends[0]} to {ends[1]})"


def lack_of_fit_note(record: Record) -> list[str]:
    """How to read a lack of fit; nothing where there is none."""
    if not record["findings"]["lack_of_fit"]:
        return []
    rate = percent(record["findings"]["lack_of_fit"][0]["error_rate"], 0)
    return [
        "Lack of fit: rows lie on one side under one condition, so the law or the family's data are wrong there, not "
        "the rows. They stay in the fit, and each bound covers what the rows give without any third of that condition "
        f"as well. If the rows do follow the law, a false report comes in at most {rate} of tests, for each of flow "
        "and balance."
    ]


def outlier_lines(record: Record, formatter: Formatter) -> list[str]:
    """A line for each outlier, by its line in the file."""
    found = []
    for outlier in record["findings"]["outliers"]:
        amount = outlier["residual"]
        side = "above" if amount > 0 else "below"
        what = {
            "flow": f"mass flow {share(abs(amount))} {side} the fit",
            "balance": f"bulb {formatter.step(abs(amount), 2)} {'warmer' if amount > 0 else 'colder'} than the balance",
            "charge": f"bulb pressure {share(abs(amount))} {side} the curve",
        }[outlier["part"]]
        found.append(f"line {outlier['line']}: {what} ({abs(outlier['deviations']):.0f} standard deviations)")
    return found


def left_out_lines(record: Record) -> list[str]:
    """Rows left out, those with one reason together."""
    together: dict[tuple[str, str], list[int]] = {}
    for row in record["findings"]["left_out"]:
        together.setdefault((row["part"], row["why"]), []).append(row["line"])
    return [
        f"line{'s' if len(lines) > 1 else ''} {listed(lines)} ({part}): {why}"
        for (part, why), lines in together.items()
    ]


def listed(lines: Sequence[int], most: int = 12) -> str:
    """Line numbers; a long list is cut."""
    more = len(lines) - most
    shown = ", ".join(map(str, lines[:most]))
    return f"{shown} and {more} more" if more > 0 else shown


def notes(record: Record) -> list[str]:
    """What was noticed, what the bounds do not cover, what invented readings were made from."""
    truth = record["truth"]
    confidence = percent(record["confidence"], _places(record["confidence"]))
    return [
        *(_sentence(note) for note in record["findings"]["notes"]),
        *lack_of_fit_note(record),
        f"Bounds are two-sided, at {confidence}, from the scatter of rows that are taken as independent. They hold no "
        "error that all rows share, such as an instrument off its calibration, and no scatter from one valve to the "
        "next, which the family's key 'scatter' is for.",
        "Density and bubble pressure of the liquid are those of the refrigerant tables; a Kv is good with the same.",
        *([f"Invented readings, made from: {truth}."] if truth else []),
        "The catalogue value is what the family's file says now.",
    ]


def _sentence(text: str) -> str:
    return signed(text[0].upper() + text[1:]) + "."


def signed(text: str) -> str:
    """Symbols and units of a message as they are printed."""
    return text.replace(_PLAIN_LIMIT, PRINTED_LIMIT).replace(" percent", f"{NBSP}%")
