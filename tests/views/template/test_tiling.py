"""Where a template is parted: clear of holes, no page more than a plain grid, least against brute force."""

import itertools
import math
import random
from collections.abc import Iterator

import numpy as np
import pytest

from builders import STAMP, drawing_of
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, rectangle
from flangelayout.units import Unit
from flangelayout.views.template.content_map import InkMap, ink_map
from flangelayout.views.template.drawing import template_drawing
from flangelayout.views.template.furniture import Subject
from flangelayout.views.template.paper import both_ways
from flangelayout.views.template.parting import InkField, part
from flangelayout.views.template.seams import SeamSpacing
from flangelayout.views.template.tiling import SEAM_CLEARANCE, Tiling, plain_pages, tile_ink
from jobs import PAPERS, bolt_circle, flange

OVERLAP = 10.0


def sizes(paper: str) -> list[tuple[float, float]]:
    """What a page of that paper shows, upright and sideways."""
    return [page.size for page in both_ways(Subject(flange(), JobInfo("T-1"), STAMP, Unit.MM), TemplateSettings(paper))]


def centers(plate: Flange) -> list[Point]:
    return [hole.center for hole in plate.holes()]


def box_of(plate: Flange) -> Box:
    return plate.box().grown(0.5)


def ink_of(plate: Flange) -> InkMap:
    return ink_map((item.what for item in template_drawing(plate).items), box_of(plate))


def tiled(plate: Flange, paper: str = "A4") -> Tiling:
    return tile_ink(ink_of(plate), centers(plate), sizes(paper), OVERLAP)


def distance(point: Point, line: Line) -> float:
    """From a point to a straight piece."""
    step = line.end - line.start
    length = step.x**2 + step.y**2
    share = ((point.x - line.start.x) * step.x + (point.y - line.start.y) * step.y) / length
    share = min(1.0, max(0.0, share))
    return point.distance_to(line.start + step.scaled(share))


def random_plate(rng: random.Random) -> Flange:
    """A sound ring or blind of 60 mm to 3 m with one or two bolt circles of 4 to 64 holes."""
    outside = math.exp(rng.uniform(math.log(60), math.log(3000)))
    count = rng.choice([4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 24, 28, 32, 36, 40, 48, 56, 64])
    diameter = outside * rng.uniform(0.78, 0.9)
    hole = min(outside * 0.08, diameter * math.sin(math.pi / count) * rng.uniform(0.25, 0.6), 60.0)
    turn = rng.choice([0.0, 0.0, 0.0, rng.uniform(0, 90)])
    circles = [BoltCircle(diameter, count, hole, rng.choice(["straddle", "on-centerline"]), start_angle=turn)]
    bore = rng.choice([None, diameter * rng.uniform(0.3, 0.8)])
    if rng.random() < 0.4:
        inner, number = diameter * rng.uniform(0.5, 0.75), rng.choice([4, 6, 8, 12, 16, 24, 32])
        circles.append(BoltCircle(inner, number, min(outside * 0.05, inner * math.sin(math.pi / number) * 0.5)))
        bore = None if bore is None else inner * 0.6
    return Flange(RoundOutline(outside), tuple(circles), bore=bore)


def widest_clearance(plate: Flange) -> float:
    """What any cut through a bolt circle can keep: half the distance of neighbors, 5 mm at most."""
    return min(SEAM_CLEARANCE, *(circle.chord / 2 for circle in plate.bolt_circles))


def check_tiling(plate: Flange, paper: str) -> tuple[int, int]:
    """Everything a tiling promises; its pages and those of a plain grid."""
    ink = ink_of(plate)
    tiling = tile_ink(ink, centers(plate), sizes(paper), OVERLAP)
    plain = min(plain_pages(ink, size, OVERLAP) for size in sizes(paper))
    assert len(tiling.tiles) <= plain
    least = min(widest_clearance(plate), tiling.clearance)
    assert tiling.clearance >= min(widest_clearance(plate), 2.5) - 0.51
    for center in centers(plate):
        nearest = min((distance(center, joint.trim) for joint in tiling.joints), default=math.inf)
        assert nearest >= (least if least == SEAM_CLEARANCE else least - 0.51) - 1e-6
        assert sum(tile.cell.contains(center) for tile in tiling.tiles) >= 1
    for tile in tiling.tiles:
        assert tile.window.grown(1e-6).contains(Point(tile.cell.left, tile.cell.bottom))
        assert tile.window.grown(1e-6).contains(Point(tile.cell.right, tile.cell.top))
        assert (tile.window.width, tile.window.height) == pytest.approx(tiling.size)
    check_ink(tiling, ink.marked, ink.box)
    return len(tiling.tiles), plain


