"""The package from Python: tables and single cases as pandas frames whose columns name their units.

>>> import tablegen
>>> table = tablegen.windows("R448A", "walk_in_medium", family="alder")
>>> row = table[(table["size"] == "45") & (table["SST [degF]"] == 24.0)].iloc[0]
>>> print(f"{row['minimum load [kBtu/h]']:.2f} to {row['maximum load [kBtu/h]']:.1f} kBtu/h")
6.34 to 15.9 kBtu/h
>>> found = tablegen.pick("R448A", sst="24 degF", load="20 kBtu/h", application="walk_in_medium")
>>> found.loc[found["verdict"] == "fits", ["family", "size"]].head(2).to_numpy().tolist()
[['hazel', '250'], ['hazel', '400']]
>>> alder = tablegen.pick("R448A", sst="24 degF", load="20 kBtu/h", application="walk_in_medium",
...                       family="alder", units="SI")
>>> print(f"{alder['margin'].max():.2f}")
1.58
>>> kept = tablegen.retrofit("alder", "63", refrigerant="R404A", sst="24 degF", load="14 kBtu/h",
...                          application="walk_in_medium", was_application="walk_in_medium_fixed",
...                          overrides=["low_head.head_pressure=120 psi_gauge"])
>>> kept.loc[kept["system"] == "after", "zone"].to_list()
['starved', 'steady']
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal

import pandas as pd

from tablegen.answers.case import Case
from tablegen.answers.existing_valve import Served
from tablegen.answers.pick import Candidate
from tablegen.answers.pick import pick as picked_for
from tablegen.answers.retrofit import Fitted
from tablegen.answers.retrofit import retrofit as retrofitted
from tablegen.confidence.confident_limits import scattered_in
from tablegen.config import packaged_configs
from tablegen.config.case_catalogue import load_case, load_with
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.names import refrigerant_name
from tablegen.model.offer import offered_families
from tablegen.model.solving import laws_of, solve
from tablegen.sweep.frames import windows_frame
from tablegen.systems import read_systems
from tablegen.units import print_unit, to_si

Units = Literal["IP", "SI"]
# How frames spell a unit: as configs do.
_SPELT = {"°F": "degF", "°C": "degC"}
_HEADS = {"low_head": "low head", "high_head": "high head"}


def windows(
    refrigerant: str,
    application: str,
    *,
    family: str | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """The windows of one refrigerant in one application.

    Parameters
    ----------
    refrigerant, application : str
        Names in the catalogue.
    family : str, optional
        One family; all of the catalogue without it.
    catalogue : path, optional
        A catalogue file; the packaged demo without it.
    units : "IP" or "SI"
        Of the columns.

    Returns
    -------
    DataFrame
        One row per family offered, size and suction temperature: limits (not rounded; NaN with a reason where the
        window is empty), and the head and reason that set each.

    Raises
    ------
    RequestError, ConfigError
        If a name is not in the catalogue, a rule of the catalogue leaves the case out, or the catalogue cannot be used.
    """
    loaded, refrigerant = _loaded(catalogue, None, ()), refrigerant_name(refrigerant)
    if refrigerant not in loaded.refrigerants:
        raise RequestError(unknown("a refrigerant", refrigerant, loaded.refrigerants))
    families = offered_families(loaded, refrigerant, application, family)
    solved = solve(loaded.refrigerants[refrigerant], loaded.applications[application], laws_of(families))
    scattered = scattered_in(loaded)
    frame = pd.concat([windows_frame(f, solved, scattered) for f in families], ignore_index=True)
    load, degrees = _unit("load", units), _unit("temperature", units)
    return pd.DataFrame(
        {
            "family": frame["family"],
            "size": frame["size"],
            "Kv [m3/h]": frame["kv_rated_m3h"],
            "charge": frame["charge"],
            f"SST [{degrees[0]}]": _rounded(frame["sst_k"], degrees[1]),
            f"minimum load [{load[0]}]": frame["min_load_w"].map(load[1]),
            f"maximum load [{load[0]}]": frame["max_load_w"].map(load[1]),
            "minimum set at": frame["min_condition"],
            "minimum set by": frame["min_reason"],
            "maximum set at": frame["max_condition"],
            "maximum set by": frame["max_reason"],
        }
    )


def pick(
    refrigerant: str,
    *,
    sst: str,
    load: str,
    application: str | None = None,
    family: str | None = None,
    overrides: Sequence[str] = (),
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """Every size offered for one case, those that fit first, by their margin.

    Parameters
    ----------
    refrigerant : str
        One refrigerant, or a group of the catalogue.
    sst, load : str
        Saturated suction temperature (dew) and gross capacity at the rating point, with units: "24 degF", "5.9 kW".
    application : str, optional
        An application of the catalogue; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of the application, as "losses.lift=20 ft".
    family, catalogue, units
        As `windows`.

    Returns
    -------
    DataFrame
        One row per size: verdict ("fits", "too_small", "too_large", "no_window"), window, place in it [1], margin (the
        smaller of load over minimum and maximum over load), opening [1] and superheat at the low and the high head.

    Raises
    ------
    RequestError, ConfigError, BadValue
        As `windows`, and for a suction temperature that the application does not cover; BadValue for a quantity that
        cannot be read.
    """
    sst_k, load_w = to_si(sst, "temperature"), to_si(load, "load")
    refrigerant = refrigerant_name(refrigerant)
    own = load_case(lambda e, o: _loaded(catalogue, e, tuple(o)), refrigerant, sst_k, application, overrides)
    found = picked_for(own.catalogue, Case(refrigerant, sst_k, load_w, own.application), family)
    ordered = [*found.fitting, *(c for c in found.candidates if c.verdict != "fits")]
    return pd.DataFrame([_row(candidate, units) for candidate in ordered])


def retrofit(
    family: str,
    size: str,
    *,
    refrigerant: str,
    sst: str,
    load: str,
    application: str | None = None,
    overrides: Sequence[str] = (),
    was: str | None = None,
    was_load: str | None = None,
    was_application: str | None = None,
    was_overrides: Sequence[str] = (),
    charge: str | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """What an existing valve does on a new system, and did on the one that it was bought for if that is told.

    Parameters
    ----------
    family, size : str
        The existing valve.
    refrigerant, sst, load, application, overrides
        The new system, as `pick`.
    was, was_load, was_application, was_overrides : optional
        What differed in the old one.
    charge : str, optional
        The bulb charge in the valve; that offered for the old system without it.
    catalogue, units
        As `windows`.

    Returns
    -------
    DataFrame
        One row per zone of the head, "before" and "after": its gauge pressures, the zone's name and reason, the room
        at its worst head (as a margin of `pick`), static superheat at the suction temperature, and the loads that are
        held at every head (NaN where there are none).

    Raises
    ------
    RequestError, ConfigError, BadValue
        As `pick`, if the valve's family is not approved for the refrigerant, and if a condition cannot be computed.
    """
    path = packaged_configs() / "catalogue.yaml" if catalogue is None else Path(catalogue)
    new, old = read_systems(
        path,
        refrigerant_name(refrigerant),
        to_si(sst, "temperature"),
        to_si(load, "load"),
        application,
        overrides,
        was=None if was is None else refrigerant_name(was),
        was_load_w=None if was_load is None else to_si(was_load, "load"),
        was_application=was_application,
        was_overrides=was_overrides,
    )
    answer, _ = retrofitted(Fitted(family, size, charge), new, old)
    sides = {"before": answer.before, "after": answer.after}
    rows = [row for name, side in sides.items() if side is not None for row in _zone_rows(name, side, units)]
    return pd.DataFrame(rows)


def _zone_rows(name: str, served: Served, units: Units) -> list[dict[str, object]]:
    load, step, gauge = (_unit(kind, units) for kind in ("load", "temperature difference", "pressure gauge"))
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
            f"static superheat [{degrees}]": step[1](served.static_superheat_k),
            f"minimum load held [{load[0]}]": load[1](served.min_w),
            f"maximum load held [{load[0]}]": load[1](served.max_w),
        }
        for zone in served.zones
    ]


def _row(candidate: Candidate, units: Units) -> dict[str, object]:
    load, step = _unit("load", units), _unit("temperature difference", units)
    row: dict[str, object] = {
        "family": candidate.family,
        "size": candidate.size,
        "verdict": candidate.verdict,
        f"minimum load [{load[0]}]": load[1](candidate.minimum.load_w),
        f"maximum load [{load[0]}]": load[1](candidate.maximum.load_w),
        "place": candidate.place,
        "margin": candidate.margin,
        "minimum set by": candidate.minimum.reason,
        "maximum set by": candidate.maximum.reason,
    }
    heads = {head.condition: head for head in candidate.heads}
    for condition, formatter in _HEADS.items():
        head = heads.get(condition)
        row[f"opening at {formatter}"] = head.opening if head else math.nan
        row[f"superheat at {formatter} [delta_{step[0]}]" if units == "IP" else f"superheat at {formatter} [K]"] = (
            step[1](head.superheat_k) if head else math.nan
        )
    return row


@functools.lru_cache(maxsize=8)
def _loaded(catalogue: str | Path | None, application: str | None, overrides: tuple[str, ...]) -> Catalogue:
    """A catalogue once for all calls that ask for it; a file that changes meanwhile needs a new process."""
    path = packaged_configs() / "catalogue.yaml" if catalogue is None else Path(catalogue)
    return load_with(path, application, overrides)


def _unit(quantity: str, units: Units) -> tuple[str, Callable[[float], float]]:
    if units not in ("IP", "SI"):
        raise RequestError(unknown("a unit system", units, ("IP", "SI")))
    unit = print_unit(quantity, units)
    return _SPELT.get(unit.label, unit.label), lambda value: math.nan if math.isnan(value) else unit.of(value)


def _rounded(values: pd.Series, convert: Callable[[float], float]) -> pd.Series:
    """A grid of the config through kelvin and back: 24 degF is 24, not 24.0000000001."""
    found: pd.Series = values.map(lambda v: round(convert(float(v)), 9))
    return found
