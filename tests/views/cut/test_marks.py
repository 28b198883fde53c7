"""Scribed letters lie on the metal: compared with shapely's polygon of the plate."""

import pytest
import shapely

from as_shapely import points_of, polygon
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Item
from flangelayout.errors import InputError
from flangelayout.flange import Flange, RectangleOutline, SplitOutline
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.geometry.shapes import Contour, Line
from flangelayout.units import Unit
from flangelayout.views.cut.marks import number_marks, top_marks
from jobs import bolt_circle, flange
from rows import every_row

INFO = JobInfo("MB-101", revision="B")
PLATES = {
    "ring": flange(bore=170.5),
    "blind": flange(),
    "many holes": flange(bolt_circle(32, 240.0, 16.0), bore=200.0),
    "narrow rectangle": Flange(RectangleOutline(60.0, 300.0), (), bore=30.0),
}


def strings(items: tuple[Item, ...]) -> shapely.MultiLineString:
    """The strokes of some marks."""
    lines = []
    for item in items:
        assert isinstance(item.what, Line | Contour)
        parts = item.what.parts if isinstance(item.what, Contour) else (item.what,)
        lines += [points_of(part) for part in parts]
    return shapely.MultiLineString(lines)


def metal(plate: Flange) -> shapely.Polygon:
    """The face of a plate."""
    openings = [hole.shape for hole in plate.holes()] + [opening.shape for opening in plate.cutouts()]
    return polygon(plate.outline.shape).difference(shapely.union_all([polygon(shape) for shape in openings]))


@every_row("plate", PLATES.values())
def test_letters_lie_on_the_metal_clear_of_every_edge_and_of_each_other(plate: Flange) -> None:
    options = CutOptions(marks=(Mark.TOP, Mark.NUMBER), mark_height=8.0)
    top = top_marks(plate, options, Unit.MM)
    number = number_marks(plate, INFO, options, Unit.MM, taken=top)
    face = metal(plate)
    shapely.prepare(face.boundary)
    for marks in (top, number):
        assert strings(marks).within(face)
        assert not shapely.dwithin(face.boundary, strings(marks), 0.5)
    assert strings(top).distance(strings(number)) > 1.0


@every_row("plate", PLATES.values())
def test_top_stands_in_the_upper_part_and_the_number_below_it(plate: Flange) -> None:
    options = CutOptions(mark_height=8.0)
    top = strings(top_marks(plate, options, Unit.MM))
    number = strings(number_marks(plate, INFO, options, Unit.MM, taken=()))
    assert top.centroid.y > 0
    assert number.centroid.y < top.centroid.y


def test_each_part_of_a_ring_bears_the_number() -> None:
    """The parts lie apart when they are cut; which is which is told by what stands on them (common practice)."""
    ring = Flange(SplitOutline(360.0, 220.0, 3, 2.0), (bolt_circle(12, 310.0, 18.0),))
    options = CutOptions(mark_height=8.0)
    on_one = strings(number_marks(flange(), INFO, options, Unit.MM, taken=()))
    strokes = strings(number_marks(ring, INFO, options, Unit.MM, taken=()))
    parts = [polygon(piece) for piece in ring.pieces()]
    counts = [sum(part.contains(line) for line in strokes.geoms) for part in parts]
    assert counts == [len(on_one.geoms)] * 3
    holes = shapely.union_all([polygon(hole.shape) for hole in ring.holes()])
    assert holes.distance(strokes) > 1.0


def test_letters_are_made_smaller_before_they_are_refused() -> None:
    narrow = flange(bolt_circle(48, 256.0, 10.0), bore=246.0)
    options = CutOptions(mark_height=10.0)
    low, high = strings(top_marks(narrow, options, Unit.MM)).bounds[1::2]
    assert high - low < 10.0


def test_no_room_is_said_with_the_least_height_tried() -> None:
    full = flange(bolt_circle(60, 240.0, 11.0), bore=224.0, outside_diameter=256.0)
    with pytest.raises(InputError, match=r'cut\.marks: "MB-101 B" finds no room on the plate, even 3\.5 mm high'):
        number_marks(full, INFO, CutOptions(mark_height=10.0), Unit.MM, taken=())
