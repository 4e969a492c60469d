"""What a drawing contains, for tests: points of its lines, boxes of its texts, shapes by name."""

from __future__ import annotations

import io
import itertools

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
from numpy.typing import NDArray
from reportlab.pdfgen.canvas import Canvas

from tablegen.report.graphs.sketch import ABOVE, BELOW
from tablegen.report.pdf.drawing import Box, Drawing, DrawingFlowable, Label, Shape


def shapes(drawing: Drawing, name: str | None = None) -> list[Shape]:
    """Every shape, or those of a name."""
    return [item for item in drawing.items if isinstance(item, Shape) and name in (None, item.name)]


def labels(drawing: Drawing) -> list[Label]:
    return [item for item in drawing.items if isinstance(item, Label)]


def texts(drawing: Drawing) -> list[str]:
    return [label.text for label in labels(drawing)]


def points(shape: Shape) -> list[tuple[float, float]]:
    """Corners of a shape; of a rectangle its lower left and upper right."""
    found = []
    for line in shape.path.split("\n"):
        *numbers, operator = line.split()
        values = [float(number) for number in numbers]
        if operator == "re":
            left, bottom, wide, high = values
            found += [(left, bottom), (left + wide, bottom + high)]
        elif values:
            found.append((values[-2], values[-1]))
    return found


def box_of(label: Label) -> Box:
    """Where a text is."""
    below, above = label.y - BELOW * label.size, label.y + ABOVE * label.size
    return Box(label.x, below, label.x + label.width, above)


def ink(shape: Shape) -> NDArray[np.float64]:
    """A line as close points [pt]."""
    corners = np.array(points(shape))
    return np.vstack([corners, *(np.linspace(a, b, 400) for a, b in itertools.pairwise(corners))])


def crossed(drawing: Drawing, lines: list[Shape], *names: str) -> list[str]:
    """Texts that contain one of these names and have one of these lines running through them."""
    found = []
    for label in labels(drawing):
        if not any(name in label.text for name in names):
            continue
        box = box_of(label)
        for line in lines:
            x, y = ink(line).T
            if ((x > box.left) & (x < box.right) & (y > box.bottom + 1.0) & (y < box.top - 1.0)).any():
                found.append(label.text)
    return found


def printed(drawing: Drawing) -> bytes:
    """A page of the drawing's size with nothing else."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(drawing.width, drawing.height), invariant=1)
    DrawingFlowable(drawing).drawOn(canvas, 0, 0)
    canvas.save()
    return target.getvalue()


def pixels(drawing: Drawing, dpi: int = 300) -> NDArray[np.uint8]:
    """Gray pixels of the printed drawing, row 0 at its foot."""
    sheet = pypdfium2.PdfDocument(printed(drawing))[0]
    image: NDArray[np.uint8] = sheet.render(scale=dpi / 72, grayscale=True).to_numpy()
    return image.reshape(image.shape[0], -1)[::-1]
