import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from builders import item
from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import ARROW_LENGTH, Primitive, explode, exploded, items_box
from flangelayout.drawing.model import (
    AngularDimension,
    CenterMark,
    Content,
    DiameterDimension,
    Dimension,
    Label,
    Leader,
    LinearDimension,
    Mosaic,
    Solid,
)
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Line, Point, extent, polar, rectangle
from flangelayout.value import replace
from rows import every_row

sizes = st.floats(1.0, 400.0)
turns = st.floats(-360.0, 360.0)
scales = st.sampled_from([0.05, 0.1, 0.2, 0.5, 1.0, 2.0])
texts = st.sampled_from(["8", "285", "⌀240", "8X ⌀22 EQ SP", "1 085.85"])
points = st.builds(Point, st.floats(-300, 300), st.floats(-300, 300))


@st.composite
def linear(draw: st.DrawFn) -> LinearDimension:
    start, turn, text = draw(points), draw(turns), draw(texts)
    end = polar(draw(sizes), turn, start)
    return LinearDimension(start, end, polar(draw(sizes), turn + 90, start), turn, text)


diameters = st.builds(DiameterDimension, points, sizes, turns, texts)
angles = st.builds(
    AngularDimension,
    points,
    st.floats(20.0, 400.0),
    turns,
    st.floats(2.0, 300.0),
    st.sampled_from(["5°", "22.5°"]),
    st.sampled_from(DimensionStyle),
    st.sampled_from([0.0, 6.0, -300.0]),
)
leaders = st.builds(
    lambda tip, reach, turn, text: Leader(tip, polar(reach, turn, tip), text, math.cos(math.radians(turn)) >= 0),
    points,
    st.floats(5.0, 100.0),
    st.floats(-80, 80) | st.floats(100, 260),
    st.lists(texts, min_size=1, max_size=3).map(tuple),
)
dimensions = linear() | diameters | angles | leaders


def scaled(what: Content, factor: float) -> Content:
    """The same thing drawn ``factor`` times as large; sizes on paper stay."""
    match what:
        case LinearDimension(start, end, line_at):
            return replace(what, start=start.scaled(factor), end=end.scaled(factor), line_at=line_at.scaled(factor))
        case DiameterDimension(center, radius) | AngularDimension(center, radius):
            return replace(what, center=center.scaled(factor), radius=radius * factor)
        case Leader(tip, elbow):
            return replace(what, tip=tip.scaled(factor), elbow=elbow.scaled(factor))
        case CenterMark(at):
            return replace(what, at=at.scaled(factor))
        case _:
            raise AssertionError(what)


def numbers(primitives: tuple[Primitive, ...], factor: float) -> list[float]:
    """Every coordinate of the primitives, times ``factor``."""
    found: list[float] = []
    for primitive in primitives:
        match primitive:
            case Line(start, end):
                corners: tuple[Point, ...] = (start, end)
            case Arc():
                corners = (primitive.start, primitive.end, primitive.center)
            case Solid(corners):
                pass
            case Label():
                corners = label_corners(primitive, factor)
            case _:
                raise AssertionError(primitive)
        found += [value * factor for corner in corners for value in (corner.x, corner.y)]
    return found


def outline(solid: Solid) -> shapely.Polygon:
    return shapely.Polygon([(corner.x, corner.y) for corner in solid.corners])


def room_of(label: Label, scale: float) -> shapely.Polygon:
    """The room of the digits and capitals of a label: from the baseline up."""
    lower_left, lower_right, upper_right, upper_left = label_corners(label, scale)
    share = label.height_paper / scale / upper_left.distance_to(lower_left)
    right, left = (
        top + (foot - top).scaled(share) for top, foot in ((upper_right, lower_right), (upper_left, lower_left))
    )
    return shapely.Polygon([(corner.x, corner.y) for corner in (left, right, upper_right, upper_left)])


@given(dimensions, scales)
def test_sizes_on_paper_do_not_depend_on_the_scale(dimension: Dimension, scale: float) -> None:
    on_paper = numbers(explode(scaled(dimension, scale), 1.0), 1.0)
    assert numbers(explode(dimension, scale), scale) == pytest.approx(on_paper, abs=1e-6)


@given(dimensions, scales)
def test_a_text_never_lies_on_an_arrow_of_its_own(dimension: Dimension, scale: float) -> None:
    assume(not isinstance(dimension, AngularDimension) or dimension.radius * scale >= 10)
    primitives = explode(dimension, scale)
    arrows = [outline(each) for each in primitives if isinstance(each, Solid)]
    labels = [room_of(each, scale) for each in primitives if isinstance(each, Label)]
    assert arrows
    assert labels
    for label in labels:
        assert not any(label.intersects(arrow) for arrow in arrows)


