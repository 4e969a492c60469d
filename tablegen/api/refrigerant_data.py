"""Refrigerants: pressure-temperature tables, and computed values beside published ones."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.api._inputs import Quantity, Units, as_text, check_units, in_si, one_of, refused
from tablegen.config.refrigerant_files import load_registry
from tablegen.errors import BadValue, RequestError, as_asked, both_scales, near, unknown
from tablegen.model.names import asked_refrigerant
from tablegen.model.property_store import library_version
from tablegen.model.registry import Registry
from tablegen.report.answer import Answer
from tablegen.wording import command_line, input_errors
from tablegen.wording import states as wording

if TYPE_CHECKING:
    from tablegen.physics.arrays import Floats
    from tablegen.report.answers.states import StateUnits

# Coldest, warmest, step.
_RANGES = {"IP": ("-60 degF", "150 degF", "5 delta_degF"), "SI": ("-50 degC", "65 degC", "2.5 K")}
_MAX_ROWS = 2000


def states(
    *refrigerants: str,
    coldest: Quantity | None = None,
    warmest: Quantity | None = None,
    step: Quantity | None = None,
    temperature: str | None = None,
    pressure: str | None = None,
    density: str | None = None,
    enthalpy: str | None = None,
    entropy: str | None = None,
    columns: Sequence[str] = (),
    site_pressure: Quantity = "101.325 kPa_absolute",
    configs: str | Path | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> Answer:
    """Pressure-temperature tables; without a refrigerant the list of all that are known.

    Parameters
    ----------
    *refrigerants : str
        Their names.
    coldest, warmest : str or float, optional
        Between which temperatures: "-40 degF", or [K]; without them -60 to 150 degF, or -50 to 65 degC.
    step : str or float, optional
        Between rows: "5 delta_degF", or [K]; without it 5 delta_degF, or 2.5 K.
    temperature, pressure, density, enthalpy, entropy : str, optional
        Units of their own, such as "kPa_absolute".
    columns : sequence of str
        What is printed: of "pressure", "absolute" (beside gauge), "glide", "density", "latent_heat", "enthalpy" and
        "entropy"; without one pressure, glide, density and latent heat. The frame has them all, enthalpy and entropy
        from 200 kJ/kg and 1 kJ/(kg K) for saturated liquid at 0 degC.
    site_pressure : str or float
        Atmospheric pressure at the gauges: "14.7 psia", or [Pa].
    configs : path, optional
        A folder with a folder `refrigerants` of your own.
    catalogue : path, optional
        A catalogue file or its folder, instead of `configs`.
    units : "IP" or "SI"
        Units of printed figures.

    Returns
    -------
    Answer
        Its frame has one row for every temperature of every refrigerant, or for every refrigerant of the list, in SI.

    Raises
    ------
    RequestError
        If a refrigerant is not known, a quantity or unit cannot be read, or there is no state between the temperatures.
    ConfigError
        If a file of a refrigerant cannot be used.
    PropertyError
        If the property library fails.

    Examples
    --------
    >>> row = states("R134a", coldest="0 degC", warmest="0 degC", units="SI").frame().iloc[0]
    >>> print(f"{row['dew_pressure_pa'] / 1e5:.3f} bar")
    2.928 bar
    """
    from tablegen.report.answers.states import answer_of_list, answer_of_states
    from tablegen.tables.reference_tables import refrigerant_states

    check_units(units)
    registry = _registry(configs or catalogue)
    if not refrigerants:
        return replace(answer_of_list(registry.records), units=units)
    names = list(dict.fromkeys(map(asked_refrigerant, refrigerants)))
    for name in names:
        if name not in registry:
            raise RequestError(wording.NO_REFRIGERANT(name=repr(as_asked(name)), hint=near(name, registry)))
    asked = {"temperature": temperature, "pressure": pressure, "density": density, "enthalpy": enthalpy}
    asked["entropy"] = entropy
    state_units, at = _state_units(asked, site_pressure, units), _temperatures(coldest, warmest, step, units)
    try:
        found = [refrigerant_states(registry[name], registry.records[name], at) for name in names]
    except RequestError as error:
        raise RequestError(wording.NO_STATES(error=str(error))) from None
    chosen = [one_of("columns", column.strip(), wording.COLUMNS) for column in columns] or wording.USUAL_COLUMNS
    return replace(answer_of_states(found, state_units, library_version(), chosen), units=units)


def verify(
    *refrigerants: str, every: bool = False, configs: str | Path | None = None, catalogue: str | Path | None = None
) -> Answer:
    """Computed property values and flows beside published ones, with what each may be off by.

    Parameters
    ----------
    *refrigerants : str
        Their names; without one all that are known.
    every : bool
        Print every check instead of a line for each quantity and source.
    configs : path, optional
        A folder with a folder `refrigerants` of your own.
    catalogue : path, optional
        A catalogue file or its folder, instead of `configs`.

    Returns
    -------
    Answer
        Its frame has one row for every check; `passed` if none fails without a known reason.

    Raises
    ------
    RequestError
        If a refrigerant is not known.
    ConfigError
        If a file of a refrigerant cannot be used.
    PropertyError
        If the property library fails.

    Examples
    --------
    >>> answer = verify("R134a")
    >>> answer.passed, set(answer.frame()["verdict"])
    (True, {'passes'})
    """
    from tablegen.report.answers.verify import answer_of_checks
    from tablegen.verification.measured_flows import parities
    from tablegen.verification.table import all_checks, verification_frame

    registry = _registry(configs or catalogue)
    names = list(dict.fromkeys(map(asked_refrigerant, refrigerants))) or list(registry.records)
    for name in names:
        if name not in registry.records:
            raise RequestError(unknown(input_errors.A_REFRIGERANT(), name, registry.records))
    fluids = {name: registry[name] for name in names}
    frame = verification_frame(all_checks(fluids, {name: registry.records[name] for name in names}))
    return answer_of_checks(frame, names, parities(fluids), library_version(), is_every=every)


def _registry(configs: str | Path | None) -> Registry:
    """The registry, with the refrigerants of a folder over those of the package."""
    # Also what is there and cannot be read, for a message to say so.
    if configs is None:
        return load_registry(None)
    # A catalogue's file is in the folder.
    folder = Path(configs).parent if Path(configs).is_file() else Path(configs)
    if not os.path.lexists(folder / "refrigerants"):
        raise RequestError(command_line.NO_REFRIGERANTS(folder=str(configs)))
    return load_registry(folder)


def _state_units(asked: dict[str, str | None], site_pressure: Quantity, system: str) -> StateUnits:
    """The units asked for, those of the unit system for the others, and the atmosphere."""
    from tablegen.config.bench_header import read_site_pressure
    from tablegen.report.answers.states import USUAL_UNITS, StateUnits
    from tablegen.units import unit_named

    name, chosen = "", {}
    try:
        for kind, usual in USUAL_UNITS[system].items():
            name = kind
            chosen[kind] = unit_named(kind, asked[kind] or usual)
        name = "site_pressure"
        return StateUnits(**chosen, site_pressure_pa=read_site_pressure(as_text(site_pressure, "pressure")))
    except BadValue as error:
        raise refused(name, error) from None


def _temperatures(coldest: Quantity | None, warmest: Quantity | None, step: Quantity | None, system: str) -> Floats:
    """The temperatures asked for [K]."""
    from tablegen.tables.reference_tables import row_count, temperature_grid

    usual = _RANGES[system]
    coldest_k = in_si("coldest", usual[0] if coldest is None else coldest, "temperature")
    warmest_k = in_si("warmest", usual[1] if warmest is None else warmest, "temperature")
    step = usual[2] if step is None else step
    step_k = in_si("step", step, "temperature difference")
    if not step_k > 0.0:
        raise RequestError(wording.STEP_ABOVE_ZERO(value=repr(step)))
    if warmest_k < coldest_k:
        raise RequestError(wording.WRONG_RANGE(coldest=both_scales(coldest_k), warmest=both_scales(warmest_k)))
    count = row_count(coldest_k, warmest_k, step_k)
    if count > _MAX_ROWS:
        raise RequestError(wording.TOO_MANY_ROWS(value=repr(step), count=count, maximum=_MAX_ROWS))
    return temperature_grid(coldest_k, warmest_k, step_k)