def check_ink(tiling: Tiling, marked: "np.ndarray[tuple[int, int], np.dtype[np.bool_]]", box: Box) -> None:
    """Every bin with ink has its middle in exactly one cell, up to the half bin on a seam; no cell is without ink."""
    rows, columns = np.nonzero(marked)
    x = box.left + (columns + 0.5) * box.width / marked.shape[1]
    y = box.bottom + (rows + 0.5) * box.height / marked.shape[0]
    held = np.zeros(len(x), dtype=int)
    for cell in (tile.cell for tile in tiling.tiles):
        inside = (x >= cell.left) & (x < cell.right) & (y >= cell.bottom) & (y < cell.top)
        near = 1.5 * box.width / marked.shape[1]
        around = (x > cell.left - near) & (x < cell.right + near) & (y > cell.bottom - near) & (y < cell.top + near)
        assert around.any()
        held += inside
    assert set(held.tolist()) == {1}


@pytest.mark.slow
@pytest.mark.parametrize("paper", PAPERS)
def test_random_plates_keep_every_promise(paper: str) -> None:
    rng = random.Random(paper)
    for _ in range(3):
        check_tiling(random_plate(rng), paper)


@pytest.mark.property_deep
def test_two_hundred_random_plates_on_four_papers_keep_every_promise() -> None:
    rng = random.Random(2026)
    pages = [check_tiling(plate, paper) for plate in [random_plate(rng) for _ in range(200)] for paper in PAPERS]
    assert sum(tiles for tiles, _ in pages) < 0.9 * sum(plain for _, plain in pages)


def test_a_plate_smaller_than_a_page_is_one_tile_in_the_middle() -> None:
    tiling = tiled(flange(bolt_circle(4, 100.0, 14.0), outside_diameter=120.0))
    (tile,) = tiling.tiles
    assert not tiling.joints
    assert (tile.window.center.x, tile.window.center.y) == pytest.approx((0.0, 0.0))
    assert (tile.row, tile.column, tile.of_row, tile.of_column) == (1, 1, 1, 1)


def test_the_empty_middle_of_a_ring_is_not_printed() -> None:
    ring = flange(bolt_circle(32, 1085.85, 41.275), outside_diameter=1168.4, bore=920.75)
    tiling = tiled(ring)
    assert not any(tile.window.contains(ORIGIN) for tile in tiling.tiles)
    assert len(tiling.tiles) < plain_pages(ink_of(ring), sizes("A4")[0], OVERLAP)


def test_a_hole_far_off_by_itself_is_joined_to_the_rest() -> None:
    frame, hole = Box(-560.0, -560.0, 560.0, 560.0), Circle(ORIGIN, 10.0)
    tiling = tile_ink(ink_map([rectangle(frame), hole], frame), [hole.center], sizes("A4"), OVERLAP)
    pairs = [{joint.under, joint.over} for joint in tiling.joints if len(joint.marks) == 2]
    fixed = {tiling.tiles[0]}
    for _ in tiling.tiles:
        fixed = fixed.union(*(pair for pair in pairs if pair & fixed))
    assert fixed == set(tiling.tiles)


def test_a_seam_goes_round_a_hole_in_the_middle() -> None:
    plate = flange(bolt_circle(6, 291.4384, 28.1, placement="on-centerline"), outside_diameter=351.35)
    pages, plain = check_tiling(plate, "Letter")
    assert pages <= plain


def test_joints_and_their_marks_lie_in_the_strip_both_tiles_show() -> None:
    plate = flange(bolt_circle(24, 700.0, 22.0), outside_diameter=800.0, bore=500.0)
    tiling = tiled(plate)
    for joint in tiling.joints:
        places = (*ends(joint.trim), *joint.marks)
        assert sum(all(tile.window.grown(1e-6).contains(at) for at in places) for tile in tiling.tiles) >= 2
        assert sum(all(tile.window.grown(-1.5).contains(at) for at in joint.marks) for tile in tiling.tiles) >= 2
        assert all(mark.distance_to(center) > 12 for mark in joint.marks for center in centers(plate))


def test_every_tile_is_joined_by_two_marks() -> None:
    for count, outside in ((24, 800.0), (32, 1168.0), (8, 540.0)):
        plate = flange(bolt_circle(count, outside * 0.9, 22.0), outside_diameter=outside, bore=outside * 0.7)
        tiling = tiled(plate)
        for tile in tiling.tiles:
            marks = [mark for joint in tiling.joints for mark in joint.marks if tile.window.contains(mark)]
            assert len(marks) >= 2


def ends(line: Line) -> tuple[Point, Point]:
    return line.start, line.end


