"""One refrigerant, or one case: windows, valves that fit, a converted capacity.

>>> import tablegen
>>> table = tablegen.windows("R448A", "walk_in_medium", family="alder")
>>> row = table[(table["size"] == "45") & (table["sst [degF]"] == 24.0)].iloc[0]
>>> print(f"{row['min_load [kBtu/h]']:.2f} to {row['max_load [kBtu/h]']:.1f} kBtu/h")
6.34 to 15.9 kBtu/h
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from tablegen.answers.case import Case
from tablegen.answers.convert import Stated, convert_capacity
from tablegen.answers.existing_valve import ValveOperation
from tablegen.answers.pick import pick as pick_valves
from tablegen.answers.retrofit import Fitted
from tablegen.answers.retrofit import retrofit as retrofitted
from tablegen.api._inputs import (
    Quantity,
    Units,
    case_catalogue,
    check_units,
    formatter_for,
    loaded,
    path_of,
    quantity,
)
from tablegen.confidence.confident_limits import scattered_in
from tablegen.errors import RequestError, unknown
from tablegen.model.names import refrigerant_name
from tablegen.model.offer import offered_families
from tablegen.model.solving import laws_of, solve
from tablegen.physics.system import Basis
from tablegen.report.answer import Answer
from tablegen.report.answers.convert import answer_of_conversion
from tablegen.report.answers.pick import answer_of_pick
from tablegen.systems import read_systems
from tablegen.units import print_unit
from tablegen.wording import input_errors as wording

if TYPE_CHECKING:
    import pandas as pd

# Units in headings, spelled as in configs.
_SPELLED = {"°F": "degF", "°C": "degC"}


def windows(
    refrigerant: str,
    application: str,
    *,
    family: str | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """The load windows of one refrigerant in one application.

    Parameters
    ----------
    refrigerant, application : str
        Names in the catalogue.
    family : str, optional
        One family; without it all of the catalogue.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI"
        Units of the columns, named in their headings.

    Returns
    -------
    DataFrame
        One row per family offered, size and suction temperature: limits (not rounded; NaN with a reason where the
        window is empty), and the operating condition and reason that set each.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, or a rule of the catalogue leaves the case out.
    ConfigError
        If the catalogue cannot be used.
    """
    import pandas as pd

    from tablegen.sweep.frames import windows_frame

    check_units(units)
    whole, refrigerant = loaded(catalogue), refrigerant_name(refrigerant)
    if refrigerant not in whole.refrigerants:
        raise RequestError(unknown(wording.A_REFRIGERANT(), refrigerant, whole.refrigerants))
    families = offered_families(whole, refrigerant, application, family)
    solved = solve(whole.refrigerants[refrigerant], whole.applications[application], laws_of(families))
    scattered = scattered_in(whole)
    frame = pd.concat([windows_frame(f, solved, scattered) for f in families], ignore_index=True)
    load, load_in = _printed("load", units)
    degrees, temperature_in = _printed("temperature", units)
    return pd.DataFrame(
        {
            "family": frame["family"],
            "size": frame["size"],
            "kv_rated [m3/h]": frame["kv_rated_m3h"],
            "charge": frame["charge"],
            # The grid of the config, through kelvin and back: 24 degF is 24, not 24.0000000001.
            f"sst [{degrees}]": frame["sst_k"].map(lambda kelvin: round(temperature_in(kelvin), 9)),
            f"min_load [{load}]": frame["min_load_w"].map(load_in),
            f"max_load [{load}]": frame["max_load_w"].map(load_in),
            "min_condition": frame["min_condition"],
            "min_reason": frame["min_reason"],
            "max_condition": frame["max_condition"],
            "max_reason": frame["max_reason"],
        }
    )


def pick(
    refrigerant: str,
    *,
    sst: Quantity,
    load: Quantity,
    application: str | None = None,
    family: str | None = None,
    overrides: Sequence[str] = (),
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """The valves that cover one load, those with the largest margin first, and why others do not.

    Parameters
    ----------
    refrigerant : str
        One refrigerant, or a group of the catalogue.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    load : str or float
        Gross capacity at the rating point: "20 kBtu/h", "5.9 kW", or [W].
    application : str, optional
        An application of the catalogue; without it the only one that covers the suction temperature.
    family : str, optional
        One family; without it all that are offered.
    overrides : sequence of str
        Other values for keys of the application: "losses.lift=20 ft".
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row for every size of every family offered, in SI.

    Raises
    ------
    RequestError
        If a quantity cannot be read, a name is not in the catalogue, a rule of the catalogue leaves the case out, or the
        application does not cover the suction temperature.
    ConfigError
        If the catalogue or an override cannot be used.

    Examples
    --------
    >>> answer = pick("R448A", sst="24 degF", load="20 kBtu/h", application="walk_in_medium")
    >>> sizes = answer.frame().query("verdict == 'fits'").sort_values("margin", ascending=False)
    >>> sizes[["family", "size"]].head(2).to_numpy().tolist()
    [['hazel', '250'], ['hazel', '400']]
    """
    refrigerant, sst_k, load_w = (
        refrigerant_name(refrigerant),
        quantity("sst", sst, "temperature"),
        quantity("load", load, "load"),
    )
    own = case_catalogue(catalogue, refrigerant, sst_k, application, overrides)
    picked = pick_valves(own.catalogue, Case(refrigerant, sst_k, load_w, own.application), family)
    return answer_of_pick(
        own.catalogue,
        picked,
        formatter_for(own.catalogue, units),
        was_chosen=own.was_chosen,
        overrides=overrides,
    )


def convert(
    refrigerant: str,
    *,
    capacity: Quantity,
    condensing: Quantity,
    basis: Literal["bubble", "dew", "mid"],
    sst: Quantity,
    subcooling: Quantity | None = None,
    liquid: Quantity | None = None,
    stated_sst: Quantity | None = None,
    back: bool = False,
    application: str | None = None,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """A capacity that is stated at other temperatures, converted to the rating point of an application.

    Parameters
    ----------
    refrigerant : str
    capacity : str or float
        Stated gross capacity: "20 kBtu/h", or [W]; with `back` the capacity at the rating point.
    condensing : str or float
        Stated condensing temperature: "95 degF", or [K].
    basis : "bubble", "dew" or "mid"
        What the condensing temperature means.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    subcooling : str or float, optional
        Of the liquid at the stated condition, below its bubble point: "9 delta_degF", or [K].
    liquid : str or float, optional
        Temperature of that liquid instead of its subcooling: "80 degF", or [K].
    stated_sst : str or float, optional
        Suction temperature at the stated condition, if another: "20 degF", or [K].
    back : bool
        Convert from the rating point to the stated condition instead.
    application, catalogue, units
        As `pick`.

    Returns
    -------
    Answer
        Its facts have both capacities [W] and the factor [1]; its frame both conditions, in SI.

    Raises
    ------
    RequestError
        As `pick`; also if not exactly one of `subcooling` and `liquid` is given, or a state cannot be computed.
    ConfigError
        If the catalogue cannot be used.

    Examples
    --------
    >>> answer = convert("R448A", capacity="20 kBtu/h", condensing="95 degF", basis="bubble", subcooling=5.0,
    ...                  sst="24 degF", application="walk_in_medium")
    >>> print(f"{answer.record()['factor']:.3f}")
    0.925
    """
    refrigerant, sst_k = refrigerant_name(refrigerant), quantity("sst", sst, "temperature")
    capacity_w = quantity("capacity", capacity, "load")
    if (subcooling is None) == (liquid is None):
        raise RequestError(wording.ONE_OF_TWO(first="subcooling", second="liquid"))
    if basis not in list(Basis):
        raise RequestError(unknown(wording.A_BASIS(), basis, list(Basis)))
    stated = Stated(
        sst_k=sst_k if stated_sst is None else quantity("stated_sst", stated_sst, "temperature"),
        condensing_k=quantity("condensing", condensing, "temperature"),
        basis=Basis(basis),
        subcooling_k=0.0 if subcooling is None else quantity("subcooling", subcooling, "temperature difference"),
        liquid_k=None if liquid is None else quantity("liquid", liquid, "temperature"),
    )
    own = case_catalogue(catalogue, refrigerant, sst_k, application, ())
    found = convert_capacity(own.catalogue, refrigerant, own.application, sst_k, stated, capacity_w, back)
    return answer_of_conversion(own.catalogue, found, formatter_for(own.catalogue, units), was_chosen=own.was_chosen)


def retrofit(
    family: str,
    size: str,
    *,
    refrigerant: str,
    sst: Quantity,
    load: Quantity,
    application: str | None = None,
    overrides: Sequence[str] = (),
    was: str | None = None,
    was_load: Quantity | None = None,
    was_application: str | None = None,
    was_overrides: Sequence[str] = (),
    charge: str | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """How an existing valve operates on a new system, and how it did on the one that it was selected for.

    Parameters
    ----------
    family, size : str
        The existing valve.
    refrigerant : str
        In the new system.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    load : str or float
        Gross capacity at the rating point: "20 kBtu/h", or [W].
    application : str, optional
        Of the new system; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of that application: "losses.lift=20 ft".
    was : str, optional
        Refrigerant of the old system; without it the same.
    was_load : str or float, optional
        Load of the old system: "20 kBtu/h", or [W]; without it the same.
    was_application : str, optional
        Of the old system; without it the same.
    was_overrides : sequence of str
        Other values for keys of the old application.
    charge : str, optional
        The bulb charge in the valve; without it the one offered for the old system.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI"
        Units of the columns, named in their headings.

    Returns
    -------
    DataFrame
        One row per zone of the head pressure, "before" and "after": its gauge pressures, the zone and its reason, the
        smallest margin in it (as in `pick`), static superheat at the suction temperature, and the loads that are
        covered at every head pressure (NaN where there are none).

    Raises
    ------
    RequestError
        As `pick`; also if the valve's family is not approved for the refrigerant, or a condition cannot be computed.
    ConfigError
        As `pick`.
    """
    new, old = read_systems(
        path_of(catalogue),
        refrigerant_name(refrigerant),
        quantity("sst", sst, "temperature"),
        quantity("load", load, "load"),
        application,
        overrides,
        was=None if was is None else refrigerant_name(was),
        was_load_w=None if was_load is None else quantity("was_load", was_load, "load"),
        was_application=was_application,
        was_overrides=was_overrides,
    )
    import pandas as pd

    answer, _ = retrofitted(Fitted(family, size, charge), new, old)
    sides = {"before": answer.before, "after": answer.after}
    rows = [row for name, side in sides.items() if side is not None for row in _zone_rows(name, side, units)]
    return pd.DataFrame(rows)


def _zone_rows(name: str, served: ValveOperation, units: Units) -> list[dict[str, object]]:
    load, step, gauge = (_printed(kind, units) for kind in ("load", "temperature difference", "pressure gauge"))
    degrees = f"delta_{step[0]}" if units == "IP" else "K"
    pressure = gauge[0].replace(" ", "_")
    return [
        {
            "system": name,
            "refrigerant": served.refrigerant,
            "application": served.application,
            f"from [{pressure}]": gauge[1](zone.from_pa - served.site_pressure_pa),
            f"to [{pressure}]": gauge[1](zone.to_pa - served.site_pressure_pa),
            "zone": zone.zone,
            "reason": zone.reason,
            "margin": zone.margin,
            f"static_superheat [{degrees}]": step[1](served.static_superheat_k),
            f"min_load [{load[0]}]": load[1](served.min_w),
            f"max_load [{load[0]}]": load[1](served.max_w),
        }
        for zone in served.zones
    ]


def _printed(quantity_name: str, units: Units) -> tuple[str, Callable[[float], float]]:
    """A unit as headings spell it, and what takes SI values to it."""
    unit = print_unit(quantity_name, units)
    return _SPELLED.get(unit.label, unit.label), lambda value: math.nan if math.isnan(value) else unit.of(float(value))
