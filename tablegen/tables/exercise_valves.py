"""Exercises on one valve: mass flow, required Kv, both limits of its window, superheat and what the valve does."""

from __future__ import annotations

import dataclasses
import math

import numpy as np

from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.flow import required_flow_coefficient
from tablegen.tables.exercise_rows import in_kelvin, in_printed
from tablegen.tables.exercise_source import Drawn, ExerciseSource, Row

# In the order that an exercise draws from.
ZONES = ("flooding", "starved", "steady", "hunts")
# A superheat, read from a graph or interpolated, is so far from each limit that half a degree changes no verdict [K].
_CLEAR_K, _READ_OFF_K = 0.25, 0.5
# Columns of the table that a bulb temperature is interpolated in, and the printed degrees between them.
_BULB_COLUMNS, _BULB_STEP = 5, {"IP": 5, "SI": 2}
# A chord of the bulb's curve may be so far off [K]: less than is printed.
_CHORD_K = 0.03
# How far an adjusting stem is turned, as a share of the factory setting, and how often a setting is drawn.
_SPRING = {"flooding": (0.02, 0.7), "starved": (1.2, 2.5), "steady": (0.5, 1.8), "hunts": (0.5, 2.0)}
_TURNS = 60
_LIMITS = ("min", "max")
_VERDICTS = ("covers", "too_small", "too_large")


@dataclasses.dataclass(frozen=True, slots=True)
class ValveLimits:
    """Openings [1] and superheats [K] that a valve must keep within."""

    min_opening: float
    max_opening: float
    min_superheat_k: float
    max_superheat_k: float

    def zone(self, superheat_k: float, opening: float, clear_k: float, clear: float) -> str:
        """What the valve does; empty where two limits are broken, so that it had two names, or one is nearly met."""
        broken = {
            "flooding": superheat_k < self.min_superheat_k,
            "starved": superheat_k > self.max_superheat_k or opening > self.max_opening,
            "hunts": opening < self.min_opening,
        }
        is_near = min(abs(superheat_k - self.min_superheat_k), abs(superheat_k - self.max_superheat_k)) < clear_k
        is_near |= 0.0 < opening / self.max_opening - 1.0 < clear
        if is_near or abs(opening / self.min_opening - 1.0) < clear or sum(broken.values()) > 1:
            return ""
        return next((name for name, is_broken in broken.items() if is_broken), "steady")


def flow(source: ExerciseSource, refrigerant: str, sst_k: float, condition: str, load_w: float, size: str) -> Row:
    """Mass flow and required Kv of a load at one head, step by step."""
    state, rating = source.state(refrigerant, sst_k, condition), source.state(refrigerant, sst_k, "rating")
    effect = float(rating["vapor_enthalpy_j_kg"] - rating["liquid_enthalpy_j_kg"])
    mass_flow = load_w / effect * float(state["flow_share"])
    density, drop = float(state["liquid_density_kg_m3"]), float(state["effective_pressure_drop_pa"])
    required = float(required_flow_coefficient(np.asarray(mass_flow), np.asarray(density), np.asarray(drop)))
    kv = source.kv_rated(size)
    same = (
        "head_pressure_pa",
        "inlet_pressure_pa",
        "outlet_pressure_pa",
        "pressure_drop_pa",
        "effective_pressure_drop_pa",
        "liquid_density_kg_m3",
        "flow_ratio",
    )
    return {c: float(state[c]) for c in same} | {
        "refrigerant": refrigerant,
        "size": size,
        "sst_k": sst_k,
        "condition": condition,
        "load_w": load_w,
        "liquid_enthalpy_j_kg": float(rating["liquid_enthalpy_j_kg"]),
        "vapor_enthalpy_j_kg": float(rating["vapor_enthalpy_j_kg"]),
        "rating_effect_j_kg": effect,
        "rated_mass_flow_kg_s": load_w / effect,
        "mass_flow_kg_s": mass_flow,
        "required_kv_m3h": required,
        "kv_rated_m3h": kv,
        "kv_share": required / kv,
    }


def mass_flow(source: ExerciseSource) -> Drawn | None:
    """Mass flow of a load at the rating point and at one head."""
    return _drawn_flow(source)


def required_kv(source: ExerciseSource) -> Drawn | None:
    """Required Kv of a load at one head."""
    return _drawn_flow(source)


def _drawn_flow(source: ExerciseSource) -> Drawn:
    row, position = source.any_of(source.grouped), source.rng.uniform(0.2, 0.8)
    condition = str(source.rng.choice(["low_head", "high_head"]))
    load = source.round_load(float(row["min_load_w"]) ** (1.0 - position) * float(row["max_load_w"]) ** position)
    refrigerant = str(source.any_of(source.members)["refrigerant"])
    return Drawn(flow(source, refrigerant, float(row["sst_k"]), condition, load, str(row["size"])))


