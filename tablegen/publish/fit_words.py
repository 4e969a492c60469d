"""A fit of bench data in words and figures, from its record as plain values."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from tablegen.publish.rounding import decimals, with_bound
from tablegen.publish.wording import DASH, NBSP, Words, percent
from tablegen.units import print_unit

PLUS_MINUS = "\N{PLUS-MINUS SIGN}"
NONE = DASH
# Where choking begins if F_L is 1, as messages and as pages write it.
_PLAIN_LIMIT, PRINTED_LIMIT = "p1 - F_F pv", "p₁ − F_F p_v"
Record = Mapping[str, Any]


def factor_and_unit(kind: str, words: Words) -> tuple[float, str]:
    """What turns SI into the printed figure of a kind of estimate, and the unit beside it."""
    if kind == "share":
        return 100.0, "%"
    unit = print_unit(kind, words.system)
    return unit.of(1.0), unit.label


def estimate_header(confidence: float) -> list[str]:
    """Header of the table of estimates."""
    return ["Parameter", "Value", f"{PLUS_MINUS} at {percent(confidence, _places(confidence))}", "Unit", "Rows",
            "Family states"]  # fmt: skip


def _places(confidence: float) -> int:
    return 0 if abs(100.0 * confidence - round(100.0 * confidence)) < 1e-9 else 1


def estimate_cells(record: Record, words: Words) -> list[list[str]]:
    """A row for each estimate, with what the family's file states now."""
    rows = []
    for estimate in record["findings"]["estimates"]:
        factor, unit = factor_and_unit(estimate["kind"], words)
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
    return [[_titled(n["words"]), signed(n["why"]), signed(n["test"])] for n in record["findings"]["not_told"]]


def law_text(flow: Mapping[str, Any]) -> str:
    """What the rows say of the flow law, and by how much."""
    verdict = flow["verdict"]
    about = (
        f"mass flow scatters by {share(verdict['orifice_scatter'])} about the law orifice and by "
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


def scatter_lines(record: Record, words: Words) -> list[tuple[str, str]]:
    """How far the rows scatter, by part."""
    lines = []
    if (flow := record["flow"]) is not None:
        text = f"{share(flow['flow_scatter'])} of the reading"
        if flow["opening_scatter"]:
            text += f", opening {share(flow['opening_scatter'])} of rated stroke"
        if flow["drop_scatter_pa"]:
            text += f", drop {words.drop(flow['drop_scatter_pa'], 1)}"
        if flow["over_stated"] is not None:
            text += f"; {flow['over_stated']:.2f} times what the instruments are stated to be good for"
        lines.append(("Mass flow", f"{text} ({flow['rows']} rows)"))
    if (balance := record["balance"]) is not None:
        lines.append(("Bulb temperature", f"{words.step(balance['scatter_k'], 2)} ({balance['rows']} rows)"))
    return lines


def outlier_lines(record: Record, words: Words) -> list[str]:
    """A line for each outlier, by its line in the file."""
    found = []
    for outlier in record["findings"]["outliers"]:
        amount = outlier["residual"]
        side = "above" if amount > 0 else "below"
        what = {
            "flow": f"mass flow {share(abs(amount))} {side} the fit",
            "balance": f"bulb {words.step(abs(amount), 2)} {'warmer' if amount > 0 else 'colder'} than the balance",
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
    """What was noticed, and what the bounds do not hold."""
    confidence = percent(record["confidence"], _places(record["confidence"]))
    return [
        *(_sentence(note) for note in record["findings"]["notes"]),
        f"Bounds are two-sided, at {confidence}, from the scatter of rows that are taken as independent. They hold no "
        "error that all rows share, such as an instrument off its calibration, and no scatter from one valve to the "
        "next, which the family's key 'scatter' is for.",
        "Density and bubble pressure of the liquid are those of the refrigerant tables; a Kv is good with the same.",
    ]


def _sentence(text: str) -> str:
    return signed(text[0].upper() + text[1:]) + "."


def signed(text: str) -> str:
    """Symbols and units of a message as they are printed."""
    return text.replace(_PLAIN_LIMIT, PRINTED_LIMIT).replace(" percent", f"{NBSP}%")
