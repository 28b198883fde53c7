"""The check card of several circles: every reading once, with the distance that a chord of the circle has."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise
from pathlib import Path

import pytest
import shapely

from flangelayout.checks.measuring import MeasuredSpan, spans
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Circle, Line, Point, polar
from flangelayout.job.load import job_from_data, load_job
from flangelayout.packet.job import layout_pages
from flangelayout.units import Unit
from flangelayout.views.page.blocks import Block
from flangelayout.views.page.forms import ring_radius, verdict_block, verdict_width
from flangelayout.views.sheet.card_picture import card_picture
from flangelayout.views.sheet.card_readings import readings_of
from flangelayout.views.sheet.check_card import CardStyle, check_card
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle
from rows import every_row

CIRCLES = ((295.0, 8, 22.0), (180.0, 5, 18.0))
DATA: dict[str, object] = {
    "units": "mm",
    "job": {"number": "T-1"},
    "plate": {"outside_diameter": 340, "bore": 100, "thickness": 25},
    "tolerances": {"chord": 0.5},
    "bolt_circle": [
        {"diameter": diameter, "hole_count": count, "hole_diameter": hole} for diameter, count, hole in CIRCLES
    ],
}
ROOM = Box(20.0, 20.0, 195.0, 255.0)


def drawn(
    centers: Sequence[Point],
    labels: Sequence[str],
    found: Sequence[MeasuredSpan],
    letter: float,
    wide: float,
    radius: float,
) -> tuple[Item, ...]:
    """A picture in which each reading wants a ring."""
    picture = card_picture(centers, labels, max(labels, key=len), found, letter, radius, len(found))
    return picture.block(wide).draw(Point(0.0, 0.0)).items


def blocks_of(flange: Flange, style: CardStyle = CardStyle.LARGE, step: float = 1.0) -> tuple[Block, ...]:
    readings = readings_of(flange, Unit.MM)
    return check_card(flange, readings, Lengths(Unit.MM), Convention.ISO, ROOM, 8.2, style, step).blocks


def texts(flange: Flange, style: CardStyle) -> list[str]:
    blocks = blocks_of(flange, style)
    items = (item for block in blocks for item in block.draw(Point(0.0, 0.0)).items)
    return [item.what.text for item in items if isinstance(item.what, Label)]


@every_row("style", list(CardStyle))
def test_every_reading_stands_once_with_the_chord_of_its_circle(style: CardStyle) -> None:
    found = texts(job_from_data(DATA).flange, style)
    for diameter, count, _ in CIRCLES:
        numbers = [str(number) for number in range(1, count + 1)]
        for one, other in (*pairwise(numbers), (numbers[-1], numbers[0])):
            assert f"{one} – {other}" in found
        for steps in (1, count // 2):  # the chord over k of n places is D sin(180° k / n)
            chord = diameter * math.sin(math.pi * steps / count)
            shown = [text for text in found if f"{chord:.2f}" in text]
            assert shown, (style, chord)
            if style is CardStyle.COLUMNS:  # said once for all readings of a kind, with what passes
                (line,) = shown
                low = math.ceil(round((chord - 0.5) * 100, 6)) / 100
                assert f"{chord:.2f}, accept {low:.2f} – " in line


def test_a_row_tells_how_far_its_holes_are_apart_what_passes_and_the_number_on_the_line_between_them() -> None:
    (diameter, count, _), *_ = CIRCLES
    one_circle = job_from_data({**DATA, "bolt_circle": DATA["bolt_circle"][:1]}).flange  # type: ignore[index]
    blocks = check_card(
        one_circle, readings_of(one_circle, Unit.MM), Lengths(Unit.MM), Convention.ISO, ROOM, 8.2
    ).blocks
    drawn = [block.draw(Point(0.0, 0.0)).items for block in blocks]
    picture = next(items for items in drawn if any(item.source == Furniture("check card") for item in items))
    rounds = [(item.source, item.what.center) for item in picture if isinstance(item.what, Circle)]
    holes = [at for source, at in rounds if source == Furniture("check card")]
    ringed = {at for source, at in rounds if source != Furniture("check card")}
    rings = {
        item.what.text: item.what.at for item in picture if isinstance(item.what, Label) and item.what.at in ringed
    }
    found = [row for items in drawn if items is not picture for row in _rows(items) if len(row) == 4]
    found = [row for row in found if row[0].isdigit()]
    assert len(found) == count // 2 + count == len(rings)
    for number, between, centers, accept in found:
        one, other = (int(label) for label in between.split(" – "))
        chord = diameter * math.sin(math.pi * abs(other - one) / count)  # D sin(180° k / n)
        assert float(centers) == pytest.approx(chord, abs=0.0051)
        low, high = map(float, accept.split(" – "))
        assert chord - 0.5 - 1e-9 <= low < chord - 0.49 < chord + 0.49 < high <= chord + 0.5 + 1e-9
        first, last, at = holes[one - 1], holes[other - 1], rings[number]
        assert first.distance_to(at) + at.distance_to(last) == pytest.approx(first.distance_to(last))
        # Heavy circles first: two lines round the number of a reading across, one round that of a neighbor.
        assert sum(each == at for _, each in rounds) == (2 if int(number) <= count // 2 else 1)


def _rows(items: Iterable[Item]) -> Iterator[list[str]]:
    """The texts of a block that stand on a level, from left to right."""
    found = [item.what for item in items if isinstance(item.what, Label)]
    for level in {label.at.y for label in found}:
        on_it = (label for label in found if label.at.y == level)
        yield [label.text for label in sorted(on_it, key=lambda label: label.at.x)]


def test_neighbors_of_very_many_holes_are_told_by_the_chord_of_one_pitch() -> None:
    circle = {"diameter": 1000, "hole_count": 100, "hole_diameter": 5}
    plate = {"outside_diameter": 1100, "bore": 900, "thickness": 10}
    found = texts(job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle]}).flange, CardStyle.LARGE)
    assert any(f"All 100 neighbors: {1000 * math.sin(math.pi / 100):.2f}." in text for text in found)


@every_row(("radius", "letter"), [(26.0, 2.5), (21.0, 2.5), (21.0, 3.5), (19.0, 3.0)])
def test_the_number_of_every_reading_across_stands_in_the_picture(radius: float, letter: float) -> None:
    for count in (3, 5, 7, 8, 9, 12, 14, 16, 21, 31, 40):
        circle = bolt_circle(hole_count=count)
        found = [span for span in spans(circle) if span.is_across]
        labels = [str(number) for number in range(1, count + 1)]
        picture = drawn(circle.hole_centers(), labels, found, letter, 80.0, radius)
        circles = [item.what for item in picture if isinstance(item.what, Circle)]
        rings = {ring.center: ring.radius for ring in circles[count:]}
        assert len(rings) == len(found), count
        assert all(one.distance_to(two) > 2 * rings[one] for one, two in combinations(rings, 2)), count


@every_row(("radius", "letter"), [(26.0, 2.5), (21.0, 2.5), (21.0, 3.5), (19.0, 3.0)])
def test_no_ring_touches_a_hole(radius: float, letter: float) -> None:
    for count in (5, 8, 12, 14, 16):
        circle = bolt_circle(hole_count=count)
        labels = [str(number) for number in range(1, count + 1)]
        picture = drawn(circle.hole_centers(), labels, spans(circle), letter, 80.0, radius)
        circles = [item.what for item in picture if isinstance(item.what, Circle)]
        holes, rings = circles[:count], circles[count:]
        assert rings
        for ring in rings:
            assert all(ring.center.distance_to(o.center) > ring.radius + o.radius + 0.24 for o in holes), count


@every_row("count", [8, 20, 32, 40, 60, 72])
def test_a_number_is_half_as_near_again_to_its_hole_as_to_any_other_or_a_line_leads_to_it(count: int) -> None:
    circle = bolt_circle(hole_count=count)
    labels = [str(number) for number in range(1, count + 1)]
    picture = drawn(circle.hole_centers(), labels, spans(circle), 2.5, 80.0, 21.0)
    shapes = [item.what for item in picture]
    holes = [shape.center for shape in shapes if isinstance(shape, Circle)][:count]
    lines = [shape for shape in shapes if isinstance(shape, Line)]
    names = [shape for shape in shapes if isinstance(shape, Label) and shape.anchor is Anchor.MIDDLE]
    rings = {shape.center for shape in shapes if isinstance(shape, Circle)} - set(holes)
    led = 0
    for name in (each for each in names if each.at not in rings):
        own, next_one = sorted(holes, key=name.at.distance_to)[:2]
        assert own == holes[int(name.text) - 1]
        if name.at.distance_to(next_one) < 1.5 * name.at.distance_to(own):
            led += any(
                own.distance_to(line.start) < own.distance_to(line.end) < own.distance_to(name.at)
                and abs(own.direction_to(line.end) - own.direction_to(name.at)) < 1e-6
                for line in lines
            )
        else:
            led += 1
    assert led == len([name for name in names if name.at not in rings]) >= 5


def part_of_a_tank_ring(parts: int, count: int) -> Flange:
    plate = {"outline": "segment", "outside_diameter": 1200, "inside_diameter": 1000, "part_count": parts, "gap": 3}
    circle = {"diameter": 1120, "hole_count": count, "hole_diameter": 26}
    return job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle]}).flange


@every_row(("parts", "count", "step"), [(4, 32, 1.0), (4, 32, 1.4), (6, 36, 1.0), (6, 36, 1.4)])
def test_every_reading_of_a_part_of_a_ring_has_its_number_in_list_and_picture(
    parts: int, count: int, step: float
) -> None:
    """All its holes stand on one side, so that the lines measured run close to each other: no ring covers another."""
    flange = part_of_a_tank_ring(parts, count)
    blocks = check_card(
        flange, readings_of(flange, Unit.MM), Lengths(Unit.MM), Convention.ISO, ROOM, 8.2, step=step
    ).blocks
    items = [item.what for n, block in enumerate(blocks) for item in block.draw(Point(0.0, 1000.0 * n)).items]
    labels = [what for what in items if isinstance(what, Label)]
    rings = {ring.center: ring.radius for ring in items if isinstance(ring, Circle) and ring.radius > 2.5}
    told = Counter(label.text for label in labels if label.at in rings)
    assert told == Counter(dict.fromkeys(map(str, range(1, len(spans(flange.groups()[0])) + 1)), 2))
    for label in labels:
        room = label_box(label)
        assert not any(room.grown(0.9 * rings[at]).contains(at) for at in rings if at != label.at), label.text
    holes = [what for what in items if isinstance(what, Circle) and what.center not in rings]
    assert len(holes) == count // parts
    for hole in holes:
        assert all(at.distance_to(hole.center) > rings[at] + hole.radius + 0.5 for at in rings)


def test_holes_in_close_pairs_have_a_ring_for_every_reading_in_the_smallest_picture() -> None:
    """Twelve in six pairs 18 degrees apart, 19 mm from the middle: no ring lies on a hole or another ring."""
    pairs = [polar(107.5, 111.0 + 60.0 * pair + turn) for pair in range(6) for turn in (0.0, 18.0)]
    found = [MeasuredSpan(n, n + 6, 215.0, is_across=True) for n in range(6)]
    found += [MeasuredSpan(n, (n + 1) % 12, pairs[n].distance_to(pairs[n - 11]), is_across=False) for n in range(12)]
    picture = card_picture(pairs, [str(n) for n in range(1, 13)], "12", found, 2.5, 19.0, len(found))
    assert set(picture.rings) == set(range(1, 19))
    radius = ring_radius(2.5)
    assert all(at.distance_to(hole) > radius + picture.hole for at in picture.rings.values() for hole in picture.places)
    assert all(one.distance_to(other) > 2 * radius for one, other in combinations(picture.rings.values(), 2))


@every_row(
    ("angles", "radius"),
    [
        ([*range(0, 360, 45)], 21.0),
        ([*range(0, 360, 30)], 26.0),
        ([*range(0, 360, 18)], 26.0),
        ([turn + off for turn in range(0, 360, 60) for off in (-9, 9)], 21.0),
        ([*range(0, 360, 72)], 21.0),
        ([round(turn * 360 / 7, 3) for turn in range(7)], 19.0),
    ],
)
def test_no_other_line_runs_through_the_number_of_a_reading_across(angles: list[float], radius: float) -> None:
    """A man follows a line from hole to hole by its number: one that stands where lines cross is anybody's."""
    circle = {"diameter": 215, "hole_diameter": 8, "angles": angles}
    job = job_from_data({"units": "mm", "plate": {"outside_diameter": 320}, "bolt_circle": [circle]})
    pattern = job.flange.groups()[0]
    found, labels = spans(pattern), [str(n + 1) for n in range(len(angles))]
    asked = sum(span.is_across for span in found) if len(angles) > 12 else len(found)
    picture = card_picture(pattern.hole_centers(), labels, labels[-1], found, 2.5, radius, asked)
    across = {
        number: shapely.LineString([(picture.places[end].x, picture.places[end].y) for end in (span.first, span.last)])
        for number, span in enumerate(found, 1)
        if span.is_across
    }
    assert across.keys() <= picture.rings.keys()
    for number, own in across.items():
        at = shapely.Point(picture.rings[number].x, picture.rings[number].y)
        assert own.distance(at) < 1e-6
        others = [line.distance(at) for other, line in across.items() if other != number]
        assert min(others) > 0.6 * ring_radius(2.5), number


