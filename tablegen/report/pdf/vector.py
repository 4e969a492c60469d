"""Matplotlib figures drawn on a page as vectors, with text in the document's own faces.

One pixel of the figure is one point of the page, so that line widths, dashes and type sizes
are those of print. Whatever would not survive as a vector or as searchable text is refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, Literal, TypedDict

import matplotlib
from matplotlib.backend_bases import FigureCanvasBase, GraphicsContextBase, RendererBase
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.font_manager import FontEntry, FontProperties, fontManager
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Transform
from matplotlib.typing import ColorType
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import Flowable

from tablegen.errors import PublishError
from tablegen.report.pdf import fonts
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.wording import input_errors


class LineStyle(TypedDict, total=False):
    """How a curve is drawn: color, line width [pt], dashes."""

    color: str
    lw: float
    ls: tuple[float, tuple[float, ...]]


_WEIGHTS = {fonts.REGULAR: 400, fonts.SEMIBOLD: 600, fonts.BOLD: 700}
_CAPS = {"butt": 0, "round": 1, "projecting": 2}
_JOINS = {"miter": 0, "round": 1, "bevel": 2}
_NON_ZERO = 1

# Angles [degree] of the families of lines that a hatch letter stands for.
_HATCH_ANGLES = {"/": (45,), "\\": (135,), "-": (0,), "|": (90,), "x": (45, 135), "+": (0, 90)}
# Grey or thinner hatches vanish in a one-bit print.
_HATCH_WIDTH = 0.35
# Distance between lines [pt] for one letter; n equal letters set them n times as dense.
_HATCH_PITCH = 9.0

# A line of text over and under its baseline, and the gap between two lines, in type sizes.
_ABOVE, _BELOW, _GAP = 0.68, 0.21, 0.28

_STYLE: dict[str, Any] = {
    "font.family": [fonts.REGULAR],
    "font.size": 9.0,
    "axes.labelsize": 9.0,
    "axes.titlesize": 9.0,
    "xtick.labelsize": 8.5,
    "ytick.labelsize": 8.5,
    "text.usetex": False,
    # A dollar sign in a user's text is one.
    "text.parse_math": False,
    "axes.unicode_minus": True,
    "axes.formatter.use_mathtext": False,
    "figure.dpi": 72.0,
    "figure.facecolor": "none",
    "axes.facecolor": "none",
}


def _register_faces() -> None:
    """Let matplotlib lay text out with the same files that the page is set in."""
    for name, path in fonts.FACES.items():
        slant = "italic" if name == fonts.ITALIC else "normal"
        entry = FontEntry(str(path), 0, fonts.REGULAR, slant, "normal", _WEIGHTS.get(name, 400))
        fontManager.ttflist.append(entry)


_register_faces()


@contextmanager
def style(settings: Mapping[str, Any] | None = None) -> Iterator[None]:
    """Context in which a figure for print must be made; `settings` are further matplotlib settings."""
    merged: Any = {**_STYLE, **(settings or {})}
    with matplotlib.rc_context(merged):
        yield


def _face(prop: FontProperties, text: str) -> str:
    """Choose the document face for a text's weight and slant."""
    if prop.get_family() != [fonts.REGULAR]:
        family = ", ".join(prop.get_family())
        raise PublishError(input_errors.FACE_OF_FIGURE(text=repr(text), family=family))
    if prop.get_style() != "normal":
        return fonts.ITALIC
    named = {"normal": 400, "regular": 400, "medium": 500, "semibold": 600, "demibold": 600, "bold": 700}
    weight = prop.get_weight()
    value = named.get(weight, 400) if isinstance(weight, str) else weight
    return fonts.BOLD if value >= 700 else fonts.SEMIBOLD if value >= 550 else fonts.REGULAR


def _refuse_math(text: str, ismath: bool | Literal["TeX"]) -> None:
    if ismath:
        raise PublishError(input_errors.MATHTEXT(text=repr(text)))


