"""Outlines given corner by corner, against plane geometry."""

import math

import pytest

from as_shapely import polygon
from builders import gap_in_contour
from flangelayout.errors import GeometryError
from flangelayout.flange.path import PathCorner, closed_path
from flangelayout.geometry.measure import area, signed_area
from flangelayout.geometry.shapes import Arc, Line, Point
from rows import every_row


def corner(x: float, y: float, **how: float | bool) -> PathCorner:
    return PathCorner(Point(x, y), **how)  # type: ignore[arg-type] # keywords of the class


SQUARE = [corner(-50, -50), corner(50, -50), corner(50, 50), corner(-50, 50)]


def test_corners_joined_by_lines_make_a_polygon() -> None:
    path = closed_path(SQUARE)
    assert all(isinstance(part, Line) for part in path.parts)
    assert signed_area(path) == pytest.approx(100 * 100)


def test_a_path_given_clockwise_is_turned_about() -> None:
    path = closed_path(SQUARE[::-1])
    assert signed_area(path) == pytest.approx(100 * 100)
    assert gap_in_contour(path) < 1e-12


def test_a_rounded_corner_takes_its_share_of_the_square() -> None:
    path = closed_path([corner(-50, -50, corner_radius=20), *SQUARE[1:]])
    assert area(path) == pytest.approx(100 * 100 - (1 - math.pi / 4) * 20**2)


@every_row(
    ("to_left", "long_way", "expected"),
    [
        (True, False, 100 * 100 + 50**2 * math.pi / 2),
        (False, False, 100 * 100 - 50**2 * math.pi / 2),
    ],
)
def test_a_half_circle_in_place_of_a_side_adds_or_takes_its_area(
    to_left: bool, long_way: bool, expected: float
) -> None:
    bent = corner(50, 50, arc_radius=50.0, to_left=to_left, long_way=long_way)
    path = closed_path([SQUARE[0], SQUARE[1], bent, SQUARE[3]])
    assert area(path) == pytest.approx(expected)
    assert polygon(path).is_valid


def test_the_long_way_round_makes_a_keyhole() -> None:
    short = closed_path([corner(-10, -80), corner(10, -80), corner(10, 0), corner(-10, 0, arc_radius=30.0)])
    keyhole = closed_path(
        [corner(-10, -80), corner(10, -80), corner(10, 0), corner(-10, 0, arc_radius=30.0, long_way=True)]
    )
    arc = next(part for part in keyhole.parts if isinstance(part, Arc))
    half = math.degrees(math.asin(10 / 30))
    assert arc.sweep_deg == pytest.approx(360 - 2 * half)
    cap = 30**2 / 2 * (math.radians(arc.sweep_deg) - math.sin(math.radians(arc.sweep_deg)))
    assert area(keyhole) == pytest.approx(20 * 80 + cap)
    assert area(short) < area(keyhole)


@every_row(
    ("corners", "words"),
    [
        ([SQUARE[0], SQUARE[0], SQUARE[2]], "corner 2 lies on the one before it"),
        ([SQUARE[0], SQUARE[1], corner(50, 50, arc_radius=49.0), SQUARE[3]], "the least radius is 50.000 mm"),
        (
            [corner(-50, -50, corner_radius=60), corner(50, -50, corner_radius=60), *SQUARE[2:]],
            "need more than its 100.00",
        ),
        ([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]], "crosses itself near"),
        ([SQUARE[0], SQUARE[1]], "encloses nothing"),
        (
            [corner(-50, -50), corner(50, -50, corner_radius=5), corner(50, 50, arc_radius=90.0)],
            "two lines can be rounded",
        ),
    ],
)
def test_what_makes_no_outline_is_refused(corners: list[PathCorner], words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        closed_path(corners)
