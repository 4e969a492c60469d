"""Superheat as a ruler: below its minimum the valve floods back, above its maximum it starves; both limits of a window on it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, Axes, Scale, below
from tablegen.report.graphs.sketch import LINE, MARK, SIZE, TEXT, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.report.rounding import decimals
from tablegen.units import print_unit
from tablegen.wording import two_limits as wording

# Height of the ruler, of a line of names over it, and of a mark [pt]; how far it goes on beyond the maximum, a share.
_BAR, _NAME, _MARK, _BEYOND = 15.0, 13.0, 7.0, 1.2


def superheat_ruler(
    limits_k: tuple[float, float], marks: Sequence[tuple[str, float]], formatter: Formatter, width: float
) -> Drawing:
    """Draw a ruler as wide as asked [pt].

    Parameters
    ----------
    limits_k : pair of float [K]
        Minimum stable and maximum superheat.
    marks : sequence of (str, float [K])
        What is marked, each with its name on a line of its own.
    formatter : Formatter
    width : float
    """
    unit = print_unit("temperature difference", formatter.system)
    minimum, maximum = (unit.of(own) for own in limits_k)
    end = math.ceil(_BEYOND * max(maximum, *(unit.of(own) for _, own in marks)))
    foot = below(has_name=False)
    sketch = Sketch(width, foot + _BAR + _MARK + _NAME * len(marks) + EDGE)
    axes = Axes(sketch, Box(EDGE + 6.0, foot, width - EDGE - 6.0, foot + _BAR), Scale(0.0, end), Scale(0.0, 1.0))
    pen = Pen(design.RULE)
    axes.rectangle((0.0, minimum), (0.0, 1.0), pen, design.WHITE, "///", name="floods back")
    axes.rectangle((minimum, maximum), (0.0, 1.0), pen, design.TINT_LIGHT, name="steady")
    axes.rectangle((maximum, end), (0.0, 1.0), pen, design.WHITE, "\\\\\\", name="starves")
    for middle, text in ((0.5 * minimum, wording.FLOODS_BACK()), (0.5 * (maximum + end), wording.STARVES())):
        axes.note(text, (middle, 0.5), up="digits", face=fonts.SEMIBOLD, pad=1.0)
    for line, (name, superheat_k) in enumerate(marks):
        superheat = unit.of(superheat_k)
        x, top = float(axes.across(superheat)), axes.box.top
        y = top + _MARK + _NAME * (len(marks) - line - 0.5)
        sketch.line([(x, top + _MARK), (x, y - 0.5 * SIZE)], Pen(design.THIN), LINE)
        sketch.mark(x, top + 0.5 * _MARK, "v", _MARK, pen, design.ACCENT, MARK)
        text = wording.MARKED(limit=name, superheat=decimals(superheat, 1))
        is_left = superheat > 0.5 * end
        sketch.text(
            x, y, text, side="right" if is_left else "left", up="digits", face=fonts.SEMIBOLD, pad=0.5, layer=TEXT
        )
    axes.x_axis(axes.x.round_ticks(axes.box.width, is_upright=False, most=14))
    return sketch.drawing(wording.RULER(unit=unit.label))
