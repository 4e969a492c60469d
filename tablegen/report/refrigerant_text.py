"""What is known of a refrigerant beside its states, in words: composition, safety group, GWP, uncertainty."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tablegen.report.formatter import NBSP, percent
from tablegen.report.rounding import decimals

# ISO 817 and ASHRAE 34 (from memory): the letter is toxicity, the rest flammability.
_GROUPS = {
    "A1": "lower toxicity, no flame propagation",
    "A2L": "lower toxicity, lower flammability",
    "A2": "lower toxicity, flammable",
    "A3": "lower toxicity, higher flammability",
    "B1": "higher toxicity, no flame propagation",
    "B2L": "higher toxicity, lower flammability",
    "B2": "higher toxicity, flammable",
    "B3": "higher toxicity, higher flammability",
}


def composition(definition: Mapping[str, Any]) -> str:
    """Components by mass percent; a single component is named where the refrigerant has a name of its own."""
    parts = [
        f"{component} {100 * share:.4g}"
        for component, share in zip(definition["components"], definition["mass_fractions"], strict=True)
    ]
    return "single component" if list(definition["components"]) == [definition["name"]] else ", ".join(parts)


def safety(group: str) -> str:
    """A safety group and what it means."""
    return f"{group} ({_GROUPS[group]})"


def gwp(entry: Mapping[str, Any]) -> str:
    """One figure, with its sign if it is an upper bound."""
    return f"{'<' + NBSP if entry['is_below'] else ''}{decimals(entry['value'], 0)}"


def gwp_by_report(entries: Sequence[Mapping[str, Any]]) -> dict[str, str]:
    """Figures by assessment report."""
    return {entry["report"]: gwp(entry) for entry in entries}


def gwp_text(entries: Sequence[Mapping[str, Any]]) -> str:
    """All figures with their reports."""
    return ", ".join(f"{gwp(e)} ({e['report']})" for e in entries)


def uncertainty_text(uncertainty: Mapping[str, Any]) -> str:
    """The three figures in one line."""
    return (
        f"pressure {percent(uncertainty['pressure'], 1)}, density {percent(uncertainty['density'], 1)}, "
        f"enthalpy differences {percent(uncertainty['enthalpy'], 1)}"
    )


def cautions(group: str) -> list[str]:
    """What to heed with a refrigerant of a safety group."""
    found = [
        "Under pressure: isolate, recover and relieve before opening a circuit. Liquid freezes skin and eyes; vapor "
        "displaces air. Local codes, the equipment maker's instructions and licensed practice come first.",
    ]
    if group[1] != "1":
        found.append(
            f"It burns (safety group {group}): charge limits, ventilation, detection and sources of ignition follow "
            "ASHRAE 15 or the code in force at the site."
        )
    if group[0] == "B":
        text = f"It is toxic (safety group {group}): leak detection and breathing protection follow the code in force."
        found.append(text)
    return found
