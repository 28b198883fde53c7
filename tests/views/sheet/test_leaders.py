"""Where a call-out's leader touches: at a hole near its words, over nothing that can be passed by; told by shapely."""

import tomllib
from typing import Any

import pytest
import shapely

from as_shapely import polygon
from flangelayout.checks.dimensioned import alike_single_holes
from flangelayout.drawing.explode import explode
from flangelayout.drawing.model import Item, Label, Leader, LinearDimension, RadiusDimension, View
from flangelayout.drawing.references import GroupRef, HoleRef
from flangelayout.drawing.textwidth import label_corners
from flangelayout.flange import Hole
from flangelayout.geometry.shapes import Line, polar
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.sheet.test_call_outs import TEMPLATES, face_of, over_sizes

_AS_NEAR = 11.0
"""Printed mm by which another hole may be nearer to the words (common practice, no source)."""
_FARTHER = {"blind from the back"}
"""Where the nearest hole lies behind the leader of the other circle."""

_GLAND: dict[str, Any] = {
    "plate": {
        "outline": "lozenge",
        "length": 190,
        "end_radius": 22,
        "middle_diameter": 112,
        "bore": 52,
        "thickness": 26,
        "face": "outside",
    },
    "hole": [{"name": "stud", "bolt": "M16", "x": x, "y": 0} for x in (-73, 73)],
    "bolt_circle": [{"diameter": 80, "hole_count": 4, "kind": "tapped", "thread": "M6", "depth": 10}],
    "turned": [{"kind": "spigot", "face": "back", "diameter": 68, "height": 8, "fit": "f7"}],
}
_SCREEN: dict[str, Any] = {
    "units": "in",
    "plate": {"outside_diameter": 14.5, "bore": 5.75, "thickness": 0.625},
    "bolt_circle": [
        {"diameter": 12.25, "hole_count": 6, "hole_diameter": 0.688},
        {"diameter": 9, "hole_count": 4, "kind": "slot", "slot_length": 1.25, "hole_diameter": 0.56, "start_angle": 10},
    ],
}
_GASKET: dict[str, Any] = {
    "units": "in",
    "plate": {"outside_diameter": 11, "bore": 4.25, "thickness": 0.125},
    "bolt_circle": [
        {"diameter": 9.5, "hole_count": 8, "hole_diameter": 0.875},
        {"diameter": 7.5, "hole_count": 6, "hole_diameter": 0.5625, "start_angle": 7.5},
    ],
    "opening": [{"name": "drain", "shape": "slot", "width": 0.5, "length": 1.25, "radius": 3, "angle": 270}],
}
_TAPPED: dict[str, Any] = {
    "plate": {"outside_diameter": 300, "bore": 80, "thickness": 30},
    "bolt_circle": [{"diameter": 250, "hole_count": 8, "bolt": "M20"}],
    "hole": [{"kind": "tapped", "thread": "M12", "x": 90, "y": 0}],
    "turned": [{"kind": "recess", "face": "face", "diameter": 120, "depth": 5}],
}


def _job(tables: dict[str, Any], paper: str) -> Job:
    data = {"units": "mm", **tables, "job": {"number": "T-1", **tables.get("job", {})}}
    return job_from_data(data | {"sheet": tables.get("sheet", {}) | {"paper": paper}})


def _led(job: Job, view: View) -> list[tuple[Leader, tuple[Hole, ...]]]:
    """The leaders to holes, each with all that it speaks of."""
    return [
        (each.what, _alike(job, each))
        for each in view.drawing.items
        if isinstance(each.what, Leader) and _alike(job, each)
    ]


def _alike(job: Job, item: Item) -> tuple[Hole, ...]:
    match item.source:
        case GroupRef(group):
            return tuple(hole for hole in job.flange.holes() if hole.group == group)
        case HoleRef(label):
            every = alike_single_holes(job.flange)
            return next((alike for alike in every if label in {hole.label for hole in alike}), ())
    return ()


def farther(job: Job) -> list[float]:
    """Printed mm that a leader's hole is farther from its elbow than the nearest that has no angle to it."""
    view = face_of(job)
    found = []
    for leader, alike in _led(job, view):
        own = min(alike, key=lambda hole: abs(hole.center.distance_to(leader.tip) - hole.face_diameter / 2))
        near = min(leader.elbow.distance_to(hole.center) for hole in alike if hole is own or hole.number != 1)
        found.append((leader.elbow.distance_to(own.center) - near) * view.scale)
    return found


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row("tables", [_GLAND, _SCREEN])
def test_a_leader_leads_to_the_nearest_of_its_holes(tables: dict[str, Any], paper: str) -> None:
    """Who follows a line past one of two holes alike asks what else it tells (common practice, no source)."""
    gaps = farther(_job(tables, paper))
    assert len(gaps) == 2
    assert max(gaps) < _AS_NEAR


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_leaders_of_starters_and_awkward_jobs_pass_by_no_nearer_hole(paper: str) -> None:
    files = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in sorted(TEMPLATES.glob("*.toml"))}
    gaps = {name: max(farther(_job(tables, paper)), default=0.0) for name, tables in (files | AWKWARD).items()}
    assert {name for name, gap in gaps.items() if gap > _AS_NEAR} <= _FARTHER


