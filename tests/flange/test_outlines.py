"""Outlines against the same plates built another way in shapely: unions of discs and strips, rounded by buffers.

A union grown by r and shrunk by r again ("closing") has every inward corner rounded with radius r: that is a
root fillet. Shrunk first and grown after ("opening") it has its outward corners rounded. A buffer simplifies
what it is given by up to a hundredth of its distance, which is what the areas may differ by.
"""

import math
from collections.abc import Callable

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate, translate

from as_shapely import polygon
from builders import gap_in_contour
from flangelayout.errors import GeometryError
from flangelayout.flange import (
    FigureEightOutline,
    Flange,
    LozengeOutline,
    LuggedOutline,
    Outline,
    OvalOutline,
    PaddleOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    SplitOutline,
)
from flangelayout.geometry.measure import Edge, signed_area
from flangelayout.geometry.shapes import Contour, extent
from flangelayout.value import replace
from rows import every_row

FINE = 256
"""Segments of a quarter circle: a disc of radius r is r * 4.7e-6 too small at most."""


def disc(x: float, y: float, radius: float) -> shapely.Polygon:
    return shapely.Point(x, y).buffer(radius, quad_segs=FINE)


def strip(x0: float, y0: float, x1: float, y1: float) -> shapely.Polygon:
    return shapely.box(x0, y0, x1, y1)


