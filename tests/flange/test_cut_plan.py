"""What a table cuts, judged by shapely: no metal of any part is taken, nothing is cut twice, leads keep clear.

The bound on a kerf in a gap, a slot or a notch is geometry: the cutter takes its width wherever it goes.
"""

import random

import pytest
import shapely

from as_shapely import polygon
from cuts import leads_of, leads_too_near, meetings, metal_taken, track, twice
from flangelayout.errors import GeometryError, InputError
from flangelayout.flange import (
    BoltCircle,
    Flange,
    Opening,
    PathOutline,
    RoundOutline,
    SplitOutline,
)
from flangelayout.flange.cut_plan import CutPlan, JointCut, PartEdge, plan_cut
from flangelayout.flange.cutting import CutOptions
from flangelayout.geometry.contours import rounded_polygon
from flangelayout.geometry.lead import NoLead
from flangelayout.geometry.measure import area
from flangelayout.geometry.shapes import Contour, Line, Point
from plates import random_cut_job
from rows import every_row


def ring(outside: float, inside: float, parts: int, gap: float, holes: int = 0) -> Flange:
    circle = BoltCircle((outside + inside) / 2, holes, 18.0) if holes else None
    return Flange(SplitOutline(outside, inside, parts, gap=gap), (circle,) if circle else (), thickness=10.0)


def planned(flange: Flange, **options: float) -> CutPlan:
    return plan_cut(flange, CutOptions(**options))  # type: ignore[arg-type] # lengths, named by each test


def check(plan: CutPlan, flange: Flange, kerf: float) -> None:
    """Every rule of a plan at once."""
    assert list(meetings(plan)) == []
    assert twice(plan) < 0.02 * len(plan.cuts) ** 2
    assert metal_taken(plan, flange, kerf) < 0.01
    assert leads_too_near(plan, kerf) == []


@pytest.mark.slow
def test_the_leads_of_a_ring_in_twelve_parts_stay_out_of_the_parts_beside_them() -> None:
    flange = ring(1000.0, 300.0, 12, 6.0)
    plan = planned(flange, kerf=1.5, lead_in=8.0)
    check(plan, flange, 1.5)
    assert sum(len(leads_of(cut)) for cut in plan.cuts) == 12


@every_row(("gap", "kerf"), [(2.0, 2.4), (4.0, 4.2), (0.0, 3.0), (1.0, 3.0)])
def test_a_kerf_wider_than_the_gap_is_refused_with_both_numbers(gap: float, kerf: float) -> None:
    with pytest.raises(InputError, match=rf"cut\.kerf: a kerf of {kerf:g} mm is wider than the gap of {gap:g} mm"):
        planned(ring(400.0, 240.0, 2, gap, holes=8), kerf=kerf)


@pytest.mark.slow
@pytest.mark.parametrize("parts", [2, 3, 12])
@pytest.mark.parametrize(("gap", "kerf"), [(0.0, 0.0), (3.0, 3.0)])
def test_a_gap_as_wide_as_the_kerf_is_one_cut_that_leaves_every_part_to_size(
    parts: int, gap: float, kerf: float
) -> None:
    flange = ring(400.0, 240.0, parts, gap, holes=0 if parts == 3 else 12)
    plan = planned(flange, kerf=kerf, lead_in=5.0)
    check(plan, flange, kerf)
    joints = [cut for cut in plan.cuts if isinstance(cut.of, JointCut)]
    assert [cut.of for cut in joints] == [JointCut(number) for number in range(1, parts + 1)]
    assert [type(cut.of) for cut in plan.cuts[-2:]] == [Opening, PartEdge]
    rim, bore = (shapely.Polygon(track(cut.path).coords) for cut in (plan.cuts[-1], plan.cuts[-2]))
    left = rim.buffer(-kerf / 2, quad_segs=200).difference(bore.buffer(kerf / 2, quad_segs=200))
    cut_away = shapely.union_all([track(cut.path).buffer(max(kerf / 2, 1e-6), cap_style="flat") for cut in joints])
    made = shapely.get_parts(left.difference(cut_away))
    assert len(made) == parts
    wanted = [area(piece) for piece in flange.pieces()]
    assert sorted(piece.area for piece in made) == pytest.approx(sorted(wanted), rel=2e-4)


def test_a_gap_wider_than_the_kerf_leaves_every_part_a_closed_cut_of_its_own() -> None:
    flange = ring(400.0, 240.0, 3, 4.0)
    plan = planned(flange, kerf=2.0, lead_in=5.0)
    check(plan, flange, 2.0)
    assert [cut.of for cut in plan.cuts] == [PartEdge(1), PartEdge(2), PartEdge(3)]


def test_a_gap_wider_than_the_inside_of_the_ring_is_refused_with_both_numbers() -> None:
    with pytest.raises(GeometryError, match=r"half a gap of 10\.50 mm is no less than the inner radius of 10\.00 mm"):
        planned(ring(400.0, 20.0, 2, 21.0))


