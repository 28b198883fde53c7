"""Leaders run over no line, arc or arrow of a size where they need not: told by shapely from the drawing."""

import math
import tomllib
from pathlib import Path
from typing import Any, TypeVar

import pytest
import shapely

from flangelayout.drawing.explode import Primitive, exploded
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import AngularDimension, CenterMark, Item, Label, Leader, LinearDimension, Solid, View
from flangelayout.drawing.references import Feature, FeatureRef, Furniture, GroupRef, HoleRef, Ref
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.shapes import Arc, Line, Point, polar
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.packet.job import layout_pages
from flangelayout.value import replace
from jobs import job_data
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.sheet_reader import polylines

TEMPLATES, SAMPLES = (Path(__file__).parents[3] / folder for folder in ("templates", "samples"))
UNAVOIDABLE = {"segment", "shaped-plate"}
"""Where a leader crosses the extension line of a reference size that lies along the whole plate."""
SLOTTED = load_job(TEMPLATES / "slotted-ring.toml")
SLOTS = job_from_data({"units": "mm", "job": {"number": "T-1"}, **AWKWARD["slots"]})
SEVEN_AND_FOUR = job_data(
    plate={"outside_diameter": 254, "bore": 88.9, "thickness": 19.05},
    bolt_circle=[
        {"diameter": 209.55, "hole_count": 7, "hole_diameter": 23.8, "start_angle": 13.3},
        {"diameter": 139.7, "hole_count": 4, "hole_diameter": 14.3},
    ],
    sheet={"convention": "asme", "paper": "A4"},
)
TWO_SEATS = job_data(
    plate={"outside_diameter": 240, "bore": 70, "thickness": 25},
    bolt_circle=[
        {"diameter": 190, "hole_count": 6, "kind": "counterbored", "bolt": "M12"},
        {"diameter": 110, "hole_count": 4, "kind": "countersunk", "bolt": "M8"},
    ],
)

_SMALL = {"outside_diameter": 160, "bore": 60, "thickness": 12}
_LARGE = {"outside_diameter": 300, "bore": 60, "thickness": 20}
_ON_ONE_CIRCLE = [
    {"diameter": 120, "hole_count": 2, "hole_diameter": 13, "start_angle": 30},
    {"diameter": 120, "hole_count": 3, "hole_diameter": 9, "angles": [10, 80, 300]},
]
_FAR_TURNED = [
    {"diameter": 130, "hole_count": 3, "hole_diameter": 13, "start_angle": 100},
    {"diameter": 90, "hole_count": 2, "hole_diameter": 9, "start_angle": 60},
]


def face_of(job: Job) -> View:
    """The layout on the first sheet."""
    return layout_pages(job).sheets[0].views[0]


def over_sizes(view: View, *, extensions: bool = True) -> list[bool]:
    """Whether each leader's line meets what is drawn of a size or of the section's plane, extension lines or not."""
    items = view.drawing.items
    leaders = [each.what for each in items if isinstance(each.what, Leader)]
    sizes = [each for each in items if _is_of_size(each) and not isinstance(each.what, Leader)]
    parts = [what for item, what in exploded(sizes, view.scale) if extensions or not _is_extension(item, what)]
    drawn = [line for what in parts for line in polylines(what)]
    strokes = shapely.MultiLineString([[(point.x, point.y) for point in line] for line in drawn])
    return [_line(leader.tip, leader.elbow).intersects(strokes) for leader in leaders]


def _is_extension(item: Item, part: Primitive) -> bool:
    """Whether a part of a size is a line square to the length it measures, or a ray of an angle."""
    if not isinstance(part, Line):
        return False
    if isinstance(item.what, LinearDimension):
        across = part.start.direction_to(part.end) - item.what.angle_deg
        return abs(math.cos(math.radians(across))) < 1e-6
    return isinstance(item.what, Line) and isinstance(item.source, FeatureRef)


def _is_of_size(item: Item) -> bool:
    is_of_hole = isinstance(item.what, CenterMark) or (isinstance(item.what, Arc) and isinstance(item.source, HoleRef))
    return item.layer in (Layer.DIMENSION, Layer.CUTTING_PLANE) and not is_of_hole


def _line(start: Point, end: Point) -> shapely.LineString:
    return shapely.LineString([(start.x, start.y), (end.x, end.y)])


