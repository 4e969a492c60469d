"""The handout's page on both limits: one valve at its minimum and its maximum load, and six questions about them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable, Table

from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.reasons import Reason
from tablegen.report.formatter import percent
from tablegen.report.graphs.superheat_ruler import superheat_ruler
from tablegen.report.graphs.valve_picture import ValveState, valve_picture
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.rounding import decimals
from tablegen.report.rows import LimitForces, rows_of
from tablegen.units import print_unit
from tablegen.wording import terms
from tablegen.wording import two_limits as wording
from tablegen.wording.language import number

# Between the pictures [pt].
_GAP = 14.0
_LIMITS = {"min": wording.MINIMUM, "max": wording.MAXIMUM}


@dataclass(frozen=True, slots=True)
class BothLimits:
    """The valve of a handout's example at its minimum and at its maximum load."""

    figures: HandoutFigures
    low: LimitForces
    high: LimitForces

    @classmethod
    def of(cls, figures: HandoutFigures) -> BothLimits | None:
        """From the data set; None without nominal limits in print, or without a window of the refrigerant by itself."""
        publication = figures.publication
        confidence = publication.catalogue.confidence
        frame = publication.data.limit_forces
        if (confidence is not None and confidence.is_printed) or not len(frame):
            return None
        rows = {row.limit: row for row in rows_of(publication.rows(frame, figures.part), LimitForces)}
        return cls(figures, rows["min"], rows["max"]) if len(rows) == len(_LIMITS) else None

    @property
    def actuator(self) -> ThermostaticActuator:
        """The power element of the valve."""
        element = self.figures.publication.power_element(self.figures.part, self.low.size)
        assert element is not None
        assert isinstance(element.actuator, ThermostaticActuator)
        return element.actuator

    @property
    def is_by_loop(self) -> bool:
        """Whether the loop of valve, coil and bulb sets the minimum load."""
        return self.low.limit_reason == Reason.HUNTS

    @property
    def superheat_k(self) -> tuple[float, float]:
        """Minimum stable and maximum superheat [K]."""
        limits = self.figures.publication.system(self.figures.part, self.low.refrigerant).superheat
        return limits.min_k[0], self.high.max_superheat_k

    def pressures(self, row: LimitForces) -> tuple[str, str, str]:
        """Bulb, evaporator and spring, so that the printed figures add up."""
        unit = print_unit("pressure", self.figures.formatter.system)
        places = 1 if self.figures.formatter.system == "IP" else 2
        bulb, under = (decimals(unit.of(own), places) for own in (row.bulb_pressure_pa, row.under_pressure_pa))
        return bulb, under, decimals(number(bulb) - number(under), places)

    @property
    def loads(self) -> dict[str, str]:
        """The loads of both limits as a window table prints them."""
        minimum, maximum = self.figures.formatter.window(self.low.load_w, self.high.load_w)
        return {"min": minimum, "max": maximum}

    @property
    def covered(self) -> str:
        """A load inside the window of both limits, to ask about."""
        return self.figures.load((self.low.load_w * self.high.load_w) ** 0.5)


def two_limits(both: BothLimits, width: float) -> list[Flowable]:
    """Heading, the two pictures, the ruler and the questions."""
    figures, low, high = both.figures, both.low, both.high
    formatter = figures.formatter
    about = wording.ABOUT(
        size=low.size,
        refrigerant=low.refrigerant,
        sst=formatter.degrees(low.sst_k),
        min_at=terms.at_condition(low.condition),
        max_at=terms.at_condition(high.condition),
        under=wording.UNDER[both.actuator.is_internally_equalized](),
    )
    wide = 0.5 * (min(width, design.FIGURE_WIDTH) - _GAP)
    pictures = [_picture(both, row, wide) for row in (low, high)]
    marks = [(wording.SUPERHEAT_AT[row.limit](), row.superheat_k) for row in (low, high)]
    minimum, maximum = (formatter.step(own) for own in both.superheat_k)
    alt = wording.RULER_ALT(
        minimum=minimum,
        maximum=maximum,
        low=formatter.step(low.superheat_k, 1),
        high=formatter.step(high.superheat_k, 1),
    )
    ruler = superheat_ruler(both.superheat_k, marks, formatter, min(width, design.FIGURE_WIDTH))
    unit = print_unit("temperature difference", formatter.system).label
    return [
        Heading(wording.TITLE()),
        paragraph(about),
        _beside(pictures, wide),
        paragraph(wording.RULER(unit=unit), "caption"),
        DrawingFlowable(ruler, alt),
        paragraph(wording.NOTE(), "small"),
    ]