def notched(width: float, depth: float, bottom: float | None = None) -> Flange:
    """A plate 200 x 120 mm with a notch from above, narrower at its bottom where asked for."""
    low, half = width / 2 if bottom is None else bottom / 2, width / 2
    corners = [(-100, -60), (100, -60), (100, 60), (half, 60), (low, 60 - depth), (-low, 60 - depth)]
    corners += [(-half, 60), (-100, 60)]
    return Flange(PathOutline(rounded_polygon([(Point(x, y), 0.0) for x, y in corners])), (), thickness=10.0)


@every_row("kerf", [4.0, 4.5, 8.0])
def test_a_kerf_as_wide_as_a_notch_or_wider_is_refused_with_numbers(kerf: float) -> None:
    with pytest.raises(InputError, match=rf"cut\.kerf: a kerf of {kerf:g} mm .* notch.* of (the )?outline"):
        planned(notched(4.0, 60.0), kerf=kerf)


@every_row("kerf", [0.0, 1.5, 3.9])
def test_a_kerf_narrower_than_the_notch_cuts_it(kerf: float) -> None:
    flange = notched(4.0, 60.0)
    plan = planned(flange, kerf=kerf, lead_in=5.0)
    check(plan, flange, kerf)
    reached = polygon(plan.cuts[0].path).buffer(-kerf / 2, quad_segs=64) if kerf else polygon(flange.outline.shape)  # type: ignore[arg-type] # an outline is closed
    assert reached.symmetric_difference(polygon(flange.outline.shape)).area < 8.0


def test_a_notch_that_only_its_bottom_is_too_narrow_of_is_refused_with_what_stays() -> None:
    with pytest.raises(InputError, match=r"a kerf of 4 mm does not fit into a notch.*it stops 1[0-9]\.\d+ mm short"):
        planned(notched(10.0, 60.0, bottom=1.0), kerf=4.0)


def test_corners_that_come_out_rounder_than_drawn_are_counted() -> None:
    window = rounded_polygon([(Point(x, y), 0.5) for x, y in ((-20, -10), (20, -10), (20, 10), (-20, 10))])
    flange = Flange(RoundOutline(200.0), (), openings=(Opening(window, 1, "opening"),))
    inside, outside = planned(flange, kerf=1.5).cuts
    assert len(inside.rounded) == 4
    # A corner of radius r stands (sqrt 2 - 1) r short of its sharp tip: 0.75 instead of 0.5 mm.
    assert {round(each.short, 3) for each in inside.rounded} == {round(0.25 * (2**0.5 - 1), 3)}
    assert outside.rounded == ()
    assert planned(flange, kerf=0.9).cuts[0].rounded == ()


def test_openings_that_run_into_each_other_are_refused_with_the_place() -> None:
    one, other = (Opening(polygon_at(x), number, f"opening {number}") for number, x in ((1, 0.0), (2, 15.0)))
    with pytest.raises(InputError, match=r"the cuts of opening 1 and opening 2 run into each other about X -?\d"):
        planned(Flange(RoundOutline(200.0), (), openings=(one, other)))


def polygon_at(x: float) -> Contour:
    corners = ((x - 10, -10), (x + 10, -10), (x + 10, 10), (x - 10, 10))
    return rounded_polygon([(Point(*corner), 0.0) for corner in corners])


def test_an_opening_within_an_opening_is_refused() -> None:
    inner = Opening(rounded_polygon([(Point(*at), 0.0) for at in ((-2, -2), (2, -2), (2, 2), (-2, 2))]), 2, "inner")
    with pytest.raises(InputError, match="the cuts of inner and outer run into each other"):
        planned(Flange(RoundOutline(200.0), (), openings=(Opening(polygon_at(0.0), 1, "outer"), inner)))


def test_an_edge_that_crosses_itself_is_refused() -> None:
    corners = [Point(0, 0), Point(60, 60), Point(60, 0), Point(0, 61)]
    lines = tuple(Line(corners[index], corners[(index + 1) % 4]) for index in range(4))
    with pytest.raises(InputError, match="the cut of outline runs into itself"):
        planned(Flange(PathOutline(Contour(lines, closed=True)), ()))


def check_random_jobs(seed: int, count: int) -> dict[str, int]:
    rng, told = random.Random(seed), {"cut": 0, "refused": 0, "leads": 0, "no lead": 0}
    for _ in range(count):
        flange, options = random_cut_job(rng)
        try:
            plan = plan_cut(flange, options)
        except InputError:
            told["refused"] += 1
            continue
        told["cut"] += 1
        told["leads"] += sum(len(leads_of(cut)) for cut in plan.cuts)
        told["no lead"] += sum(isinstance(cut.lead_in, NoLead) for cut in plan.cuts)
        check(plan, flange, options.kerf)
    return told


@pytest.mark.slow
def test_random_plates_with_kerf_and_leads_are_cut_clean() -> None:
    told = check_random_jobs(seed=5, count=5)
    assert told["cut"] > told["refused"]
    assert told["no lead"] < 0.02 * told["leads"]


@pytest.mark.property_deep
def test_a_thousand_random_plates_with_kerf_and_leads_are_cut_clean() -> None:
    told = check_random_jobs(seed=2026, count=1000)
    assert told["cut"] > told["refused"]
