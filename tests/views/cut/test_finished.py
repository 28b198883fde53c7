"""Cut options against shapely and the rules of cut files, on seeded random plates and on plates of known figures."""

import math
import random
from functools import lru_cache
from typing import Any

import numpy as np
import pytest
import shapely
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.polyline import Polyline

from as_shapely import points_of, polygon
from builders import STAMP
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, CutDrawing, CutPath, Drawing, Item
from flangelayout.drawing.references import HoleRef, Ref
from flangelayout.errors import InputError
from flangelayout.flange import Drilling, Flange, RectangleOutline, SingleHole, Slot, SlotDirection
from flangelayout.flange.cut_plan import plan_cut
from flangelayout.flange.cutting import CutOptions, HoleCut, Mark, SmallestHole
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point
from flangelayout.job.load import job_from_data
from flangelayout.units import Unit, from_mm
from flangelayout.value import replace
from flangelayout.views.cut.finished import cut_sheet, finished_cut
from flangelayout.writers.dxf import DxfOptions, DxfVersion, write_dxf
from jobs import bolt_circle, flange, job_data
from plates import random_plate
from readers import dxf_document
from rows import every_row

INFO = JobInfo("T-1")
CUT = (Layer.CUT_HOLES, Layer.CUT_BORE, Layer.CUT_OUTLINE)
PLASMA = SmallestHole(1.5, 0.0, "test")
TOUCH = 0.05
SHAPELY_AGREES = 0.005


def finished(plate: Flange, unit: Unit = Unit.MM, **options: Any) -> Drawing:  # noqa: ANN401 # the fields of CutOptions
    """The cut drawing of a plate with options."""
    return finished_cut(plate, INFO, CutOptions(**options), unit)


def cuts(drawing: Drawing) -> list[Item]:
    return [item for item in drawing.items if item.layer in CUT]


def leads(drawing: Drawing) -> list[tuple[Ref | None, Line | Arc]]:
    """Every lead, and the cut it belongs to."""
    paths = ((item.source, item.what) for item in drawing.items if isinstance(item.what, CutPath))
    return [(source, lead) for source, path in paths for lead in path.leads]


def radii(drawing: Drawing, layer: Layer = Layer.CUT_HOLES) -> list[float]:
    return [each.what.radius for each in drawing.items if each.layer is layer and isinstance(each.what, Circle)]


def off_buffers(plate: Flange, drawing: Drawing, kerf: float) -> float:
    """The greatest distance in mm of a cut edge from shapely's buffer of the nominal one by half the kerf."""
    worst = 0.0
    nominal = {item.source: item for item in cuts(finished(plate))}
    for item in cuts(drawing):
        before = nominal.pop(item.source)
        assert isinstance(item.what, Circle | Contour)
        assert isinstance(before.what, Circle | Contour)
        by = kerf / 2 if item.layer is Layer.CUT_OUTLINE else -kerf / 2
        buffer = nominal_polygon(before.what).buffer(by, quad_segs=100)
        worst = max(worst, off_ring(item.what, buffer.exterior))
    assert not nominal
    return worst


@lru_cache(maxsize=64)
def nominal_polygon(edge: Circle | Contour) -> shapely.Polygon:
    """The area inside an edge, made once for all checks of a plate."""
    return polygon(edge)


def off_ring(edge: Circle | Contour, ring: shapely.LinearRing) -> float:
    """The greatest distance in mm between an edge and a ring of shapely's."""
    if isinstance(edge, Contour):
        return farthest(polygon(edge).exterior, ring)
    places = shapely.get_coordinates(ring) - (edge.center.x, edge.center.y)
    return float(np.abs(np.hypot(places[:, 0], places[:, 1]) - edge.radius).max())


def farthest(one: shapely.LinearRing, other: shapely.LinearRing) -> float:
    """The greatest distance in mm of a corner of either ring from the sides of the other."""
    return max(_farthest_corner(one, other), _farthest_corner(other, one))


def _farthest_corner(one: shapely.LinearRing, other: shapely.LinearRing) -> float:
    places = shapely.get_coordinates(other)
    sides = shapely.STRtree(shapely.linestrings(np.stack((places[:-1], places[1:]), axis=1)))
    corners = shapely.points(shapely.get_coordinates(one))
    _, distances = sides.query_nearest(corners, return_distance=True, all_matches=False)
    return float(distances.max())


