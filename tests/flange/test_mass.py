"""Mass and center of gravity against polygons of 10,000 corners and printed masses of plate flanges."""

import math

import pytest
import shapely

from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Drilling,
    Flange,
    OvalOutline,
    RectangleOutline,
    RoundOutline,
    SingleHole,
    Slot,
    Tapped,
)
from flangelayout.flange.mass import plate_solid
from flangelayout.geometry.disc import whole
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import Arc, Circle, Line, Point, polar
from jobs import bolt_circle, flange
from rows import every_row

STEEL = 7850.0


def _arc_points(arc: Arc, count: int) -> list[tuple[float, float]]:
    steps = (polar(arc.radius, arc.start_deg + arc.sweep_deg * k / count, arc.center) for k in range(count))
    return [(step.x, step.y) for step in steps]


def _polygon(shape: Edge, count: int = 10_000) -> shapely.Polygon:
    parts = (Arc(shape.center, shape.radius, 0.0, 360.0),) if isinstance(shape, Circle) else shape.parts
    arcs = sum(isinstance(part, Arc) for part in parts)
    corners: list[tuple[float, float]] = []
    for part in parts:
        corners += [(part.start.x, part.start.y)] if isinstance(part, Line) else _arc_points(part, count // arcs)
    return shapely.Polygon(corners)


def _face(plate: Flange) -> shapely.Geometry:
    """The plate from above as a polygon, by cutting one polygon out of the other."""
    face = _polygon(plate.outline.shape)
    for shape in [opening.shape for opening in plate.cutouts()] + [hole.shape for hole in plate.holes()]:
        face = face.difference(_polygon(shape))
    return face


PLATES = {
    "ring": flange(bore=170.5, thickness=22.0),
    "slotted blind": Flange(
        RoundOutline(300.0),
        (BoltCircle(240.0, 8, 18.0, kind=Slot(40.0)),),
        thickness=20.0,
        single_holes=(SingleHole(Point(60.0, 20.0), Drilling(25.0)),),
    ),
    "rectangle": Flange(
        RectangleOutline(400.0, 200.0, 30.0),
        (),
        bore=90.0,
        thickness=12.0,
        single_holes=(
            SingleHole(Point(150.0, 50.0), Drilling(40.0)),
            SingleHole(Point(-120.0, -20.0), Drilling(60.0, kind=Slot(80.0))),
        ),
    ),
    "oval": Flange(OvalOutline(200.0, 110.0, 25.0), (), bore=60.0, thickness=16.0),
}


@every_row("plate", PLATES.values())
def test_volume_and_center_agree_with_a_polygon_of_ten_thousand_corners(plate: Flange) -> None:
    solid, face = plate_solid(plate), _face(plate)
    assert solid
    assert plate.thickness
    assert solid.volume == pytest.approx(face.area * plate.thickness, rel=1e-4)
    assert (solid.center.x, solid.center.y) == pytest.approx((face.centroid.x, face.centroid.y), abs=0.01)


@pytest.mark.parametrize(
    ("outside", "thickness", "bore", "circle", "count", "hole", "printed"),
    [
        # DIN 2576:1975, flat flanges for welding, nominal pressure 10: dimensions and masses as its table
        # prints them (steel, 7.85 kg/dm3). Values from memory.
        pytest.param(220, 20, 115.0, 180, 8, 18, 4.03, id="DN100"),
        pytest.param(285, 22, 170.5, 240, 8, 22, 6.57, id="DN150"),
        pytest.param(340, 24, 221.0, 295, 8, 22, 9.31, id="DN200"),
        pytest.param(445, 26, 325.0, 400, 12, 22, 13.8, id="DN300"),
    ],
)
def test_printed_masses_of_plate_flanges(
    outside: float, thickness: float, bore: float, circle: float, count: int, hole: float, printed: float
) -> None:
    plate = Flange(RoundOutline(outside), (BoltCircle(circle, count, hole),), bore=bore, thickness=thickness)
    solid = plate_solid(plate)
    assert solid
    assert solid.mass(STEEL) == pytest.approx(printed, rel=0.02)


def test_a_ring_of_plain_numbers() -> None:
    solid = plate_solid(Flange(RoundOutline(200.0), (), bore=100.0, thickness=10.0))
    assert solid
    assert solid.volume == pytest.approx(math.pi * (100**2 - 50**2) * 10)
    assert (solid.center.x, solid.center.y) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_metal_is_missing_round_a_raised_face_and_holes_there_take_less() -> None:
    plate = Flange(
        RoundOutline(200.0),
        (BoltCircle(160.0, 4, 20.0),),
        thickness=20.0,
        raised_face_diameter=160.0,
        raised_face_height=2.0,
    )
    face, hole = shapely.Point(0, 0).buffer(80, 2500), shapely.Point(80, 0).buffer(10, 2500)
    raised = face.intersection(hole).area
    expected = math.pi * 100**2 * 18 + math.pi * 80**2 * 2 - 4 * (math.pi * 10**2 * 18 + raised * 2)
    solid = plate_solid(plate)
    assert solid
    assert solid.volume == pytest.approx(expected, rel=1e-7)


def test_recesses_and_blind_threads_take_off_what_they_are() -> None:
    def lost(kind: Countersunk | Counterbored | Tapped, diameter: float) -> float:
        plate = Flange(
            RoundOutline(100.0),
            (),
            thickness=20.0,
            single_holes=(SingleHole(Point(0, 0), Drilling(diameter, kind, "")),),
        )
        solid = plate_solid(plate)
        assert solid
        return math.pi * 50**2 * 20 - solid.volume

    assert lost(Counterbored(18.0, 11.0), 11.0) == pytest.approx(math.pi * (5.5**2 * 9 + 9**2 * 11))
    cone = math.pi * 5 / 3 * (10**2 + 10 * 5 + 5**2)  # frustum of a cone: h/3 (R^2 + R r + r^2) pi
    assert lost(Countersunk(20.0, 90.0), 10.0) == pytest.approx(cone + math.pi * 25 * 15)
    point = math.pi * 4.25**2 * 4.25 / math.tan(math.radians(59)) / 3  # a cone of 118 degrees: common twist drills
    assert lost(Tapped("M10", 10.0, 12.0), 8.5) == pytest.approx(math.pi * 4.25**2 * 12 + point, rel=1e-3)


def test_a_chamfer_takes_a_triangle_off_round_the_bore() -> None:
    # Pappus: half of 4 x 4 mm carried round at the radius of its centroid, 50 + 4/3 mm.
    whole, cut = (plate_solid(flange(bore=100.0, thickness=20.0, bore_chamfer=size)) for size in (0.0, 4.0))
    assert whole is not None
    assert cut is not None
    assert whole.volume - cut.volume == pytest.approx(8 * 2 * math.pi * (50 + 4 / 3))


def test_one_heavy_side_pulls_the_center_over() -> None:
    solid = plate_solid(flange(bolt_circle(1, 150.0, 40.0, start_angle=-90.0), bore=None, thickness=10.0))
    assert solid
    assert solid.center.x != 0.0 or solid.center.y != 0.0
    assert plate_solid(flange(thickness=None)) is None


def test_the_middle_of_a_half_disc() -> None:
    # 4 r / (3 pi) from the diameter: tables of plane areas.
    from flangelayout.geometry.shapes import Contour

    half = Contour((Line(Point(-30, 0), Point(30, 0)), Arc(Point(0, 0), 30.0, 0.0, 180.0)), closed=True)
    found = whole(half)
    assert found.size == pytest.approx(math.pi * 30**2 / 2)
    assert found.moment.y / found.size == pytest.approx(4 * 30 / (3 * math.pi))
    assert found.moment.x == pytest.approx(0.0, abs=1e-9)