def test_rows_count_from_the_top_and_columns_from_the_left() -> None:
    tiling = tiled(flange(bolt_circle(8, 480.0, 22.0), outside_diameter=540.0))
    for one, other in itertools.pairwise(tiling.tiles):
        if not tiling.by_columns and one.row == other.row:
            assert (other.column, other.cell.left >= one.cell.right) == (one.column + 1, True)
        if tiling.by_columns and one.column == other.column:
            assert (other.row, other.cell.top <= one.cell.bottom) == (one.row + 1, True)


# Brute force: every way of setting seams on a coarse lattice, for drawings whose lines lie on it.


LATTICE = 10.0
WINDOW = 60.0


def strokes(rng: random.Random) -> Drawing:
    """A line right up, as a plate is one piece, and a few small circles in the middles of lattice squares."""
    places = [(rng.randrange(12), rng.randrange(12)) for _ in range(rng.randrange(3, 12))]
    middles = [Point(x * LATTICE + LATTICE / 2, y * LATTICE + LATTICE / 2) for x, y in places]
    x = rng.randrange(12) * LATTICE + LATTICE / 2
    return drawing_of(Line(Point(x, 0.0), Point(x, 120.0)), *(Circle(middle, 2.0) for middle in middles))


def brute_force(ink: InkField, length: int, across: SeamSpacing) -> int:
    """Fewest cells over every choice of lattice seams between bands, each band parted on its own."""
    best = 10**9
    for count in range(length):
        for seams in itertools.combinations(range(1, length), count):
            edges = (0, *seams, length)
            if max(high - low for low, high in itertools.pairwise(edges)) * LATTICE > WINDOW:
                continue
            bands = ((low * LATTICE, high * LATTICE) for low, high in itertools.pairwise(edges))
            best = min(best, sum(fewest_across(ink, low, high, across) for low, high in bands))
    return best


def fewest_across(ink: InkField, low: float, high: float, across: SeamSpacing) -> int:
    """Windows that cover the ink of a band, one after the other from the left, no strip in common."""
    stretches = ink.stretches(low, high)
    cells, reach = 0, -math.inf
    for begin, end in stretches:
        at = max(begin, reach)
        while at < end - 1e-6:
            cells, at = cells + 1, at + across.window
            reach = at
    return cells


def small_fields() -> Iterator[InkField]:
    rng = random.Random(7)
    for _ in range(5):
        box = Box(0.0, 0.0, 120.0, 120.0)
        marked = ink_map((item.what for item in strokes(rng).items), box).marked
        yield InkField(marked, (0.0, 120.0), (0.0, 120.0), ())


@pytest.mark.slow
def test_no_choice_of_seams_takes_fewer_cells() -> None:
    """Without overlap and holes the parting must be at least as good as any on the lattice."""
    spacing = SeamSpacing(WINDOW, 0.0, 0.0)
    for ink in small_fields():
        bands = part(ink, spacing, spacing)
        assert bands is not None
        assert sum(band.cells for band in bands) <= brute_force(ink, 12, spacing)


def test_bands_and_runs_stay_within_what_a_page_shows() -> None:
    spacing = SeamSpacing(WINDOW, 0.0, 0.0)
    for ink in small_fields():
        for band in part(ink, spacing, spacing) or ():
            assert band.high - band.low <= WINDOW + 1e-6
            for run in band.runs:
                edges = [run.low, *(seam.at for seam in run.seams), run.high]
                assert all(high - low <= WINDOW + 1e-6 for low, high in itertools.pairwise(edges))


def test_a_clearance_that_cannot_be_kept_is_told() -> None:
    """Holes 8 mm apart all along leave no place 5 mm from each."""
    box = Box(0.0, 0.0, 300.0, 300.0)
    marked = ink_map([rectangle(box.grown(-1.0))], box).marked
    places = tuple((float(at), float(at)) for at in range(4, 300, 8))
    ink = InkField(marked, (0.0, 300.0), (0.0, 300.0), places)
    assert part(ink, SeamSpacing(150.0, 10.0, 5.0), SeamSpacing(150.0, 10.0, 5.0)) is None
    assert part(ink, SeamSpacing(150.0, 10.0, 3.9), SeamSpacing(150.0, 10.0, 3.9)) is not None


def test_more_cells_than_are_worth_it_are_not_looked_for() -> None:
    box = Box(0.0, 0.0, 300.0, 300.0)
    ink = InkField(ink_map([rectangle(box.grown(-1.0))], box).marked, (0.0, 300.0), (0.0, 300.0), ())
    spacing = SeamSpacing(160.0, 10.0, 5.0)
    assert sum(band.cells for band in part(ink, spacing, spacing) or ()) == 4
    assert part(ink, spacing, spacing, most=3) is None
