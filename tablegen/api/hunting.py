"""Does a valve hunt: the limit, and a simulation in time."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from tablegen.answers.case import Case
from tablegen.answers.hunt import AskedHunt, OpeningStep
from tablegen.answers.hunt import hunt as hunted
from tablegen.api._asked_sst import asked_sst
from tablegen.api._fit_apply import ChangedFile, FileToApply
from tablegen.api._inputs import (
    LOAD_RANGE,
    Bounds,
    Quantity,
    Units,
    formatter_for,
    in_si_if_given,
    loader_for,
    one_of,
    path_of,
)
from tablegen.config.case_catalogue import load_case
from tablegen.errors import RequestError
from tablegen.model.names import asked_refrigerant
from tablegen.model.property_store import library_version
from tablegen.physics.system import OperatingCondition
from tablegen.report.answer import Answer
from tablegen.wording import hunt as wording

# The limit is the same for every load; a case always has one.
_ANY_LOAD_W = 1000.0
BULB_RANGE: Bounds = ("0.5 s", "600 s")
Condition = Literal["low_head", "rating", "high_head"]
CONDITIONS: tuple[str, ...] = tuple(own.value for own in OperatingCondition)


def hunt(
    family: str,
    size: str,
    refrigerant: str,
    *,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    application: str | None = None,
    overrides: Sequence[str] = (),
    load: Quantity | None = None,
    condition: Condition = "rating",
    bulb_time_constant: Quantity | None = None,
    observed_load: Quantity | None = None,
    step_response: str | Path | None = None,
    apply: bool = False,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """Where a thermostatic valve begins to hunt, and what valve, coil and bulb do in time.

    Parameters
    ----------
    family, size : str
        The valve.
    refrigerant : str
        One refrigerant.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own.
    application : str, optional
        An application of the catalogue; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of the application: "coil_temperature_difference=12 delta_degF".
    load : str or float, optional
        Gross capacity at the rating point that is simulated: "20 kBtu/h", or [W]; without it a load 10 % above the one at
        which hunting begins, and one 10 % below.
    condition : "low_head", "rating" or "high_head"
        The operating condition.
    bulb_time_constant : str or float, optional
        Of the bulb: "60 s", or [s]; without it the charge's, or 30 s.
    observed_load : str or float, optional
        The load at which an installed valve was seen to begin hunting: calibrates the coil; `fragment` has the key.
    step_response : path, optional
        A CSV file with time and superheat after a step of the valve's opening: calibrates the coil instead.
    apply : bool
        Whether the calibration is written into the application's file, which must have a `coil` section.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        With one figure, which `write` can write alone (.svg, .png). Its frame has one row for each half second of each
        load, in SI. `passed` unless the valve hunts at a given load.

    Raises
    ------
    RequestError
        If a quantity cannot be read, a name is not in the catalogue, the valve has no bulb, the suction is not constant,
        or the valve cannot cover the load.
    ConfigError
        If the catalogue or an override cannot be used.

    Examples
    --------
    >>> case = {"sst": "24 degF", "application": "walk_in_medium", "bulb_time_constant": "120 s"}
    >>> answer = hunt("alder", "45", "R404A", **case)
    >>> runs = next(own for own in answer.tables if own.key == "runs")
    >>> [record["hunts"] for record in runs.records()]
    [False, True]
    """
    from tablegen.config.yaml_text import as_yaml
    from tablegen.report.answers.hunt import answer_of_hunt

    if observed_load is not None and step_response is not None:
        raise RequestError(wording.ONE_OBSERVATION())
    if apply and observed_load is None and step_response is None:
        raise RequestError(wording.NOTHING_TO_APPLY())
    name = asked_refrigerant(refrigerant)
    at = asked_sst(sst, box, coil_difference)
    own = load_case(loader_for(catalogue), name, at, application, overrides)
    asked = AskedHunt(
        difference_k=None if own.box is None or own.box.is_default else own.box.coil_difference_k,
        condition=OperatingCondition(one_of("condition", condition, CONDITIONS)),
        load_w=in_si_if_given("load", load, "load", LOAD_RANGE),
        bulb_time_constant_s=in_si_if_given("bulb_time_constant", bulb_time_constant, "time", BULB_RANGE),
        observed_load_w=in_si_if_given("observed_load", observed_load, "load", LOAD_RANGE),
        step=None if step_response is None else _step(Path(step_response)),
    )
    case = Case(name, own.sst_k, _ANY_LOAD_W, own.application)
    found = hunted(own.catalogue, case, family, size, asked)
    answer = answer_of_hunt(
        own.catalogue,
        found,
        formatter_for(own.catalogue, units),
        library_version(),
        box=own.box,
        was_chosen=own.was_chosen,
        overrides=overrides,
    )
    if found.calibration is None:
        return answer
    calibration = float(found.calibration.written)
    answer = dataclasses.replace(answer, fragment=as_yaml({"coil": {"calibration": calibration}}))
    if not apply:
        return answer
    new = _applied(catalogue, own.application, calibration)
    return dataclasses.replace(answer, facts=(*answer.facts, *new.facts(True)), tables=(*answer.tables, new.table()))


def _applied(catalogue: str | Path | None, application: str, calibration: float) -> ChangedFile:
    """The application's file with a calibration of its coil, written."""
    from tablegen.config.yaml_text import parse

    path = path_of(catalogue)
    file = FileToApply.read(catalogue, path, application, "applications")
    data = parse(file.text).data
    coil = data.get("coil")
    if not isinstance(coil, dict):
        raise RequestError(wording.NO_COIL_SECTION(file=file.shown))
    new = file.with_data({**data, "coil": {**coil, "calibration": calibration}}, path)
    new.write()
    return new


def _step(path: Path) -> OpeningStep:
    from tablegen.config.step_file import read_step

    own = read_step(path)
    return OpeningStep(name=own.name, opening=own.opening, time_s=own.time_s, superheat_k=own.superheat_k)