@every_row("paper", ["A4", "Letter"])
def test_what_is_said_of_holes_stands_beside_the_plate(paper: str) -> None:
    """An oval flange has white paper all round (ISO 129-1, from memory: outside of the view where that can be)."""
    job = _job(tomllib.loads((TEMPLATES / "oval-flange.toml").read_text("utf-8")), paper)
    view = face_of(job)
    ((leader, _),) = _led(job, view)
    plate = shapely.union_all([shapely.Polygon(polygon(piece).exterior) for piece in job.flange.pieces()])
    words = [part for part in explode(leader, view.scale) if isinstance(part, Label)]
    rooms = [shapely.Polygon([(at.x, at.y) for at in label_corners(word, view.scale)]) for word in words]
    assert rooms
    assert not any(room.intersects(plate) for room in rooms)


@every_row("paper", ["A4", "Letter"])
def test_the_leader_of_a_single_hole_runs_over_no_size(paper: str) -> None:
    """Its words are broken behind a comma where they find a place nearer by that way."""
    view = face_of(_job(_TAPPED, paper))
    assert not any(over_sizes(view))


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row("name", ["paddle-blind", "paddle-spacer", "figure-8-blind"])
def test_no_leader_runs_into_the_arrow_of_a_radius_or_far_over_the_plate(name: str, paper: str) -> None:
    """Two arrows 1 mm apart read as one; a short way out is the plainest (common practice, no source)."""
    job = _job(tomllib.loads((TEMPLATES / f"{name}.toml").read_text("utf-8")), paper)
    view = face_of(job)
    rims = [each.what for each in view.drawing.items if isinstance(each.what, RadiusDimension)]
    at = [polar(rim.radius, rim.angle_deg, rim.center) for rim in rims]
    tips = shapely.MultiPoint([(tip.x, tip.y) for tip in at])
    plate = shapely.union_all([shapely.Polygon(polygon(piece).exterior) for piece in job.flange.pieces()])
    for leader, _ in _led(job, view):
        line = shapely.LineString([(leader.tip.x, leader.tip.y), (leader.elbow.x, leader.elbow.y)])
        assert line.distance(tips) * view.scale > 2.5
        assert line.intersection(plate).length < 2.1 * plate.exterior.distance(shapely.Point(line.coords[0]))


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row("name", ["slots", "many warnings"])
def test_no_leader_runs_along_the_edge_of_a_hole_of_another_circle(name: str, paper: str) -> None:
    """It would read as a tangent of the hole (common practice, no source)."""
    job = _job(AWKWARD[name], paper)
    view = face_of(job)
    for leader, alike in _led(job, view):
        line = shapely.LineString([(leader.tip.x, leader.tip.y), (leader.elbow.x, leader.elbow.y)])
        others = [polygon(hole.shape) for hole in job.flange.holes() if hole.group != alike[0].group]
        assert min(line.distance(each) for each in others) * view.scale > 0.4


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row("name", ["shaped-plate", "figure-8-blind"])
def test_no_line_of_a_size_runs_along_beside_a_hole(name: str, paper: str) -> None:
    """It would read as a tangent of the hole (common practice, no source)."""
    job = _job(tomllib.loads((TEMPLATES / f"{name}.toml").read_text("utf-8")), paper)
    view = face_of(job)
    sizes = [each for each in view.drawing.items if isinstance(each.what, LinearDimension)]
    lines = [part for each in sizes for part in explode(each.what, view.scale) if isinstance(part, Line)]
    drawn = shapely.MultiLineString([[(at.x, at.y) for at in (line.start, line.end)] for line in lines])
    for hole in job.flange.holes():
        rim = shapely.Point(hole.center.x, hole.center.y).buffer(hole.diameter / 2, 64)
        beside = drawn.intersection(rim.buffer(0.9 / view.scale)).difference(rim)
        through = drawn.intersection(rim)
        assert beside.is_empty or not through.is_empty, hole.label
    across = [what for each in sizes if isinstance(what := each.what, LinearDimension) and what.outside]
    whole = shapely.MultiLineString([[(at.x, at.y) for at in (each.start, each.end)] for each in across])
    assert not any(whole.intersects(polygon(hole.shape)) for hole in job.flange.holes())


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_no_leader_runs_over_the_arrow_of_the_plane_to_a_hole_across_it(paper: str) -> None:
    job = _job(_GASKET, paper)
    for leader, _ in _led(job, face_of(job)):
        assert leader.tip.x * leader.elbow.x > 0.0