@given(dimensions, scales)
def test_a_text_reads_from_below_or_from_the_right(dimension: Dimension, scale: float) -> None:
    # ISO 129-1: values are placed so that they can be read from the bottom or from the right of the drawing.
    for each in explode(dimension, scale):
        if isinstance(each, Label):
            assert -90 < each.rotation_deg <= 90
            assert each.height_paper == dimension.style.text_height


@given(linear(), scales)
def test_the_arrows_of_a_length_stand_on_its_ends(dimension: LinearDimension, scale: float) -> None:
    first, last = (each for each in explode(dimension, scale) if isinstance(each, Solid))
    measured = first.corners[0].distance_to(last.corners[0])
    assert measured == pytest.approx(dimension.start.distance_to(dimension.end), abs=1e-6)
    for arrow, end in ((first, dimension.start), (last, dimension.end)):
        step = arrow.corners[0] - end
        turn = math.radians(dimension.angle_deg)
        assert step.x * math.cos(turn) + step.y * math.sin(turn) == pytest.approx(0.0, abs=1e-6)
        length = outline(arrow).length
        assert length * scale == pytest.approx(2 * math.hypot(ARROW_LENGTH, 0.4) + 0.8, abs=1e-6)


@given(diameters, scales)
def test_the_arrows_of_a_diameter_stand_on_the_circle(dimension: DiameterDimension, scale: float) -> None:
    arrows = [each for each in explode(dimension, scale) if isinstance(each, Solid)]
    assert 1 <= len(arrows) <= 2
    for arrow in arrows:
        assert arrow.corners[0].distance_to(dimension.center) == pytest.approx(dimension.radius, abs=1e-6)


@given(angles, scales)
def test_the_arrows_of_an_angle_stand_on_its_sides(dimension: AngularDimension, scale: float) -> None:
    first, last = (each for each in explode(dimension, scale) if isinstance(each, Solid))
    ends = (dimension.start_deg, dimension.start_deg + dimension.sweep_deg)
    for arrow, turn in zip((first, last), ends, strict=True):
        assert arrow.corners[0].distance_to(polar(dimension.radius, turn, dimension.center)) < 1e-6


def test_arrows_go_outside_where_there_is_no_room() -> None:
    narrow = LinearDimension(ORIGIN, Point(5.0, 0.0), Point(0.0, 10.0), 0.0, "5.00")
    line = next(each for each in explode(narrow, 1.0) if isinstance(each, Line) and each.start.y == each.end.y == 10.0)
    assert line.start.x < 0.0
    assert line.end.x > 5.0


def test_extension_lines_leave_a_gap_and_pass_the_line() -> None:
    # ISO 129-1: extension lines extend slightly beyond their dimension line.
    dimension = LinearDimension(ORIGIN, Point(100.0, 0.0), Point(0.0, 20.0), 0.0, "100")
    lines = [each for each in explode(dimension, 1.0) if isinstance(each, Line)]
    upright = [line for line in lines if math.isclose(line.start.x, line.end.x, abs_tol=1e-9)]
    assert [(line.start.y > 0.0, line.end.y > 20.0) for line in upright] == [(True, True)] * 2


def test_a_point_on_the_dimension_line_needs_no_extension() -> None:
    dimension = LinearDimension(Point(0.0, 20.0), Point(100.0, 0.0), Point(0.0, 20.0), 0.0, "100")
    assert sum(isinstance(each, Line) for each in explode(dimension, 1.0)) == 2


@given(points, st.floats(1.0, 20.0), scales)
def test_a_center_mark_is_as_large_on_paper_at_any_scale(at: Point, reach: float, scale: float) -> None:
    strokes = explode(CenterMark(at, reach, 0.5), scale)
    assert len(strokes) == 4
    for stroke in strokes:
        assert isinstance(stroke, Line)
        assert stroke.start.distance_to(at) * scale == pytest.approx(0.5, abs=1e-6)
        assert stroke.end.distance_to(at) * scale == pytest.approx(reach, abs=1e-6)


@every_row(
    "what",
    [Circle(ORIGIN, 5.0), rectangle(Box(0.0, 0.0, 5.0, 5.0)), Label(ORIGIN, "a", 2.5), Solid((ORIGIN, ORIGIN, ORIGIN))],
)
def test_what_is_simple_stays_itself(what: Content) -> None:
    assert explode(what, 0.2) == (what,)


@given(dimensions, scales)
def test_the_box_of_an_item_holds_all_that_is_drawn_of_it(dimension: Dimension, scale: float) -> None:
    box = items_box([item(dimension)], scale).grown(1e-6)
    for _, primitive in exploded([item(dimension)], scale):
        match primitive:
            case Label():
                assert all(box.contains(corner) for corner in label_corners(primitive, scale))
            case Solid() | Mosaic():
                assert all(box.contains(corner) for outline in primitive.outlines for corner in outline)
            case _:
                inner = extent(primitive)
                assert box.contains(Point(inner.left, inner.bottom))
                assert box.contains(Point(inner.right, inner.top))