def both_limits(source: ExerciseSource) -> Drawn | None:
    """Both limits of a window from a load, its required Kv at two heads, and the shares of Kv that a valve may use."""
    # A pulse-modulated valve has other losses at its maximum load: one required Kv does not give both limits.
    if source.family.kind == "pulse_modulated":
        return None
    open_rows = source.members[source.members["max_load_w"].notna() & source.members["min_load_w"].notna()]
    row = source.any_of(open_rows)
    refrigerant, size, sst_k = str(row["refrigerant"]), str(row["size"]), float(row["sst_k"])
    kv = source.kv_rated(size)
    # The windows of the valve itself, also where limits at confidence are printed.
    limits = {own: float(row[f"nominal_{own}_load_w"]) for own in _LIMITS}
    limits = {own: float(row[f"{own}_load_w"]) if math.isnan(limit) else limit for own, limit in limits.items()}
    load = source.round_load(math.exp(source.rng.uniform(math.log(limits["min"]), math.log(limits["max"]))))
    found: Row = {"refrigerant": refrigerant, "size": size, "sst_k": sst_k, "load_w": load, "kv_rated_m3h": kv}
    for own, limit in limits.items():
        condition = str(row[f"{own}_condition"])
        if condition not in ("low_head", "rating", "high_head"):
            return None
        state = source.state(refrigerant, sst_k, condition)
        # With a capacity step the minimum load has a state of its own.
        if own == "min" and state["limit"] != "both":
            return None
        per_watt = float(state["required_kv_m3h_per_kw"]) / 1000.0
        found |= {
            f"{own}_condition": condition,
            f"{own}_required_kv_m3h": load * per_watt,
            f"{own}_kv_share": limit * per_watt / kv,
            f"{own}_load_w": limit,
        }
    verdict = str(source.rng.choice(_VERDICTS))
    low, high = limits["min"], limits["max"]
    clear = 1.0 + max(source.clear, 0.02)
    ends = {
        "covers": (low * clear, high / clear),
        "too_small": (high * clear, 1.6 * high),
        "too_large": (0.6 * low, low),
    }
    start, end = ends[verdict][0], ends[verdict][1] / clear
    # A narrow window has no load that is clear of both limits.
    if start > end:
        return None
    asked = source.round_load(source.rng.uniform(start, end))
    if any(abs(math.log(asked / own)) < 0.9 * math.log(clear) for own in limits.values()):
        return None
    return Drawn(found | {"asked_load_w": asked, "verdict": verdict})


def zone(source: ExerciseSource) -> Drawn | None:
    """What a valve does at a load, from the superheat graph; beyond the end of a curve the valve is at its stop."""
    curves = source.curves
    limits = _limits(source, float(curves["max_superheat_k"].min())) if len(curves) else None
    if limits is None:
        return None
    wanted = str(source.rng.choice([z for z in ZONES if (curves["zone"] == z).any()]))
    row = source.any_of(curves[curves["zone"] == wanted])
    load = source.round_load(float(row["load_w"]))
    own = curves[(curves["condition"] == row["condition"]) & curves["superheat_k"].notna()]
    # As the graph has it, a line from point to point.
    superheat, opening = (
        float(np.interp(load, own["load_w"], own[c], right=math.nan)) for c in ("superheat_k", "opening")
    )
    if math.isnan(superheat):
        # The curve ends at the stop, before the maximum superheat, and the load is seen to be beyond its end.
        end = own.iloc[-1]
        is_clear = load > 1.05 * float(end["load_w"]) and float(end["superheat_k"]) < limits.max_superheat_k
        # What the load would take, if Kv grows with the opening as far as the stop.
        opening = float(end["opening"]) * load / float(end["load_w"])
        found = "starved" if is_clear and source.is_linear and opening > 1.05 * limits.max_opening else ""
    else:
        found = limits.zone(superheat, opening, _READ_OFF_K, source.clear)
    if found != wanted:
        return None
    same = {c: row[c] for c in ("refrigerant", "size", "sst_k", "condition")}
    figures: Row = {"load_w": load, "opening": opening, "superheat_k": superheat, "zone": found}
    return Drawn(same | dataclasses.asdict(limits) | figures)


def static(source: ExerciseSource) -> Drawn | None:
    """At which bulb temperature a valve just opens, with the adjusting stem turned to some spring pressure."""
    refrigerant, sst_k = str(source.any_of(source.members)["refrigerant"]), source.any_row()
    if source.actuator is None:
        return None
    under = float(source.refrigerants[refrigerant].dew(np.asarray(sst_k)).pressure_pa)
    spring_pa = source.actuator.balance.spring_pa * float(source.rng.uniform(0.5, 1.6))
    bulb = _bulb(source, source.actuator, under + spring_pa)
    if bulb is None or bulb.temperature_k - sst_k < _CLEAR_K:
        return None
    return Drawn(
        {
            "refrigerant": refrigerant,
            "evaporating_temperature_k": sst_k,
            "evaporating_pressure_pa": under,
            "spring_pressure_pa": spring_pa,
            "closing_pressure_pa": under + spring_pa,
            "bulb_temperature_k": bulb.temperature_k,
            "static_superheat_k": bulb.temperature_k - sst_k,
        },
        bulb.table,
    )


