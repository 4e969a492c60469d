"""Figures and units as they are printed: one place where SI becomes text."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.physics.system import Head, HeadCondition, LiquidSupply
from tablegen.report.rounding import MINUS, decimals, decimals_up, round_down, round_half_even, round_up, without_zeros
from tablegen.units import print_unit
from tablegen.wording import terms
from tablegen.wording.language import figure, number

NBSP = "\N{NO-BREAK SPACE}"
DASH = "\N{EN DASH}"
# Decimals of a pressure, and the most that show two near ones as different.
_PRESSURE_PLACES = {"IP": 0, "SI": 2}
_MOST_PLACES = 5


# The unit that sizes of valves are called by, and how it is printed.
_NOMINAL = {"IP": ("ton_refrigeration", terms.NOMINAL_TONS), "SI": ("kW", terms.NOMINAL_KW)}


@dataclass(frozen=True, slots=True)
class Formatter:
    """Prints quantities in one unit system; `site_pressure_pa` turns absolute pressures into gauge readings."""

    system: str
    load_unit: str | None = None

    @classmethod
    def beside(cls, system: str, units: str, load_unit: str | None) -> Formatter:
        """Words in a system for a catalogue of `units`, whose own load unit goes with its own system alone."""
        return cls(system, load_unit if system == units else None)

    @property
    def load_label(self) -> str:
        """The unit of loads."""
        return print_unit("load", self.system, self.load_unit).label

    @property
    def temperature_label(self) -> str:
        """The unit of temperatures."""
        return print_unit("temperature", self.system).label

    @property
    def gauge_label(self) -> str:
        """The unit of gauge pressures."""
        return print_unit("pressure gauge", self.system).label

    @property
    def absolute_label(self) -> str:
        """The unit of absolute pressures."""
        label = print_unit("pressure", self.system).label
        return terms.ABSOLUTE(unit=label) if self.system == "SI" else label

    def temperature(self, kelvin: float, places: int | None = None) -> str:
        """A temperature without its unit; whole degrees are printed whole unless `places` says otherwise."""
        value = print_unit("temperature", self.system).of(kelvin)
        if places is None:
            places = 0 if abs(value - round(value)) < 1e-6 else 1
        return decimals(value, places)

    def temperatures(self, kelvin: Sequence[float]) -> list[str]:
        """Different temperatures as `temperature` prints them, with two decimals where they would read the same."""
        texts = [self.temperature(value) for value in kelvin]
        return texts if len(set(texts)) == len(texts) else [self.temperature(value, 2) for value in kelvin]

    def degrees(self, kelvin: float, places: int | None = None) -> str:
        """A temperature with its unit."""
        return f"{self.temperature(kelvin, places)}{NBSP}{self.temperature_label}"

    def is_round(self, kelvin: float) -> bool:
        """Whether a temperature is a multiple of ten degrees."""
        tens = print_unit("temperature", self.system).of(kelvin) / 10.0
        return abs(tens - round(tens)) < 1e-6

    def step(self, kelvin: float, places: int | None = None) -> str:
        """A temperature difference with its unit."""
        unit = print_unit("temperature difference", self.system)
        value = unit.of(kelvin)
        if places is None:
            places = 0 if abs(value - round(value)) < 1e-6 else 1
        return f"{decimals(value, places)}{NBSP}{unit.label}"

    def step_span(self, kelvin: Sequence[float]) -> str:
        """The lowest to the highest of temperature differences, with their unit."""
        unit = print_unit("temperature difference", self.system)
        values = [unit.of(own) for own in kelvin]
        places = 0 if all(abs(own - round(own)) < 1e-6 for own in values) else 1
        return f"{span([decimals(own, places) for own in values])}{NBSP}{unit.label}"

    def load(self, watt: float) -> str:
        """A load to three figures, rounded to nearest, without its unit."""
        return round_half_even(print_unit("load", self.system, self.load_unit).of(watt))

    def nominal(self, watt: float) -> str:
        """A nominal capacity as the trade calls sizes: tons beside inches and pounds, else kW."""
        unit, message = _NOMINAL[self.system]
        return message(capacity=round_half_even(print_unit("load", self.system, unit).of(watt)))

    def nominal_unit(self) -> str:
        """What a unit of nominal capacities is in the unit of loads; empty where it is a multiple of that."""
        unit = print_unit("load", self.system, _NOMINAL[self.system][0])
        own = print_unit("load", self.system, self.load_unit)
        if unit.label == own.label or self.system == "SI":
            return ""
        return self.with_load_unit(without_zeros(round_half_even(own.of(unit.to_si(1.0)))))

    def window(self, min_w: float, max_w: float) -> tuple[str, str]:
        """A window's limits, minimum up and maximum down, without unit."""
        unit = print_unit("load", self.system, self.load_unit)
        return round_up(unit.of(min_w)), round_down(unit.of(max_w))

    def readable_window(self, min_w: float, max_w: float) -> tuple[str, str] | None:
        """A window as `window` prints it; None where it is empty or its limits meet at three figures."""
        if math.isnan(min_w) or math.isnan(max_w):
            return None
        minimum, maximum = self.window(min_w, max_w)
        # Minimum up and maximum down may meet or cross, which would be no window to read.
        return (minimum, maximum) if number(minimum) < number(maximum) else None

    def gauge(self, absolute_pa: float, site_pressure_pa: float) -> str:
        """An absolute pressure as a gauge reading, without its unit."""
        return self._pressure("pressure gauge", absolute_pa - site_pressure_pa)

    def gauge_at_min(self, absolute_pa: float, site_pressure_pa: float) -> str:
        """As `gauge`, but never below the pressure: a setting that must be reached."""
        value = print_unit("pressure gauge", self.system).of(absolute_pa - site_pressure_pa)
        return decimals_up(value, _PRESSURE_PLACES[self.system])

    def gauge_span(self, from_pa: float, to_pa: float, site_pressure_pa: float) -> tuple[str, str]:
        """Two absolute pressures as gauge readings, with more decimals where they would read the same."""
        unit = print_unit("pressure gauge", self.system)
        low, high = (unit.of(pressure - site_pressure_pa) for pressure in (from_pa, to_pa))
        places = _PRESSURE_PLACES[self.system]
        while places < _MOST_PLACES and decimals(low, places) == decimals(high, places):
            places += 1
        return decimals(low, places), decimals(high, places)

    def absolute(self, pressure_pa: float) -> str:
        """An absolute pressure with its unit."""
        return f"{self._pressure('pressure', pressure_pa)}{NBSP}{self.absolute_label}"

    def drop(self, pressure_pa: float, places: int | None = None) -> str:
        """A pressure difference with its unit; whole ones are printed whole unless `places` says otherwise."""
        unit = print_unit("pressure difference", self.system)
        value = unit.of(pressure_pa)
        if places is not None:
            return f"{decimals(value, places)}{NBSP}{unit.label}"
        # A tenth of a kilopascal is more than any loss is known to.
        places = 0 if self.system == "SI" or abs(value - round(value)) < 0.05 else 1
        return f"{decimals(value, places)}{NBSP}{unit.label}"

    def port_drop(self, pressure_pa: float) -> str:
        """What a port takes, as worked examples print it, without its unit."""
        unit = print_unit("pressure difference", self.system)
        return decimals(unit.of(pressure_pa), 1 if self.system == "IP" else 0)

    def with_drop_unit(self, figure: str) -> str:
        """A printed pressure difference with its unit."""
        return f"{figure}{NBSP}{print_unit('pressure difference', self.system).label}"

    def differential(self, pressure_pa: float) -> str:
        """A pressure difference in the unit of the gauge pressures it is printed beside."""
        unit = print_unit("pressure gauge", self.system).name.removesuffix("_gauge")
        return f"{self.gauge(pressure_pa, 0.0)}{NBSP}{unit}"

    def mass_flow(self, kg_s: float) -> str:
        """A mass flow with its unit."""
        unit = print_unit("mass flow", self.system)
        return f"{round_half_even(unit.of(kg_s))}{NBSP}{unit.label}"

    def condition(self, condition: HeadCondition, site_pressure_pa: float) -> str:
        """A head as it is stated, and its liquid."""
        return f"{self.head(condition.head, site_pressure_pa)}, {self.liquid(condition.liquid)}"

    def head(self, head: Head, site_pressure_pa: float) -> str:
        """A head as it is stated: a gauge pressure, or a condensing temperature with its basis."""
        if head.condensing_temperature_k is None:
            return self.with_gauge_unit(self.gauge(head.pressure_pa or math.nan, site_pressure_pa))
        return f"{self.degrees(head.condensing_temperature_k)} {terms.BASES[head.basis]()}"

    def liquid(self, supply: LiquidSupply) -> str:
        """Liquid by its temperature or its subcooling, at the valve or upstream."""
        if supply.temperature_k is not None:
            return terms.LIQUID_AT(temperature=self.degrees(supply.temperature_k))
        if supply.is_at_condenser:
            return terms.LIQUID_UPSTREAM(subcooling=self.subcooling(supply))
        return terms.LIQUID_SUBCOOLED(subcooling=self.subcooling(supply))

    def subcooling(self, supply: LiquidSupply) -> str:
        """The subcooling of liquid, or its range."""
        minimum, maximum = self.step(supply.min_subcooling_k), self.step(supply.max_subcooling_k)
        return minimum if minimum == maximum else terms.RANGE(low=minimum, high=maximum)

    def length(self, meters: float) -> str:
        """A length with its unit."""
        unit = print_unit("length", self.system)
        return f"{decimals(unit.of(meters), 0 if self.system == 'IP' else 1)}{NBSP}{unit.label}"

    def with_load_unit(self, figure: str) -> str:
        """A printed load with its unit."""
        return f"{figure}{NBSP}{self.load_label}"

    def with_gauge_unit(self, figure: str) -> str:
        """A printed gauge pressure with its unit."""
        return f"{figure}{NBSP}{self.gauge_label}"

    def temperature_span(self, kelvin: Sequence[float], places: int | None = None) -> str:
        """The lowest to the highest of temperatures, with their unit."""
        return f"{span([self.temperature(value, places) for value in kelvin])}{NBSP}{self.temperature_label}"

    def gauge_range(self, absolute_pa: Sequence[float], site_pressure_pa: float) -> str:
        """The lowest to the highest of absolute pressures as gauge readings, without unit."""
        return span([self.gauge(pressure, site_pressure_pa) for pressure in absolute_pa])

    def _pressure(self, quantity: str, pascal: float) -> str:
        return decimals(print_unit(quantity, self.system).of(pascal), _PRESSURE_PLACES[self.system])


