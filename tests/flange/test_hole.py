"""What a hole is, and what of it a table can cut; slots against shapely's buffers of their middle lines."""

import pytest

from as_shapely import polygon, string
from flangelayout.errors import GeometryError
from flangelayout.flange import (
    DRILLED,
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    Drilling,
    Flange,
    Hole,
    HoleKind,
    Jack,
    RoundOutline,
    SingleHole,
    Slot,
    SlotDirection,
    Spotfaced,
    Tapped,
    through_shape,
)
from flangelayout.flange.hole import face_circle, thread_circle
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.shapes import Arc, Circle, Line, Point
from rows import every_row

AT = Point(84.0, 84.0)


def hole(kind: HoleKind = DRILLED, at: Point = AT, diameter: float = 14.0) -> Hole:
    return Hole("1", 0, 1, at, diameter, 45.0, "bolt circle, hole 1", kind)


def test_a_slot_along_the_circle_is_its_middle_arc_made_wide() -> None:
    made = hole(Slot(40.0))
    spine = made.spine
    assert isinstance(spine, Arc)
    assert spine.radius == pytest.approx(84 * 2**0.5)
    assert polygon(made.shape).symmetric_difference(string(spine).buffer(7, quad_segs=200)).area < 0.02
    assert string(spine).length + 14 == pytest.approx(40, abs=1e-4)


def test_a_slot_along_the_radius_is_its_middle_line_made_wide() -> None:
    made = hole(Slot(40.0, SlotDirection.RADIUS))
    spine = made.spine
    assert isinstance(spine, Line)
    assert spine.start.distance_to(spine.end) == pytest.approx(26)
    assert spine.start.direction_to(spine.end) == pytest.approx(45)
    assert polygon(made.shape).symmetric_difference(string(spine).buffer(7, quad_segs=200)).area < 0.02


@every_row(("along", "turn"), [(SlotDirection.X, 0.0), (SlotDirection.Y, 90.0)])
def test_a_slot_along_a_centerline_stands_wherever_its_hole_is(along: SlotDirection, turn: float) -> None:
    spine = hole(Slot(40.0, along)).spine
    assert isinstance(spine, Line)
    assert spine.start.direction_to(spine.end) == pytest.approx(turn)


def test_two_slots_end_to_end_leave_the_metal_between_their_ends() -> None:
    one = hole(Slot(40.0, SlotDirection.X), Point(0.0, 50.0))
    other = hole(Slot(40.0, SlotDirection.X), Point(45.0, 50.0))
    assert spine_distance(one.spine, other.spine) - 14 == pytest.approx(5)


def test_a_slot_along_the_circle_cannot_stand_in_the_middle() -> None:
    with pytest.raises(GeometryError, match="middle of the plate"):
        assert hole(Slot(40.0), Point(0.0, 0.0)).spine


@every_row(
    ("kind", "widest"),
    [
        (DRILLED, 14.0),
        (Tapped("M16", 16.0, 20.0), 16.0),
        (Jack("M16", 16.0), 16.0),
        (Countersunk(28.0), 28.0),
        (Counterbored(24.0, 13.0), 24.0),
        (Spotfaced(30.0), 30.0),
        (Dowel("H7"), 14.0),
    ],
)
def test_what_the_face_shows_of_a_hole(kind: HoleKind, widest: float) -> None:
    made = hole(kind)
    assert made.face_diameter == widest
    recess = face_circle(made)
    assert (recess is not None) == isinstance(kind, Countersunk | Counterbored | Spotfaced)
    assert recess is None or recess.radius * 2 == widest
    thread = thread_circle(made)
    assert (thread is not None) == isinstance(kind, Tapped | Jack)
    assert thread is None or (thread.radius, thread.sweep_deg) == (8.0, 270.0)


