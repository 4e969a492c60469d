"""The foot of a wall chart: the conditions that it is valid for, whom to call, and what to ask a caller."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from reportlab.platypus import Flowable

from tablegen.model.company import Logo
from tablegen.report.condition_stations import ConditionAxis
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Pen, Shape, circle_path, draw_shapes, line_path
from tablegen.report.pdf.logo import draw_logo
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, is_trial, tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.wording import company as wording

# The names of the lines, the axis from its left end to its right, and where the facts begin [pt].
_AXIS_LEFT, _AXIS_RIGHT, _FACTS_LEFT = 76.0, 285.0, 310.0
# From the top of the strip to the baselines of names and pressures, the axis, the liquid; of a line of facts [pt].
_NAMES, _PRESSURES, _AXIS, _LIQUIDS, _LINE = 14.0, 26.0, 36.0, 52.0, 12.4
_SIZE = design.WALL_CLOSE
# Between neighboring figures of the axis, the reach of a tick, and a mark's radius [pt].
_APART, _TICK, _RADIUS = 6.0, 6.0, 4.5
# Below the last line of the strip.
_UNDER = 4.0
# Space above and below the name of the wholesaler.
_ABOVE, _BELOW, _BETWEEN = 5.0, 5.0, 20.0
# The most that the wholesaler's logo is high and wide, and the space beside it [pt]: no higher than the line that it is in, so that
# a chart takes no sheet more for it.
_LOGO_TALL, _LOGO_WIDE, _LOGO_GAP = _ABOVE + fonts.CAP_HEIGHT * design.TITLE + _BELOW - 2.0, 80.0, 10.0


class ConditionStrip(Flowable):
    """Head pressures on an axis with the liquid below, facts beside it.

    Parameters
    ----------
    axis : ConditionAxis
    facts : sequence of str
        Each on lines of its own.
    """

    def __init__(self, axis: ConditionAxis, facts: Sequence[str]) -> None:
        super().__init__()
        self._stations, self._facts = axis.stations, facts
        head, _, liquid = axis.labels
        self._units = units = head, liquid
        for text in (*units, *facts, *(t for s in axis.stations for t in (s.name, s.pressure, s.liquid))):
            fonts.check_glyphs(text, fonts.SEMIBOLD)

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """All of the width, as high as the facts or the axis."""
        self.width = aW
        places, wide = self._places()
        self._left = max(_FACTS_LEFT, places[-1] + 0.5 * wide[-1] + 2.0 * _APART)
        for self._size in (_SIZE, design.TABLE):
            self._lines = [fonts.wrapped(fact, fonts.REGULAR, self._size, aW - self._left) for fact in self._facts]
            # Smaller rather than two lines for a fact.
            if all(len(lines) == 1 for lines in self._lines):
                break
        self.height = max(_LIQUIDS, _NAMES + _LINE * (sum(map(len, self._lines)) - 1)) + _UNDER
        return self.width, self.height

    def draw(self) -> None:
        """Draw the axis, then set figures and facts."""
        if is_trial(self.canv):
            return
        draw_shapes(self.canv, self._shapes())
        text, structure = Typesetter(self.canv), tags(self.canv)
        with structure.element("Table"):
            self._set_line(text, structure, "", [s.name for s in self._stations], _NAMES)
            self._set_line(text, structure, self._units[0], [s.pressure for s in self._stations], _PRESSURES)
            self._set_line(text, structure, self._units[1], [s.liquid for s in self._stations], _LIQUIDS)
        y = self.height - _NAMES
        for lines in self._lines:
            with structure.marked("P", on=text):
                for line in lines:
                    text.put(self._left, y, f"{line} ", fonts.REGULAR, self._size)
                    y -= _LINE
        text.paint()

    def _set_line(self, text: Typesetter, structure: Tags, name: str, figures: Sequence[str], down: float) -> None:
        """A line of the axis as a row of a table."""
        y, is_head = self.height - down, down == _NAMES
        face = fonts.REGULAR if is_head else fonts.BOLD
        with structure.element("TR"):
            with structure.marked("TH", COLUMN if is_head else ROW, on=text):
                text.put(0.0, y, name, fonts.SEMIBOLD, _SIZE)
            for x, figure in zip(self._places()[0], figures, strict=True):
                with structure.marked("TH" if is_head else "TD", COLUMN if is_head else "", on=text):
                    text.put(x, y, figure, face, _SIZE, 0.5)

    def _marks(self) -> list[float]:
        """Where the stations are on the axis, to scale."""
        pressures = [station.place_pa for station in self._stations]
        low, span = min(pressures), max(pressures) - min(pressures)
        if not math.isfinite(span) or span <= 0.0:
            return [_AXIS_LEFT + i * 0.5 * (_AXIS_RIGHT - _AXIS_LEFT) for i in range(len(pressures))]
        ends = _AXIS_LEFT + 36.0, _AXIS_RIGHT - 30.0
        return [ends[0] + (p - low) / span * (ends[1] - ends[0]) for p in pressures]

    def _places(self) -> tuple[list[float], list[float]]:
        """Middles of figures, as near to their marks as neighbors let them, and the width that each needs [pt]."""
        wide = [
            max(
                fonts.text_width(s.name, fonts.REGULAR, _SIZE),
                fonts.text_width(s.pressure, fonts.BOLD, _SIZE),
                fonts.text_width(s.liquid, fonts.BOLD, _SIZE),
            )
            for s in self._stations
        ]
        places = self._marks()
        for i in range(len(places) - 2, -1, -1):
            places[i] = min(places[i], places[i + 1] - 0.5 * (wide[i] + wide[i + 1]) - _APART)
        names = max(fonts.text_width(name, fonts.SEMIBOLD, _SIZE) for name in self._units)
        places[0] = max(places[0], names + _APART + 0.5 * wide[0])
        for i in range(1, len(places)):
            places[i] = max(places[i], places[i - 1] + 0.5 * (wide[i - 1] + wide[i]) + _APART)
        return places, wide

    def _shapes(self) -> Iterator[Shape]:
        """The axis, thick from low to high head, and a mark for each station."""
        y, marks = self.height - _AXIS, self._marks()
        ends = (marks[0] - 24.0, marks[-1] + 24.0)
        yield Shape(path=line_path([(ends[0], y), (ends[1], y)]), pen=Pen(design.RULE))
        yield Shape(path=line_path([(marks[0], y), (marks[-1], y)]), pen=Pen(design.WALL_BAND_FRAME))
        ticks = [line_path([(x, y - _TICK), (x, y + _TICK)]) for x in (marks[0], marks[-1])]
        yield Shape(path="\n".join(ticks), pen=Pen(design.WALL_FRAME))
        rating = circle_path(marks[1], y, _RADIUS)
        yield Shape(path=rating, fill=design.WHITE, pen=Pen(design.STRONG))


class CallLine(Flowable):
    """The wholesaler, beside its logo if it has one, and the telephone number to call, on one line if both fit.

    Parameters
    ----------
    name, telephone : str
    logo : Logo or None

    Raises
    ------
    MissingGlyphError
        The face cannot draw a character.
    """

    def __init__(self, name: str, telephone: str, logo: Logo | None = None) -> None:
        super().__init__()
        self._name, self._telephone = (fonts.check_glyphs(text, fonts.BOLD) for text in (name, telephone))
        self._logo, self._side = logo, min(_LOGO_TALL / logo.height, _LOGO_WIDE / logo.width) if logo else 0.0
        self._left = self._side * logo.width + _LOGO_GAP if logo else 0.0

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """The largest type in which both fit; the telephone number is never smaller than what is read at 1 m."""
        self.width = aW
        room = aW - self._left
        number = fonts.text_width(self._telephone, fonts.BOLD, design.TITLE)
        self._number = design.TITLE if number <= room else max(design.TITLE * room / number, design.FINE)
        free = room - fonts.text_width(self._telephone, fonts.BOLD, self._number) - _BETWEEN
        for size in (design.TITLE, design.WALL_NEAR, design.WALL_WORD):
            if fonts.text_width(self._name, fonts.BOLD, size) <= free:
                self._lines, self._size, self._is_beside = [self._name], size, True
                break
        else:
            self._size, self._is_beside = design.WALL_WORD, False
            self._lines = fonts.wrapped(self._name, fonts.BOLD, self._size, room)
        self.height = _ABOVE + fonts.CAP_HEIGHT * self._number + _BELOW
        if not self._is_beside:
            self.height += 1.2 * self._size * len(self._lines)
        return self.width, self.height

    def draw(self) -> None:
        """Draw a rule, and set all below it."""
        if is_trial(self.canv):
            return
        draw_shapes(
            self.canv, [Shape(path=line_path([(0.0, self.height), (self.width, self.height)]), pen=Pen(design.LINE))]
        )
        if self._logo:
            bottom = 0.5 * (self.height - self._side * self._logo.height)
            draw_logo(self.canv, self._logo, wording.LOGO_ALT(company=self._name), 0.0, bottom, self._side)
        text, structure = Typesetter(self.canv), tags(self.canv)
        number_y = _BELOW
        y = self.height - _ABOVE - fonts.CAP_HEIGHT * (self._number if self._is_beside else self._size)
        if self._is_beside:
            # In the middle of a logo that is higher than they are.
            y = number_y = 0.5 * (self.height - fonts.CAP_HEIGHT * self._number)
        with structure.marked("P", on=text):
            for number, line in enumerate(self._lines):
                text.put(self._left, y - 1.2 * self._size * number, f"{line} ", fonts.BOLD, self._size)
            text.put(self.width, number_y, self._telephone, fonts.BOLD, self._number, 1.0)
        text.paint()