@every_row(("parts", "count", "wide", "is_told"), [(1, 32, 80.0, True), (4, 32, 80.0, True), (6, 36, 60.0, False)])
def test_top_stands_over_the_middle_of_the_drawing_or_not_at_all(
    parts: int, count: int, wide: float, is_told: bool
) -> None:
    """Of a part of a ring that middle is the whole ring's: beside hole 1, not over the middle of the part."""
    pattern = part_of_a_tank_ring(parts, count).groups()[0] if parts > 1 else bolt_circle(hole_count=count)
    centers = pattern.hole_centers()
    labels = [str(number) for number in range(1, len(centers) + 1)]
    picture = drawn(centers, labels, spans(pattern), 2.5, wide, 26.0)
    first, *_, last = [item.what.center for item in picture if isinstance(item.what, Circle)][: len(centers)]
    scale = first.distance_to(last) / centers[0].distance_to(centers[-1])
    tops = [item.what.at for item in picture if isinstance(item.what, Label) and item.what.text == "TOP"]
    assert len(tops) == is_told
    for top in tops:
        assert top.x == pytest.approx(first.x - centers[0].x * scale)
        assert top.y > first.y + 3.0


def test_a_number_of_a_part_of_a_ring_stands_beyond_its_own_hole_seen_from_the_middle_of_the_ring() -> None:
    for parts, count in ((4, 32), (6, 36), (8, 40)):
        pattern = part_of_a_tank_ring(parts, count).groups()[0]
        centers = pattern.hole_centers()
        picture = drawn(centers, [str(n + 1) for n in range(len(centers))], spans(pattern), 2.5, 120.0, 50.0)
        shapes = [item.what for item in picture]
        holes = [shape.center for shape in shapes if isinstance(shape, Circle)][: len(centers)]
        rings = {shape.center for shape in shapes if isinstance(shape, Circle)} - set(holes)
        names = [
            shape for shape in shapes if isinstance(shape, Label) and shape.text != "TOP" and shape.at not in rings
        ]
        assert [name.text for name in names] == [str(n + 1) for n in range(len(centers))]
        for name, hole, center in zip(names, holes, centers, strict=True):
            assert min(holes, key=name.at.distance_to) == hole
            assert hole.direction_to(name.at) == pytest.approx(Point(0.0, 0.0).direction_to(center))


