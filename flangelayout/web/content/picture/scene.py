"""The flange as it lies on the squared paper of the page: its lines in picture units, to scale, y down."""

import math

from msgspec import Struct

from flangelayout.flange import Flange, Hole
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Point, polar
from flangelayout.units import Unit, angle_text, decimal_text, size_text
from flangelayout.value import replace
from flangelayout.web.content.picture.sizes import PictureSizes
from flangelayout.writers.numbers import fixed as _fixed

REACH = 118.0
"""Picture units from the middle to the outermost edge."""
_USUAL_CIRCLE, _USUAL_COUNT = 240.0, 8
_RIM, _BORE, _HOLE = 1.19, 0.6, 0.09
"""Of the bolt circle: how a plate is drawn of which only that is known. A picture; nothing is made from it."""
_SQUARES = {
    Unit.MM: (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0),
    Unit.IN: (1.5875, 3.175, 6.35, 12.7, 25.4, 50.8, 101.6, 203.2, 508.0, 1016.0),
}
PAPER_ACROSS, PAPER_DOWN = 480, 320
"""How far the squared paper reaches from the middle, picture units: beyond what any screen shows of it."""
_LEAST_SQUARE = 7.0
MOST_TOUCHED = 120


class DrawnHole(Struct, frozen=True):
    """A hole: its label on the outputs, number and group counted from 1 (0 for single holes), and where it is drawn.

    ``said`` is what there is to know about it, in a line.
    """

    label: str
    number: int
    circle: int
    x: float
    y: float
    r: float
    path: str = ""
    said: str = ""


