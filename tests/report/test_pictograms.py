"""Pictograms stay in their box at every size, and are told apart by their black pixels alone."""

import io
import itertools
import re

import numpy as np
import pytest
from numpy.typing import NDArray

from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Box, Drawing
from tablegen.report.pdf.page import Document, Heading
from tablegen.report.pdf.pictograms import Pictogram, PictogramFlowable, pictogram_shapes
from tests.report.drawings import pixels
from tests.report.tagged_text import Tagged, faults

PLACES = re.compile(r"-?\d+\.\d+")
# An office printer that knows no gray: black below this share of white, at 100 dots to the inch.
THRESHOLD = 0.55 * 255


@pytest.mark.parametrize("pictogram", Pictogram)
@pytest.mark.parametrize("box", [Box(0.0, 0.0, 9.0, 9.0), Box(40.0, 70.0, 140.0, 120.0)])
def test_each_stays_in_its_box(pictogram: Pictogram, box: Box):
    shapes = list(pictogram_shapes(pictogram, box, design.WHITE))
    assert shapes
    for shape in shapes:
        assert (shape.pen.color if shape.pen else shape.fill) == design.WHITE
        half = 0.5 * shape.pen.width if shape.pen else 0.0
        places = [float(found) for found in PLACES.findall(shape.path)]
        assert min(places[::2]) >= box.left + half - 0.02 and max(places[::2]) <= box.right - half + 0.02
        assert min(places[1::2]) >= box.bottom + half - 0.02 and max(places[1::2]) <= box.top - half + 0.02


def one_bit(pictogram: Pictogram, side: float) -> NDArray[np.bool_]:
    drawing = Drawing(side, side, tuple(pictogram_shapes(pictogram, Box(0.0, 0.0, side, side))))
    return pixels(drawing, 100) < THRESHOLD


@pytest.mark.parametrize("side", [10.0, design.PICTOGRAM, 60.0])
def test_they_are_told_apart_in_one_bit(side: float):
    black = {pictogram: one_bit(pictogram, side) for pictogram in Pictogram}
    for one, other in itertools.combinations(Pictogram, 2):
        differing = (black[one] ^ black[other]).sum() / (black[one] | black[other]).sum()
        assert differing > 0.3, (one, other, differing)


def test_readers_who_cannot_see_them_hear_what_they_stand_for():
    target = io.BytesIO()
    row = PictogramFlowable((Pictogram.FREEZER, Pictogram.LIQUID_RISER))
    Document(target, "letter", "x", date=None).build([Heading("x"), row])
    tagged = Tagged(target.getvalue())
    [figure] = tagged.root.find("Figure")
    assert figure.entry["/Alt"] == "Pictograms for freezer and liquid riser"
    assert not faults(tagged)
