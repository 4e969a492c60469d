"""What the pictograms of a booklet's applications stand for."""

from __future__ import annotations

from reportlab.platypus import Flowable, KeepTogether

from tablegen.report.graphs.axes import EDGE
from tablegen.report.graphs.sketch import LINE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, DrawingFlowable
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.page import paragraph
from tablegen.report.pdf.pictograms import Pictogram, pictogram_shapes
from tablegen.report.publications.application_pictograms import application_pictograms
from tablegen.report.publications.publication import Publication
from tablegen.wording import pictograms as wording
from tablegen.wording.message import listed

# Pictograms in a row, the side of one and the height of a row, between a pictogram and its words [pt].
_COLUMNS, _SIDE, _ROW, _BESIDE = 3, 30.0, 46.0, 10.0


def pictogram_legend(publication: Publication, width: float) -> list[Flowable]:
    """Each pictogram of the booklet with its words."""
    names = [name for name, _ in publication.applications()]
    found = {mark for name in names for mark in application_pictograms(publication, name)}
    marks = [mark for mark in Pictogram if mark in found]
    if not marks:
        return []
    alt = wording.ALT(meanings=listed([mark.title for mark in marks]))
    return [KeepTogether([paragraph(wording.LEGEND(), "caption"), DrawingFlowable(_drawn(marks, width), alt)])]


def _drawn(marks: list[Pictogram], width: float) -> Drawing:
    rows = -(-len(marks) // _COLUMNS)
    sketch = Sketch(width, rows * _ROW + 2 * EDGE)
    for place, mark in enumerate(marks):
        row, column = divmod(place, _COLUMNS)
        left, middle = column * width / _COLUMNS, sketch.height - EDGE - (row + 0.5) * _ROW
        box = Box(left, middle - 0.5 * _SIDE, left + _SIDE, middle + 0.5 * _SIDE)
        for shape in pictogram_shapes(mark, box):
            sketch.shape(shape, LINE)
        text = "\n".join(wrapped(mark.title, fonts.REGULAR, design.BODY, width / _COLUMNS - _SIDE - 2 * _BESIDE))
        sketch.text(box.right + _BESIDE, middle, text, side="left", size=design.BODY)
    return sketch.drawing(wording.LEGEND())