class Scene(Struct, frozen=True):
    """The lines of the picture.

    Attributes:
        outline: Edges of the plate, as one path.
        openings: Edges of everything cut out beside the holes, as one path.
        circles: Radii of the bolt circles.
        holes: The holes.
        half_width: From the middle to the right edge.
        half_height: From the middle to the lower edge.
        bore: Radius of the bore; 0 for none.
        scale: Picture units in a millimeter.
        center: What lies in the middle of the picture, mm.
        square: Side of a square of the paper.
        square_text: What a square is, as ``10 mm``; empty where nothing is to scale.
        rim_asked: Whether the outside is a guess.
        bore_asked: Whether the bore is a guess, or that there is none.
    """

    outline: str
    openings: str
    circles: tuple[float, ...]
    holes: tuple[DrawnHole, ...]
    half_width: float
    half_height: float
    bore: float
    scale: float
    center: Point
    square: float
    square_text: str
    rim_asked: bool
    bore_asked: bool

    def rulings(self, fifth: bool) -> str:
        """The lines of the squared paper, every fifth or those between, as a path: quicker to paint than a pattern."""
        across, down = (int(reach // self.square) for reach in (PAPER_ACROSS, PAPER_DOWN))
        upright = (k for k in range(-across, across + 1) if (k % 5 == 0) is fifth)
        level = (k for k in range(-down, down + 1) if (k % 5 == 0) is fifth)
        path = [f"M{unit_text(k * self.square)} -{PAPER_DOWN}v{2 * PAPER_DOWN}" for k in upright]
        path += [f"M-{PAPER_ACROSS} {unit_text(k * self.square)}h{2 * PAPER_ACROSS}" for k in level]
        return "".join(path)

    def at(self, point: Point) -> tuple[float, float]:
        """Where a place of the flange is in the picture."""
        return (point.x - self.center.x) * self.scale, (self.center.y - point.y) * self.scale

    @property
    def touchable(self) -> bool:
        """Whether the holes can be told apart by a finger."""
        return 1 < len(self.holes) <= MOST_TOUCHED


def scene_of_flange(flange: Flange, unit: Unit) -> Scene:
    """The picture of a flange whose sizes are all there."""
    box = flange.box()
    scale, center = 2 * REACH / max(box.width, box.height), box.center
    edges = flange.pieces()
    openings = [opening.shape for opening in flange.cutouts()]
    drawn = tuple(_hole_of(hole, scale, center, unit) for hole in flange.holes())
    square, square_text = _square(scale, unit)
    return Scene(
        outline=" ".join(path_of(edge, scale, center) for edge in edges),
        openings=" ".join(path_of(edge, scale, center) for edge in openings),
        circles=tuple(circle.diameter / 2 * scale for circle in flange.bolt_circles),
        holes=drawn,
        half_width=box.width / 2 * scale,
        half_height=box.height / 2 * scale,
        bore=(flange.bore or 0.0) / 2 * scale,
        scale=scale,
        center=center,
        square=square,
        square_text=square_text,
        rim_asked=False,
        bore_asked=flange.bore is None and flange.is_blind,
    )


def scene_of_sizes(sizes: PictureSizes, unit: Unit) -> Scene:
    """The picture of a round flange of which not all is known; what is not is drawn in usual proportions."""
    first = sizes.circles[0]
    known = first.diameter.value
    circle = known or (sizes.outside.value or _USUAL_CIRCLE * _RIM) / _RIM
    hole = first.hole_diameter.value or circle * _HOLE
    outside = sizes.outside.value or circle * _RIM
    bore = sizes.bore.value or min(circle, outside) * _BORE
    largest = max([outside, circle + hole, *(each.diameter.value or 0.0 for each in sizes.circles)])
    scale = 2 * REACH / largest
    count = min(int(first.hole_count.value or _USUAL_COUNT), 400)
    holes: list[DrawnHole] = []
    circles = []
    lettered = len(sizes.circles) > 1
    for each in sizes.circles:
        diameter = each.diameter.value or (circle if each.number == 1 else None)
        if diameter is None:
            continue
        circles.append(diameter / 2 * scale)
        places = min(int(each.hole_count.value or (count if each.number == 1 else 4)), 400)
        width = each.hole_diameter.value or diameter * _HOLE
        letter = chr(64 + each.number) if lettered else ""
        holes += [
            _hole(f"{letter}{number}", number, each.number,
                  polar(diameter / 2, 90 + 180 / places + 360 / places * (number - 1)), width, scale)
            for number in range(1, places + 1)
        ]  # fmt: skip
    square, square_text = _square(scale, unit)
    return Scene(
        outline=path_of(Circle(ORIGIN, outside / 2), scale),
        openings=path_of(Circle(ORIGIN, bore / 2), scale),
        circles=tuple(circles),
        holes=tuple(holes),
        half_width=outside / 2 * scale,
        half_height=outside / 2 * scale,
        bore=bore / 2 * scale,
        scale=scale,
        center=ORIGIN,
        square=square,
        square_text=square_text if known or sizes.outside.value else "",
        rim_asked=sizes.outside.value is None,
        bore_asked=sizes.bore.value is None,
    )


def path_of(edge: Edge, scale: float, center: Point = ORIGIN) -> str:
    """The SVG path of a closed edge."""
    if isinstance(edge, Circle):
        (x, y), r = _at(edge.center, scale, center), unit_text(edge.radius * scale)
        left, right = unit_text(x - edge.radius * scale), unit_text(x + edge.radius * scale)
        return f"M{left} {unit_text(y)}A{r} {r} 0 1 0 {right} {unit_text(y)}A{r} {r} 0 1 0 {left} {unit_text(y)}Z"
    start = edge.parts[0].start
    parts = [f"M{_text(start, scale, center)}"]
    for segment in edge.parts:
        end = _text(segment.end, scale, center)
        if isinstance(segment, Arc):
            r = unit_text(segment.radius * scale)
            wide = int(abs(segment.sweep_deg) > 180)
            parts.append(f"A{r} {r} 0 {wide} {int(segment.sweep_deg < 0)} {end}")
        else:
            parts.append(f"L{end}")
    return "".join(parts) + "Z"


def unit_text(value: float) -> str:
    """A picture unit, to a fortieth of a pixel."""
    return _fixed(value, 2)


def on_rim(angle: float, radius: float) -> tuple[float, float]:
    """A place at an angle in degrees, counter-clockwise from the right, in picture units."""
    return radius * math.cos(math.radians(angle)), -radius * math.sin(math.radians(angle))


def _hole_of(hole: Hole, scale: float, center: Point, unit: Unit) -> DrawnHole:
    """A hole of a flange, with its angle and place."""
    x, y = decimal_text(hole.center.x, unit), decimal_text(hole.center.y, unit)
    said = f"Hole {hole.label}: {angle_text(hole.angle)}, X {x}, Y {y} {unit.value}"
    drawn = _hole(hole.label, hole.number, hole.group + 1, hole.center, hole.diameter, scale, center, hole.shape)
    return replace(drawn, said=said)


def _hole(
    label: str,
    number: int,
    circle: int,
    place: Point,
    width: float,
    scale: float,
    center: Point = ORIGIN,
    shape: Edge | None = None,
) -> DrawnHole:
    x, y = _at(place, scale, center)
    path = "" if shape is None or isinstance(shape, Circle) else path_of(shape, scale, center)
    return DrawnHole(label, number, circle, x, y, width / 2 * scale, path)


def _at(point: Point, scale: float, center: Point) -> tuple[float, float]:
    return (point.x - center.x) * scale, (center.y - point.y) * scale


def _text(point: Point, scale: float, center: Point) -> str:
    x, y = _at(point, scale, center)
    return f"{unit_text(x)} {unit_text(y)}"


def _square(scale: float, unit: Unit) -> tuple[float, str]:
    """The smallest round size whose squares can be told apart, in picture units and in words."""
    sizes = _SQUARES[unit]
    size = next((each for each in sizes if each * scale >= _LEAST_SQUARE), sizes[-1])
    return size * scale, f"{size_text(size, unit)} {unit.value}"
