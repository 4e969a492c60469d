"""What the loop of valve, coil and bulb or sensor needs of an application and of a family that are combined."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from tablegen.config._reader import Reader
from tablegen.config._superheat_model import OF_CIRCUIT
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.errors import FileProblem
from tablegen.model.inputs import Catalogue, Family
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.system import Stability, SuctionResponse, SystemInputs
from tablegen.wording import config_errors as wording
from tablegen.wording.message import listed


def missing_for_loop(system: SystemInputs, of_circuit: Sequence[str] = OF_CIRCUIT) -> list[str]:
    """The keys of an application that the loop lacks, and how they must be; none where it has all.

    Parameters
    ----------
    system : SystemInputs
    of_circuit : sequence of str, optional
        The keys of the coil's circuit that are not there.

    Returns
    -------
    list of str
    """
    found = []
    if system.response is not SuctionResponse.CONSTANT:
        found.append("suction.response: constant")
    if system.box_difference_k is None:
        found.append("coil_temperature_difference")
    if system.coil is None:
        found.append("coil.conductance_ratio")
    if system.circuit is None:
        found += [f"coil.{key}" for key in of_circuit]
    return found


def check_loops(reader: Reader, catalogue: Catalogue, families: Mapping[str, ConfigDocument]) -> None:
    """Where the loop gives minimum openings, application and family state what it needs; problems are noted by the reader.

    Parameters
    ----------
    reader : Reader
    catalogue : Catalogue
    families : mapping
        The document of each family.
    """
    seen: set[tuple[str, KeyPath]] = set()
    for problem, path in _problems(catalogue, families):
        if (problem.file, path) not in seen:
            seen.add((problem.file, path))
            reader.problems.append(problem)


def _problems(catalogue: Catalogue, families: Mapping[str, ConfigDocument]) -> Iterator[tuple[FileProblem, KeyPath]]:
    for c in catalogue.combinations:
        family, application = catalogue.families[c.family], catalogue.applications[c.application]
        stated = family.elements[0].actuator.stability if family.elements else None
        systems = [application.systems[name] for name in catalogue.groups[c.group].members]
        if stated is Stability.LOOP:
            missing = missing_for_loop(systems[0])
            if missing:
                text = wording.LOOP_OF_FAMILY_NEEDS(application=application.name, missing=listed(missing))
                yield families[c.family].problem(("stability",), text), ("stability",)
        if (stated or systems[0].superheat.stability.method) is Stability.LOOP:
            for key, path in _lacking(family, catalogue.groups[c.group].members, application.temperature_range):
                text = wording.LOOP_NEEDS_OF_FAMILY(application=application.name, key=key)
                yield families[c.family].problem(path, text), path


def _lacking(family: Family, members: tuple[str, ...], temperature_range: str) -> Iterator[tuple[str, KeyPath]]:
    """Keys that a family lacks for the loop, and where."""
    for index, element in enumerate(family.elements):
        actuator = element.actuator
        if isinstance(actuator, ElectronicActuator) and actuator.controller is None:
            yield "controller", ("kind",)
        is_used = any(element.serves(name, temperature_range) for name in members)
        if isinstance(actuator, ThermostaticActuator) and is_used and actuator.bulb_time_constant_s is None:
            yield "bulb_time_constant", ("charges", index, "charge")
