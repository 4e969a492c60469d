"""When the loop of valve, coil and bulb hunts: what the coil does to it at each state, and the opening below which it hunts.

    L(s) = K exp(-s d) (1 + s t_f) / ((1 + s t_1) (1 + s t_w) (1 + s t_b)),  t_f < t_w

Its magnitude falls with frequency, and its phase passes half a period once (`ultimate_frequency`), so that there is one
ultimate frequency and one ultimate gain K_u, and the loop is steady with a gain margin GM where GM K <= K_u (Nyquist).  Valid for a constant SST: an evaporator pressure
that follows acts under the diaphragm at once.

What the flow of vapor by itself does to superheat (E beside B in -m dSH/dm = (TD - SH)(B + E)) is left out.  The vapor that
flashes at the inlet follows flow at once, what evaporates follows the front; with both the limit is up to 3 % higher
(tests/physics/test_loop.py).  Pressure drops that follow flow are left out too, which is the safe side: they soften the gain.
The wall counts where it gets wet and dry.  That a change of vapor temperature also warms the dry wall downstream is left out; with
that factor, exp(-E r a/(1 - r a) s t_w/(1 + s t_w)) for a superheat of exponent E, the limit is 2 to 7 % higher.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.physics import equations as eq
from tablegen.physics import loop_equations as leq
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant

_ROUNDS = 120
# Values looked at in a search, and bisections between two of them, which reach the last digit.
LOOKS, HALVINGS = 48, 52


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """One of the alike circuits of a coil.

    `load_w` is its share of the rated capacity [W] over `length_m` [m] of tube with inner diameter
    `tube_inner_diameter_m` [m]; `wall_heat_capacity_j_mk` that of tube and fins [J/(m K)]; `air_side_share` [1] that of
    the air side in the resistance where the tube is wetted; `plug_share` [1] the part of the delay that moves as a plug;
    `liquid_holdup_factor` [1] multiplies the liquid in the tube, `calibration` [1] the ultimate gain.
    """

    load_w: float
    length_m: float
    tube_inner_diameter_m: float
    wall_heat_capacity_j_mk: float
    air_side_share: float
    plug_share: float
    liquid_holdup_factor: float = 1.0
    calibration: float = 1.0

    @property
    def section_m2(self) -> float:
        """Cross section of the tube [m2]."""
        return float(np.pi) * self.tube_inner_diameter_m**2 / 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilDelays:
    """What of a coil bears on when its loop hunts, arrays of one shape.

    `difference_k` is TD, box minus evaporating temperature [K]; `sensitivity` B [1]; `dead_time_s`; `front_lag_s` of the end
    of the wetted length; `wall_lag_s` and `wall_lead_s` of tube and fins.
    """

    difference_k: Floats
    sensitivity: Floats
    dead_time_s: Floats
    front_lag_s: Floats
    wall_lag_s: Floats
    wall_lead_s: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilLoop(CoilDelays):
    """What the coil does to the loop, arrays along the states, and what a simulation of it in time starts from.

    `wetted_effect_j_kg` is q, from the liquid to dry vapor; `vapor_heat_capacity_j_kgk` c_pv; `inlet_quality` x of the
    flashed mixture [1]; `latent_heat_j_kg`; densities of saturated liquid and vapor [kg/m3]; `liquid_share` of the section
    [1]; `conductance_w_mk` k of a wetted meter [W/(m K)]; `delay_s` T [s], in `dead_time_s` and `front_lag_s`.
    """

    wetted_effect_j_kg: Floats
    vapor_heat_capacity_j_kgk: Floats
    inlet_quality: Floats
    latent_heat_j_kg: Floats
    bubble_density_kg_m3: Floats
    dew_density_kg_m3: Floats
    liquid_share: Floats
    conductance_w_mk: Floats
    delay_s: Floats

    def at(self, index: NDArray[Any]) -> CoilLoop:
        """The same at some of the states."""
        return CoilLoop(**{f.name: getattr(self, f.name)[index] for f in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilState:
    """What of a state bears on the coil: T_e [K], its dew pressure [Pa], liquid and superheated vapor [J/kg], TD [K]."""

    evaporating_temperature_k: Floats
    evaporating_pressure_pa: Floats
    liquid_enthalpy_j_kg: Floats
    vapor_enthalpy_j_kg: Floats
    difference_k: Floats


def coil_loop(
    refrigerant: Refrigerant,
    circuit: Circuit,
    conductance_ratio: float | Floats,
    useful_superheat_k: float,
    rated: CoilState,
    state: CoilState,
) -> CoilLoop:
    """What the coil does to the loop at each state.

    Parameters
    ----------
    refrigerant : Refrigerant
    circuit : Circuit
    conductance_ratio : array [1]
        Conductance of a dry meter over that of a wetted one.
    useful_superheat_k : float [K]
        That of the rating, below the TD.
    rated : CoilState
        The rating point of each state.
    state : CoilState

    Returns
    -------
    CoilLoop
        NaN where a property is out of range.
    """
    # Where a search for a balance comes near the box nothing is left of the difference.
    with np.errstate(divide="ignore", invalid="ignore"):
        return _coil_loop(refrigerant, circuit, conductance_ratio, useful_superheat_k, rated, state)


def _coil_loop(
    refrigerant: Refrigerant,
    circuit: Circuit,
    conductance_ratio: float | Floats,
    useful_superheat_k: float,
    rated: CoilState,
    state: CoilState,
) -> CoilLoop:
    dew = refrigerant.dew(state.evaporating_temperature_k)
    bubble = refrigerant.bubble(refrigerant.bubble_temperature(state.evaporating_pressure_pa))
    heat_ratio = _heat_ratio(refrigerant, state)
    effect = eq.refrigerating_effect(h_v=dew.enthalpy_j_kg, h_l=state.liquid_enthalpy_j_kg)
    latent = eq.refrigerating_effect(h_v=dew.enthalpy_j_kg, h_l=bubble.enthalpy_j_kg)
    quality = eq.vapor_quality(h_l=state.liquid_enthalpy_j_kg, h_b=bubble.enthalpy_j_kg, h_d=dew.enthalpy_j_kg)
    slip = leq.slip_density_ratio(rho_d=dew.density_kg_m3, rho_b=bubble.density_kg_m3)
    share = leq.liquid_share(k_h=circuit.liquid_holdup_factor, s_Z=slip, x=quality)
    conductance = _conductance(refrigerant, circuit, conductance_ratio, useful_superheat_k, rated)
    delay = leq.dryout_delay(
        N_t=leq.TIME_SCALE,
        rho_b=bubble.density_kg_m3,
        A_i=circuit.section_m2,
        w_l=share,
        h_fg=latent,
        k_w=conductance,
        TD=state.difference_k,
    )
    b = circuit.plug_share
    return CoilLoop(
        difference_k=state.difference_k,
        sensitivity=eq.dry_transfer_units(r_c=conductance_ratio, a=heat_ratio),
        wetted_effect_j_kg=effect,
        vapor_heat_capacity_j_kgk=heat_ratio * effect / state.difference_k,
        inlet_quality=quality,
        latent_heat_j_kg=latent,
        bubble_density_kg_m3=bubble.density_kg_m3,
        dew_density_kg_m3=dew.density_kg_m3,
        liquid_share=share,
        conductance_w_mk=conductance,
        delay_s=delay,
        dead_time_s=leq.dead_time(b_p=b, t_d=delay),
        front_lag_s=leq.front_lag(b_p=b, t_d=delay),
        wall_lag_s=leq.wall_lag(
            N_t=leq.TIME_SCALE,
            C_w=circuit.wall_heat_capacity_j_mk,
            a_w=circuit.air_side_share,
            r_c=conductance_ratio,
            k_w=conductance,
        ),
        wall_lead_s=leq.wall_lead(
            N_t=leq.TIME_SCALE,
            C_w=circuit.wall_heat_capacity_j_mk,
            a_w=circuit.air_side_share,
            k_w=conductance,
        ),
    )


def _heat_ratio(refrigerant: Refrigerant, state: CoilState) -> Floats:
    """Heat that vapor takes up to the box temperature over that of the liquid that becomes vapor."""
    te = state.evaporating_temperature_k
    at_box = refrigerant.vapor(te + state.difference_k, state.evaporating_pressure_pa)
    dew = refrigerant.dew(te)
    return eq.vapor_heat_ratio(h_a=at_box.enthalpy_j_kg, h_s=dew.enthalpy_j_kg, h_l=state.liquid_enthalpy_j_kg)


def _conductance(
    refrigerant: Refrigerant,
    circuit: Circuit,
    conductance_ratio: float | Floats,
    useful_superheat_k: float,
    rated: CoilState,
) -> Floats:
    """Conductance of a wetted meter [W/(m K)] that the rating asks of the circuit."""
    dew = refrigerant.dew(rated.evaporating_temperature_k)
    sensitivity = eq.dry_transfer_units(r_c=conductance_ratio, a=_heat_ratio(refrigerant, rated))
    exponent = leq.dry_exponent(SH_u=useful_superheat_k, DT=rated.difference_k)
    effect = eq.refrigerating_effect(h_v=rated.vapor_enthalpy_j_kg, h_l=rated.liquid_enthalpy_j_kg)
    return leq.wetted_conductance(
        m_1=leq.circuit_flow(E=eq.ENERGY_RATE, Q_c=circuit.load_w, dh_r=effect),
        dh_w=eq.refrigerating_effect(h_v=dew.enthalpy_j_kg, h_l=rated.liquid_enthalpy_j_kg),
        zeta=leq.rated_wetted_share(B_r=sensitivity, E_d=exponent),
        L_c=circuit.length_m,
        DT=rated.difference_k,
    )


@dataclass(frozen=True, slots=True)
class Ultimate:
    """Where the loop lags by half a period: frequency [rad/s], and the gain [1] at which it swings on."""

    frequency: Floats
    gain: Floats

    @property
    def period_s(self) -> Floats:
        """Period of the swing [s]."""
        with np.errstate(divide="ignore"):
            return np.asarray(2.0 * np.pi / self.frequency)


def ultimate_frequency(*lags_s: float | Floats, dead_time_s: float | Floats, lead_s: float | Floats = 0.0) -> Floats:
    """The frequency at which a dead time, first-order lags and a lead turn the phase by half a period.

    There is one at most, though the phase may fall elsewhere: where it is pi it rises.  With x the angle that each lag lacks
    to a right angle, and y that of the lead, the x and y are related there by sum(x) = y + w d, and dP/d(ln w) is
    w d + (sum(sin 2x) - sin 2y)/2.  As sin 2y <= sin(2 sum(x)) + 2 w d and sin 2(x1 + x2) <= sin 2x1 + sin 2x2, that is not
    below zero (three lags and one lead; no lead is y = pi/2).

    Parameters
    ----------
    *lags_s : array [s]
    dead_time_s : array [s]
    lead_s : array [s], optional
        Shorter than one of the lags.

    Returns
    -------
    array [rad/s]
        Infinite where the loop never lags so much.
    """
    *lags, dead, lead = np.broadcast_arrays(*(np.asarray(t, dtype=np.float64) for t in (*lags_s, dead_time_s, lead_s)))
    lag = np.stack(lags)
    known = np.isfinite(dead + lag.sum(axis=0) + lead)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        # Without dead time each lag turns by a quarter of a period at most: three are needed, and no lead that outdoes them.
        turns = known & ((dead > 0.0) | (((lag > 0.0).sum(axis=0) > 2) & (1.0 / lead > (1.0 / lag).sum(axis=0))))
        # No lag turns by more than its time at a frequency.
        w = np.where(turns, np.pi / (dead + lag.sum(axis=0)), np.inf)
        low, high, is_open = np.zeros(dead.shape), np.full(dead.shape, np.inf), turns
        for _ in range(_ROUNDS):
            missed = np.pi - (w * dead + np.arctan(w * lag).sum(axis=0) - np.arctan(w * lead))
            low, high = np.where(missed > 0.0, w, low), np.where(missed > 0.0, high, w)
            slope = dead + (lag / (1.0 + (w * lag) ** 2)).sum(axis=0) - lead / (1.0 + (w * lead) ** 2)
            newton, between = w + missed / slope, np.where(np.isinf(high), 2.0 * low, 0.5 * (low + high))
            following = np.where((newton > low) & (newton < high) & (newton < 4.0 * w), newton, between)
            is_exact = (missed == 0.0) | (np.abs(following - w) <= 1e-15 * w)
            w, is_open = np.where(is_open & (missed != 0.0), following, w), is_open & ~is_exact
            if not is_open.any():
                break
    return np.where(known, w, np.nan)


def _unbounded(gain: Floats, frequency: Floats) -> Floats:
    """A gain, infinite where the loop never lags by half a period."""
    return np.where(np.isinf(frequency), np.inf, gain)


def bulb_ultimate(coil: CoilDelays, bulb_time_constant_s: float | Floats, calibration: float) -> Ultimate:
    """Ultimate frequency and gain with a bulb.

    Parameters
    ----------
    coil : CoilDelays
    bulb_time_constant_s : array [s]
    calibration : float [1]

    Returns
    -------
    Ultimate
    """
    lags = coil.front_lag_s, coil.wall_lag_s, bulb_time_constant_s
    w = ultimate_frequency(*lags, dead_time_s=coil.dead_time_s, lead_s=coil.wall_lead_s)
    with np.errstate(invalid="ignore"):
        gain = leq.ultimate_gain(k_K=calibration, w_u=w, t_1=lags[0], t_w=lags[1], t_f=coil.wall_lead_s, t_b=lags[2])
    return Ultimate(w, _unbounded(gain, w))


@dataclass(frozen=True, slots=True, kw_only=True)
class Controller:
    """The control of an electronic valve: a proportional and integral controller of superheat.

    `gain_per_k` [1/K] is the share of travel, or of duty, for each kelvin; with `is_scheduled` for each unit of opening,
    so that it is in proportion to the opening. Integral time, lag of the sensor and delay of the controller [s]; the
    superheat that it is set to [K].
    """

    gain_per_k: float
    integral_time_s: float
    sensor_lag_s: float
    delay_s: float
    superheat_k: float
    is_scheduled: bool = False


def controller_ultimate(coil: CoilDelays, controller: Controller, calibration: float) -> Ultimate:
    """Ultimate frequency and gain with a controller: the first frequency at which the loop lags by half a period.

    Integral action lags by a quarter of a period at zero frequency and less above, so that the phase may fall first.

    Parameters
    ----------
    coil : CoilDelays
    controller : Controller
    calibration : float [1]

    Returns
    -------
    Ultimate
    """
    dead = coil.dead_time_s + controller.delay_s
    lags, lead = (coil.front_lag_s, coil.wall_lag_s, controller.sensor_lag_s), coil.wall_lead_s
    total = dead + coil.front_lag_s + coil.wall_lag_s + controller.sensor_lag_s
    integral = controller.integral_time_s

    def ahead(w: Floats) -> Floats:
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            return leq.loop_phase(w, dead, lags[0], lags[1], lead, lags[2]) + np.arctan(1.0 / (w * integral)) - np.pi

    # Without integral action it lags less at every frequency; each lag turns by no more than its time at that frequency.
    highest = np.minimum(ultimate_frequency(*lags, dead_time_s=dead, lead_s=lead), 1e6)
    lowest = np.minimum(0.5 * np.pi / total, highest)
    scanned = np.geomspace(lowest, highest, LOOKS)
    beyond = np.argmax(ahead(scanned) >= 0.0, axis=0)
    beyond = np.where((ahead(scanned) >= 0.0).any(axis=0), beyond, LOOKS - 1)
    high = np.take_along_axis(scanned, beyond[None], axis=0)[0]
    low = np.take_along_axis(scanned, np.maximum(beyond - 1, 0)[None], axis=0)[0]
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        is_beyond = ahead(middle) >= 0.0
        low, high = np.where(is_beyond, low, middle), np.where(is_beyond, middle, high)
    gain = leq.ultimate_gain(k_K=calibration, w_u=high, t_1=lags[0], t_w=lags[1], t_f=lead, t_b=lags[2])
    return Ultimate(high, leq.with_integral_action(K_b=gain, w_u=high, T_i=integral))