def test_a_ring_in_parts_is_laid_together_before_it_is_measured() -> None:
    plate = {"outline": "split", "outside_diameter": 340, "inside_diameter": 240, "part_count": 4, "gap": 3}
    ring = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [DATA["bolt_circle"][0]]}).flange  # type: ignore[index]
    for flange, is_told in ((ring, True), (job_from_data(DATA).flange, False)):
        told = " ".join(texts(flange, CardStyle.LARGE))
        assert ("Lay the parts together at their gaps" in told) == is_told


def test_every_ring_meets_the_line_that_is_measured_where_holes_are_close_in_pairs() -> None:
    angles = [turn + off for turn in range(0, 360, 60) for off in (-9, 9)]
    circle = {"diameter": 215, "hole_diameter": 8, "angles": angles}
    pattern = job_from_data(
        {"units": "mm", "plate": {"outside_diameter": 320}, "bolt_circle": [circle]}
    ).flange.groups()[0]
    found, labels = spans(pattern), [str(n + 1) for n in range(12)]
    for radius in (21.0, 26.0):
        picture = card_picture(pattern.hole_centers(), labels, "12", found, 2.5, radius, len(found))
        moved = 0
        for number, at in picture.rings.items():
            span = found[number - 1]
            line = shapely.LineString(
                [(end.x, end.y) for end in (picture.places[span.first], picture.places[span.last])]
            )
            off = line.distance(shapely.Point(at.x, at.y))
            assert off < ring_radius(2.5) + 1e-6
            moved += off > 1.0
        assert moved, "none of them had to leave its line"


