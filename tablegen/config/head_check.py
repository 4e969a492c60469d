"""Head settings that a catalogue cannot have: each by file, line and key, in the units that the file uses."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.config.parsed import KeyPath
from tablegen.config.source import Document, spell
from tablegen.errors import Problem
from tablegen.model.head_settings import head_faults, over_working_pressure
from tablegen.model.inputs import Application, Catalogue
from tablegen.physics.system import OperatingCondition
from tablegen.units import split
from tablegen.wording import terms

_KEYS = ("head_pressure", "condensing_temperature")


def own_heads(document: Document) -> tuple[tuple[str, OperatingCondition], ...]:
    """The heads that an application gives for one refrigerant alone; one under an override is not."""
    special = document.data.get("by_refrigerant")
    return tuple(
        (name, condition)
        for name, keys in (special if isinstance(special, dict) else {}).items()
        for condition in OperatingCondition
        if isinstance(keys, dict) and _key(keys, condition) and not _is_overridden(document, condition)
    )


def head_problems(catalogue: Catalogue, applications: Mapping[str, Document]) -> list[Problem]:
    """Heads that cannot be computed, are out of order, or mean too different condensing temperatures.

    A head that was put over the file for one case is left to that case.
    """
    found = []
    for name, application in catalogue.applications.items():
        document = applications[name]
        refrigerants = [catalogue.refrigerants[r] for r in catalogue.refrigerants_in(name)]

        def show(
            condition: OperatingCondition, pressure_pa: float, at: Document = document, own: Application = application
        ) -> str:
            return _in_unit_of(str(at.data[condition.value].get("head_pressure")), pressure_pa, own.site_pressure_pa)

        seen: set[tuple[KeyPath, OperatingCondition]] = set()
        for fault in head_faults(application, refrigerants, show):
            subjects = (
                {fault.condition}
                if fault.condition is OperatingCondition.RATING
                else {fault.condition, OperatingCondition.RATING}
            )
            path = _path(document, fault.condition, fault.refrigerant)
            # One line for a head, of the refrigerant that shows it first.
            if any(_is_overridden(document, condition) for condition in subjects) or (path, fault.condition) in seen:
                continue
            seen.add((path, fault.condition))
            hint = f" ({fault.hint})" if fault.hint else ""
            found.append(document.problem(path, f"{_value(document, path)!r} is not allowed; {fault.text}{hint}"))
    return found


def pressure_problems(
    catalogue: Catalogue, families: Mapping[str, Document], applications: Mapping[str, Document]
) -> list[Problem]:
    """Working pressures below a head of an application that a family is combined with."""
    found: dict[tuple[str, str], Problem] = {}
    for over in over_working_pressure(catalogue):
        document, application = families[over.family], applications[over.application]
        if _is_overridden(application, over.condition) or (over.family, over.application) in found:
            continue
        written = str(document.data["working_pressure"])
        site = catalogue.applications[over.application].site_pressure_pa
        place = application.place(path := _path(application, over.condition, over.refrigerant))
        head = _in_unit_of(written, over.head_gauge_pa + site, site)
        text = (
            f"{written!r} is not allowed; the {terms.condition(over.condition)} of {over.application} is {head} or more with "
            f"every member of {over.group} ({over.refrigerant}: {place.file}:{place.line}: {spell(path)}); lower that "
            "head, or leave the family out of it under leave_out in catalogue.yaml"
        )
        found[over.family, over.application] = document.problem(("working_pressure",), text)
    return list(found.values())


def _key(keys: Mapping[str, object], condition: OperatingCondition) -> str:
    """The key under which a mapping gives a head, "" if it gives none."""
    below = keys.get(condition.value)
    return next((key for key in _KEYS if isinstance(below, dict) and key in below), "")


def _path(document: Document, condition: OperatingCondition, refrigerant: str) -> KeyPath:
    """Where a head is given: for the refrigerant alone if it is, else for all."""
    special = document.data.get("by_refrigerant")
    keys = special.get(refrigerant) if isinstance(special, dict) else None
    if isinstance(keys, dict) and (key := _key(keys, condition)):
        return ("by_refrigerant", refrigerant, condition.value, key)
    return (condition.value, _key(document.data, condition))


def _value(document: Document, path: KeyPath) -> object:
    data: object = document.data
    for key in path:
        assert isinstance(data, dict)
        data = data[key]
    return data


def _is_overridden(document: Document, condition: OperatingCondition) -> bool:
    """Whether a head was put over what the file says, for one case."""
    return document.place((condition.value, _key(document.data, condition))).file != document.file


def _in_unit_of(written: str, pressure_pa: float, site_pressure_pa: float) -> str:
    """A pressure [Pa, absolute] in the unit of another that a file gives."""
    _, unit = split(written, "pressure")
    reading = pressure_pa - site_pressure_pa if unit.is_gauge else pressure_pa
    return f"{unit.of(reading):.4g} {unit.name}"