def closed(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    return shape.buffer(radius, quad_segs=FINE).buffer(-radius, quad_segs=FINE)


def opened(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    return shape.buffer(-radius, quad_segs=FINE).buffer(radius, quad_segs=FINE)


def lugs(
    body: float, count: int, circle: float, end: float, first: float, start: float | None = None
) -> shapely.Geometry:
    """A disc and lugs as the hulls of their end discs and a disc in the middle."""
    root = end if start is None else start / 2
    lug = shapely.union(disc(0, 0, root), disc(circle / 2, 0, end)).convex_hull
    return shapely.union_all(
        [disc(0, 0, body / 2), *(rotate(lug, first + 360 * k / count, (0, 0)) for k in range(count))]
    )


def paddle(body: float, length: float, width: float, end: float = 0.0) -> shapely.Geometry:
    corner = [disc(length - end, side * (width / 2 - end), end) for side in (-1, 1)] if end else []
    handle = shapely.union_all([strip(0, -width / 2, length - end, width / 2), *corner]).convex_hull
    return rotate(shapely.union(disc(0, 0, body / 2), handle), 90, (0, 0))


def ring(outside: float, inside: float) -> shapely.Geometry:
    return disc(0, 0, outside / 2).difference(disc(0, 0, inside / 2))


def quarter(outside: float, inside: float, gap: float) -> shapely.Geometry:
    """The upper left quarter of a ring, its faces half a gap behind the centerlines."""
    return ring(outside, inside).intersection(strip(-outside, gap / 2, -gap / 2, outside))


CASES: dict[str, tuple[Outline, shapely.Geometry]] = {
    "sharp rectangle": (RectangleOutline(300, 200), strip(-150, -100, 150, 100)),
    "rounded rectangle": (RectangleOutline(300, 200, 20), opened(strip(-150, -100, 150, 100), 20)),
    "rectangle with round ends": (
        RectangleOutline(300, 200, 100),
        shapely.union(disc(50, 0, 100), disc(-50, 0, 100)).convex_hull,
    ),
    "straight oval": (OvalOutline(220, 120, 60), shapely.union(disc(50, 0, 60), disc(-50, 0, 60)).convex_hull),
    "lozenge": (
        LozengeOutline(260, 150, 30),
        shapely.union_all([disc(100, 0, 30), disc(0, 0, 75), disc(-100, 0, 30)]).convex_hull,
    ),
    "lugs with sharp roots": (LuggedOutline(200, 4, 240, 18, 90), lugs(200, 4, 240, 18, 90)),
    "lugs with round roots": (LuggedOutline(200, 5, 250, 18, 70, None, 9), closed(lugs(200, 5, 250, 18, 70), 9)),
    "tapered arms": (LuggedOutline(70, 5, 130, 9, 90, 34, 6), closed(lugs(70, 5, 130, 9, 90, 34), 6)),
    "arms that widen": (LuggedOutline(80, 3, 200, 22, 30, 24, 5), closed(lugs(80, 3, 200, 22, 30, 24), 5)),
    "plain paddle": (PaddleOutline(180, 220, 50), paddle(180, 220, 50)),
    "paddle with round end": (PaddleOutline(218, 235, 55, 90, 27.5, 12), closed(paddle(218, 235, 55, 27.5), 12)),
    "paddle with rounded corners": (PaddleOutline(162, 190, 30, 90, 3), paddle(162, 190, 30, 3)),
    "figure-8": (
        FigureEightOutline(158, 180, 60, 6),
        closed(shapely.union_all([disc(90, 0, 79), disc(-90, 0, 79), strip(-90, -30, 90, 30)]), 6),
    ),
    "figure-8 with sharp roots": (
        FigureEightOutline(150, 190, 40),
        shapely.union_all([disc(95, 0, 75), disc(-95, 0, 75), strip(-95, -20, 95, 20)]),
    ),
    "segment": (SegmentOutline(300, 200, 4, 90, 3), quarter(300, 200, 3)),
    "split ring": (SplitOutline(300, 200, 2, 90, 3), ring(300, 200).difference(strip(-1.5, -200, 1.5, 200))),
    "round": (RoundOutline(285), disc(0, 0, 142.5)),
}


def pieces_of(outline: Outline) -> tuple[Edge, ...]:
    return Flange(outline, ()).pieces()


@every_row("name", CASES)
def test_an_outline_is_the_plate_built_another_way(name: str) -> None:
    outline, expected = CASES[name]
    found = shapely.union_all([polygon(piece) for piece in pieces_of(outline)])
    assert found.is_valid
    assert found.symmetric_difference(expected).area < expected.length * 2.5e-3
    assert found.area == pytest.approx(expected.area, rel=1.5e-4)


@every_row("name", CASES)
def test_an_outline_is_closed_and_runs_counter_clockwise(name: str) -> None:
    for piece in pieces_of(CASES[name][0]):
        if isinstance(piece, Contour):
            assert piece.closed
            assert gap_in_contour(piece) < 1e-9
            assert signed_area(piece) > 0


@every_row("name", CASES)
def test_the_box_of_an_outline_is_shapelys(name: str) -> None:
    outline, expected = CASES[name]
    box = extent(outline.shape)
    found = (box.left, box.bottom, box.right, box.top)
    whole = expected if len(pieces_of(outline)) == 1 else expected.convex_hull
    assert found == pytest.approx(whole.bounds, abs=0.01)


@given(st.floats(60, 500), st.floats(0.2, 0.95), st.floats(0.05, 0.99))
def test_the_sides_of_an_oval_are_tangent_to_its_ends(length: float, narrow: float, sharp: float) -> None:
    width = length * narrow
    contour = OvalOutline(length, width, sharp * width / 2).shape
    assert gap_in_contour(contour) < 1e-9 * length
    for part, after in zip(contour.parts, (*contour.parts[1:], contour.parts[0]), strict=True):
        leaves = math.atan2(*_tangent(part, at_end=True))
        enters = math.atan2(*_tangent(after, at_end=False))
        assert math.isclose(math.cos(leaves - enters), 1.0, abs_tol=1e-9)


def _tangent(part: object, *, at_end: bool) -> tuple[float, float]:
    from flangelayout.geometry.shapes import Arc, Line, polar

    if isinstance(part, Arc):
        turn = part.start_deg + (part.sweep_deg if at_end else 0.0) + math.copysign(90, part.sweep_deg)
        step = polar(1.0, turn)
    else:
        assert isinstance(part, Line)
        step = part.end - part.start
    return step.y, step.x


@every_row(
    ("build", "words"),
    [
        (lambda: RectangleOutline(300, 200, 101), "need 202.00 mm of a side that is 200.00 mm"),
        (lambda: OvalOutline(100, 120, 20), "not longer than its width of 120 mm"),
        (lambda: OvalOutline(200, 100, 60), "ends of radius 60 mm are wider than the oval, 100 mm"),
        (lambda: LozengeOutline(150, 150, 30), "do not stand out of a middle of 150 mm"),
        (lambda: LuggedOutline(200, 40, 240, 18, 90, None, 10), "only 9.00 are there"),
        (lambda: LuggedOutline(200, 4, 206, 18, 90, None, 10), "make the circle larger or the radius smaller"),
        (lambda: LuggedOutline(40, 4, 240, 30, 90), "a lug 60 mm wide is wider than its body of 40 mm"),
        (lambda: PaddleOutline(218, 115, 55, 90, 27.5, 12), "make it longer"),
        (lambda: PaddleOutline(218, 235, 55, 90, 30), "corners of 30 mm are more than half the handle's 55 mm"),
        (lambda: PaddleOutline(100, 235, 120), "wider than its body of 100 mm"),
        (lambda: FigureEightOutline(200, 180, 40), "discs of 200 mm overlap 180 mm apart"),
        (lambda: FigureEightOutline(178, 180, 40, 60), "meet half way, at 90.00 mm"),
        (lambda: SegmentOutline(300, 200, 40, 90, 30), "leaves nothing of the ring piece"),
    ],
)
def test_sizes_that_contradict_each_other_are_refused_with_numbers_when_built(
    build: Callable[[], Outline], words: str
) -> None:
    with pytest.raises(GeometryError, match=words):
        build()


@every_row(
    "build",
    [
        lambda: RoundOutline(math.nan),
        lambda: RoundOutline(-285.0),
        lambda: RectangleOutline(300, math.inf),
        lambda: LuggedOutline(150, 0, 210, 20, 90.0),
        lambda: LuggedOutline(150, 3, 210, 20, math.nan),
        lambda: PaddleOutline(150, 200, 40, root_radius=-1.0),
        lambda: SegmentOutline(300, 300, 2),
        lambda: SplitOutline(300, 200, 1),
    ],
)
def test_sizes_that_are_none_are_refused_when_built(build: Callable[[], Outline]) -> None:
    with pytest.raises(GeometryError):
        build()


def test_an_outline_finds_its_edge_once() -> None:
    lugged = LuggedOutline(150, 3, 210, 20, 90.0)
    assert lugged.shape is lugged.shape
    assert replace(lugged, lug_count=6).shape != lugged.shape


@given(st.integers(2, 12), st.floats(0, 360), st.floats(0, 10))
def test_the_parts_of_a_split_ring_make_the_ring_less_its_joints(count: int, first: float, gap: float) -> None:
    pieces = SplitOutline(300, 200, count, first, gap).pieces
    whole = math.pi * (150**2 - 100**2)
    area = sum(signed_area(piece) for piece in pieces if isinstance(piece, Contour))
    slit = 0.5 * sum(_strip_area(radius, gap) * sign for radius, sign in ((150, 1), (100, -1)))
    assert len(pieces) == count
    assert area == pytest.approx(whole - count * slit, rel=1e-9)


def _strip_area(radius: float, width: float) -> float:
    """Area of a disc within a strip of ``width`` through its middle (two segments taken off the disc)."""
    half = width / 2
    return 2 * (half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius))


def test_a_segment_is_one_part_of_the_split_ring() -> None:
    whole = SplitOutline(300, 200, 3, 30, 2).pieces
    assert SegmentOutline(300, 200, 3, 30, 2).shape == whole[0]
    turned = rotate(polygon(whole[0]), 120, (0, 0))
    assert turned.symmetric_difference(polygon(whole[1])).area < 0.01


def test_the_two_halves_of_a_figure_8_are_alike() -> None:
    outline = FigureEightOutline(158, 180, 60, 6)
    shape = polygon(outline.shape)
    assert rotate(shape, 180, (0, 0)).symmetric_difference(shape).area < 0.01
    right = translate(disc(0, 0, 79), outline.ring_center.x, 0)
    assert shape.buffer(1e-3).covers(right)
