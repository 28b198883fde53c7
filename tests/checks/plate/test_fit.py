"""Holes and openings on plates of any outline: the metal between them against shapely's distances and overlaps."""

import math
import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from as_shapely import polygon
from checking import drilling, said
from flangelayout.checks.plate import fit
from flangelayout.checks.plate.fit import into_opening, over_edge
from flangelayout.flange import (
    BoltCircle,
    Drilling,
    Flange,
    HoleGrid,
    HoleRectangle,
    LuggedOutline,
    Opening,
    Outline,
    OvalOutline,
    PaddleOutline,
    RectangleOutline,
    RoundOutline,
    SingleHole,
    Slot,
    SlotDirection,
    SplitOutline,
)
from flangelayout.geometry.contours import window
from flangelayout.geometry.measure import Edge, edge_to_edge
from flangelayout.geometry.shapes import Circle, Point, polar
from rows import every_row

NEAR = 2e-3
OUTLINES: dict[str, Outline] = {
    "round": RoundOutline(300.0),
    "rectangle": RectangleOutline(320.0, 220.0, 25.0),
    "oval": OvalOutline(320.0, 200.0, 60.0),
    "lugged": LuggedOutline(220.0, 4, 270.0, 25.0, 90.0, None, 12.0),
    "paddle": PaddleOutline(200.0, 190.0, 60.0, 90.0, 30.0, 10.0),
    "split": SplitOutline(300.0, 120.0, 2, 90.0, 4.0),
}


def errors(flange: Flange) -> list[str]:
    return [said(flange, finding) for finding in drilling(flange) if finding.stops]


def slot_or_hole(rng: random.Random) -> SingleHole:
    at, width = Point(rng.uniform(-130, 130), rng.uniform(-100, 150)), rng.uniform(6, 24)
    kind = Slot(width + rng.uniform(2, 40), rng.choice(list(SlotDirection))) if rng.random() < 0.6 else None
    return SingleHole(at, Drilling(width, kind=kind)) if kind else SingleHole(at, Drilling(width))


@every_row("name", OUTLINES)
def test_a_hole_is_refused_exactly_when_shapely_finds_it_off_the_metal(name: str) -> None:
    rng = random.Random(name)
    metal = shapely.union_all([polygon(piece) for piece in Flange(OUTLINES[name], ()).pieces()])
    whole = 0
    for _ in range(8):
        flange = Flange(OUTLINES[name], (), single_holes=(slot_or_hole(rng),))
        (hole,) = flange.holes()
        shape = polygon(hole.shape)
        inside = metal.contains(shape)
        room = metal.boundary.distance(shape)
        if inside and room < NEAR:
            continue
        whole += inside
        assert bool(errors(flange)) != inside, hole
        if inside:
            assert -over_edge(flange, hole) == pytest.approx(room, abs=NEAR)
        else:
            assert over_edge(flange, hole) > 0
    assert 0 < whole < 8


@given(st.integers(0, 2**32))
@settings(max_examples=15, deadline=None)
def test_the_metal_between_a_hole_and_an_opening_is_shapelys(seed: int) -> None:
    rng = random.Random(seed)
    opening = Opening(window(30.0, 70.0, rng.uniform(0, 360), rng.uniform(40, 200), 6.0), 1, "opening")
    (hole,) = Flange(RoundOutline(600.0), (), single_holes=(slot_or_hole(rng),)).holes()
    hollow, shape = polygon(opening.shape), polygon(hole.shape)
    into = into_opening(opening, hole)
    if hollow.intersects(shape):
        assert into > -NEAR
    else:
        assert -into == pytest.approx(hollow.distance(shape), abs=NEAR)


def test_two_slots_overlap_exactly_when_shapely_says() -> None:
    rng = random.Random(7)
    met = 0
    for _ in range(110):
        flange = Flange(RoundOutline(900.0), (), single_holes=(slot_or_hole(rng), slot_or_hole(rng)))
        one, other = (polygon(hole.shape, step_deg=1.0) for hole in flange.holes())
        if one.distance(other) < 5 * NEAR and one.intersection(other).area < 0.2:
            continue
        met += one.intersects(other)
        assert any("overlap" in text for text in errors(flange)) == one.intersects(other)
    assert 1 < met < 100


def test_slots_of_one_circle_that_run_into_each_other_are_refused() -> None:
    circle = BoltCircle(100.0, 8, 14.0, kind=Slot(40.0))
    (text,) = errors(Flange(RoundOutline(200.0), (circle,)))
    between = 100 * math.sin(math.pi / 8 - 26 / 100)
    assert f"overlap by {14 - between:.2f} mm" in text


def test_a_bore_is_refused_only_where_it_leaves_the_plate() -> None:
    assert errors(Flange(RectangleOutline(300.0, 100.0), (), bore=99.0)) == []
    (text,) = errors(Flange(RectangleOutline(300.0, 100.0), (), bore=110.0))
    assert text == "the bore runs 5.00 mm over the edge of the plate of 300 × 100 mm; make it smaller or move it"


def test_openings_inside_and_across_each_other_are_refused() -> None:
    inside = (Opening(Circle(Point(0.0, 0.0), 40.0), 1, "one"), Opening(Circle(Point(5.0, 0.0), 10.0), 2, "other"))
    across = (Opening(Circle(Point(0.0, 0.0), 40.0), 1, "one"), Opening(Circle(Point(45.0, 0.0), 10.0), 2, "other"))
    apart = (Opening(Circle(Point(0.0, 0.0), 40.0), 1, "one"), Opening(Circle(Point(55.0, 0.0), 10.0), 2, "other"))
    for openings, count in ((inside, 1), (across, 1), (apart, 0)):
        assert len(errors(Flange(RoundOutline(300.0), (), openings=openings))) == count


def test_copies_that_run_into_each_other_are_told_once_and_compared_with_their_neighbors_only(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    compared: list[object] = []

    def counted(one: Edge, other: Edge) -> float:
        compared.append(one)
        return edge_to_edge(one, other)

    monkeypatch.setattr(fit, "edge_to_edge", counted)
    for diameter, told in ((12.0, 1), (9.0, 0)):
        compared.clear()
        places = [polar(1000.0, index * 360 / 600) for index in range(600)]  # 10.5 mm from each to the next
        copies = tuple(Opening(Circle(at, diameter / 2), 1, "slot", copy) for copy, at in enumerate(places, 1))
        assert len(errors(Flange(RoundOutline(2100.0), (), openings=copies))) == told
        assert len(compared) <= 600


def test_a_pattern_is_named_by_its_key() -> None:
    size = Drilling(20.0)
    flange = Flange(
        RectangleOutline(300.0, 200.0),
        (BoltCircle(100.0, 4, 10.0),),
        patterns=(HoleRectangle(size, 290.0, 190.0), HoleGrid(size, 2, 2, 15.0, 15.0)),
    )
    wheres = {finding.place.key for finding in drilling(flange) if finding.stops}
    assert wheres == {"hole_rectangle", "hole_grid"}