@pytest.mark.slow
@pytest.mark.parametrize(
    ("job", "leaders"),
    [
        (load_job(TEMPLATES / "tube-sheet.toml"), 2),
        (job_from_data(SEVEN_AND_FOUR), 2),
        (job_from_data(TWO_SEATS), 2),
        (load_job(TEMPLATES / "orifice-plate.toml"), 1),
    ],
    ids=("tube sheet", "seven and four", "two seats", "orifice plate"),
)
def test_every_pattern_is_led_to_and_no_leader_runs_over_a_size(job: Job, leaders: int) -> None:
    assert over_sizes(face_of(job)) == [False] * leaders


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_leader_runs_over_a_measure_on_starters_samples_and_awkward_jobs(paper: str) -> None:
    """ISO 129-1 lets a leader meet no dimension line and, where it can be, no extension line."""
    files = [*sorted(TEMPLATES.glob("*.toml")), *sorted(SAMPLES.glob("*.toml"))]
    jobs = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in files} | AWKWARD
    through, beside = set(), set()
    for name, tables in jobs.items():
        data = {"units": "mm", **tables, "job": {"number": "T-1", **tables.get("job", {})}}
        view = face_of(job_from_data(data | {"sheet": data.get("sheet", {}) | {"paper": paper}}))
        through |= {name} if any(over_sizes(view, extensions=False)) else set()
        beside |= {name} if any(over_sizes(view)) else set()
    assert not through
    assert beside <= UNAVOIDABLE


@pytest.mark.parametrize("job", [SLOTS, pytest.param(SLOTTED, marks=pytest.mark.slow)], ids=("circle", "radius"))
def test_a_leader_past_slots_keeps_off_the_angles_above_it(job: Job) -> None:
    """Words over the middle of the plate; numbers that stood in the way of the leader are on the other side."""
    assert over_sizes(face_of(job)) == [False, False]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["slotted-ring", "shaped-plate"])
def test_no_leader_runs_over_another_hole_or_slot(name: str) -> None:
    job = load_job(TEMPLATES / f"{name}.toml")
    edges = [_edge(hole.shape) for hole in job.flange.holes()]
    leaders = [each.what for each in face_of(job).drawing.items if isinstance(each.what, Leader)]
    met = [sum(_line(leader.tip, leader.elbow).distance(edge) < 0.05 for edge in edges) for leader in leaders]
    assert met
    assert max(met) == 1, "its own"


def _edge(shape: Primitive) -> shapely.MultiLineString:
    return shapely.MultiLineString([[(at.x, at.y) for at in line] for line in polylines(shape)])


@pytest.mark.slow
def test_sizes_over_all_begin_where_the_plate_is() -> None:
    """Of a shape whose highest place is on an arc: its extension lines start there (ISO 129-1)."""
    job = load_job(TEMPLATES / "shaped-plate.toml")
    (outline,) = map(_edge, job.flange.pieces())
    sizes = [each.what for each in face_of(job).drawing.items if each.source == FeatureRef(Feature.OVERALL_HEIGHT)]
    (height,) = (size for size in sizes if isinstance(size, LinearDimension))
    off = [outline.distance(shapely.Point(at.x, at.y)) for at in (height.start, height.end)]
    assert off == pytest.approx([0.0, 0.0], abs=0.05)


def test_a_leader_over_the_section_plane_is_seen() -> None:
    view = face_of(job_from_data(job_data()))
    across = Leader(Point(-60.0, 150.0), Point(60.0, 150.0), ("astray",))
    items = (*view.drawing.items, Item(Layer.DIMENSION, across))
    assert over_sizes(replace(view, drawing=replace(view.drawing, items=items)))[-1]


Kind = TypeVar("Kind")
PLANE, FACE = Furniture("cutting plane"), Furniture("face")


def _of(view: View, kind: type[Kind], source: Ref) -> list[Kind]:
    """What of a kind a view shows of something."""
    return [each.what for each in view.drawing.items if each.source == source and isinstance(each.what, kind)]


@pytest.mark.parametrize("name", ["lugged-ring", "segment-ring"])
def test_the_arrow_of_the_plane_keeps_off_sizes_and_its_letter_off_other_words(name: str) -> None:
    view = face_of(load_job(TEMPLATES / f"{name}.toml"))
    sizes = [each for each in view.drawing.items if each.layer is Layer.DIMENSION and each.source != PLANE]
    drawn = [line for _, what in exploded(sizes, view.scale) for line in polylines(what)]
    strokes = shapely.MultiLineString([[(point.x, point.y) for point in line] for line in drawn])
    shafts = [item.what for item in view.drawing.items if item.source == PLANE and item.layer is Layer.DIMENSION]
    lines = [shaft for shaft in shafts if isinstance(shaft, Line)]
    heads = (polar(2.5 / view.scale, each.end.direction_to(each.start), each.end) for each in lines)
    off = [_line(each.start, head).distance(strokes) for each, head in zip(lines, heads, strict=True)]
    assert len(off) == 2
    assert min(off) * view.scale > 1.0
    texts = [what for _, what in exploded(view.drawing.items, view.scale) if isinstance(what, Label)]
    rooms = {text: shapely.Polygon([(at.x, at.y) for at in label_corners(text, view.scale)]) for text in texts}
    for letter in _of(view, Label, PLANE):
        assert min(rooms[letter].distance(rooms[text]) for text in texts if text != letter) * view.scale > 2.4


