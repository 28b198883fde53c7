"""What a template shows of plates and holes beside the round and plain ones."""

import math
import re
from functools import cache
from pathlib import Path

import pytest
import shapely

from as_shapely import polygon
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, Label, Sheet
from flangelayout.drawing.references import GroupRef, HoleRef, JointRef
from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Drilling,
    Flange,
    HoleGrid,
    HoleKind,
    RectangleOutline,
    RoundOutline,
    Slot,
    SplitOutline,
    Tapped,
)
from flangelayout.flange.hole import face_circle, punch_points
from flangelayout.geometry.measure import distance_to_edge
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, polar
from flangelayout.job.load import load_job
from flangelayout.packet.job import face_template
from flangelayout.views.template.drawing import template_drawing
from flangelayout.views.template.pages import one_sheet_template
from jobs import make_job
from rows import every_row, first_of
from views.sheet_items import items_of

STARTERS = sorted((Path(__file__).parents[3] / "templates").glob("*.toml"))


drawn = cache(template_drawing)


def on(flange: Flange, layer: Layer) -> list[object]:
    return [item.what for item in drawn(flange).items if item.layer is layer]


def plate(kind: HoleKind, hole: float = 14.0) -> Flange:
    return Flange(RoundOutline(300.0), (BoltCircle(240.0, 6, hole, kind=kind),), bore=100.0)


@every_row("path", STARTERS)
def test_every_edge_opening_and_hole_of_a_starter_is_drawn(path: Path) -> None:
    flange = load_job(path).flange
    edges, holes = on(flange, Layer.TEMPLATE_EDGES), on(flange, Layer.TEMPLATE_HOLES)
    assert edges == [*flange.pieces(), *(opening.shape for opening in flange.cutouts())]
    assert holes == [hole.shape for hole in flange.holes()]


@every_row("path", STARTERS)
def test_every_place_to_punch_has_an_open_cross(path: Path) -> None:
    flange = load_job(path).flange
    crosses = [what.at for what in on(flange, Layer.TEMPLATE_MARKS) if isinstance(what, CenterMark)]
    assert crosses == [point for hole in flange.holes() for point in punch_points(hole)]


def test_a_slot_is_punched_at_both_ends_of_its_middle_line() -> None:
    hole = plate(Slot(40.0)).holes()[0]
    first, last = punch_points(hole)
    assert ORIGIN.distance_to(first) == pytest.approx(120)
    assert ORIGIN.distance_to(last) == pytest.approx(120)
    assert -distance_to_edge(Circle(first, 7.0), last) + 7 == pytest.approx(first.distance_to(last))
    assert isinstance(hole.shape, Contour)


def test_a_thread_and_a_recess_are_shown_round_their_hole() -> None:
    threads = [what for what in on(plate(Tapped("M16", 16.0)), Layer.TEMPLATE_MARKS) if isinstance(what, Arc)]
    assert [arc.radius for arc in threads] == [8.0] * 6
    recesses = [what for what in on(plate(Counterbored(24.0, 8.0)), Layer.TEMPLATE_MARKS) if isinstance(what, Circle)]
    assert [circle.radius for circle in recesses].count(12.0) == 6


def test_a_crowded_grid_shows_numbers_only_within_its_holes() -> None:
    wide = Flange(RectangleOutline(300.0, 300.0), (), patterns=(HoleGrid(Drilling(19.0), 5, 5, 25.0, 25.0),))
    tight = Flange(RectangleOutline(300.0, 300.0), (), patterns=(HoleGrid(Drilling(6.0), 5, 5, 9.0, 9.0),))
    assert len([what for what in on(wide, Layer.TEXT) if isinstance(what, Label) and what.text != "TOP"]) == 25
    assert [what.text for what in on(tight, Layer.TEXT) if isinstance(what, Label)] == ["TOP"]


def test_centerlines_run_from_edge_to_edge_of_a_rectangle() -> None:
    flange = Flange(RectangleOutline(300.0, 200.0), ())
    lines = [what for what in on(flange, Layer.TEMPLATE_RAYS) if isinstance(what, Line)]
    assert max(line.end.x for line in lines) == pytest.approx(150)
    assert max(line.end.y for line in lines) == pytest.approx(100)


def test_the_joints_of_a_split_ring_are_shown() -> None:
    flange = Flange(SplitOutline(300.0, 200.0, 2, 90.0, 3.0), ())
    sources = [item.source for item in template_drawing(flange).items]
    assert JointRef(1) in sources
    assert JointRef(2) in sources


