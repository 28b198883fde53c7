"""What is turned on the faces: depth ring by ring, and the metal left, against areas taken and added by hand."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import GeometryError
from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Drilling,
    Flange,
    RectangleOutline,
    RoundOutline,
    SingleHole,
    Slot,
    SplitOutline,
    Tapped,
)
from flangelayout.flange.mass import plate_solid
from flangelayout.flange.turning import PlateFace, Turned, TurnedKind, plate_profile
from flangelayout.geometry.disc import share_within
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import Arc, Circle, Line, Point, polar
from jobs import flange
from rows import every_row

FACE, BACK = PlateFace.FACE, PlateFace.BACK


def recess(diameter: float, size: float, face: PlateFace = FACE, inner: float = 0.0) -> Turned:
    kind = TurnedKind.GROOVE if inner else TurnedKind.RECESS
    return Turned(kind, face, diameter, size, inner)


def spigot(diameter: float, size: float, face: PlateFace = FACE) -> Turned:
    return Turned(TurnedKind.SPIGOT, face, diameter, size)


def polygon(shape: Edge, count: int = 4000) -> shapely.Polygon:
    parts = (Arc(shape.center, shape.radius, 0.0, 360.0),) if isinstance(shape, Circle) else shape.parts
    corners: list[tuple[float, float]] = []
    for part in parts:
        if isinstance(part, Line):
            corners.append((part.start.x, part.start.y))
            continue
        steps = (polar(part.radius, part.start_deg + part.sweep_deg * k / count, part.center) for k in range(count))
        corners += [(step.x, step.y) for step in steps]
    return shapely.Polygon(corners)


def test_depths_are_counted_from_the_outermost_plane_of_each_face() -> None:
    # A spigot 200 x 4 high with a groove 190/180 x 3 deep in it, and a recess 150 x 5 deep in its middle.
    profile = plate_profile([recess(190, 3, inner=180), spigot(200, 4), recess(150, 5), recess(100, 6, BACK)])
    found = {radius: profile.face.depth_at(radius) for radius in (10, 74.9, 75, 89, 91, 94.9, 96, 100, 140)}
    assert found == {10: 5.0, 74.9: 5.0, 75: 0.0, 89: 0.0, 91: 3.0, 94.9: 3.0, 96: 0.0, 100: 4.0, 140: 4.0}
    assert [profile.back.depth_at(radius) for radius in (49.9, 50)] == [6.0, 0.0]
    assert profile.most_taken(0, 60) == 11.0


@every_row("other", [recess(200, 2), spigot(190, 2), recess(195, 2, inner=180)])
def test_what_crosses_the_edge_of_something_else_is_refused(other: Turned) -> None:
    ring = Turned(TurnedKind.RAISED_FACE, FACE, 200.0, 3.0, inner_diameter=185.0)
    with pytest.raises(GeometryError):
        plate_profile([ring, other])


@every_row("sizes", [(0.0, 4.0, 0.0), (180.0, 0.0, 0.0), (180.0, 4.0, 180.0), (180.0, 4.0, -1.0)])
def test_sizes_that_are_none_are_refused(sizes: tuple[float, float, float]) -> None:
    with pytest.raises(GeometryError):
        Turned(TurnedKind.GROOVE, FACE, *sizes)


def test_the_volume_of_a_motor_plate_by_hand() -> None:
    """Disc 320 x 25 over all: 4 of it is the spigot's height; register 180 x 5 in the back; bore 130."""
    plate = Flange(
        RoundOutline(320.0), (), bore=130.0, thickness=25.0, turned=(spigot(200.0, 4.0), recess(180.0, 5.0, BACK))
    )
    solid = plate_solid(plate)
    assert solid
    quarter = math.pi / 4
    by_hand = quarter * ((320**2 - 130**2) * 21 + (200**2 - 130**2) * 4 - (180**2 - 130**2) * 5)
    assert solid.volume == pytest.approx(by_hand, rel=1e-12)


