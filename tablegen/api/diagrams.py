"""Diagrams: the pressure-enthalpy chart of a refrigerant, its cycles in an application, a valve's balance and superheat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from tablegen.api._asked_sst import asked_sst
from tablegen.api._inputs import (
    LOAD_RANGE,
    Quantity,
    Units,
    check_units,
    formatter_for,
    given,
    in_si,
    loader_for,
    one_of,
    path_of,
    refused,
)
from tablegen.config.case_catalogue import CaseCatalogue, load_case
from tablegen.config.refrigerant_files import load_registry
from tablegen.errors import RequestError, near
from tablegen.model.names import asked_refrigerant
from tablegen.model.property_store import library_version
from tablegen.model.registry import RefrigerantRecord
from tablegen.report.answer import Answer
from tablegen.wording import diagram as wording
from tablegen.wording import states as states_wording
from tablegen.wording.message import argument

Kind = Literal["pressure-enthalpy", "balance", "superheat"]
KINDS: tuple[str, ...] = get_args(Kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class _System:
    """What is asked of the system and the valve."""

    application: str | None
    sst: Quantity | None
    box: Quantity | None
    coil_difference: Quantity | None
    overrides: Sequence[str]
    family: str | None
    size: str | None
    load: Quantity | None
    catalogue: str | Path | None
    units: Units | None


def diagram(
    refrigerant: str,
    *,
    kind: Kind = "pressure-enthalpy",
    blank: bool = False,
    application: str | None = None,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    overrides: Sequence[str] = (),
    family: str | None = None,
    size: str | None = None,
    load: Quantity | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """A pressure-enthalpy diagram of a refrigerant, or the graphs of a valve; solved, or blank to draw into.

    Parameters
    ----------
    refrigerant : str
        Any refrigerant of the catalogue or of the package.
    kind : "pressure-enthalpy", "balance" or "superheat"
        The last two are of a valve: capacities against head pressure, superheat against load.
    blank : bool
        Axes, and the saturation dome of a pressure-enthalpy diagram, on the same scale as without.
    application : str, optional
        An application of the catalogue: the diagram then shows the cycle at its three operating conditions.
    sst : str or float, optional
        Saturated suction temperature, dew: "24 degF", or [K]; needed with an application.
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own.
    overrides : sequence of str
        Other values for keys of the application: "losses.lift=20 ft".
    family, size : str, optional
        The valve, for "balance" and "superheat".
    load : str or float, optional
        Gross capacity at the rating point, for "balance" and "superheat": "20 kBtu/h", or [W].
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's, "IP" where no application is named.

    Returns
    -------
    Answer
        With one figure, which `write` can write alone (.svg, .png). Its frame has one row for each point of each line, in
        SI; enthalpies count from the zero that the figure prints.

    Raises
    ------
    RequestError
        If the refrigerant is not known, a quantity cannot be read, the application does not cover the suction temperature,
        a head is too close to the critical point, or something is given that the kind does not use.
    ConfigError
        If the catalogue or an override cannot be used.

    Examples
    --------
    >>> points = diagram("R134a", units="SI").frame()
    >>> dew = points[points["line"] == "dew"]
    >>> print(f"{dew['pressure_pa'].max() / 1e5:.1f} bar")
    40.6 bar
    """
    name = asked_refrigerant(refrigerant)
    one_of("kind", kind, KINDS)
    asked = _System(
        application=application,
        sst=sst,
        box=box,
        coil_difference=coil_difference,
        overrides=overrides,
        family=family,
        size=size,
        load=load,
        catalogue=catalogue,
        units=check_units(units),
    )
    if kind != "pressure-enthalpy":
        return _of_valve(name, kind, asked, blank)
    for own in ("family", "size", "load"):
        if getattr(asked, own) is not None:
            raise RequestError(wording.NO_VALVE(argument=argument(own)))
    if application is not None:
        return _of_cycles(name, asked, blank)
    for own in ("sst", "box", "coil_difference", "overrides"):
        if getattr(asked, own):
            raise RequestError(wording.SST_WITHOUT_APPLICATION(argument=argument(own)))
    return _of_refrigerant(name, asked, blank)


def _of_refrigerant(name: str, asked: _System, is_blank: bool) -> Answer:
    from tablegen.physics.equation_of_state import SinglePhase
    from tablegen.report.answers.diagram import answer_of_chart
    from tablegen.report.formatter import Formatter
    from tablegen.report.graphs.chart_lines import chart_of

    registry = load_registry(None if asked.catalogue is None else path_of(asked.catalogue).parent)
    if name not in registry:
        raise RequestError(states_wording.NO_REFRIGERANT(name=repr(str(name)), hint=near(name, registry)))
    own, formatter = registry[name], Formatter(asked.units or "IP")
    chart = chart_of(own, SinglePhase(own.definition).at, formatter.system, is_blank)
    return answer_of_chart(registry.records[name], chart, formatter, library_version(), is_blank=is_blank)


def _of_cycles(name: str, asked: _System, is_blank: bool) -> Answer:
    from tablegen.answers.cycle import cycles_of
    from tablegen.report.answers.diagram import answer_of_cycles

    own, record = _case(name, asked)
    changed = {text.partition(".")[0].strip() for text in asked.overrides}
    found = cycles_of(own.catalogue, name, own.application, own.sst_k, changed)
    formatter = formatter_for(own.catalogue, asked.units)
    return answer_of_cycles(own.catalogue, found, record, formatter, library_version(), is_blank=is_blank)


def _of_valve(name: str, kind: str, asked: _System, is_blank: bool) -> Answer:
    from tablegen.answers.case import Case
    from tablegen.answers.cycle import valve_curves
    from tablegen.report.answers.diagram import answer_of_valve

    missing = [own for own in ("family", "size", "load") if getattr(asked, own) is None]
    if missing:
        raise RequestError(wording.NEEDS_VALVE(kind=kind, arguments=", ".join(map(argument, missing))))
    load_w = in_si("load", asked.load, "load", LOAD_RANGE)
    own, record = _case(name, asked)
    case = Case(name, own.sst_k, load_w, own.application)
    found = valve_curves(own.catalogue, case, given("family", asked.family), given("size", asked.size))
    valve = own.catalogue.valve_name(found.family, found.size)
    if kind == "superheat":
        if found.superheat.empty:
            raise RequestError(wording.NO_SUPERHEAT(valve=valve))
        if not all(map(math.isfinite, found.window_w)):
            raise RequestError(wording.NO_WINDOW(valve=valve))
    return answer_of_valve(
        own.catalogue,
        found,
        record,
        load_w,
        own.sst_k,
        formatter_for(own.catalogue, asked.units),
        library_version(),
        kind=kind,
        is_blank=is_blank,
    )


def _case(name: str, asked: _System) -> tuple[CaseCatalogue, RefrigerantRecord]:
    """The catalogue with the application, and what is known of the refrigerant."""
    at = asked_sst(asked.sst, asked.box, asked.coil_difference)
    registry = load_registry(path_of(asked.catalogue).parent)
    if name not in registry:
        raise refused("refrigerant", states_wording.NO_REFRIGERANT(name=repr(str(name)), hint=near(name, registry)))
    load = loader_for(asked.catalogue, also=(name,))
    own = load_case(load, name, at, asked.application, asked.overrides)
    return own, registry.records[name]
