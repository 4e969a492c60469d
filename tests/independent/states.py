"""The states of one refrigerant in one application, a state at a time."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from scipy.optimize import brentq

from .coil import maximum_superheat
from .compressor import Compressor
from .fluid import Fluid, OutOfRangeError
from .liquid import Liquid, LiquidLine, Supply, supplies
from .loop import CoilLoop
from .reading import maybe, number

CONDITIONS = ("low_head", "rating", "high_head")


@dataclass
class State:
    """One row of the states, less what the flow law adds; the names are the data set's columns."""

    sst_k: float
    suction_response: str
    condition: str
    limit: str
    step: float
    open_share: float = 1.0
    evaporating_temperature_k: float = math.nan
    evaporating_pressure_pa: float = math.nan
    coil_difference_k: float = math.nan
    suction_pressure_pa: float = math.nan
    head_pressure_pa: float = math.nan
    head_bubble_temperature_k: float = math.nan
    head_dew_temperature_k: float = math.nan
    condensing_bubble_pressure_pa: float = math.nan
    condensing_dew_pressure_pa: float = math.nan
    liquid_temperature_k: float = math.nan
    inlet_subcooling_k: float = math.nan
    condenser_subcooling_k: float = math.nan
    needed_subcooling_k: float = math.nan
    liquid_bubble_pressure_pa: float = math.nan
    inlet_pressure_pa: float = math.nan
    outlet_pressure_pa: float = math.nan
    pressure_drop_pa: float = math.nan
    liquid_density_kg_m3: float = math.nan
    inlet_quality: float = math.nan
    inlet_density_kg_m3: float = math.nan
    liquid_enthalpy_j_kg: float = math.nan
    vapor_enthalpy_j_kg: float = math.nan
    mixture_volume_m3_kg: float = math.nan
    flow_ratio: float = math.nan
    flow_share: float = math.nan
    capacity_ratio: float = math.nan
    max_superheat_k: float = math.nan
    dead_time_s: float = math.nan
    front_lag_s: float = math.nan
    wall_lag_s: float = math.nan
    wall_lead_s: float = math.nan
    reason: str = ""
    rated_effect: float = math.nan
    # Where it comes from.
    rating: Any = None
    supply: Supply | None = None


COLUMNS = tuple(f.name for f in fields(State) if f.name not in ("step", "rated_effect", "rating", "supply"))


class ApplicationStates:
    """All states of one refrigerant in one application."""

    def __init__(self, config: Mapping[str, Any], fluid: Fluid) -> None:
        self.config, self.fluid = config, fluid
        self.compressor = Compressor(config["compressor"], fluid)
        self.site = number(config["site_pressure"])
        losses = config["losses"]
        self.evaporator, self.distributor = (number(losses[key]) for key in ("evaporator", "distributor"))
        self.is_flashed = losses.get("distributor_scaling", "flashed_mixture") == "flashed_mixture"
        self.useful = number(config["superheat"]["useful"])
        self.suction_loss = number(config["suction"]["line_loss"])
        self.box = maybe(config["suction"].get("box_difference", config.get("coil_temperature_difference")))
        response = config["suction"]["response"]
        self.responses = ("constant", "balanced") if response == "stricter" else (response,)

    def head(self, condition: str) -> float:
        """Absolute head pressure [Pa]."""
        stated = self.config[condition]
        if "head_pressure" in stated:
            return number(stated["head_pressure"], self.site)
        t = number(stated["condensing_temperature"])
        dew, bubble = self.fluid.p_dew(t), self.fluid.p_bubble(t)
        if stated["basis"] != "mid":
            return dew if stated["basis"] == "dew" else bubble
        if dew == bubble:
            return dew

        def error(p: float) -> float:
            return 0.5 * (self.fluid.t_dew(p) + self.fluid.t_bubble(p)) - t

        return float(brentq(error, dew, bubble, xtol=1e-7, rtol=1e-14))

    def rows(self, sst: float) -> Iterator[State]:
        """States at one SST in the order in which reasons are looked for."""
        rating = _Rating(self, sst)
        for response in self.responses:
            for condition in CONDITIONS:
                both = supplies(self.config[condition])
                step = self.compressor.min_step
                if len(both) == 1 and step == 1.0:
                    yield rating.solve(State(sst, response, condition, "both", 1.0), both[0])
                else:
                    yield rating.solve(State(sst, response, condition, "max", 1.0), both[0])
                    yield rating.solve(State(sst, response, condition, "min", step), both[-1])
                    if len(both) == 2 and step < 1.0:
                        yield rating.solve(State(sst, response, condition, "min_full_flow", 1.0), both[-1])


