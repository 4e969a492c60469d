"""One valve while the head pressure floats, as a table.

>>> import tablegen
>>> sweep = tablegen.head_sweep(
...     "alder", "45", "R448A", sst="24 degF", load="9 kBtu/h", application="walk_in_medium"
... )
>>> at = sweep.set_index("condition")["opening [%]"]
>>> bool(at["low_head"] > 2.0 * at["high_head"])
True
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.answers.case import Case
from tablegen.api._asked_sst import asked_sst
from tablegen.api._inputs import LOAD_RANGE, Quantity, Units, check_units, given, in_si, loader_for
from tablegen.config.case_catalogue import load_case
from tablegen.model.names import asked_refrigerant

if TYPE_CHECKING:
    import pandas as pd

# Column, its quantity, and that of the frame in SI.
_COLUMNS = (
    ("liquid_temperature", "temperature", "liquid_temperature_k"),
    ("pressure_drop", "pressure difference", "pressure_drop_pa"),
    ("mass_flow", "mass flow", "mass_flow_kg_s"),
    ("capacity", "load", "capacity_w"),
    ("required_kv", "flow coefficient", "required_kv_m3h"),
)
_SUPERHEAT = ("superheat", "temperature difference", "superheat_k")
_LIMITS = (("min_load", "load", "min_load_w"), ("max_load", "load", "max_load_w"))


def head_sweep(
    family: str,
    size: str,
    refrigerant: str,
    *,
    sst: Quantity | None = None,
    box: Quantity | None = None,
    coil_difference: Quantity | None = None,
    load: Quantity | None = None,
    application: str | None = None,
    overrides: Sequence[str] = (),
    catalogue: str | Path | None = None,
    units: Units = "IP",
) -> pd.DataFrame:
    """What a system asks of one valve, and what the valve does, from the lowest head pressure to the highest.

    Parameters
    ----------
    family, size : str
        The valve.
    refrigerant : str
        One refrigerant of the catalogue.
    sst : str or float
        Saturated suction temperature, dew: "24 degF", or [K].
    box : str or float, optional
        Box (room) temperature instead of the SST: "34 degF", or [K]; the SST is the box temperature minus the coil
        temperature difference.
    coil_difference : str or float, optional
        That difference (TD): "10 delta_degF", or [K]; without it the application's own.
    load : str or float
        Gross capacity at the rating point: "11 kBtu/h", or [W].
    application : str, optional
        An application of the catalogue; without it the only one that covers the suction temperature.
    overrides : sequence of str
        Other values for keys of the application: "low_head.head_pressure=120 psi_gauge".
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo.
    units : "IP" or "SI"
        Units of the columns, named in their headings.

    Returns
    -------
    DataFrame
        One row per head pressure; `condition` names the operating conditions and is empty between them. Liquid
        temperature and pressure drop are those at the valve, capacity is what the compressor does there, min_load and
        max_load are what the valve covers at that head pressure alone, `zone` is what it does with the load.

    Raises
    ------
    RequestError
        If a quantity cannot be read, a name is not in the catalogue, a rule of the catalogue leaves the case out, or a
        condition cannot be computed.
    ConfigError
        If the catalogue or an override cannot be used.
    """
    import pandas as pd

    from tablegen.answers.swept_heads import swept_heads
    from tablegen.api._printed_columns import printed_column

    check_units(units)
    name, asked = asked_refrigerant(refrigerant), asked_sst(sst, box, coil_difference)
    load_w = in_si("load", load, "load", LOAD_RANGE)
    own = load_case(loader_for(catalogue, name), name, asked, application, overrides)
    site_pa = own.catalogue.applications[own.application].site_pressure_pa
    found = swept_heads(
        own.catalogue,
        Case(name, own.sst_k, load_w, own.application),
        given("family", family),
        given("size", size),
    )

    def printed(columns: Sequence[tuple[str, str, str]]) -> list[pd.Series[float]]:
        return [
            printed_column(column, quantity, found[in_si_units], units) for column, quantity, in_si_units in columns
        ]

    head = printed_column("head_pressure", "pressure gauge", found["head_pressure_pa"] - site_pa, units)
    opening = (100.0 * found["opening"]).rename("opening [%]")
    parts = [found["condition"], head, *printed(_COLUMNS), opening, *printed((_SUPERHEAT, *_LIMITS)), found["zone"]]
    return pd.concat(parts, axis=1)
