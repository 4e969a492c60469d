"""What is known of a refrigerant beside its states, as text: composition, GWP, uncertainty, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tablegen.model.registry import Gwp, PropertyUncertainty, RefrigerantRecord
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.report.formatter import NBSP, percent
from tablegen.report.rounding import decimals
from tablegen.wording import refrigerants as wording
from tablegen.wording.language import figure

_AMMONIA, _CARBON_DIOXIDE = "R717", "R744"


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


def is_flammable(group: str) -> bool:
    """Whether refrigerants of a safety group burn (ASHRAE 34, ISO 817)."""
    return group[1:] != "1"


def is_toxic(group: str) -> bool:
    """Whether refrigerants of a safety group have the higher toxicity."""
    return group[0] == "B"


def hazard(group: str) -> str:
    """A safety group to be careful of, in a word or two; "" for A1."""
    message = wording.HAZARDS.get((is_flammable(group), is_toxic(group)))
    return message(group=group) if message else ""


def by_hazard(records: Mapping[str, RefrigerantRecord], names: Iterable[str]) -> dict[str, list[str]]:
    """The refrigerants of each safety group to be careful of, by its hazard; those of A1 are left out."""
    found: dict[str, list[str]] = {}
    for name in names:
        if text := hazard(records[name].safety_group):
            found.setdefault(text, []).append(name)
    return found


def substance_cautions(records: Iterable[RefrigerantRecord]) -> list[str]:
    """What ammonia attacks, if a refrigerant is ammonia or contains it; the pressures of carbon dioxide by itself."""
    found = [own.definition.components for own in records]
    cautions = [wording.AMMONIA()] if any(_AMMONIA in own for own in found) else []
    return [*cautions, wording.CARBON_DIOXIDE()] if (_CARBON_DIOXIDE,) in found else cautions


def own_cautions(records: Iterable[RefrigerantRecord]) -> tuple[str, ...]:
    """What to be careful of with some refrigerants beyond any other, each once; nothing for those of A1."""
    found: dict[str, None] = {}
    for record in records:
        group = record.safety_group
        if is_flammable(group):
            found[wording.FLAMMABLE(group=group)] = None
        if is_toxic(group):
            found[wording.TOXIC(group=group)] = None
        found |= dict.fromkeys(substance_cautions([record]))
    return tuple(found)


def brief_caution(record: RefrigerantRecord) -> str:
    """The cautions of a refrigerant in few words, for a picture that is a file of its own."""
    own = hazard(record.safety_group)
    return " ".join([*([f"{own}."] if own else []), *substance_cautions([record]), wording.LICENSED()])


def cautions(records: Iterable[RefrigerantRecord]) -> tuple[str, ...]:
    """What to be careful of with any refrigerant, and with these."""
    return wording.CAUTION(), *own_cautions(records)