def test_limits_from_a_standard_name_it_and_say_so_where_they_are_to_be_checked() -> None:
    for standard, line in (
        ("EN 1092-1 PN10 DN200", "accept: EN 1092-1, unverified"),
        ("ASME B16.5 class 150 NPS 6", "accept: ASME B16.5"),
    ):
        plate = {"outside_diameter": 340, "bore": 100}
        made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [{"standard": standard}]}).flange
        assert line in texts(made, CardStyle.LARGE)


def test_heavy_rings_are_spoken_of_only_where_there_are_some() -> None:
    for count, is_told in ((2, False), (3, False), (8, True)):
        circle = {"diameter": 240, "hole_count": count, "hole_diameter": 18}
        plate = {"outside_diameter": 300, "bore": 100}
        made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle]}).flange
        assert ("First the numbers in heavy circles" in " ".join(texts(made, CardStyle.LARGE))) == is_told, count


def test_a_plate_of_two_circles_takes_two_sheets() -> None:
    assert len(layout_pages(job_from_data({**DATA, "sheet": {"paper": "A4"}})).sheets) == 2


def test_the_lines_to_sign_on_are_long_enough_and_what_stands_under_them_is_apart() -> None:
    """At the least width that a verdict may have: each line 15 mm or more, no name under the next line."""
    verdicts, signs = ("all inside: use it", "one or more out: put aside"), ("measured by", "date")
    block = verdict_block(verdicts, signs, 2.5, verdict_width(verdicts, signs, 2.5))
    items = [item.what for item in block.draw(Point(0.0, 0.0)).items]
    lines = [what for what in items if isinstance(what, Line)]
    names = [label_box(what) for what in items if isinstance(what, Label) and what.text in signs]
    assert len(lines) == len(names) == 2
    assert min(line.start.distance_to(line.end) for line in lines) > 15.0 - 1e-9
    assert names[0].right + 3.9 < lines[1].start.x == names[1].left
    assert lines[1].end.x < block.width


