"""What is known of a refrigerant beside its states, as text: composition, GWP, uncertainty, cautions."""

from __future__ import annotations

from collections.abc import Sequence

from tablegen.model.registry import Gwp, PropertyUncertainty
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.report.formatter import NBSP, percent
from tablegen.report.rounding import decimals
from tablegen.wording import refrigerants as wording
from tablegen.wording.language import figure


def composition(definition: RefrigerantDefinition) -> str:
    """Components by mass percent; a single component is named where the refrigerant has a name of its own."""
    if definition.components == (definition.name,):
        return wording.SINGLE_COMPONENT()
    pairs = zip(definition.components, definition.mass_fractions, strict=True)
    return ", ".join(f"{component} {figure(f'{100 * share:.4g}')}" for component, share in pairs)


def gwp(entry: Gwp) -> str:
    """One figure, with its sign if it is an upper bound."""
    return f"{'<' + NBSP if entry.is_below else ''}{decimals(entry.value, 0)}"


def gwp_text(entries: Sequence[Gwp]) -> str:
    """All figures with their reports."""
    return ", ".join(wording.GWP_OF_REPORT(value=gwp(entry), report=entry.report) for entry in entries)


def uncertainty_text(uncertainty: PropertyUncertainty) -> str:
    """The three figures in one line."""
    return wording.UNCERTAINTIES(
        pressure=percent(uncertainty.pressure, 1),
        density=percent(uncertainty.density, 1),
        enthalpy=percent(uncertainty.enthalpy, 1),
    )


def cautions(group: str) -> list[str]:
    """What to be careful of with a refrigerant of a safety group."""
    found = [wording.CAUTION()]
    if group[1] != "1":
        found.append(wording.FLAMMABLE(group=group))
    if group[0] == "B":
        found.append(wording.TOXIC(group=group))
    return found