def check_leads(plate: Flange, drawing: Drawing, kerf: float) -> None:
    """Every lead keeps half a kerf away from the finished part and lies in the scrap of its own cut only."""
    openings = [item for item in cuts(finished(plate)) if item.layer is not Layer.CUT_OUTLINE]
    part = nominal_polygon(plate.outline.shape)
    for item in openings:
        assert isinstance(item.what, Circle | Contour)
        part = part.difference(nominal_polygon(item.what))
    holes = {item.source: nominal_polygon(item.what) for item in openings if isinstance(item.what, Circle | Contour)}
    shapely.prepare(part)
    assert len(leads(drawing)) >= len(cuts(drawing))
    for own, lead in leads(drawing):
        assert isinstance(lead, Arc)
        string = shapely.LineString(points_of(lead))
        assert not shapely.dwithin(part, string, kerf / 2 - 0.001)
        crossed = [source for source, hole in holes.items() if string.intersects(hole)]
        assert crossed == ([own] if own in holes else [])


def check_file(data: bytes, unit: Unit) -> None:
    """The rules of cut files: units, plain entities, closed twice over, nothing twice, nothing hidden, clean audit."""
    document = dxf_document(data)
    if document.dxfversion != "AC1009":
        assert document.header["$INSUNITS"] == {Unit.MM: 4, Unit.IN: 1}[unit]
        assert document.header["$MEASUREMENT"] == {Unit.MM: 1, Unit.IN: 0}[unit]
    keys = []
    for entity in document.modelspace():
        kind = entity.dxftype()
        assert kind in {"CIRCLE", "ARC", "LINE", "POLYLINE", "LWPOLYLINE"}
        layer = document.layers.get(entity.dxf.layer)
        assert layer.is_on()
        assert not layer.is_frozen()
        if kind == "CIRCLE":
            keys.append((kind, *entity.dxf.center.round(4), round(entity.dxf.radius, 4)))
        elif kind == "ARC":
            ends = entity.dxf.start_angle, entity.dxf.end_angle
            keys.append((kind, *entity.dxf.center.round(4), entity.dxf.radius, *(round(end, 4) for end in ends)))
        elif kind == "LINE":
            keys.append((kind, *sorted((tuple(entity.dxf.start.round(4)), tuple(entity.dxf.end.round(4))))))
        else:
            places = _places(entity)
            assert (places[0] == places[-1]) == entity.is_closed  # type: ignore[attr-defined] # a polyline
            keys.append((kind, *sorted(places)))
    assert len(set(keys)) == len(keys)
    assert all(len(layout) == 0 for layout in document.layouts if layout.name != "Model")
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes


def _places(entity: DXFGraphic) -> list[tuple[float, float]]:
    if isinstance(entity, LWPolyline):
        return [(round(x, 4), round(y, 4)) for x, y in entity.get_points("xy")]
    assert isinstance(entity, Polyline)
    return [(round(v.dxf.location.x, 4), round(v.dxf.location.y, 4)) for v in entity.vertices]


def check_random_plates(seed: int, count: int) -> float:
    """Leads and files of random plates; returns the greatest distance of a kerfed edge from shapely's in mm."""
    rng, worst = random.Random(seed), 0.0
    for number in range(count):
        plate, kerf = random_plate(rng), rng.uniform(0.2, 4.0)
        unit, version = rng.choice(list(Unit)), list(DxfVersion)[number % 3]
        worst = max(worst, off_buffers(plate, finished(plate, unit, kerf=kerf), kerf))
        marks = (Mark.NUMBER, Mark.TOP, Mark.CENTERS) if number % 5 == 0 else ()
        lead_in = rng.uniform(2, 8)
        drawing = finished(plate, unit, kerf=kerf, lead_in=lead_in, lead_out=3.0, marks=marks, mark_height=6.0)
        check_leads(plate, drawing, kerf)
        check_file(write_dxf(CutDrawing(drawing, STAMP), DxfOptions(unit, version)), unit)
    return worst


