"""Leaders run over no line, arc or arrow of a size where they need not: told by shapely from the drawing."""

from pathlib import Path

import pytest
import shapely

from flangelayout.drawing.explode import exploded
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Leader, Solid, View
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job, job_from_data, load_job
from flangelayout.packet.job import layout_pages
from flangelayout.value import replace
from jobs import job_data
from views.sheet_reader import polylines

TEMPLATES = Path(__file__).parents[3] / "templates"
SEVEN_AND_FOUR = job_data(
    plate={"outside_diameter": 254, "bore": 88.9, "thickness": 19.05},
    bolt_circle=[
        {"diameter": 209.55, "hole_count": 7, "hole_diameter": 23.8, "start_angle": 13.3},
        {"diameter": 139.7, "hole_count": 4, "hole_diameter": 14.3},
    ],
    sheet={"convention": "asme", "paper": "A4"},
)


def face_of(job: Job) -> View:
    """The layout on the first sheet."""
    return layout_pages(job).sheets[0].views[0]


def over_sizes(view: View) -> list[bool]:
    """Whether each leader's line meets what is drawn of a size or of the section's plane."""
    items = view.drawing.items
    leaders = [each.what for each in items if isinstance(each.what, Leader)]
    sizes = [each for each in items if _is_of_size(each) and not isinstance(each.what, Leader)]
    drawn = [line for _, what in exploded(sizes, view.scale) for line in polylines(what)]
    strokes = shapely.MultiLineString([[(point.x, point.y) for point in line] for line in drawn])
    return [_line(leader.tip, leader.elbow).intersects(strokes) for leader in leaders]


def _is_of_size(item: Item) -> bool:
    return item.layer in (Layer.DIMENSION, Layer.CUTTING_PLANE)


def _line(start: Point, end: Point) -> shapely.LineString:
    return shapely.LineString([(start.x, start.y), (end.x, end.y)])


@pytest.mark.slow
@pytest.mark.parametrize(
    ("job", "leaders"),
    [(load_job(TEMPLATES / "tube-sheet.toml"), 2), (job_from_data(SEVEN_AND_FOUR), 2)],
    ids=("tube sheet", "seven and four"),
)
def test_every_pattern_is_led_to_and_no_leader_runs_over_a_size(job: Job, leaders: int) -> None:
    assert over_sizes(face_of(job)) == [False] * leaders


def test_a_leader_over_the_section_plane_is_seen() -> None:
    view = face_of(job_from_data(job_data()))
    across = Leader(Point(-60.0, 150.0), Point(60.0, 150.0), ("astray",))
    items = (*view.drawing.items, Item(Layer.DIMENSION, across))
    assert over_sizes(replace(view, drawing=replace(view.drawing, items=items)))[-1]


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
