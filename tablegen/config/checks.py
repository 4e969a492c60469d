"""What files that are sound by themselves must not amount to: impossible head pressures, publications that show nothing.

Each is reported by file, line and key, in the units that the file uses.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tablegen.config._applications import BY_REFRIGERANT, head_key, is_overridden, own_keys
from tablegen.config._publications import PUBLICATION_KINDS, CounterChartModel, HandoutModel, PublicationModel
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath, spell
from tablegen.errors import BadValue, FileProblem
from tablegen.model.head_settings import head_faults, over_working_pressure
from tablegen.model.inputs import Application, Catalogue
from tablegen.model.offer import mixed_charges
from tablegen.physics.system import OperatingCondition
from tablegen.units import split
from tablegen.wording import config_errors as wording
from tablegen.wording import terms


def head_problems(catalogue: Catalogue, applications: Mapping[str, ConfigDocument]) -> list[FileProblem]:
    """Heads that cannot be computed, are out of order, or mean too different condensing temperatures.

    A head that was put over the file for one case is left to that case.
    """
    found = []
    for name, application in catalogue.applications.items():
        document = applications[name]
        refrigerants = [catalogue.refrigerants[r] for r in catalogue.refrigerants_in(name)]

        def show(
            condition: OperatingCondition,
            pressure_pa: float,
            at: ConfigDocument = document,
            own: Application = application,
        ) -> str:
            written = str(at.value((condition.value, "head_pressure")))
            return _in_unit_of(written, pressure_pa, own.site_pressure_pa)

        seen: set[tuple[KeyPath, OperatingCondition]] = set()
        for fault in head_faults(application, refrigerants, show):
            path = _path(document, fault.condition, fault.refrigerant)
            is_left = any(is_overridden(document, c) for c in {fault.condition, OperatingCondition.RATING})
            # One line for a head, of the refrigerant that shows it first.
            if is_left or (path, fault.condition) in seen:
                continue
            seen.add((path, fault.condition))
            text = str(BadValue(repr(document.value(path)), fault.text, fault.hint))
            found.append(document.problem(path, text))
    return found


def pressure_problems(
    catalogue: Catalogue, families: Mapping[str, ConfigDocument], applications: Mapping[str, ConfigDocument]
) -> list[FileProblem]:
    """Working pressures below a head of an application that a family is combined with."""
    found: dict[tuple[str, str], FileProblem] = {}
    for over in over_working_pressure(catalogue):
        document, application = families[over.family], applications[over.application]
        if is_overridden(application, over.condition) or (over.family, over.application) in found:
            continue
        written = str(document.data["working_pressure"])
        site = catalogue.applications[over.application].site_pressure_pa
        path = _path(application, over.condition, over.refrigerant)
        place = application.place(path)
        rule = wording.HEAD_ABOVE_WORKING_PRESSURE(
            head=terms.condition(over.condition),
            application=over.application,
            pressure=_in_unit_of(written, over.head_gauge_pa + site, site),
            group=over.group,
            refrigerant=over.refrigerant,
            place=f"{place.file}:{place.line}: {spell(path)}",
        )
        text = str(BadValue(repr(written), rule))
        found[over.family, over.application] = document.problem(("working_pressure",), text)
    return list(found.values())


def _path(document: ConfigDocument, condition: OperatingCondition, refrigerant: str) -> KeyPath:
    """Where a head is given: for the refrigerant alone if it is, else for all."""
    own = (BY_REFRIGERANT, own_keys(document).get(refrigerant, refrigerant), condition.value)
    if key := head_key(document, *own):
        return (*own, key)
    return (condition.value, head_key(document, condition.value))


def _in_unit_of(written: str, pressure_pa: float, site_pressure_pa: float) -> str:
    """A pressure [Pa, absolute] in the unit of another that a file gives."""
    _, unit = split(written, "pressure")
    reading = pressure_pa - site_pressure_pa if unit.is_gauge else pressure_pa
    return f"{unit.of(reading):.4g} {unit.name}"


def check_prints(path: Path, catalogue: Catalogue) -> None:
    """Compute what counter charts and handouts of a sound catalogue show; `path` is its file.

    Raises
    ------
    ConfigError
        If one of them would show nothing for a group, or a group's members take different bulb charges.
    """
    # Here, not above: an answer for one case is not computed as frames.
    from tablegen.dataset.empty_charts import empty_prints

    reader = Reader(path.parent)
    groups = reader.document(path.parent / "groups.yaml")
    paths = reader.files_in("publications")
    publications = reader.by_kind(paths, "publication", PUBLICATION_KINDS, paths)
    reader.stop_if_wrong()
    for (family, group), charges in mixed_charges(catalogue).items():
        assert groups
        text = wording.DIFFERENT_CHARGES(family=catalogue.families[family].display_name, charges=charges)
        reader.refuse(groups, ("groups", group, "members"), text)
    owners = {name: found for found in publications.values() for name in found[1].file_names()}
    seen: dict[tuple[str, str], FileProblem] = {}
    for empty in empty_prints(catalogue):
        document, model = owners[empty.name]
        # One line, however often it is printed.
        seen.setdefault((model.publication, empty.group), _empty(document, model, empty.group, empty.why))
    reader.problems += seen.values()
    reader.stop_if_wrong()


def _empty(document: ConfigDocument, model: PublicationModel, group: str, reason: str) -> FileProblem:
    if isinstance(model, CounterChartModel):
        path: KeyPath = ("groups", model.groups.index(group))
        return document.problem(path, str(BadValue(repr(group), wording.EMPTY_CHART(reason=reason))))
    assert isinstance(model, HandoutModel)
    return document.problem(("group",), str(BadValue(repr(group), wording.EMPTY_HANDOUT(reason=reason))))