def spring(source: ExerciseSource) -> Drawn | None:
    """Operating superheat of a valve whose adjusting stem was turned, and what it then does."""
    actuator = source.actuator
    if actuator is None or any(source.superheat.min_k[1:]) or actuator.is_internally_equalized:
        return None
    wanted = str(source.rng.choice(ZONES))
    drawn = (_turned(source, actuator, wanted) for _ in range(_TURNS))
    return next((own for own in drawn if own is not None), None)


def _turned(source: ExerciseSource, actuator: ThermostaticActuator, wanted: str) -> Drawn | None:
    """A spring setting and an opening; None where the valve then does something else than is wanted."""
    rng, balance = source.rng, actuator.balance
    refrigerant, sst_k = str(source.any_of(source.members)["refrigerant"]), source.any_row()
    condition = str(rng.choice(["low_head", "high_head"]))
    state = source.state(refrigerant, sst_k, condition)
    limits = _limits(source, float(state["max_superheat_k"]))
    ends = (0.4, 0.9) if wanted == "hunts" else (1.1, 0.95 * actuator.widest / actuator.min_stable)
    if ends[0] > ends[1]:
        return None
    # Whole per cent, as it is printed.
    opening = round(actuator.min_stable * float(rng.uniform(*ends)), 2)
    evaporating_k, under = (float(state[c]) for c in ("evaporating_temperature_k", "evaporating_pressure_pa"))
    spring_pa = balance.spring_pa * float(rng.uniform(*_SPRING[wanted]))
    port = balance.unbalance * (float(state["pressure_drop_pa"]) - balance.reference_drop_pa)
    closing = under + spring_pa + opening * balance.gradient_pa + port
    bulb = _bulb(source, actuator, closing)
    if bulb is None or limits is None:
        return None
    superheat = bulb.temperature_k - evaporating_k
    # Liquid at the bulb has no superheat to calculate.
    if superheat < _CLEAR_K or limits.zone(superheat, opening, _CLEAR_K, source.clear) != wanted:
        return None
    return Drawn(
        {
            "refrigerant": refrigerant,
            "sst_k": sst_k,
            "condition": condition,
            "evaporating_temperature_k": evaporating_k,
            "evaporating_pressure_pa": under,
            "spring_pressure_pa": spring_pa,
            "gradient_pa": balance.gradient_pa,
            "port_closing_pa": port,
            "opening": opening,
            "closing_pressure_pa": closing,
            "bulb_temperature_k": bulb.temperature_k,
            "superheat_k": superheat,
            "zone": wanted,
            **dataclasses.asdict(limits),
        },
        bulb.table,
    )


@dataclasses.dataclass(frozen=True, slots=True)
class _Bulb:
    """A bulb temperature [K], and the bulb's pressures at round temperatures about it."""

    temperature_k: float
    table: tuple[Row, ...]


def _bulb(source: ExerciseSource, actuator: ThermostaticActuator, closing_pa: float) -> _Bulb | None:
    """The bulb that balances a closing pressure; None off the charge's curve, or where a chord is no match for it."""
    charge, printed, units = actuator.balance.charge, source.handout.printed, source.handout.printed.units
    bulb_k = float(charge.temperature(np.asarray(closing_pa)))
    if math.isnan(bulb_k):
        return None
    step = _BULB_STEP[units]
    # The answer is not always in the same place of the table.
    first = math.floor(in_printed(printed, bulb_k) / step) - int(source.rng.integers(1, _BULB_COLUMNS - 1))
    columns_k = np.array([in_kelvin(printed, step * (first + i)) for i in range(_BULB_COLUMNS)])
    pressures = charge.pressure(columns_k)
    if not np.isfinite(pressures).all() or bool(charge.is_above_limit(columns_k[-1])):
        return None
    if abs(float(np.interp(closing_pa, pressures, columns_k)) - bulb_k) > _CHORD_K:
        return None
    pairs = zip(columns_k.tolist(), pressures.tolist(), strict=True)
    return _Bulb(bulb_k, tuple({"bulb_temperature_k": k, "bulb_pressure_pa": p} for k, p in pairs))


def _limits(source: ExerciseSource, maximum_k: float) -> ValveLimits | None:
    """What the valve must keep within, up to a superheat [K]; None where the minimum stable one depends on the load."""
    constant, *growing = source.superheat.min_k
    if source.actuator is None or any(growing):
        return None
    return ValveLimits(source.actuator.min_stable, source.actuator.widest, constant, maximum_k)