class VectorRenderer(RendererBase):
    """Draws matplotlib artists on a reportlab canvas whose origin is the figure's lower left corner.

    Parameters
    ----------
    canvas : Canvas or None
        None makes a renderer that only measures text, for layout.
    width, height : float
        Size of the figure [pt].
    """

    def __init__(self, canvas: Canvas | None, width: float, height: float) -> None:
        super().__init__()
        self._canvas = canvas
        self._width, self._height = width, height

    @property
    def page(self) -> Canvas:
        """The canvas that is drawn on."""
        if self._canvas is None:
            raise PublishError(input_errors.MEASURING())
        return self._canvas

    def flipy(self) -> bool:
        return False

    def get_canvas_width_height(self) -> tuple[float, float]:
        return self._width, self._height

    def get_text_width_height_descent(
        self, s: str, prop: FontProperties, ismath: bool | Literal["TeX"]
    ) -> tuple[float, float, float]:
        _refuse_math(s, ismath)
        size = float(prop.get_size_in_points())
        width = fonts.text_width(s, _face(prop, s), size)
        return width, size * (_ABOVE + _BELOW), size * _BELOW

    def _get_font_height_metrics(self, prop: FontProperties) -> tuple[float, float, float]:
        """Height of a line over and under its baseline and the gap to the next [pt]; asked for by layout.

        Capitals and digits fill the height, so that a label centered on a tick stands on its middle.
        """
        size = float(prop.get_size_in_points())
        return size * _ABOVE, size * _BELOW, size * _GAP

    def draw_text(
        self,
        gc: GraphicsContextBase,
        x: float,
        y: float,
        s: str,
        prop: FontProperties,
        angle: float,
        ismath: bool | Literal["TeX"] = False,
        mtext: Text | None = None,
    ) -> None:
        _refuse_math(s, ismath)
        size = float(prop.get_size_in_points())
        if size < fonts.MIN_SIZE - 1e-9:
            least = f"{fonts.MIN_SIZE:g}"
            raise PublishError(input_errors.FIGURE_TYPE(text=repr(s), size=f"{size:g}", least=least))
        face = _face(prop, s)
        fonts.check_glyphs(s, face)
        self.page.saveState()
        self._clip(gc)
        self.page.translate(x, y)
        if angle:
            self.page.rotate(angle)
        _set_fill(self.page, gc.get_rgb()[:3], _alpha(gc, gc.get_rgb()))
        self.page.setFont(face, size)
        self.page.drawString(0, 0, s)
        self.page.restoreState()

    def draw_path(
        self, gc: GraphicsContextBase, path: Path, transform: Transform, rgbFace: ColorType | None = None
    ) -> None:
        face = None if rgbFace is None else to_rgba(rgbFace)
        fill = face is not None and face[3] > 0
        stroke = gc.get_linewidth() > 0 and _alpha(gc, gc.get_rgb()) > 0
        letters = gc.get_hatch()
        if not (fill or stroke or letters):
            return
        self.page.saveState()
        self._clip(gc)
        outline = self._trace(path, transform, closed=fill or bool(letters))
        if face is not None and fill:
            _set_fill(self.page, face[:3], gc.get_alpha() if gc.get_forced_alpha() else face[3])
        if stroke:
            self._set_pen(gc)
        if letters:
            # The hatch lies on the tint and under the outline.
            self.page.drawPath(outline, stroke=0, fill=int(fill), fillMode=_NON_ZERO)
            self._hatch(letters, outline, path, transform)
        if stroke or (fill and not letters):
            self.page.drawPath(outline, int(stroke), int(fill and not letters), _NON_ZERO)
        self.page.restoreState()

    def draw_image(self, *args: object, **kwargs: object) -> None:
        raise PublishError(input_errors.FIGURE_IMAGE())

    def draw_gouraud_triangles(self, *args: object, **kwargs: object) -> None:
        raise PublishError(input_errors.FIGURE_TRIANGLES())

    def _trace(self, path: Path, transform: Transform, closed: bool) -> PDFPathObject:
        """Write a path in page points; open lines are cut to the figure, so no coordinate is huge."""
        around = None if closed else (-9.0, -9.0, self._width + 9.0, self._height + 9.0)
        traced = self.page.beginPath()
        last = (0.0, 0.0)
        for points, code in path.iter_segments(transform, clip=around):
            p = [float(v) for v in points]
            if code == Path.MOVETO:
                traced.moveTo(*p)
            elif code == Path.LINETO:
                traced.lineTo(*p)
            elif code == Path.CURVE3:
                traced.curveTo(*_raise_degree(last, p))
            elif code == Path.CURVE4:
                traced.curveTo(*p)
            elif code == Path.CLOSEPOLY:
                traced.close()
            if code != Path.CLOSEPOLY:
                last = (p[-2], p[-1])
        return traced

    def _clip(self, gc: GraphicsContextBase) -> None:
        box = gc.get_clip_rectangle()
        if box is not None:
            area = self.page.beginPath()
            area.rect(box.x0, box.y0, box.width, box.height)
            self.page.clipPath(area, stroke=0, fill=0)
        # Declared as a TransformedPath, but a plain path comes.
        path: Any
        path, transform = gc.get_clip_path()
        if path is not None and transform is not None:
            shape = self._trace(path, transform, closed=True)
            self.page.clipPath(shape, stroke=0, fill=0, fillMode=_NON_ZERO)

    def _set_pen(self, gc: GraphicsContextBase) -> None:
        red, green, blue = gc.get_rgb()[:3]
        alpha = _alpha(gc, gc.get_rgb())
        self.page.setStrokeColorRGB(red, green, blue, alpha if alpha < 1 else None)
        self.page.setLineWidth(float(gc.get_linewidth()))
        self.page.setLineCap(_CAPS[gc.get_capstyle()])
        self.page.setLineJoin(_JOINS[gc.get_joinstyle()])
        offset, dashes = gc.get_dashes()
        if dashes is not None:
            pattern: Any = dashes
            self.page.setDash([float(d) for d in pattern], float(offset))

    def _hatch(self, letters: str, outline: PDFPathObject, path: Path, transform: Transform) -> None:
        unknown = sorted(set(letters) - set(_HATCH_ANGLES))
        if unknown:
            allowed = " ".join(_HATCH_ANGLES)
            raise PublishError(input_errors.FIGURE_HATCH(hatch=repr(str(letters)), letters=allowed))
        box = path.get_extents(transform)
        low = (max(box.x0, -9.0), max(box.y0, -9.0))
        high = (min(box.x1, self._width + 9.0), min(box.y1, self._height + 9.0))
        self.page.saveState()
        self.page.clipPath(outline, stroke=0, fill=0, fillMode=_NON_ZERO)
        self.page.setStrokeColorRGB(0, 0, 0, 1)
        self.page.setLineWidth(_HATCH_WIDTH)
        self.page.setLineCap(_CAPS["butt"])
        self.page.setDash([])
        for letter in sorted(set(letters)):
            for angle in _HATCH_ANGLES[letter]:
                self.page.lines(_hatch_lines(low, high, angle, _HATCH_PITCH / letters.count(letter)))
        self.page.restoreState()


