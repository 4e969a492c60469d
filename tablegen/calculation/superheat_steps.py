"""Steps of the maximum superheat: stated, a share of the coil's temperature difference, or what a lost share allows."""

from __future__ import annotations

import numpy as np

from tablegen.calculation.formula import text_of
from tablegen.calculation.steps import Calculation
from tablegen.physics import equations as eq
from tablegen.physics.coil import wetted_share
from tablegen.physics.state import SolvedState
from tablegen.physics.system import SuctionResponse, SystemInputs
from tablegen.wording import calculation as wording


def maximum_superheat(w: Calculation, system: SystemInputs, item: SolvedState) -> None:
    """The maximum superheat at a state, under the name of SH_max."""
    limits = system.superheat
    if limits.max_k is not None:
        w.given("SH_max", limits.max_k, "superheat.maximum")
        return
    _difference(w, system, item)
    if limits.max_share is not None:
        w.given("k_SH", limits.max_share, "superheat.maximum_share")
        w.step("SH_max", "k_SH * TD", wording.DEFINITION)
        return
    assert limits.capacity_loss is not None
    assert system.coil is not None
    w.given("q_loss", limits.capacity_loss, "superheat.coil_capacity_loss")
    w.given("r_c", system.coil.conductance_ratio, "coil.conductance_ratio")
    if "h_d" not in w.values:
        w.step("h_d", "h_dew(T_e)", wording.EQUATION_OF_STATE)
    w.step("h_a", "h_vap(T_e + TD, p_e)", wording.EQUATION_OF_STATE)
    w.step("a", text_of(eq.vapor_heat_ratio, h_s="h_d"), wording.ENERGY_BALANCE)
    w.step("B", text_of(eq.dry_transfer_units), wording.TWO_ZONES)
    # The solver's own, so that the last digit is the same.
    state = item.state
    w.known(z_w=wetted_share(state.dry_transfer_units, state.vapor_heat_ratio, limits.capacity_loss))
    w.step("SH_max", text_of(eq.dry_end_superheat, z="z_w"), wording.TWO_ZONES, wording.WETTED_BELOW())
    w.step("q_w", text_of(eq.coil_capacity, z="z_w", SH="SH_max"), wording.ENERGY_BALANCE, wording.IS_LOSS())


def _difference(w: Calculation, system: SystemInputs, item: SolvedState) -> None:
    """The coil's temperature difference at a state."""
    if "DT" not in w.values:
        w.given("DT", system.box_difference_k or np.nan, "suction.box_difference", "coil_temperature_difference")
    if item.response is SuctionResponse.BALANCED:
        w.step("TD", text_of(eq.coil_difference), wording.DEFINITION, wording.BOX_STAYS())
    else:
        w.step("TD", "DT", wording.DEFINITION)
