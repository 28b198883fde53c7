"""Drawings and sheets. Model space is real millimeters; a name that ends in ``_paper`` is printed millimeters.

A view places a drawing on a sheet at a scale. Text heights, line widths and arrows do not scale.
"""

import math
from enum import Enum
from functools import cached_property

from msgspec import Struct

from flangelayout.drawing.convention import Convention, DimensionStyle
from flangelayout.drawing.layers import Layer, Pen
from flangelayout.drawing.references import Ref
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point
from flangelayout.units import Rounding


class Anchor(Enum):
    """The point of a text that stands at its place: across (left, center, right) on the baseline or the middle."""

    LEFT = "left"
    CENTER = "center"
    RIGHT = "right"
    MIDDLE_LEFT = "middle left"
    MIDDLE = "middle center"
    MIDDLE_RIGHT = "middle right"

    @cached_property
    def across(self) -> str:
        """left, center or right."""
        return self.value.removeprefix("middle ")

    @cached_property
    def on_middle(self) -> bool:
        """Whether the middle of the capitals, not the baseline, stands at the place."""
        return self.value.startswith("middle ")


class Label(Struct, frozen=True, gc=False):
    """One line of text. ``height_paper`` is the height of its capitals in printed mm."""

    at: Point
    text: str
    height_paper: float
    rotation_deg: float = 0.0
    anchor: Anchor = Anchor.LEFT


class Solid(Struct, frozen=True, gc=False):
    """A filled polygon of three or more corners."""

    corners: tuple[Point, ...]

    @property
    def outlines(self) -> tuple[tuple[Point, ...], ...]:
        """The polygons that are filled: one."""
        return (self.corners,)


class Mosaic(Struct, frozen=True, gc=False):
    """Filled upright rectangles that are one thing, such as a code to scan; none overlaps another."""

    boxes: tuple[Box, ...]

    @property
    def outlines(self) -> tuple[tuple[Point, ...], ...]:
        """The polygons that are filled: one a rectangle."""
        return tuple(box.corners for box in self.boxes)


class Hatching(Struct, frozen=True, gc=False):
    """Lines at 45 degrees over convex bodies that share at most their edges, ``pitch_paper`` printed mm apart."""

    bodies: tuple[tuple[Point, ...], ...]
    pitch_paper: float


class CenterMark(Struct, frozen=True, gc=False):
    """An open cross: four strokes that leave ``gap_paper`` free round the exact center."""

    at: Point
    reach_paper: float
    gap_paper: float = 0.0


class MeasuredText(Struct, frozen=True, gc=False):
    """What a dimension says where it says what it measures: the value, and what stands round it.

    Attributes:
        rounding: How the value is written.
        before: In front of the value: ``⌀``, ``R``, ``(``.
        after: Behind it: `` BORE``, ``)``, `` (A)``; in lines of its own under a level one where it has line ends.
        other: How it is written once more in square brackets behind the value, in the other unit.
    """

    rounding: Rounding
    before: str = ""
    after: str = ""
    other: Rounding | None = None

    def text(self, measure: float) -> str:
        """The words for a measure in mm or degrees."""
        other = f" [{self.other.text(measure)}]" if self.other else ""
        return f"{self.before}{self.rounding.text(measure)}{other}{self.after}"


Said = str | MeasuredText
"""What a dimension says. Plain words stand for themselves, as in a picture that is not to scale."""


class LinearDimension(Struct, frozen=True, gc=False):
    """The distance from ``start`` to ``end`` along ``angle_deg``, its line through ``line_at``.

    Where the text does not fit between the arrows, or ``outside`` asks for it, it stands beyond the end of the line.
    """

    start: Point
    end: Point
    line_at: Point
    angle_deg: float
    said: Said
    style: DimensionStyle = DimensionStyle.ALIGNED
    outside: bool = False

    @property
    def measure(self) -> float:
        """What is measured, in mm, 0 or more."""
        turn, step = math.radians(self.angle_deg), self.end - self.start
        return abs(step.x * math.cos(turn) + step.y * math.sin(turn))

    @property
    def text(self) -> str:
        """What is written."""
        return _written(self.said, self.measure)


class DiameterDimension(Struct, frozen=True, gc=False):
    """The diameter of a circle, its line through the center at ``angle_deg``, the text on the line.

    Where the text does not fit into the half of the circle that ``angle_deg`` points to, or ``tail_paper`` says how
    long it is in printed mm, an arrow comes from outside and the text stands on a shelf there.
    """

    center: Point
    radius: float
    angle_deg: float
    said: Said
    style: DimensionStyle = DimensionStyle.ALIGNED
    tail_paper: float | None = None

    @property
    def measure(self) -> float:
        """What is measured, in mm."""
        return 2 * self.radius

    @property
    def text(self) -> str:
        """What is written."""
        return _written(self.said, self.measure)


