"""What a sheet says beside its views and how it draws what is seen: judged by the job's own numbers."""

import math
from pathlib import Path
from typing import Any

import pytest
import shapely

from flangelayout.drawing.border import Shows
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.explode import exploded
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    AngularDimension,
    DiameterDimension,
    Drawing,
    Item,
    Label,
    Leader,
    LinearDimension,
    Measuring,
    Solid,
)
from flangelayout.drawing.references import Feature, FeatureRef, FieldRef, Furniture, HoleRef, TurnedRef
from flangelayout.drawing.textwidth import label_box
from flangelayout.geometry.shapes import Circle, Line, Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.packet.job import layout_pages
from flangelayout.packet.names import stamp_of
from flangelayout.units import Unit
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.page.title_block import block_values
from flangelayout.views.sheet.face_dimensions import top_items
from flangelayout.views.sheet.look import Look
from flangelayout.views.words.lengths import Lengths
from jobs import make_job
from rows import every_row, first_of
from views.awkward_jobs import AWKWARD
from views.sheet_items import items_of

FACED = {
    "outside_diameter": 285,
    "bore": 100,
    "thickness": 30,
    "raised_face_diameter": 200,
    "raised_face_height": 3,
}


def drawn(job: Job, title: str = "layout") -> Drawing:
    return next(view.drawing for view in layout_pages(job).sheets[0].views if view.drawing.title == title)


def labels(job: Job) -> list[str]:
    """Every text of the first sheet."""
    return [item.what.text for item in items_of(layout_pages(job).sheets[0]) if isinstance(item.what, Label)]


def size(items: tuple[Item, ...], feature: Feature) -> tuple[float, str]:
    """What the one dimension of a feature measures, and what it says."""
    of_it = (item.what for item in items if item.source == FeatureRef(feature))
    (found,) = (what for what in of_it if isinstance(what, LinearDimension | DiameterDimension))
    return found.measure, found.text


def test_the_sizes_of_a_section_are_those_of_the_job() -> None:
    items = drawn(make_job(plate=FACED)).items
    for feature, wanted, said in (
        (Feature.THICKNESS, 30.0, "30"),
        (Feature.BORE, 100.0, "⌀100 BORE"),
        (Feature.RAISED_FACE, 200.0, "⌀200 R.F."),
        (Feature.RAISED_FACE_HEIGHT, 3.0, "3"),
    ):
        measured, text = size(items, feature)
        assert measured == pytest.approx(wanted)
        assert text == said


@every_row(
    ("plate", "said"),
    [
        ({"outline": "rectangle", "width": 300, "height": 200, "corner_radius": 20}, {"300", "200", "4 × R20"}),
        ({"outline": "lozenge", "length": 330, "middle_diameter": 190, "end_radius": 40}, {"330", "⌀190", "2 × R40"}),
    ],
)
def test_an_outline_says_radii_and_diameters_by_their_signs_and_as_often_as_they_are_there(
    plate: dict[str, Any], said: set[str]
) -> None:
    circle = {"diameter": 240, "hole_count": 2, "hole_diameter": 14, "placement": "on-centerline"}
    job = make_job(plate=plate | {"thickness": 12}, bolt_circle=[circle | {"centerline": "horizontal"}])
    sizes = (item.what for item in drawn(job).items if isinstance(item.source, FeatureRef))
    assert said <= {what.text for what in sizes if isinstance(what, Measuring)}


@every_row(("convention", "way"), [("ISO", 1.0), ("ASME", -1.0)])
def test_the_arrows_of_the_plane_point_as_the_section_is_seen(convention: str, way: float) -> None:
    """It stands on the right: in first angle the plate is seen from the left, in third angle from the right."""
    items = drawn(make_job(sheet={"convention": convention})).items
    arrows = [item.what for item in items if item.source == Furniture("cutting plane") and isinstance(item.what, Solid)]
    assert len(arrows) == 2
    for arrow in arrows:
        tip, *back = arrow.corners
        assert all((tip.x - each.x) * way > 0 for each in back)


