"""The package from Python: tables and single cases as pandas frames whose columns name their units.

>>> import tablegen
>>> table = tablegen.windows("R448A", "walk_in_medium", family="alder")
>>> row = table[(table["size"] == "45") & (table["SST [degF]"] == 24.0)].iloc[0]
>>> print(f"{row['least load [kBtu/h]']:.2f} to {row['greatest load [kBtu/h]']:.1f} kBtu/h")
6.34 to 15.9 kBtu/h
>>> found = tablegen.pick("R448A", sst="24 degF", load="20 kBtu/h", envelope="walk_in_medium")
>>> found.loc[found["verdict"] == "fits", ["family", "size"]].head(2).to_numpy().tolist()
[['hazel', '250'], ['hazel', '400']]
>>> alder = tablegen.pick("R448A", sst="24 degF", load="20 kBtu/h", family="alder", units="SI")
>>> print(f"{alder['margin'].max():.2f}")
1.58
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal

import pandas as pd

from tablegen.catalogue.inputs import Catalogue
from tablegen.catalogue.scatter.tables import scattered_in
from tablegen.catalogue.solving import laws_of, solve
from tablegen.catalogue.sweep import windows_frame
from tablegen.config.overrides import load_with
from tablegen.config.starter import packaged_configs
from tablegen.desk.case import Case, families_of
from tablegen.desk.pick import Candidate
from tablegen.desk.pick import pick as picked_for
from tablegen.errors import RequestError, unknown
from tablegen.units import print_unit, to_si

Units = Literal["IP", "SI"]
# How frames spell a unit: as configs do.
_SPELT = {"°F": "degF", "°C": "degC"}
_HEADS = {"low_head": "low head", "high_head": "high head"}


def windows(
    refrigerant: str,
    envelope: str,
    *,
    family: str | None = None,
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """The windows of one refrigerant in one envelope.

    Parameters
    ----------
    refrigerant, envelope : str
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
        One row per family, size and suction temperature: limits (not rounded; NaN with a reason where the window is
        empty), and the head and reason that set each.

    Raises
    ------
    RequestError, ConfigError
        If a name is not in the catalogue, or the catalogue cannot be used.
    """
    loaded, _ = _loaded(catalogue, None, ())
    if refrigerant not in loaded.refrigerants:
        raise RequestError(unknown("a refrigerant", refrigerant, loaded.refrigerants))
    if envelope not in loaded.applications:
        raise RequestError(unknown("an envelope", envelope, loaded.applications))
    families = families_of(loaded, family)
    solved = solve(loaded.refrigerants[refrigerant], loaded.applications[envelope], laws_of(families))
    scattered = scattered_in(loaded)
    frame = pd.concat([windows_frame(f, solved, scattered) for f in families], ignore_index=True)
    load, degrees = _unit("load", units), _unit("temperature", units)
    return pd.DataFrame({
        "family": frame["family"], "size": frame["size"], "Kv [m3/h]": frame["kv_rated_m3h"],
        "charge": frame["charge"], f"SST [{degrees[0]}]": _rounded(frame["sst_k"], degrees[1]),
        f"least load [{load[0]}]": frame["min_load_w"].map(load[1]),
        f"greatest load [{load[0]}]": frame["max_load_w"].map(load[1]),
        "least set at": frame["min_extreme"], "least set by": frame["min_reason"],
        "greatest set at": frame["max_extreme"], "greatest set by": frame["max_reason"],
    })  # fmt: skip


def pick(
    refrigerant: str,
    *,
    sst: str,
    load: str,
    envelope: str | None = None,
    family: str | None = None,
    overrides: Sequence[str] = (),
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """Every size held against one case, those that fit first, by their room.

    Parameters
    ----------
    refrigerant : str
        One refrigerant, or a group of the catalogue.
    sst, load : str
        Saturated suction temperature (dew) and gross capacity at the rating point, with units: "24 degF", "5.9 kW".
    envelope : str, optional
        The catalogue's first without it.
    overrides : sequence of str
        Other values for keys of the envelope, as "losses.lift=20 ft".
    family, catalogue, units
        As `windows`.

    Returns
    -------
    DataFrame
        One row per size: verdict ("fits", "too_small", "too_large", "no_window"), window, place in it [1], margin (the
        smaller of load over least and greatest over load), opening [1] and superheat at the low and the high head.

    Raises
    ------
    RequestError, ConfigError, BadValue
        As `windows`; BadValue for a quantity that cannot be read.
    """
    loaded, name = _loaded(catalogue, envelope, tuple(overrides))
    case = Case(refrigerant, to_si(sst, "temperature"), to_si(load, "load"), name)
    found = picked_for(loaded, case, family)
    ordered = [*found.fitting, *(c for c in found.candidates if c.verdict != "fits")]
    return pd.DataFrame([_row(candidate, units) for candidate in ordered])


def _row(candidate: Candidate, units: Units) -> dict[str, object]:
    load, step = _unit("load", units), _unit("temperature difference", units)
    row: dict[str, object] = {
        "family": candidate.family, "size": candidate.size, "verdict": candidate.verdict,
        f"least load [{load[0]}]": load[1](candidate.least.load_w),
        f"greatest load [{load[0]}]": load[1](candidate.greatest.load_w),
        "place": candidate.place, "margin": candidate.margin,
        "least set by": candidate.least.reason, "greatest set by": candidate.greatest.reason,
    }  # fmt: skip
    heads = {head.extreme: head for head in candidate.heads}
    for extreme, words in _HEADS.items():
        head = heads.get(extreme)
        row[f"opening at {words}"] = head.opening if head else math.nan
        row[f"superheat at {words} [delta_{step[0]}]" if units == "IP" else f"superheat at {words} [K]"] = (
            step[1](head.superheat_k) if head else math.nan
        )
    return row


@functools.lru_cache(maxsize=8)
def _loaded(catalogue: str | Path | None, envelope: str | None, overrides: tuple[str, ...]) -> tuple[Catalogue, str]:
    """A catalogue once for all calls that ask for it; a file that changes meanwhile needs a new process."""
    path = packaged_configs() / "catalogue.yaml" if catalogue is None else Path(catalogue)
    return load_with(path, envelope, overrides)


def _unit(quantity: str, units: Units) -> tuple[str, Callable[[float], float]]:
    if units not in ("IP", "SI"):
        raise RequestError(unknown("a unit system", units, ("IP", "SI")))
    unit = print_unit(quantity, units)
    return _SPELT.get(unit.label, unit.label), lambda value: math.nan if math.isnan(value) else unit.of(value)


def _rounded(values: pd.Series, convert: Callable[[float], float]) -> pd.Series:
    """A grid of the config through kelvin and back: 24 degF is 24, not 24.0000000001."""
    found: pd.Series = values.map(lambda v: round(convert(float(v)), 9))
    return found
