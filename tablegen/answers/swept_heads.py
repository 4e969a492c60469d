"""One valve while the head pressure goes from its lowest to its highest: what the system asks for, and what the valve does."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tablegen.answers.case import Case
from tablegen.answers.existing_valve import InstalledValve, System
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue
from tablegen.model.names import family_of, size_of
from tablegen.model.offer import offered_families
from tablegen.model.solving import law_of
from tablegen.physics.operating import flow_per_watt
from tablegen.sweep.head_sweep import head_lines, states_along
from tablegen.wording import input_errors


def swept_heads(catalogue: Catalogue, case: Case, family_name: str, size_name: str) -> pd.DataFrame:
    """The states of one refrigerant at full flow, and a valve in them with the load of the case.

    Parameters
    ----------
    catalogue : Catalogue
    case : Case
        Of one refrigerant, not of a group.
    family_name, size_name : str
        The valve, with the charge that its family offers for the case.

    Returns
    -------
    DataFrame
        A row for each head pressure, the operating conditions among them (`condition`, empty between them), in SI.
        Minimum and maximum load [W at the rating point] are what the valve covers at that head pressure alone, on
        every side of the window; opening [1] and superheat [K] are NaN beyond the mechanical stop.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, the family is not offered for the case, or a condition cannot be computed.
    """
    if case.refrigerant not in catalogue.refrigerants:
        raise RequestError(unknown(input_errors.A_REFRIGERANT(), case.refrigerant, catalogue.refrigerants))
    family = family_of(catalogue.families, family_name)
    offered_families(catalogue, case.refrigerant, case.application, family.name)
    size = size_of(family, size_name)
    element = family.with_design_of(size.name).element_for(
        case.refrigerant, catalogue.applications[case.application].temperature_range
    )
    assert element is not None, "a family without a charge for a case is not offered"
    installed = InstalledValve(System(catalogue, case), family, size, element)
    member, law, load = installed.member, law_of(family), case.load_w / size.kv_rated_m3h
    line, *_ = head_lines(member)
    heads = line.grid_pa
    states = states_along(member, [line], heads)
    [item] = states.items
    state = item.state
    point = states.operating_point(installed.valve, law, load)
    limits = installed.sweep.narrowed(installed.narrowing(size)).limits_at(heads)
    required_kv = law.required_kv(item, states.rated, member.refrigerant)
    condition = np.full(heads.size, "", dtype=object)
    for own in member.system.conditions:
        condition[int(np.abs(heads - own.head.pressure(member.refrigerant)).argmin())] = own.condition.value
    return pd.DataFrame(
        {
            "condition": condition,
            "head_pressure_pa": heads,
            "liquid_temperature_k": state.liquid_temperature_k,
            "pressure_drop_pa": state.pressure_drop_pa,
            "mass_flow_kg_s": flow_per_watt(state, states.rated) * case.load_w,
            "capacity_w": state.capacity_ratio * case.load_w,
            "required_kv_m3h": required_kv * case.load_w,
            "opening": point.opening,
            "superheat_k": point.superheat_k,
            "min_load_w": limits.min_load_w * size.kv_rated_m3h,
            "max_load_w": limits.max_load_w * size.kv_rated_m3h,
            "zone": installed.sweep.zones_at(heads, load),
        }
    )