def percent(share: float, places: int | None = 0) -> str:
    """A share as percent; with all its figures for no number of places."""
    if math.isnan(share):
        return DASH
    return f"{figure(f'{100.0 * share:g}') if places is None else decimals(100.0 * share, places)}{NBSP}%"


def percent_range(shares: Sequence[float]) -> str:
    """From the lowest to the highest change in percent; a dash where none is known."""
    known = [100.0 * share for share in shares if not math.isnan(share)]
    if not known:
        return DASH
    low, high = signed(min(known)), signed(max(known))
    return f"{low if low == high else terms.RANGE(low=low, high=high)}{NBSP}%"


def signed(value: float) -> str:
    """To a tenth, with its sign unless it is zero."""
    text = decimals(value, 1)
    return text if text.startswith(MINUS) or not number(text) else f"+{text}"


def span(figures: Sequence[str]) -> str:
    """The lowest to the highest of printed figures; one alone where they are equal."""
    low, high = (found(figures, key=number) for found in (min, max))
    if low == high:
        return low
    # Beside a minus sign an en dash reads as a second minus.
    return terms.RANGE(low=low, high=high) if MINUS in low + high else f"{low}{DASH}{high}"


def ratio(value: float, places: int = 2) -> str:
    """A plain ratio."""
    return decimals(value, places)


def kv(m3h: float) -> str:
    """A flow coefficient Kv in m³/h, three figures."""
    return round_half_even(m3h)


def spelled(names: Sequence[str], last: str = "and") -> str:
    """Names in a sentence."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}"