@pytest.mark.slow
def test_each_angle_to_hole_1_bears_the_letter_of_its_circle_the_larger_outside_the_smaller() -> None:
    circles = [
        {"diameter": 240, "hole_count": 8, "hole_diameter": 18},
        {"diameter": 150, "hole_count": 6, "hole_diameter": 12},
        {"diameter": 110, "hole_count": 12, "hole_diameter": 6},
    ]
    plate = {"outside_diameter": 285, "bore": 80, "thickness": 22}
    items = drawn(make_job(plate=plate, bolt_circle=circles, sheet={"paper": "A3"})).items
    angles = [item.what for item in items if item.source == FeatureRef(Feature.FIRST_HOLE_ANGLE)]
    # Holes either side of the top stand half a pitch off it: 360 / 16, 360 / 12 and 360 / 24 degrees.
    outward = sorted((each for each in angles if isinstance(each, AngularDimension)), key=lambda each: each.radius)
    assert [each.text for each in outward] == ["(15°) C", "(22.5°) A", "(30°) B"]


@pytest.mark.parametrize("turn", first_of([45, 20]))
def test_the_ray_of_an_angle_comes_to_hole_1_or_to_its_number(turn: float) -> None:
    """Broken for numbers, not cut off at the rim: there the next hole of another circle stands beside it."""
    circles = [
        {"diameter": 295, "hole_count": 8, "hole_diameter": 22},
        {"diameter": 180, "hole_count": 8, "hole_diameter": 18, "placement": "on-centerline", "start_angle": turn},
    ]
    job = make_job(plate={"outside_diameter": 340, "bore": 100, "thickness": 25}, bolt_circle=circles)
    view = next(view for view in layout_pages(job).sheets[0].views if view.drawing.title == "layout")
    items = view.drawing.items
    rays = [each.what for each in items if each.source == FeatureRef(Feature.FIRST_HOLE_ANGLE)]
    ends = [ray.start for ray in rays if isinstance(ray, Line)]
    for circle, radius in ("A", 147.5), ("B", 90.0):
        degrees = next(a.sweep_deg for a in rays if isinstance(a, AngularDimension) and a.text.endswith(circle))
        hole = Point(-radius * math.sin(math.radians(degrees)), radius * math.cos(math.radians(degrees)))
        assert min(hole.distance_to(end) for end in ends) * view.scale < 12.0
    texts = [box for each in items if isinstance(each.what, Label) for box in [label_box(each.what, view.scale)]]
    lines = [shapely.LineString([(r.start.x, r.start.y), (r.end.x, r.end.y)]) for r in rays if isinstance(r, Line)]
    assert not any(line.intersects(shapely.box(b.left, b.bottom, b.right, b.top)) for line in lines for b in texts)


@every_row("convention", ["ISO", "ASME"])
def test_top_is_not_read_in_one_line_with_the_letter_of_the_section(convention: str) -> None:
    """Four millimeters part two words of one line that do not belong together (common practice, no source)."""
    view = layout_pages(make_job(sheet={"convention": convention})).sheets[0].views[0]
    labels = [item.what for item in view.drawing.items if isinstance(item.what, Label)]
    (top,) = (label_box(each, view.scale) for each in labels if each.text == "TOP")
    letters = [label_box(each, view.scale) for each in labels if each.text == "A"]
    assert len(letters) == 2
    for letter in letters:
        in_line = letter.bottom < top.top and top.bottom < letter.top
        assert not in_line or max(top.left - letter.right, letter.left - top.right) * view.scale >= 4.0


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_the_letter_of_the_plane_stands_apart_from_an_angle_on_its_line(paper: str) -> None:
    """A letter close before it is read as that of the pattern it is an angle of (common practice, no source)."""
    job = job_from_data({"units": "mm", "job": {"number": "T-1"}, **AWKWARD["segment"], "sheet": {"paper": paper}})
    view = layout_pages(job).sheets[0].views[0]
    parts = [each for _, each in exploded(view.drawing.items, view.scale) if isinstance(each, Label)]
    rooms = [(each.text, label_box(each, view.scale)) for each in parts]
    angles = [box for text, box in rooms if text.startswith("(") and text.endswith("°)")]
    letters = [box for text, box in rooms if text == "A"]
    assert angles
    assert len(letters) == 2
    for letter in letters:
        for angle in angles:
            in_line = letter.bottom < angle.top and angle.bottom < letter.top
            assert not in_line or max(angle.left - letter.right, letter.left - angle.right) * view.scale > 4.0