class _Rating:
    """The rating point of one SST, and the states that are measured against it."""

    def __init__(self, application: ApplicationStates, sst: float) -> None:
        self.application, self.fluid = application, application.fluid
        at_compressor = application.config["suction"]["sst_at"] == "compressor"
        self.t_e = sst + application.suction_loss if at_compressor else sst
        self.flow = self.h = self.h_gas = self.volume = math.nan
        self.line = LiquidLine(application.config, self.fluid)
        self.coil: CoilLoop | None = None
        try:
            p_head = application.head("rating")
            if not application.compressor.is_constant_capacity:
                self.flow = application.compressor.flow(self.t_e - application.suction_loss, p_head)
            liquid = self.line.rated(p_head, supplies(application.config["rating"])[0])
            self.h = liquid.h
            p_e = self.fluid.p_dew(self.t_e)
            self.h_gas = self.fluid.gas(p_e, self.t_e + application.useful)[1]
            self.line.rated_rho, self.line.rated_effect = liquid.rho, self.h_gas - liquid.h
            self.volume = self.mixture(self.t_e, liquid.h)
            if "circuit_load" in application.config.get("coil", {}):
                self.coil = CoilLoop(application.config, self, self.fluid)
        except OutOfRangeError:
            pass

    def flow_ratio(self, t_e: float, p_head: float) -> float:
        """M."""
        e = self.application
        return e.compressor.flow(t_e - e.suction_loss, p_head) / self.flow

    def mixture(self, t_e: float, h: float) -> float:
        """Specific volume of the flashed liquid at the evaporating pressure [m3/kg]."""
        dew = self.fluid.saturated(t_e, 1)
        bubble = self.fluid.saturated(self.fluid.t_bubble(dew.p), 0)
        x = max((h - bubble.h) / (dew.h - bubble.h), 0.0)
        return x / dew.rho + (1.0 - x) / bubble.rho

    def solve(self, state: State, supply: Supply) -> State:
        """Fill one state."""
        state.rated_effect = self.h_gas - self.h
        state.rating, state.supply = self, supply
        try:
            self._fill_head(state)
            t_e = self.t_e if state.suction_response == "constant" else self._balance(state, supply)
            if math.isfinite(t_e):
                return self._fill(state, supply, t_e)
            state.reason = "no_balance"
        except OutOfRangeError:
            state.reason = "property_range"
        return state

    def _fill_head(self, state: State) -> None:
        state.head_pressure_pa = self.application.head(state.condition)
        state.head_bubble_temperature_k = self.fluid.t_bubble(state.head_pressure_pa)
        state.head_dew_temperature_k = self.fluid.t_dew(state.head_pressure_pa)
        stated = maybe(self.application.config[state.condition].get("condensing_temperature"))
        if math.isfinite(stated):
            state.condensing_bubble_pressure_pa = self.fluid.p_bubble(stated)
            state.condensing_dew_pressure_pa = self.fluid.p_dew(stated)
        if math.isnan(self.line.rated_rho) or math.isnan(self.h_gas) or math.isnan(self.volume):
            raise OutOfRangeError("the rating point")

    def _fill(self, state: State, supply: Supply, t_e: float) -> State:
        e, fluid, p_head = self.application, self.fluid, state.head_pressure_pa
        state.evaporating_temperature_k = t_e
        state.evaporating_pressure_pa = fluid.p_dew(t_e)
        # The box stays where it is.
        state.coil_difference_k = e.box + self.t_e - t_e
        state.suction_pressure_pa = fluid.p_dew(t_e - e.suction_loss)
        state.vapor_enthalpy_j_kg = fluid.gas(state.evaporating_pressure_pa, t_e + e.useful)[1]
        if e.compressor.is_constant_capacity:
            state.flow_ratio = self._ratio_at_constant_capacity(state, supply)
        else:
            state.flow_ratio = self.flow_ratio(t_e, p_head)
        state.flow_share = share = state.step * state.flow_ratio
        if math.isnan(share):
            state.reason = "compressor_map"
            return state
        return self._fill_pressures(state, self.line.solve(p_head, supply, share, share))

    def _fill_pressures(self, state: State, liquid: Liquid) -> State:
        e, fluid, share = self.application, self.fluid, state.flow_share
        state.liquid_temperature_k = liquid.t
        state.liquid_bubble_pressure_pa = liquid.bubble_p
        state.inlet_pressure_pa = liquid.p
        state.inlet_subcooling_k = (math.nan if math.isnan(liquid.p) else fluid.t_bubble(liquid.p)) - liquid.t
        state.condenser_subcooling_k = state.head_bubble_temperature_k - liquid.t + liquid.rise
        state.needed_subcooling_k = self.line.needed_subcooling(state.head_pressure_pa, share, liquid.rise)
        state.liquid_density_kg_m3, state.liquid_enthalpy_j_kg = liquid.rho, liquid.h
        state.inlet_quality, state.inlet_density_kg_m3 = liquid.quality, liquid.inlet_rho
        state.mixture_volume_m3_kg = self.mixture(state.evaporating_temperature_k, liquid.h)
        flashed = state.mixture_volume_m3_kg / self.volume if e.is_flashed else 1.0
        state.outlet_pressure_pa = (
            state.evaporating_pressure_pa + e.evaporator * share**2 + e.distributor * share**2 * flashed
        )
        state.pressure_drop_pa = state.inlet_pressure_pa - state.outlet_pressure_pa
        state.capacity_ratio = self._capacity(state.flow_ratio, state.vapor_enthalpy_j_kg, liquid.h)
        if e.compressor.is_constant_capacity:
            state.capacity_ratio = 1.0
        state.max_superheat_k = maximum_superheat(e.config, state, fluid)
        if self.coil is not None:
            state.dead_time_s, state.front_lag_s, state.wall_lag_s, state.wall_lead_s = self.coil.delays(state)
        if liquid.is_refused:
            state.reason = "flashing"
        elif state.pressure_drop_pa <= 0.0:
            state.reason = "no_pressure_drop"
        return state

    def open_phase(self, state: State, duty: float) -> State:
        """A state while a pulse-modulated valve is open: the same evaporator, and heat gain of the mean flow."""
        assert state.supply is not None
        made = replace(state, limit="max", flow_share=state.flow_share / duty, open_share=duty)
        if math.isnan(state.flow_share):
            return made
        made.reason = ""
        try:
            liquid = self.line.solve(state.head_pressure_pa, state.supply, made.flow_share, state.flow_share)
            return self._fill_pressures(made, liquid)
        except OutOfRangeError:
            made.reason = "property_range"
            return made

    def _ratio_at_constant_capacity(self, state: State, supply: Supply) -> float:
        """M with which the coil keeps its capacity, found together with the liquid that this flow brings."""
        ratio = 1.0
        for _ in range(60):
            share = state.step * ratio
            liquid = self.line.solve(state.head_pressure_pa, supply, share, share)
            fresh = state.rated_effect / (state.vapor_enthalpy_j_kg - liquid.h)
            if abs(fresh - ratio) < 1e-13:
                break
            ratio = fresh
        return fresh

    def _capacity(self, flow_ratio: float, h_gas: float, h_liquid: float) -> float:
        return flow_ratio * (h_gas - h_liquid) / (self.h_gas - self.h)

    def _balance(self, state: State, supply: Supply) -> float:
        """Evaporating temperature [K] at which evaporator and compressor agree; NaN where none does."""
        e, fluid, p_head = self.application, self.fluid, state.head_pressure_pa
        t_box = self.t_e + e.box

        def surplus(t_e: float) -> float:
            ratio = self.flow_ratio(t_e, p_head)
            if math.isnan(ratio):
                return math.nan
            share = state.step * ratio
            liquid = self.line.solve(p_head, supply, share, share)
            h_gas = fluid.gas(fluid.p_dew(t_e), t_e + e.useful)[1]
            taken = state.step * self._capacity(ratio, h_gas, liquid.h)
            return taken - (t_box - t_e) / e.box

        minimum, maximum = (bound + e.suction_loss for bound in e.compressor.suction_bounds())
        high = min(t_box, maximum)
        low = high
        above = surplus(high)
        if not above > 0.0:
            return math.nan
        # Down from the warm end, where the compressor always has the greater capacity.
        while low > minimum:
            high, low = low, max(low - 4.0, minimum, 190.0)
            below = surplus(low)
            if math.isnan(below):
                # The clearance form runs dry on the cold side: the root, if any, lies before that.
                return self._before_dry(surplus, low, high)
            if below <= 0.0:
                return float(brentq(surplus, low, high, xtol=1e-11, rtol=1e-14))
            if low <= 190.0:
                break
        return math.nan

    @staticmethod
    def _before_dry(surplus: Any, dry: float, good: float) -> float:
        for _ in range(60):
            middle = 0.5 * (dry + good)
            value = surplus(middle)
            if value <= 0.0:
                return float(brentq(surplus, middle, good, xtol=1e-11, rtol=1e-14))
            dry, good = (middle, good) if math.isnan(value) else (dry, middle)
        return math.nan