def test_the_bolt_circle_of_lugs_is_drawn_on_the_metal_alone_and_open_at_the_punch_points() -> None:
    circles = [{"diameter": 370, "hole_count": 4, "hole_diameter": 22}]
    lugs = {"lug_radius": 28, "lug_width_at_middle": 90, "root_radius": 14, "lug_count": 4, "lug_circle": 370}
    plate = {"outline": "lugged", "outside_diameter": 320, "bore": 205, **lugs}
    flange = make_job(plate=plate, bolt_circle=circles).flange
    arcs = [item.what for item in drawn(flange).items if item.source == GroupRef(0)]
    assert len(arcs) == 2 * 4
    (metal,) = map(polygon, flange.pieces())
    for arc in arcs:
        assert isinstance(arc, Arc)
        places = [polar(arc.radius, arc.start_deg + arc.sweep_deg * step / 100) for step in range(101)]
        assert metal.buffer(0.1).contains(shapely.MultiPoint([(at.x, at.y) for at in places]))
        assert min(at.distance_to(hole.center) for at in places for hole in flange.shown_holes()) > 2.0
    # Nothing of it is missing on the metal: what is drawn and what is left open make the circle's share of the metal.
    whole = shapely.Point(0, 0).buffer(185, quad_segs=720).exterior.intersection(metal).length
    assert sum(math.radians(arc.sweep_deg) * 185 for arc in arcs if isinstance(arc, Arc)) + 4 * 4.4 == pytest.approx(
        whole, abs=0.1
    )


def sizes_at_holes(sheet: Sheet) -> dict[str, str]:
    """What stands under the number of every hole that has something there."""
    words: dict[str, list[str]] = {}
    for view in sheet.views:
        for item in view.drawing.items:
            if isinstance(item.source, HoleRef) and isinstance(item.what, Label):
                words.setdefault(item.source.label, []).append(item.what.text)
    return {label: texts[1] for label, texts in words.items() if len(texts) > 1}


def sizes_at_foot(sheet: Sheet) -> dict[str, str]:
    """What the foot tells of holes by their numbers."""
    items = [item for view in sheet.views for item in view.drawing.items] + list(sheet.furniture)
    foot = " ".join(item.what.text for item in items if isinstance(item.what, Label))
    said = re.search(r"SIZES NOT AT THEIR HOLES: (.+?) BAR X\b", foot)
    told: dict[str, str] = {}
    for part in said[1].split("; ") if said else ():
        names, size = part.split(": ", 1)
        for run in names.split(", "):
            letter, first, last = re.fullmatch(r"([A-Z]*)(\d+)(?: TO [A-Z]*(\d+))?", run).groups()  # type: ignore[union-attr]
            told |= {f"{letter}{number}": size for number in range(int(first), int(last or first) + 1)}
    return told


@pytest.mark.parametrize("path", first_of(sorted(STARTERS, key=lambda path: path.stem != "machined-flange")))
def test_a_sheet_without_a_cover_has_the_size_of_every_hole(path: Path) -> None:
    template = face_template(load_job(path))
    (sheet,) = one_sheet_template(template).sheets
    beside, below = sizes_at_holes(sheet), sizes_at_foot(sheet)
    assert {hole.label for hole in template.subject.flange.shown_holes()} == beside.keys() | below.keys()
    recessed = {hole.label for hole in template.subject.flange.shown_holes() if face_circle(hole)}
    assert beside.keys() & below.keys() <= recessed, "of what has a second circle the foot tells that, too"
    if path.stem == "machined-flange":
        # 1/4 NPT is drilled 7/16 in, 11.11 mm (tap drill tables of handbooks, from memory).
        said = [
            item.what.text for item in items_of(sheet) if item.source == HoleRef("X3") and isinstance(item.what, Label)
        ]
        assert said == ["X3", "1/4 NPT", "⌀11.11"], "in three lines, where there is no room for two"


def test_what_has_no_room_for_its_size_is_told_at_the_foot_of_the_sheet() -> None:
    """A ring with 7 mm of metal to either side of its threads."""
    plate = {"outside_diameter": 294, "bore": 244}
    threads = {"diameter": 269, "hole_count": 6, "kind": "tapped", "thread": "1/4 NPT"}
    (sheet,) = one_sheet_template(face_template(make_job(plate=plate, bolt_circle=[threads]))).sheets
    assert sizes_at_holes(sheet) == {}
    assert sizes_at_foot(sheet) == {str(number): "1/4 NPT THROUGH, DRILL ⌀11.11" for number in range(1, 7)}


def test_a_sheet_without_a_cover_tells_what_the_second_circle_of_a_hole_is() -> None:
    """M12 socket heads: 20 mm and a head of 12 (DIN 974-1 and ISO 4762, from memory)."""
    circle = {"diameter": 270, "hole_count": 6, "kind": "counterbored", "bolt": "M12"}
    plate = {"outside_diameter": 330, "bore": 180, "thickness": 25}
    (sheet,) = one_sheet_template(face_template(make_job(plate=plate, bolt_circle=[circle]))).sheets
    assert set(sizes_at_holes(sheet).values()) == {"⌀13.5"}
    assert {size.split(" × ")[0] for size in sizes_at_foot(sheet).values()} == {"⌀13.5, CBORE ⌀20"}
    behind = make_job(plate=plate, bolt_circle=[circle | {"worked_from": "back"}, circle | {"diameter": 220}])
    (sheet,) = one_sheet_template(face_template(behind)).sheets
    assert {label[0] for label in sizes_at_foot(sheet)} == {"B"}, "on the face A has no second circle"