@pytest.mark.slow
@every_row("name", ["strainer-plate", "machined-flange"])
def test_the_plane_is_read_with_its_own_letter_alone(name: str) -> None:
    """No angle's letter within five millimeters of the arrow's tail."""
    view = layout_pages(load_job(Path(__file__).parents[3] / "templates" / f"{name}.toml")).sheets[0].views[0]
    items = view.drawing.items
    texts = [
        (each.text, label_box(each, view.scale)) for _, each in exploded(items, view.scale) if isinstance(each, Label)
    ]
    plane = [each.what for each in items if each.source == Furniture("cutting plane")]
    (tail, *_) = (each.start for each in plane if isinstance(each, Line) and each.start.y == each.end.y)
    assert tail.y > 0
    before = shapely.box(tail.x - 5.0 / view.scale, tail.y - 1.0, tail.x, tail.y + 1.0)
    rooms = [(text, shapely.box(box.left, box.bottom, box.right, box.top)) for text, box in texts]
    assert not [text for text, room in rooms if text.startswith("(") and room.intersects(before)]


@every_row("below", [-0.3, 0.4, 1.4, 2.0])
def test_top_is_raised_off_words_close_below_it(below: float) -> None:
    """To 1.5 printed mm at least (common practice, no source); it stays where they are so far from it anyway."""
    scale = 0.4
    look, ink = Look(make_job().flange, Lengths(Unit.MM, False, Convention.ISO), Convention.ISO, scale), Ink(scale)
    (lowest,) = (label_box(each.what, scale) for each in top_items(look, ink.copy()) if isinstance(each.what, Label))
    word = Label(Point(0.0, lowest.bottom - (look.heading + below) / scale), "Y", look.heading, 0.0, Anchor.CENTER)
    ink.add([Item(Layer.TEXT, word, Furniture("cutting plane"))])
    (top,) = (label_box(each.what, scale) for each in top_items(look, ink) if isinstance(each.what, Label))
    assert (top.bottom - label_box(word, scale).top) * scale >= 1.5 - 1e-9
    assert (top == lowest) == (below > 1.5)


SEATED = {"hole_count": 8, "kind": "counterbored", "hole_diameter": 6.8, "seat_diameter": 11, "seat_depth": 5}


def test_a_detail_says_what_its_hole_is_how_far_from_the_edge_and_how_large_it_is_drawn() -> None:
    bored = SEATED | {"diameter": 1176}
    job = make_job(
        plate={"outside_diameter": 1200, "bore": 400, "thickness": 30}, bolt_circle=[bored], sheet={"paper": "A4"}
    )
    views = (view for sheet in layout_pages(job).sheets for view in sheet.views)
    view = next(view for view in views if view.drawing.title == "detail")
    items = [item.what for item in view.drawing.items]
    (leader,) = (what for what in items if isinstance(what, Leader))
    assert leader.text == ("⌀6.8, CBORE ⌀11 × 5 DEEP", "ON PCD 1176")
    assert [what.text for what in items if isinstance(what, Label) and "DETAIL" not in what.text] == ["1"]
    (distance,) = (what for what in items if isinstance(what, LinearDimension))
    assert distance.measure == pytest.approx(12.0)
    assert distance.text == "(12)"
    scale = next(what.text for what in items if isinstance(what, Label) and what.text.startswith("DETAIL "))
    larger, smaller = scale.rsplit("(", 1)[1].removesuffix(")").split(":")
    assert float(larger) / float(smaller) == pytest.approx(view.scale)