def questions(both: BothLimits) -> list[str]:
    """The six questions."""
    at = terms.at_condition(both.high.condition)
    return [
        wording.BALANCE(),
        wording.WHICH[both.is_by_loop](),
        wording.WHY_WARM(min_at=terms.at_condition(both.low.condition)),
        wording.WHY_COLD(max_at=at),
        wording.TAPPED(),
        wording.COVERED(load=both.covered, size=both.low.size),
    ]


def answers(both: BothLimits) -> list[str]:
    """What is to be written under the questions."""
    formatter, low, high = both.figures.formatter, both.low, both.high
    (min_bulb, min_under, min_spring), (max_bulb, max_under, max_spring) = map(both.pressures, (low, high))
    balance = wording.BALANCE_ANSWER(
        min_bulb=min_bulb,
        min_evaporator=min_under,
        min_spring=min_spring,
        max_bulb=max_bulb,
        max_evaporator=max_under,
        max_spring=max_spring,
        unit=formatter.absolute_label,
    )
    stopped, ended = (terms.reason(row.limit_reason) for row in (low, high))
    min_drop, max_drop = (formatter.drop(row.pressure_drop_pa, 0) for row in (low, high))
    because = [wording.BECAUSE(reason=reason[:1].upper() + reason[1:]) for reason in (stopped, ended)]
    # Of limits that are set at one head, or the other way round, the pressure drop is no reason.
    has_less = high.pressure_drop_pa < low.pressure_drop_pa and min_drop != max_drop
    drops = {"min_drop": min_drop, "max_drop": max_drop}
    why_warm = wording.WHY_WARM_ANSWER(**drops, reason=stopped) if has_less else because[0]
    if both.is_by_loop:
        load = formatter.with_load_unit(both.loads["min"])
        why_warm = wording.WHY_WARM_BY_LOOP(load=load, min_at=terms.at_condition(low.condition))
    return [
        balance,
        because[0],
        why_warm,
        wording.WHY_COLD_ANSWER(**drops, reason=ended) if has_less else because[1],
        wording.TAPPED_ANSWERS[both.actuator.is_internally_equalized](),
        wording.COVERED_ANSWER(minimum=both.loads["min"], maximum=formatter.with_load_unit(both.loads["max"])),
    ]


def _picture(both: BothLimits, row: LimitForces, width: float) -> DrawingFlowable:
    """The valve at one limit."""
    figures, formatter = both.figures, both.figures.formatter
    pressures, actuator = both.pressures(row), both.actuator
    state = ValveState(
        title=_LIMITS[row.limit](),
        at=terms.condition(row.condition),
        bulb=wording.BULB_AT(temperature=formatter.degrees(row.bulb_temperature_k, 1)),
        liquid=wording.LIQUID_AT(temperature=formatter.degrees(row.liquid_temperature_k, 0)),
        lines=(
            (wording.PIN_OPEN(opening=percent(row.opening)), True),
            (wording.DROP(pressure=formatter.drop(row.pressure_drop_pa, 0)), False),
            # Under the floor of the valve, where a long unit has room.
            (wording.HEAD(pressure=figures.gauge(row.head_pressure_pa)), False),
            (wording.LOAD(load=formatter.with_load_unit(both.loads[row.limit])), True),
        ),
        share=row.opening / actuator.stop,
        bars=(row.bulb_pressure_pa, row.under_pressure_pa, row.spring_closing_pa),
        figures=pressures,
        unit=formatter.absolute_label,
        largest=max(both.low.bulb_pressure_pa, both.high.bulb_pressure_pa),
        is_internal=actuator.is_internally_equalized,
        enters_below=actuator.balance.unbalance >= 0.0,
    )
    alt = wording.PICTURE(
        limit=state.title,
        opening=percent(row.opening),
        bulb=formatter.degrees(row.bulb_temperature_k, 1),
        bulb_pressure=pressures[0],
        evaporator=pressures[1],
        spring=pressures[2],
    )
    return DrawingFlowable(valve_picture(state, width), alt)


def _beside(pictures: Sequence[DrawingFlowable], wide: float) -> Table:
    """The pictures beside each other."""
    table = Table([[pictures[0], "", pictures[1]]], colWidths=[wide, _GAP, wide])
    table.setStyle([(f"{side}PADDING", (0, 0), (-1, -1), 0.0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")])
    table.hAlign = "LEFT"
    return table