def _alpha(gc: GraphicsContextBase, rgba: Sequence[float]) -> float:
    """Opacity of a stroke or text: an artist's own alpha wins over that of its color."""
    return float(gc.get_alpha() if gc.get_forced_alpha() else rgba[3])


def _set_fill(page: Canvas, colour: Sequence[float], alpha: float) -> None:
    red, green, blue = colour
    page.setFillColorRGB(red, green, blue, alpha if alpha < 1 else None)


def _raise_degree(start: tuple[float, float], p: Sequence[float]) -> list[float]:
    """Write a quadratic curve (control, end) as a cubic one (PDF has no other)."""
    (x0, y0), (cx, cy, x1, y1) = start, p
    first = [x0 + 2 / 3 * (cx - x0), y0 + 2 / 3 * (cy - y0)]
    return [*first, x1 + 2 / 3 * (cx - x1), y1 + 2 / 3 * (cy - y1), x1, y1]


def _hatch_lines(
    low: tuple[float, float], high: tuple[float, float], angle: float, pitch: float
) -> list[tuple[float, float, float, float]]:
    """Parallel lines over a box, counted from the figure's origin so that neighboring areas agree."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    corners = [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
    along = [x * cos + y * sin for x, y in corners]
    across = [y * cos - x * sin for x, y in corners]
    a, b = min(along), max(along)
    steps = range(math.ceil(min(across) / pitch), math.floor(max(across) / pitch) + 1)
    rows = [k * pitch for k in steps]
    return [(a * cos - d * sin, a * sin + d * cos, b * cos - d * sin, b * sin + d * cos) for d in rows]


class VectorCanvas(FigureCanvasBase):
    """The canvas of a figure for print; it measures text for layout with the document's own faces."""

    def get_renderer(self) -> VectorRenderer:
        """Return a renderer that measures and does not draw."""
        width, height = self.figure.get_size_inches() * 72.0
        return VectorRenderer(None, float(width), float(height))


class FigureFlowable(Flowable):
    """A matplotlib figure in the flow of a document, as vectors.

    Parameters
    ----------
    figure : Figure
        Made inside `style`; from now on it belongs to the document, at 72 dots an inch.
    width_pt, height_pt : float
        Its size on the page [pt].
    alt : str
        What the figure shows, for readers who cannot see it; a document with structure tags needs it.

    Raises
    ------
    PublishError
        A text has path effects (it would no longer be text). Drawing raises it for mathtext, images,
        type below 8 pt, a face that is not ours, a hatch letter that has no lines, or missing words where the
        document needs them.
    """

    def __init__(self, figure: Figure, width_pt: float, height_pt: float, alt: str = "") -> None:
        super().__init__()
        self.alt = alt
        self.figure, self.width, self.height = figure, width_pt, height_pt
        self.hAlign = "LEFT"
        for text in figure.findobj(Text):
            if isinstance(text, Text) and text.get_path_effects():
                raise PublishError(input_errors.FIGURE_EFFECTS(text=repr(text.get_text())))
        figure.set_dpi(72.0)
        figure.set_size_inches(width_pt / 72.0, height_pt / 72.0)
        VectorCanvas(figure)
        engine = figure.get_layout_engine()
        if engine is not None:
            # Once only: a second run from the first one's result may move things by a hair.
            engine.execute(figure)
            figure.set_layout_engine("none")

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        """Draw the figure at the current place of the page."""
        if is_trial(self.canv):
            return
        with tags(self.canv).figure(self.alt, self.width, self.height):
            self.figure.draw(VectorRenderer(self.canv, self.width, self.height))