@every_row(
    "kind",
    [DRILLED, Tapped("M16", 16.0), Jack("M16", 16.0), Countersunk(28.0), Counterbored(24.0, 13.0), Spotfaced(30.0)],
)
def test_what_goes_through_is_cut_at_its_drilled_size(kind: HoleKind) -> None:
    assert through_shape(hole(kind)) == Circle(Point(84.0, 84.0), 7.0)


@every_row("kind", [Tapped("M16", 16.0, 20.0), Dowel("H7")])
def test_a_blind_or_reamed_hole_is_never_cut(kind: HoleKind) -> None:
    assert through_shape(hole(kind)) is None


@every_row(
    ("kind", "words"),
    [
        (Tapped("M12", 12.0), "a tap drill of 14 mm leaves no thread of M12"),
        (Jack("M14", 14.0), "leaves no thread of M14"),
        (Countersunk(14.0), "a countersink of 14 mm is not wider than its hole of 14 mm"),
        (Countersunk(28.0, 180.0), "180 degrees is no cone"),
        (Counterbored(12.0, 5.0), "a counterbore of 12 mm is not wider"),
        (Spotfaced(13.0), "a spotface of 13 mm is not wider"),
        (Slot(14.0), "a slot 14 mm long is not longer than its width of 14 mm"),
    ],
)
def test_a_kind_that_its_diameter_contradicts_is_refused(kind: HoleKind, words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        BoltCircle(240.0, 8, 14.0, kind=kind)
    with pytest.raises(GeometryError, match=words):
        SingleHole(Point(0.0, 0.0), Drilling(14.0, kind=kind))


def test_every_hole_of_a_circle_is_of_its_kind() -> None:
    circle = BoltCircle(240.0, 8, 14.0, kind=Tapped("M16", 16.0, 20.0))
    flange = Flange(
        RoundOutline(300.0), (circle,), single_holes=(SingleHole(Point(0.0, 0.0), Drilling(10.0, kind=Dowel("H7"))),)
    )
    kinds = [each.kind for each in flange.holes()]
    assert kinds == [Tapped("M16", 16.0, 20.0)] * 8 + [Dowel("H7")]


@every_row(
    ("kind", "steps"),
    [
        (DRILLED, [(0.0, 20.0, 11.0, 11.0)]),
        (Spotfaced(24.0), [(0.0, 20.0, 11.0, 11.0)]),
        (Counterbored(18.0, 6.0), [(0.0, 6.0, 18.0, 18.0), (6.0, 20.0, 11.0, 11.0)]),
        (Countersunk(21.0, 90.0), [(0.0, 5.0, 21.0, 11.0), (5.0, 20.0, 11.0, 11.0)]),
        (Tapped("M12", 12.0), [(0.0, 20.0, 11.0, 11.0)]),
        (Tapped("M12", 12.0, 8.0), [(0.0, 8.0, 11.0, 11.0), (8.0, 11.3, 11.0, 0.0)]),
        (Tapped("M12", 12.0, 8.0, 13.0), [(0.0, 13.0, 11.0, 11.0), (13.0, 16.3, 11.0, 0.0)]),
        (Counterbored(18.0, 25.0), [(0.0, 20.0, 18.0, 18.0)]),
    ],
)
def test_a_hole_by_depth_is_what_its_sizes_say(kind: HoleKind, steps: list[tuple[float, ...]]) -> None:
    """A 90 degree cone is as deep as it is wider on each side; a drill's point of 118 degrees is 0.3 of its width."""
    found = Hole("1", 0, 1, Point(0.0, 0.0), 11.0, 0.0, "", kind).profile(20.0)
    assert [(each.start, each.end, each.wide, each.narrow) for each in found] == [pytest.approx(each) for each in steps]


def test_a_point_that_comes_out_is_cut_off_at_the_back() -> None:
    tapped = Hole("1", 0, 1, Point(0.0, 0.0), 10.0, 0.0, "", Tapped("M12", 12.0, 18.5))
    *_, point = tapped.profile(20.0)
    assert (point.end, point.narrow) == pytest.approx((20.0, 5.0))  # half of the point's 3 mm, so half as wide
