"""The answer about an existing valve in words, the same for a terminal and for the printed sheet."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tablegen.report.formatter import DASH, NBSP, Formatter, kv, percent, spelt
from tablegen.wording import terms

VERBS = {
    "steady": "covers the load",
    "starved": "starves",
    "flooding": "floods",
    "hunts": "hunts",
    "not_working": "may not work",
}
_MEANINGS = {
    "starved": "starves: it passes the load only beyond the maximum superheat, or not at all",
    "flooding": "floods: with so little superheat liquid may leave the evaporator",
    "hunts": "hunts: the load needs less than its smallest steady opening",
    "not_working": "may not work: the state itself forbids it",
}
# Where a higher low head may help.
_HEAD_MAY_MEND = ("starved", "not_working")
# A difference of limits below this is one of the last digit.
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class RetrofitFormatter:
    """What a `tablegen.answers.retrofit.Retrofit` says, in the units of `words`.

    `family` is that of the valve, with what it and its sizes are called in print, `reasons` explains the closed list of
    what sets or empties a limit; `overrides` and `was_overrides` are the keys of either application that were given
    otherwise.
    """

    answer: Any
    formatter: Formatter
    family: Any
    reasons: Mapping[str, str]
    overrides: Sequence[str] = ()
    was_overrides: Sequence[str] = ()

    @property
    def name(self) -> str:
        """The family, as it is called in print."""
        return str(self.family.display_name)

    @property
    def valve(self) -> str:
        """The existing valve, as it is called."""
        return f"{self.name} {self.family.size_name(self.answer.fitted.size)}"

    def title(self) -> str:
        """What is asked, in short."""
        before, after = self.answer.before, self.answer.after
        if before is not None and before.refrigerant != after.refrigerant:
            return f"{self.valve}, from {before.refrigerant} to {after.refrigerant}"
        return f"{self.valve} on {after.refrigerant}"

    def fitted(self) -> str:
        """The existing valve: Kv, charge and setting, and what stays of them."""
        valve = self.answer.fitted
        text = f"{self.valve}, Kv {kv(valve.kv_rated_m3h)} m³/h: {valve.charge_title}"
        if valve.spring_pa is None:
            return text + "."
        static = self.formatter.step(valve.set_static_superheat_k)
        return (
            f"{text}, set on {valve.setting_refrigerant} at {static} static superheat. Charge and setting stay: the "
            f"spring exerts {self.formatter.drop(valve.spring_pa, 1)} where it just opens, "
            f"{self.formatter.drop(valve.gradient_pa, 1)} more at rated stroke."
        )

    def system(self, served: Any) -> list[str]:
        """The conditions of one system."""
        formatter, site = self.formatter, served.site_pressure_pa
        low, rating, high = served.conditions
        lines = [
            f"{served.refrigerant}, {served.title}; SST {formatter.degrees(self.answer.sst_k)} (dew); "
            f"{self.load(served)} gross at the rating point, {formatter.condition(rating, site)}",
            f"Low head {formatter.condition(low, site)}; high head {formatter.condition(high, site)}",
        ]
        if served.moved_heads:
            heads = " and ".join(terms.condition(name) for name in served.moved_heads)
            lines.append(
                f"{served.refrigerant} has no head settings in the catalogue: its {heads} is taken at the condensing "
                "temperature of the first group's first refrigerant"
            )
        own = self.overrides if served is self.answer.after else self.was_overrides
        if served is self.answer.before and self.answer.old_refusal:
            lines.append(f"The catalogue does not offer the valve for this system today: {self.answer.old_refusal}")
        return [*lines, *(f"With {override}" for override in own)]

    def load(self, served: Any) -> str:
        """The load of a system with its unit."""
        return self.formatter.with_load_unit(self.formatter.load(served.load_w))

    def verdict(self, served: Any, subject: str) -> str:
        """Whether the valve covers the load, and at which heads it does what."""
        gauge, zones = self.formatter.gauge_label, served.zones
        if served.holds:
            low, high = self._span(zones[0].from_pa, zones[-1].to_pa, served)
            return f"{subject} covers {self.load(served)} at every head from {low} to {high}{NBSP}{gauge}."
        bad = [zone for zone in zones if zone.zone != "steady"]
        text = f"{subject} does not cover {self.load(served)}: it {self._stretches(bad, served)}{NBSP}{gauge}."
        good = [zone for zone in zones if zone.zone == "steady"]
        return f"{text} It {self._stretches(good, served)}{NBSP}{gauge}." if good else text

    def _stretches(self, zones: Sequence[Any], served: Any) -> str:
        """What the valve does where; neighbors of one name are one stretch, for whatever reason."""
        joined: list[tuple[str, float, float]] = []
        for zone in zones:
            if joined and joined[-1][0] == VERBS[zone.zone] and joined[-1][2] == zone.from_pa:
                joined[-1] = (joined[-1][0], joined[-1][1], zone.to_pa)
            else:
                joined.append((VERBS[zone.zone], zone.from_pa, zone.to_pa))
        return spelt([f"{verb} from {' to '.join(self._span(low, high, served))}" for verb, low, high in joined])

    def _span(self, low_pa: float, high_pa: float, served: Any) -> tuple[str, str]:
        return self.formatter.gauge_span(low_pa, high_pa, served.site_pressure_pa)

    def zones(self, served: Any) -> list[tuple[str, str]]:
        """Each zone of the head: its stretch, and what the valve does there and why."""
        lines = []
        for zone in served.zones:
            low, high = self._span(zone.from_pa, zone.to_pa, served)
            worst = f"{self.formatter.gauge(zone.worst_pa, served.site_pressure_pa)}{NBSP}{self.formatter.gauge_label}"
            text = VERBS[zone.zone]
            if zone.reason:
                text += f": {self.reasons[zone.reason]}"
            if zone.zone == "starved" and zone.margin < 1.0:
                text += f"; at {worst} it passes {percent(zone.margin)} of the load"
            elif zone.zone in ("flooding", "hunts") and zone.margin < 1.0:
                text += f"; at {worst} the load is {percent(zone.margin)} of the minimum load"
            elif served.holds:
                text += f"; the smallest margin is {zone.margin:.2f}, at {worst}"
            lines.append((f"{low}{DASH}{high}{NBSP}{self.formatter.gauge_label}", text))
        return lines

    def meanings(self) -> str:
        """What the verbs mean that were used."""
        used = {z.zone for served in (self.answer.before, self.answer.after) if served for z in served.zones}
        return "; ".join(text for zone, text in _MEANINGS.items() if zone in used)

    def changes(self) -> list[str]:
        """What another refrigerant does to the setting."""
        before, after = self.answer.before, self.answer.after
        if before is None or before.refrigerant == after.refrigerant or self.answer.fitted.spring_pa is None:
            return []
        formatter = self.formatter
        less = after.dew_pressure_pa - before.dew_pressure_pa
        how, opens = ("less keeps", "earlier") if less < 0.0 else ("more keeps", "later")
        text = (
            f"At SST {formatter.degrees(self.answer.sst_k)} the dew pressure of {after.refrigerant} is "
            f"{formatter.absolute(after.dew_pressure_pa)}, that of {before.refrigerant} "
            f"{formatter.absolute(before.dew_pressure_pa)}: {formatter.drop(abs(less), 1)} {how} the valve shut, so it opens "
            f"{opens}"
        )
        now, then = after.static_superheat_k, before.static_superheat_k
        if not math.isnan(now + then):
            text += f", at {formatter.step(now, 1)} static superheat in place of {formatter.step(then, 1)}"
        return [f"{text}."]

    def warnings(self) -> list[str]:
        """What the figures alone do not tell."""
        valve, after, formatter = self.answer.fitted, self.answer.after, self.formatter
        found, misfits = [], []
        if valve.refrigerants and after.refrigerant not in valve.refrigerants:
            misfits.append(f"for {spelt(valve.refrigerants)}, not for {after.refrigerant}")
        if valve.temperature_ranges and after.temperature_range not in valve.temperature_ranges:
            meant = spelt([a.replace("_", " ") for a in valve.temperature_ranges])
            misfits.append(f"for {meant}, not for {after.temperature_range.replace('_', ' ')}")
        if misfits:
            found.append(f"The charge is meant {'; and '.join(misfits)}.")
        floor, static = valve.min_static_superheat_k, after.static_superheat_k
        if valve.spring_pa is not None and math.isnan(static):
            found.append(
                f"The charge's curve does not reach {after.refrigerant} at SST {formatter.degrees(self.answer.sst_k)}: no "
                "static superheat can be told."
            )
        elif floor is not None and static < floor:
            what = "stands open without any superheat" if static <= 0.0 else "may open without superheat"
            found.append(
                f"Static superheat on {after.refrigerant} at SST {formatter.degrees(self.answer.sst_k)} is "
                f"{formatter.step(static, 1)}, below the {formatter.step(floor)} that the charge is held to: the valve {what}."
            )
        if valve.is_internally_equalized and after.distributor_pa > 0.0:
            found.append("Its internal equalizer feels the loss of the distributor, which shuts it.")
        low, rating, high = (head.head_pressure_pa for head in after.heads)
        if not low < rating < high:
            found.append("The head of the rating point does not lie between the low and the high head.")
        looked_at, shown = [], []
        if after.suction_response == "stricter":
            looked_at.append("held and following suction")
            shown.append("held suction")
        if after.capacity_step < 1.0:
            looked_at.append(f"the compressor's minimum step of {percent(after.capacity_step)}")
            shown.append("full flow")
        if looked_at:
            found.append(f"Looked at were {spelt(looked_at)}; the graph shows {spelt(shown)}.")
        return found

    def advice(self) -> list[str]:
        """The load that is covered, and where the asked one is not, what would cover it."""
        answer, after = self.answer, self.answer.after
        found = [self._range(), *self._setting()]
        if not self.answer.is_listed:
            found.append(
                f"{after.refrigerant} is in no group of this catalogue, which offers no other size or charge for it."
            )
        elif not after.holds:
            same = f"{self.name} with the charge that it has" if answer.fitted.spring_pa is not None else self.name
            found.append(self._sizes(same, answer.same_charge))
            if answer.offered_charge and answer.offered_charge != answer.fitted.charge:
                other = f"{self.name} with the charge offered for {after.refrigerant} ({answer.offered_charge})"
                found.append(self._sizes(other, answer.other_charge))
            elif not answer.offered_charge:
                where = after.temperature_range.replace("_", " ")
                found.append(f"{self.name} is offered with no charge for {after.refrigerant}, {where}.")
        if answer.fitted.spring_pa is not None:
            found.append(
                "Resetting the superheat spring at the site changes all of this; it is a licensed technician's "
                "adjustment, by measured superheat, and no part of this answer."
            )
        return found

    def cautions(self) -> list[str]:
        """What no figure here looks at."""
        before, after = self.answer.before, self.answer.after
        text = "The load is that of the new system at its rating point"
        if before is not None and before.refrigerant != after.refrigerant:
            text += (
                "; the same compressor has another capacity with another refrigerant. Whether seals, oil, equipment "
                f"and code allow {after.refrigerant} is for the equipment maker and the code to say"
            )
        found = [f"{text}."]
        if after.safety_group[1] != "1":
            found.append(
                f"{after.refrigerant} burns (safety group {after.safety_group}): equipment that was not made for it "
                "must not be charged with it unless its maker and the code allow."
            )
        if after.safety_group[0] == "B":
            found.append(f"{after.refrigerant} is toxic (safety group {after.safety_group}).")
        return found

    def _range(self) -> str:
        after = self.answer.after
        held = self.formatter.readable_window(after.min_w, after.max_w)
        if held is None:
            return "With these heads no load is covered at every head" + self._no_setting()
        window = after.valve
        is_tighter = after.min_w > window.minimum.load_w * (1.0 + _SAME) or after.max_w < window.maximum.load_w * (
            1.0 - _SAME
        )
        text = f"With these heads it covers {held[0]} to {self.formatter.with_load_unit(held[1])} at every head"
        text += "" if after.confidence is None else f" at {percent(after.confidence)} confidence"
        return text + (", less than the three conditions alone allow." if is_tighter else ".")

    def _no_setting(self) -> str:
        is_short = any(zone.zone in _HEAD_MAY_MEND for zone in self.answer.after.zones)
        return "; raising the low head, up to the head of the rating point, does not help." if is_short else "."

    def _setting(self) -> list[str]:
        """What the low head must be set to, if that is too low."""
        answer, after = self.answer, self.answer.after
        if not any(zone.zone in _HEAD_MAY_MEND for zone in after.zones):
            return []
        if answer.lowest_setting_pa is None:
            # Said with the range where that is empty.
            return [] if math.isnan(after.min_w) else [f"It does not cover the load{self._no_setting()}"]
        formatter, site, low = self.formatter, after.site_pressure_pa, after.conditions[0]
        setting = formatter.gauge_at_min(answer.lowest_setting_pa, site)
        text = (
            f"With the low head set to {setting}{NBSP}{formatter.gauge_label} or more it covers the load at every head "
            f"({formatter.liquid(low.liquid)} at that low head)."
        )
        border = formatter.gauge(next(z for z in reversed(after.zones) if z.zone in _HEAD_MAY_MEND).to_pa, site)
        if border != setting:
            text += (
                f" This is not the {border}{NBSP}{formatter.gauge_label} above: between heads liquid subcooling is taken "
                "as linear, while a new setting keeps that of the low head and is rounded up."
            )
        return [text]

    def _sizes(self, what: str, candidates: Sequence[Any]) -> str:
        if not candidates:
            return f"No size of {what} would cover the load."
        parts = []
        for candidate in candidates[:3]:
            window = self.formatter.window(candidate.minimum.load_w, candidate.maximum.load_w)
            room = ", the largest margin" if candidate is candidates[0] and len(candidates) > 1 else ""
            name = self.family.size_name(candidate.size)
            parts.append(f"size {name} ({self.formatter.with_load_unit(DASH.join(window))}{room})")
        return f"{what} would cover the load in {spelt(parts, 'or')}."