@pytest.mark.slow
def test_the_sample_of_two_circles_takes_three_sheets_of_a4() -> None:
    sample = Path(__file__).parents[3] / "samples" / "intake-adapter.toml"
    assert len(layout_pages(load_job(sample)).sheets) == 3


@pytest.mark.parametrize(
    ("table", "row"),
    [  # ISO 2768-1 m: over 120 to 400 mm ±0.5
        ({"hole_grid": [{"pitch": 60, "columns": 5, "rows": 3, "hole_diameter": 11}]}, "1 – 5"),
        (
            {"hole_rings": [{"first_diameter": 80, "ring_pitch": 50, "hole_counts": [6, 12], "hole_diameter": 12}]},
            "7 – 13",
        ),
    ],
)
def test_a_plate_whose_holes_stand_on_no_circle_has_a_card(table: dict[str, list[object]], row: str) -> None:
    plate = {"outline": "rectangle", "width": 400, "height": 300, "thickness": 15}
    made = job_from_data({"units": "mm", "plate": plate, "tolerances": {"general": "ISO 2768-1 m"}, **table})
    said = texts(made.flange, CardStyle.LARGE)
    assert said[said.index(row) + 1 :][:1] in (["240.00"], ["180.00"])
    assert "width" in said
    assert any("use it" in text for text in said)