@every_row(("from_edge", "is_said"), [(15.8, True), (16.2, False)])
def test_a_detail_gives_the_distance_to_an_edge_that_its_ring_shows(from_edge: float, is_said: bool) -> None:
    """Drawn 1:1 in a ring of 17 mm: an edge within a millimeter of the ring is cut too short to measure from."""
    bored = SEATED | {"diameter": 1200 - 2 * from_edge}
    plate = {"outside_diameter": 1200, "bore": 400, "thickness": 30}
    job = make_job(plate=plate, bolt_circle=[bored], sheet={"paper": "A4"})
    views = (view for sheet in layout_pages(job).sheets for view in sheet.views)
    view = next(view for view in views if view.drawing.title == "detail")
    said = [item.what.text for item in view.drawing.items if isinstance(item.what, LinearDimension)]
    assert view.scale == 1.0
    assert said == ([f"({from_edge})"] if is_said else [])


def test_a_sheet_counts_the_pages_and_bears_the_digest_of_its_job() -> None:
    job = make_job()
    first, *further = layout_pages(job).sheets
    fields = {item.source: item.what.text for item in first.furniture if isinstance(item.what, Label)}
    assert fields[FieldRef("sheet")] == f"1 / {1 + len(further)}"
    assert len(further) >= 1
    assert job.digest.startswith(fields[FieldRef("digest")])
    # ISO 5456-2 and ASME Y14.3: the one projects in first angle, the other in third (usual of each).
    for convention, projection in ((Convention.ISO, "first angle"), (Convention.ASME, "third angle")):
        said = block_values(job.info, stamp_of(job), job.flange, job.unit, convention, first.paper)
        assert said[Shows.CONVENTION] == projection


def test_of_many_revisions_the_latest_stand_on_the_first_sheet() -> None:
    history = [{"revision": name, "date": "2026-10-01", "change": f"change {name}", "by": "x"} for name in "ABCDEFGH"]
    said = labels(make_job(job={"number": "T-1", "revision": "H", "revision_history": history}))
    assert [text for text in said if text.startswith("change ")] == [f"change {name}" for name in "CDEFGH"]


def test_what_is_made_from_the_back_is_hidden_and_what_is_made_from_the_face_is_seen() -> None:
    def blind(face: str, diameter: float) -> dict[str, Any]:
        how = {"kind": "tapped", "thread": "M12", "depth": 15, "worked_from": face}
        return {"diameter": diameter, "hole_count": 4, **how}

    recesses = ((120, "face"), (130, "back"))
    turned = [{"kind": "recess", "diameter": wide, "depth": 3, "face": face} for wide, face in recesses]
    plate = {"outside_diameter": 285, "bore": 80, "thickness": 40}
    circles = [blind("face", 240), blind("back", 190)]
    items = drawn(make_job(plate=plate, bolt_circle=circles, turned=turned, sheet={"paper": "A3"})).items
    rounds = [(item.source, item.what.radius, item.layer) for item in items if isinstance(item.what, Circle)]
    holes = {source: layer for source, radius, layer in rounds if isinstance(source, HoleRef) and radius < 5.5}
    assert (holes[HoleRef("A1")], holes[HoleRef("B1")]) == (Layer.OUTLINE, Layer.HIDDEN)
    rings = {radius: layer for source, radius, layer in rounds if isinstance(source, TurnedRef)}
    assert rings == {60.0: Layer.OUTLINE, 65.0: Layer.HIDDEN}


def test_a_joint_on_the_plane_is_said_to_be_left_out() -> None:
    def said(first: float) -> list[str]:
        plate = {"outline": "split", "outside_diameter": 340, "inside_diameter": 240, "part_count": 2, "gap": 3}
        plate |= {"thickness": 20, "first_joint_angle": first}
        return labels(make_job(plate=plate, bolt_circle=[{"diameter": 295, "hole_count": 8, "hole_diameter": 14}]))

    assert "JOINT NOT SHOWN" in said(90.0)
    assert not [text for text in said(0.0) if "JOINT" in text]


def test_a_leader_begins_at_the_rim_of_its_hole() -> None:
    job = make_job(hole=[{"diameter": 12, "x": 0, "y": -100}])
    led = (item.what for item in drawn(job).items if item.source == HoleRef("X1"))
    (leader,) = (what for what in led if isinstance(what, Leader))
    assert math.hypot(leader.tip.x, leader.tip.y + 100) == pytest.approx(6.0)
