"""What files that are sound by themselves must not amount to: impossible head pressures, publications that show nothing.

Each is reported by file, line and key, in the units that the file uses.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from tablegen.config._applications import BY_REFRIGERANT, head_key, is_overridden, own_keys
from tablegen.config._publications import PUBLICATION_KINDS, CounterChartModel
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath, spell
from tablegen.errors import BadValue, FileProblem
from tablegen.model.head_settings import head_faults, heads_below_evaporator, over_working_pressure
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import mixed_charges
from tablegen.physics.system import OperatingCondition
from tablegen.units import split
from tablegen.wording import config_errors as wording
from tablegen.wording import terms


def check_heads(
    reader: Reader,
    catalogue: Catalogue,
    families: Mapping[str, ConfigDocument],
    applications: Mapping[str, ConfigDocument],
) -> None:
    """Head pressures are such that refrigerants and valves can have them.

    A head that was put over the file for one case is left to that case.

    Raises ConfigError if not.
    """
    for name in catalogue.applications:
        reader.problems += _head_problems(catalogue, name, applications[name])
    reader.stop_if_wrong()
    reader.problems += _pressure_problems(catalogue, families, applications)
    reader.stop_if_wrong()


def _head_problems(catalogue: Catalogue, name: str, document: ConfigDocument) -> Iterator[FileProblem]:
    """Heads that cannot be computed, are out of order, mean too different condensing temperatures, or leave no pressure."""
    application = catalogue.applications[name]

    def show(condition: OperatingCondition, pressure_pa: float) -> str:
        written = str(document.value((condition.value, "head_pressure")))
        return _in_unit_of(written, pressure_pa, application.site_pressure_pa)

    seen: set[tuple[KeyPath, OperatingCondition]] = set()
    refrigerants = [catalogue.refrigerants[own] for own in catalogue.refrigerants_in(name)]
    below = heads_below_evaporator(application, refrigerants)
    for fault in (*head_faults(application, refrigerants, show), *below):
        path = _path(document, fault.condition, fault.refrigerant)
        is_left = any(is_overridden(document, c) for c in (fault.condition, OperatingCondition.RATING))
        # One line for a head, of the refrigerant that shows it first.
        if not is_left and (path, fault.condition) not in seen:
            seen.add((path, fault.condition))
            yield document.problem(path, str(BadValue(repr(document.value(path)), fault.text, fault.hint)))


def _pressure_problems(
    catalogue: Catalogue, families: Mapping[str, ConfigDocument], applications: Mapping[str, ConfigDocument]
) -> Iterator[FileProblem]:
    """Working pressures below a head of an application that a family is combined with."""
    seen: set[tuple[str, str]] = set()
    for over in over_working_pressure(catalogue):
        document, application = families[over.family], applications[over.application]
        if is_overridden(application, over.condition) or (over.family, over.application) in seen:
            continue
        seen.add((over.family, over.application))
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
        yield document.problem(("working_pressure",), str(BadValue(repr(written), rule)))


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


def check_prints(file: Path, catalogue: Catalogue) -> None:
    """Compute what counter charts and handouts of a sound catalogue show; `file` is its own.

    Raises ConfigError if one of them would show nothing for a group, or a group's members take different bulb charges.
    """
    # Here, not above: an answer for one case is not computed as frames.
    from tablegen.dataset.empty_charts import empty_prints

    reader = Reader(file.parent)
    groups = reader.document(file.parent / "groups.yaml")
    paths = reader.files_in("publications")
    publications = reader.by_kind(paths, "publication", PUBLICATION_KINDS, paths)
    reader.stop_if_wrong()
    for (family, group), charges in mixed_charges(catalogue).items():
        assert groups
        text = wording.DIFFERENT_CHARGES(family=catalogue.families[family].display_name, charges=charges)
        reader.refuse(groups, ("groups", group, "members"), text)
    prints = [*(own.printed for own in catalogue.charts), *(own.printed for own in catalogue.handouts)]
    owners = {own.name: publications[own.publication] for own in prints}
    seen: set[tuple[str, str]] = set()
    for empty in empty_prints(catalogue):
        document, model = owners[empty.name]
        # One line, however often it is printed.
        if (model.publication, empty.group) not in seen:
            seen.add((model.publication, empty.group))
            path: KeyPath = ("group",)
            rule = wording.EMPTY_HANDOUT
            if isinstance(model, CounterChartModel):
                path, rule = ("groups", model.groups.index(empty.group)), wording.EMPTY_CHART
            reader.refuse(document, path, str(BadValue(repr(empty.group), rule(reason=empty.why))))
    reader.stop_if_wrong()


def refuse_labels(file: Path, misfits: Iterable[tuple[str, str]]) -> None:
    """Raise ConfigError if there are labels whose texts do not fit: names of publications, each with why.

    `file` is that of the catalogue.
    """
    reader = Reader(file.parent)
    for publication, why in dict(misfits).items():
        document = reader.document(reader.files_in("publications")[publication])
        if document is not None:
            reader.refuse(document, ("sheet",), wording.LABEL_TEXT(reason=why))
    reader.stop_if_wrong()