def test_kerf_leads_and_files_of_random_plates_are_sound() -> None:
    assert check_random_plates(seed=3, count=2) < SHAPELY_AGREES


@pytest.mark.property_deep
def test_kerf_leads_and_files_of_a_thousand_random_plates_are_sound() -> None:
    assert check_random_plates(seed=2027, count=1000) < SHAPELY_AGREES


def test_edges_that_differ_do_not_pass_unseen() -> None:
    plate = flange(bore=170.0)
    assert off_buffers(plate, finished(plate, kerf=2.02), 2.0) == pytest.approx(0.01, abs=0.001)
    with pytest.raises(AssertionError):
        check_leads(plate, finished(plate, lead_in=5.0), 1.0)


def test_a_kerf_goes_outward_outside_and_inward_inside() -> None:
    drawing = finished(flange(bore=170.0), kerf=2.0)
    assert radii(drawing) == pytest.approx([10.0] * 8)
    assert radii(drawing, Layer.CUT_BORE) == pytest.approx([84.0])
    assert radii(drawing, Layer.CUT_OUTLINE) == pytest.approx([143.5])


def test_a_kerf_that_closes_a_hole_is_refused_with_both_numbers() -> None:
    with pytest.raises(InputError, match=r"cut\.kerf: a kerf of 3\.2 mm closes bolt circle, hole 1, 3 mm in diameter"):
        finished(flange(bolt_circle(hole_diameter=3.0)), kerf=3.2)
    with pytest.raises(InputError, match=r"a kerf of 1/8 in closes .* 0\.118 in in diameter"):
        finished(flange(bolt_circle(hole_diameter=3.0)), unit=Unit.IN, kerf=3.175)


def test_a_kerf_that_closes_a_slot_is_refused_with_its_sizes() -> None:
    slot = SingleHole(Point(0.0, 0.0), Drilling(3.0, kind=Slot(30.0, SlotDirection.X)))
    with pytest.raises(InputError, match=r"closes hole X1, 30 x 3 mm over all"):
        finished(flange(single_holes=(slot,)), kerf=3.2)


def test_small_holes_are_cut_undersize_where_the_job_says_so() -> None:
    plate = flange(bolt_circle(hole_diameter=22.0), thickness=22.0)
    small = finished(plate, smallest=PLASMA, small_holes=HoleCut.UNDERSIZE, undersize=3.0)
    assert radii(small) == pytest.approx([9.5] * 8)
    large = finished(replace(plate, thickness=10.0), smallest=PLASMA, small_holes=HoleCut.UNDERSIZE)
    assert radii(large) == pytest.approx([11.0] * 8)


def test_a_group_marked_only_gets_open_crosses_and_no_cut() -> None:
    plate = flange(bolt_circle(), bolt_circle(diameter=190.0, hole_diameter=10.0), thickness=22.0)
    drawing = finished(plate, cuts=(("bolt_circle[2]", HoleCut.CENTER_MARK),))
    crosses = [item for item in drawing.items if isinstance(item.what, CenterMark)]
    assert [item.source for item in crosses] == [HoleRef(f"B{number}") for number in range(1, 9)]
    assert {item.layer for item in crosses} == {Layer.CUT_MARKS}
    assert all(isinstance(item.what, CenterMark) and item.what.gap_paper > 0 for item in crosses)
    assert radii(drawing) == [11.0] * 8


def test_a_bore_that_is_there_already_is_not_cut_again() -> None:
    there, to_be_cut = (finished(flange(bore=180.0, bore_cut=cut)) for cut in (True, False))
    assert radii(there, Layer.CUT_BORE) == []
    assert radii(to_be_cut, Layer.CUT_BORE) == [90.0]
    assert radii(there) == radii(to_be_cut)


def test_a_slot_marked_only_has_a_cross_where_the_mill_begins_and_where_it_ends() -> None:
    """By hand: a slot of 14 × 34 along x, whose mill runs 20 mm from end to end."""
    slot = Drilling(14.0, kind=Slot(34.0, SlotDirection.X))
    plate = Flange(
        RectangleOutline(200.0, 100.0), (), single_holes=(SingleHole(Point(30.0, 5.0), slot),), thickness=20.0
    )
    drawing = finished(plate, smallest=PLASMA, small_holes=HoleCut.CENTER_MARK)
    crosses = [item.what.at for item in drawing.items if isinstance(item.what, CenterMark)]
    assert [(round(at.x, 9), round(at.y, 9)) for at in crosses] == [(20.0, 5.0), (40.0, 5.0)]