class RadiusDimension(Struct, frozen=True, gc=False):
    """The radius of an arc: an arrow to its rim at ``angle_deg``, from outside, or from inside if ``from_inside``.

    The text stands on a shelf at the tail of the arrow, ``tail_paper`` printed mm from the rim, level in either style.
    """

    center: Point
    radius: float
    angle_deg: float
    said: Said
    from_inside: bool = False
    tail_paper: float = 6.0
    style: DimensionStyle = DimensionStyle.ALIGNED

    @property
    def measure(self) -> float:
        """What is measured, in mm."""
        return self.radius

    @property
    def text(self) -> str:
        """What is written."""
        return _written(self.said, self.measure)


class AngularDimension(Struct, frozen=True, gc=False):
    """The angle from ``start_deg`` through ``sweep_deg`` (> 0), its arc at ``radius`` round ``center``.

    Its text stands ``aside_paper`` printed mm counter-clockwise of the middle of the arc, as far as there is arc; with
    ``other_end`` beyond the end that is nearer to a centerline. With ``over_paper`` it stands over the arc however
    short that is, so many printed mm farther out than that needs.
    """

    center: Point
    radius: float
    start_deg: float
    sweep_deg: float
    said: Said
    style: DimensionStyle = DimensionStyle.ALIGNED
    aside_paper: float = 0.0
    other_end: bool = False
    over_paper: float = 0.0

    @property
    def measure(self) -> float:
        """What is measured, in degrees."""
        return self.sweep_deg

    @property
    def text(self) -> str:
        """What is written."""
        return _written(self.said, self.measure)


def _written(said: Said, measure: float) -> str:
    return said if isinstance(said, str) else said.text(measure)


class Leader(Struct, frozen=True, gc=False):
    """Lines of text with a line that leads to ``tip`` (arrow there) by way of ``elbow`` and a short shelf.

    The text stands beyond the shelf, to the right of the elbow if ``to_right``, else to the left; it is level in
    either style.
    """

    tip: Point
    elbow: Point
    text: tuple[str, ...]
    to_right: bool = True
    style: DimensionStyle = DimensionStyle.ALIGNED


class CutPath(Struct, frozen=True, gc=False):
    """What a table makes of one cut.

    Attributes:
        path: What is cut: a closed shape, or the line that parts two neighbors.
        ways: Open paths that the cutter follows one after the other, from pierce to end, leads and all.
        leads: What of the ways leads to the path and away from it.
    """

    path: Line | Circle | Contour
    ways: tuple[Contour, ...]
    leads: tuple[Line | Arc, ...]


Measuring = LinearDimension | DiameterDimension | RadiusDimension | AngularDimension
Dimension = Measuring | Leader
Drawn = Line | Circle | Arc | Contour | CutPath | Solid | Mosaic | Hatching | Label | CenterMark
Content = Drawn | Dimension


class Item(Struct, frozen=True, gc=False):
    """One thing on a drawing, the layer it is on and where it comes from."""

    layer: Layer
    what: Content
    source: Ref | None = None


class Drawing(Struct, frozen=True):
    """Things in model space, real size."""

    title: str
    items: tuple[Item, ...]


class View(Struct, frozen=True):
    """A drawing placed on a sheet.

    Attributes:
        drawing: What is shown.
        scale: Printed mm for a real mm; 0.2 for 1:5.
        at_paper: Where the drawing's origin stands on the sheet.
        clip_paper: What of the sheet the view may print on; ``None`` for all of it.
    """

    drawing: Drawing
    scale: float
    at_paper: Point
    clip_paper: Box | None = None


class Paper(Struct, frozen=True):
    """A sheet of paper, in mm, as it is turned."""

    name: str
    width: float
    height: float


class Sheet(Struct, frozen=True):
    """One page: views under furniture (border, tables, title block) in printed mm from the lower left corner."""

    paper: Paper
    views: tuple[View, ...]
    furniture: tuple[Item, ...]
    name: str = ""


class Stamp(Struct, frozen=True):
    """The identity every output of one job carries."""

    job_number: str
    revision: str
    digest: str
    date: str
    version: str
    title: str = ""


class CutDrawing(Struct, frozen=True):
    """A drawing of nothing but cut geometry, with its identity."""

    drawing: Drawing
    stamp: Stamp


class SheetSet(Struct, frozen=True):
    """Pages that belong together, all of one paper size.

    Attributes:
        sheets: The pages.
        stamp: Their identity.
        convention: The rules for line widths and types; ``None`` for the layers' own.
        stretch: How many mm along x and y a file must have for a printed one, where a printer prints
            short or long; 1 and 1 unless the pages are made for one printer. Only PDF heeds it.
        one_sided: Whether pages are printed on one side only, for they are cut and joined. Only PDF can ask for it.
    """

    sheets: tuple[Sheet, ...]
    stamp: Stamp
    convention: Convention | None = None
    stretch: tuple[float, float] = (1.0, 1.0)
    one_sided: bool = False

    def pen(self, layer: Layer) -> Pen:
        """How a layer is drawn on these pages."""
        return self.convention.pen(layer) if self.convention else layer.pen


class TextTable(Struct, frozen=True):
    """Rows of finished texts under column heads: laid out on a sheet or written as CSV."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