@pytest.mark.parametrize("job", [SLOTS, load_job(SAMPLES / "header-ring.toml")], ids=("ISO", "ASME"))
def test_top_stands_over_the_centerline_and_is_read_with_no_other_words(job: Job) -> None:
    """Call-outs that end on TOP and the section's letter give way to it."""
    view = face_of(job)
    (top,) = _of(view, Label, Furniture("top"))
    texts = [what for _, what in exploded(view.drawing.items, view.scale) if isinstance(what, Label)]
    room, *others = (
        shapely.Polygon([(at.x, at.y) for at in label_corners(text, view.scale)]) for text in (top, *texts)
    )
    assert sum(room.distance(other) * view.scale < 1.5 for other in others) == 1, "itself"
    assert top.at.x == 0.0


def test_the_angle_of_hole_1_of_a_split_ring_is_stated() -> None:
    """Its joint is told at the foot, as the angle stands where the upper joint would be told."""
    view = face_of(load_job(TEMPLATES / "split-ring.toml"))
    (angle,) = _of(view, AngularDimension, FeatureRef(Feature.FIRST_HOLE_ANGLE))
    assert (angle.start_deg, angle.sweep_deg) == (90.0, 15.0)


def test_a_face_named_far_from_it_is_pointed_at() -> None:
    """The bore's size takes the room beside the face of a square flange: an arrow from its name ends on the face."""
    job = load_job(TEMPLATES / "square-flange.toml")
    view = face_of(job)
    (arrow,), section = _of(view, Solid, FACE), _of(view, Line, Furniture("section"))
    (name,) = (label for label in _of(view, Label, FACE) if label.text == job.flange.face.upper())
    right = max(at.x for line in section for at in (line.start, line.end))
    assert arrow.corners[0].x == pytest.approx(right)
    assert name.at.x > right


@pytest.mark.slow
def test_no_leader_runs_between_the_arrow_of_the_plane_and_its_letter() -> None:
    view = face_of(load_job(TEMPLATES / "base-plate.toml"))
    items = view.drawing.items
    plane = [each.what for each in items if each.source == Furniture("cutting plane")]
    arrows = [what.corners[0] for what in plane if isinstance(what, Solid)]
    letters = [what.at for what in plane if isinstance(what, Label)]
    leaders = [_line(each.what.tip, each.what.elbow) for each in items if isinstance(each.what, Leader)]
    assert len(arrows) == len(letters) == 2
    assert not any(leader.intersects(_line(*pair)) for leader in leaders for pair in zip(arrows, letters, strict=True))


@pytest.mark.slow
@every_row(("circles", "plate"), ((_ON_ONE_CIRCLE, _SMALL), (_FAR_TURNED, _LARGE)))
def test_no_leader_runs_over_what_marks_the_section(circles: list[dict[str, Any]], plate: dict[str, Any]) -> None:
    """Neither its arrows nor its letters (common practice, no source): rather over the arc of an angle."""
    view = face_of(job_from_data(job_data(plate=plate, bolt_circle=circles, sheet={"paper": "A4"})))
    marks = [what for item, what in exploded(view.drawing.items, view.scale) if item.source == PLANE]
    lines = [[(at.x, at.y) for at in line] for what in marks for line in polylines(what)]
    rooms = [
        shapely.Polygon([(at.x, at.y) for at in label_corners(each, view.scale)])
        for each in marks
        if isinstance(each, Label)
    ]
    drawn = shapely.union_all([shapely.MultiLineString(lines), *rooms])
    leaders = [each.what for each in view.drawing.items if isinstance(each.what, Leader)]
    assert leaders
    assert len(rooms) == 2
    assert min(_line(each.tip, each.elbow).distance(drawn) for each in leaders) * view.scale > 0.5


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_leader_runs_through_a_hole_that_it_does_not_speak_of(paper: str) -> None:
    """Two patterns on one circle, close by each other: who meets another hole first takes that for the one told.

    A printed millimeter by it is by it (common practice, no source).
    """
    job = job_from_data(job_data(plate=_SMALL, bolt_circle=_ON_ONE_CIRCLE, sheet={"paper": paper}))
    view = face_of(job)
    leaders = [each for each in view.drawing.items if isinstance(each.what, Leader)]
    groups = [each.source.group for each in leaders if isinstance(each.source, GroupRef)]
    assert groups
    for each in leaders:
        if isinstance(each.source, GroupRef) and isinstance(each.what, Leader):
            line = shapely.LineString([(at.x, at.y) for at in (each.what.tip, each.what.elbow)])
            others = [hole for hole in job.flange.holes() if hole.group != each.source.group]
            discs = [
                shapely.Point(hole.center.x, hole.center.y).buffer(hole.diameter / 2 + 1 / view.scale)
                for hole in others
            ]
            assert not any(line.intersects(disc) for disc in discs)