def test_a_hole_that_is_blind_from_the_back_is_not_marked_on_the_face() -> None:
    """The drill follows the scribed cross: on the named face it would be the wrong side."""
    circle = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M20", "depth": 24}
    plate = {"outside_diameter": 340, "bore": 100, "thickness": 45}
    for side, marks in (("face", 8), ("back", 0)):
        job = job_from_data(job_data(plate=plate, bolt_circle=[circle | {"worked_from": side}]))
        assert len(plan_cut(job.flange, job.cut.options).marked) == marks, side


def test_what_a_group_says_holds_against_what_small_holes_get() -> None:
    plate = flange(bolt_circle(), thickness=22.0)
    said = finished(plate, smallest=PLASMA, small_holes=HoleCut.CENTER_MARK, cuts=(("bolt_circle", HoleCut.AS_DRAWN),))
    assert radii(said) == [11.0] * 8


def test_an_undersize_that_leaves_nothing_is_refused_with_numbers() -> None:
    with pytest.raises(InputError, match=r"cut\.undersize: 3 mm less leaves too little to cut of .* 3 mm in diameter"):
        finished(flange(bolt_circle(hole_diameter=3.0)), cuts=(("bolt_circle", HoleCut.UNDERSIZE),))


def test_the_order_is_marks_then_inside_then_outside_and_small_before_large() -> None:
    plate = flange(bolt_circle(), bolt_circle(diameter=195.0, hole_diameter=12.0), bore=150.0, thickness=10.0)
    drawing = finished(plate, marks=(Mark.TOP,), mark_height=5.0, kerf=1.0)
    layers = [item.layer for item in drawing.items]
    assert layers == sorted(layers, key=[Layer.CUT_MARKS, *CUT].index)
    assert radii(drawing) == sorted(radii(drawing))


def test_each_cut_stands_between_its_lead_in_and_its_lead_out() -> None:
    drawing = finished(flange(bore=170.0), lead_in=5.0, lead_out=2.0)
    paths = [item.what for item in drawing.items if isinstance(item.what, CutPath)]
    for path in paths:
        (way,) = path.ways
        assert (way.parts[0], way.parts[-1]) == path.leads
        assert not way.closed
    assert len(paths) == 10


def test_one_narrow_slot_is_entered_along_it_and_the_others_keep_their_leads() -> None:
    slot = SingleHole(Point(0.0, 0.0), Drilling(3.0, kind=Slot(30.0, SlotDirection.X)))
    drawing = finished(flange(bolt_circle(), single_holes=(slot,)), lead_in=6.0, kerf=1.5)
    found = dict(leads(drawing))
    assert isinstance(found[HoleRef("X1")], Line)
    assert sum(isinstance(what, Arc) for what in found.values()) == 9


@every_row("unit", list(Unit))
def test_the_page_grows_by_what_stands_out_beyond_the_plate(unit: Unit) -> None:
    plate = Flange(RectangleOutline(200.0, 100.0), (), thickness=10.0)
    drawing = finished(plate, unit, kerf=4.0, lead_in=10.0)
    page = cut_sheet(plate, drawing)
    (view,) = page.views
    assert from_mm(page.paper.width, unit) == pytest.approx(from_mm(204.0, unit))
    # The long sides are entered in the middle of the first one, the lower: 2 mm of kerf and a lead of 10 mm below it.
    assert page.paper.height == pytest.approx(102.0 + 12.0)
    assert view.at_paper.x == pytest.approx(102.0)


def test_center_crosses_are_marked_in_every_hole_where_asked_for() -> None:
    drawing = finished(flange(), marks=(Mark.CENTERS,))
    assert sum(isinstance(item.what, CenterMark) for item in drawing.items) == 8
    assert math.isclose(min(radii(drawing)), 11.0)