def test_holes_take_out_what_is_there() -> None:
    """A through hole in a recess is shorter by its depth; a counterbore and a blind thread are as deep as anywhere."""
    sunk = (recess(150.0, 6.0),)
    holes = (
        SingleHole(Point(50.0, 0.0), Drilling(10.0)),
        SingleHole(Point(-50.0, 0.0), Drilling(10.0, Counterbored(18.0, 5.0))),
        SingleHole(Point(0.0, 50.0), Drilling(10.0, Tapped("M12", 12.0, 8.0), worked_from=BACK)),
    )
    bare = plate_solid(Flange(RoundOutline(200.0), (), thickness=20.0, turned=sunk))
    made = plate_solid(Flange(RoundOutline(200.0), (), thickness=20.0, turned=sunk, single_holes=holes))
    assert bare
    assert made
    area = math.pi * 25
    point = area * 3.0 / 3  # the point of the drill: a cone 0.3 diameters high
    by_hand = area * 14 + area * 14 + math.pi * (81 - 25) * 5 + area * 8 + point
    assert bare.volume - made.volume == pytest.approx(by_hand, rel=1e-9)


PLATES = {
    "rectangle, recess beyond its sides": Flange(
        RectangleOutline(260.0, 200.0, 20.0),
        (BoltCircle(180.0, 4, 18.0),),
        bore=60.0,
        thickness=20.0,
        turned=(recess(190.0, 4.0), recess(120.0, 3.0, BACK)),
    ),
    "ring in parts": Flange(
        SplitOutline(400.0, 240.0, 2, 0.0, 3.0), (BoltCircle(340.0, 8, 18.0),), thickness=20.0,
        turned=(recess(345.0, 4.0), recess(300.0, 5.0, BACK, inner=280.0)),
    ),
    "slot across a wall": Flange(
        RoundOutline(300.0), (BoltCircle(200.0, 6, 12.0, kind=Slot(40.0)),), thickness=16.0,
        single_holes=(SingleHole(Point(60.0, 0.0), Drilling(30.0)),), turned=(recess(210.0, 4.0), recess(130.0, 2.0)),
    ),
}  # fmt: skip


@every_row("plate", PLATES.values())
def test_mass_and_center_agree_with_polygons_ring_by_ring(plate: Flange) -> None:
    face = shapely.union_all([polygon(piece) for piece in plate.pieces()])
    for shape in [opening.shape for opening in plate.cutouts()] + [hole.shape for hole in plate.holes()]:
        face = face.difference(polygon(shape))
    volume = plate.thickness * face.area if plate.thickness else 0.0
    moment = volume * face.centroid.x
    for each in plate.turned:
        ring = shapely.Point(0, 0).buffer(each.diameter / 2, 2000)
        if each.inner_diameter:
            ring = ring.difference(shapely.Point(0, 0).buffer(each.inner_diameter / 2, 2000))
        sunk = face.intersection(ring)
        volume, moment = volume - sunk.area * each.size, moment - sunk.area * each.size * sunk.centroid.x
    solid = plate_solid(plate)
    assert solid
    assert solid.volume == pytest.approx(volume, rel=2e-6)
    assert solid.center.x == pytest.approx(moment / volume, abs=1e-3)


@given(
    st.floats(-80, 80), st.floats(-80, 80), st.floats(1, 120), st.floats(1, 150), st.booleans()
)  # fmt: skip
def test_the_share_of_an_area_within_a_circle(x: float, y: float, size: float, radius: float, is_round: bool) -> None:
    shape = Circle(Point(x, y), size) if is_round else RectangleOutline(size * 2, size * 1.5, size / 4).shape
    disc, own = shapely.Point(0, 0).buffer(radius, 200), polygon(shape, 300)
    both, share = own.intersection(disc), share_within(shape, radius)
    assert share.size == pytest.approx(both.area, rel=1e-3, abs=0.1)
    if both.area > 1:
        assert share.moment.x / share.size == pytest.approx(both.centroid.x, abs=0.05)
        assert share.moment.y / share.size == pytest.approx(both.centroid.y, abs=0.05)


def test_the_raised_face_of_the_plate_is_turned_with_the_rest() -> None:
    plate = flange(thickness=22.0, raised_face_diameter=200.0, raised_face_height=3.0, turned=(recess(150.0, 5.0),))
    assert [plate.profile.face.depth_at(radius) for radius in (70, 80, 120)] == [5.0, 0.0, 3.0]
    assert plate.metal_at(plate.holes()[0], 22.0) == 19.0
