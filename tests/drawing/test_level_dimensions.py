"""Dimensions with level texts (ASME Y14.5, unidirectional): the line is broken, nothing crosses the text."""

import math

import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import Primitive, explode
from flangelayout.drawing.model import AngularDimension, DiameterDimension, Dimension, Label, LinearDimension, Solid
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.shapes import ORIGIN, Arc, Line, Point, polar

LEVEL = DimensionStyle.LEVEL
TEXTS = st.sampled_from(["7", "22.5°", "⌀11 3/4", "⌀285 [11.220] BORE"])


def label_of(parts: tuple[Primitive, ...]) -> Label:
    (label,) = (part for part in parts if isinstance(part, Label))
    return label


def crossed(parts: tuple[Primitive, ...]) -> list[Primitive]:
    """The strokes that run through the text."""
    room = shapely.Polygon([(corner.x, corner.y) for corner in label_corners(label_of(parts))])
    return [part for part in parts if not isinstance(part, Label) and room.intersects(_line(part))]


def _line(part: Primitive) -> shapely.Geometry:
    match part:
        case Line():
            points = [part.start, part.end]
        case Arc():
            points = [polar(part.radius, part.start_deg + part.sweep_deg * k / 90, part.center) for k in range(91)]
        case Solid():
            points = [*part.corners, part.corners[0]]
        case _:
            raise AssertionError(part)
    return shapely.LineString([(point.x, point.y) for point in points])


def check(dimension: Dimension) -> None:
    parts = explode(dimension, 1.0)
    assert label_of(parts).rotation_deg == 0.0
    assert not crossed(parts)


@given(TEXTS, st.floats(1.0, 150.0), st.floats(-180.0, 180.0), st.floats(5.0, 20.0))
def test_no_stroke_crosses_the_text_of_a_length(text: str, length: float, angle: float, out: float) -> None:
    line_at = polar(out, angle + 90)
    check(LinearDimension(ORIGIN, polar(length, angle), line_at, angle, text, LEVEL))


@given(TEXTS, st.floats(2.0, 90.0), st.floats(-180.0, 180.0))
def test_no_stroke_crosses_the_text_of_a_diameter(text: str, radius: float, angle: float) -> None:
    check(DiameterDimension(Point(3.0, 4.0), radius, angle, text, LEVEL))


@given(
    st.sampled_from(["22.5°", "5.625° (A, B)"]),
    st.floats(15.0, 150.0),
    st.floats(0.0, 360.0),
    st.floats(2.0, 170.0),
    st.sampled_from(DimensionStyle),
)
def test_no_stroke_crosses_the_text_of_an_angle(
    text: str, radius: float, start: float, sweep: float, style: DimensionStyle
) -> None:
    assume(radius * math.radians(sweep) > 1.0)
    check(AngularDimension(ORIGIN, radius, start, sweep, text, style))


def test_a_long_line_is_broken_and_its_text_stands_in_the_gap() -> None:
    parts = explode(LinearDimension(Point(0, 0), Point(80, 0), Point(0, 10), 0.0, "80", LEVEL), 1.0)
    lines = [part for part in parts if isinstance(part, Line) and part.start.y == part.end.y == 10]
    assert lines[0].start.x == 0 < lines[0].end.x < 40 < lines[1].start.x
    assert label_of(parts).at == Point(40, 10)
