"""What a template page says of its own scale: how long the bars are and how far they may be off."""

import pytest

from builders import STAMP
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Label, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.flange import Flange, RoundOutline, Tolerances
from flangelayout.geometry.shapes import Box, Line
from flangelayout.units import Unit
from flangelayout.views.template.furniture import Subject, foot_lines, page_furniture, verdict_lines
from flangelayout.views.template.measured.across import paper_check
from flangelayout.views.template.measured.bars import (
    accept_text,
    allowed_difference,
    bar_length,
    bar_text,
    caliper_margin,
    read_text,
    rule_margin,
    short_length,
)
from jobs import bolt_circle, flange
from rows import every_row


def test_a_bar_may_take_a_third_of_the_tolerance_on_the_largest_bolt_circle() -> None:
    # ASME B16.5: 1.5 mm on the bolt circle; a third of it on 240 mm is 0.5 mm, on a bar of 180 mm 0.375 mm.
    assert allowed_difference(flange(), 180.0) == pytest.approx(0.375)
    assert allowed_difference(flange(bolt_circle(), bolt_circle(4, 120.0, 14.0)), 180.0) == pytest.approx(0.375)


def test_a_stated_tolerance_takes_the_place_of_the_usual_one() -> None:
    assert allowed_difference(flange(tolerances=Tolerances(bolt_circle=0.6)), 180.0) == pytest.approx(0.15)


def test_without_a_bolt_circle_the_size_of_the_plate_counts() -> None:
    assert allowed_difference(Flange(RoundOutline(300.0), ()), 150.0) == pytest.approx(0.25)


def test_a_bar_of_a_small_plate_still_tells_of_a_page_fitted_to_its_paper() -> None:
    # 1.5 mm on 20 mm: a third is 2.5 %, which a page fitted at 97.5 % would pass; a hundredth of 180 mm is 1.8 mm.
    assert rule_margin(flange(bolt_circle(4, 20.0, 3.2)), 180.0, Unit.MM) == 1.5


def test_bars_are_whole_centimeters_and_named_in_both_units() -> None:
    assert (bar_length(187.9), bar_length(190.0)) == (180.0, 190.0)
    assert bar_text(180.0) == "180 mm = 7.087 in"


def test_inch_bars_are_whole_inches_and_within_a_calipers_reach() -> None:
    assert bar_length(187.9, Unit.IN) == pytest.approx(7 * 25.4)
    assert bar_text(7 * 25.4, Unit.IN) == "7 in = 177.8 mm"
    assert short_length(187.9, Unit.IN) == pytest.approx(5 * 25.4)
    # The jaws of a 150 mm caliper open to 150 mm.
    assert (short_length(187.9, Unit.MM), short_length(95.0, Unit.MM)) == (140.0, 90.0)


def test_what_is_accepted_can_be_judged_by_a_rule_or_a_caliper() -> None:
    # 1.5 mm on 240 mm: a third is 0.375 mm on 180 mm, less than a half-millimeter division of a rule.
    assert rule_margin(flange(), 180.0, Unit.MM) == 0.5
    assert caliper_margin(flange(), 140.0, Unit.MM) == pytest.approx(0.2)
    assert rule_margin(flange(), 7 * 25.4, Unit.IN) == pytest.approx(25.4 / 64)
    assert accept_text(7 * 25.4, 25.4 / 64, Unit.IN) == "6 63/64 to 7 1/64"
    assert accept_text(140.0, 0.2, Unit.MM, caliper=True) == "139.8 to 140.2"
    large = flange(bolt_circle(64, 2900.0), outside_diameter=3000.0)
    # On 3 m a third of 1.5 mm is 0.03 mm on a bar of 170 mm: nobody reads that.
    assert rule_margin(large, 170.0, Unit.MM) == 0.5
    # Beyond 1 m a tape is read, which is divided into millimeters, or sixteenths of an inch (common practice).
    assert read_text(large, 2900.0, Unit.MM) == "2899 to 2901"
    assert read_text(large, 114 * 25.4, Unit.IN) == "113 15/16 to 114 1/16"
    assert [read_text(large, wide, Unit.MM) for wide in (1000.0, 1001.0)] == ["999.5 to 1000.5", "1000 to 1002"]
    # Of 299.44 a rule shows 299.5, of 8.043 in 8 3/64: as much is accepted to either side of that.
    assert read_text(flange(), 299.44, Unit.MM) == "299 to 300"
    assert read_text(flange(), 8.043 * 25.4, Unit.IN) == "8 1/32 to 8 1/16"


def test_a_page_without_a_cover_says_what_its_bars_may_read_and_has_a_chord_to_check() -> None:
    across, up, one, other = verdict_lines(flange(), Box(0.0, 0.0, 187.9, 240.0), Unit.MM)
    assert across.startswith("BAR X: 180 mm")
    assert across.endswith("accept 179.5 to 180.5")
    assert up.startswith("BAR Y: 240 mm")
    assert up.endswith("accept 239.5 to 240.5")
    assert one.startswith("ON THE PAPER hole 1 to hole 5: 240.00, accept 239.5 to 240.5, read ___")
    assert other.startswith("ON THE PAPER hole 3 to hole 7: 240.00")


@every_row("count", [2, 3, 5, 7, 8, 12])
def test_the_checks_of_the_joined_paper_are_true_chords_across_its_largest_circle(count: int) -> None:
    plate = flange(bolt_circle(count), bolt_circle(4, 120.0, 14.0))
    centers = {hole.label: hole.center for hole in plate.holes()}
    for check in paper_check(plate, Unit.MM).lengths:
        one, other = check.between.removeprefix("hole ").split(" to hole ")
        assert one.startswith("A")
        wanted = centers[one].distance_to(centers[other])
        assert float(check.wanted) == pytest.approx(wanted, abs=0.005)
        low, high = map(float, check.accept.split(" to "))
        assert high - low == 1.0
        assert abs((low + high) / 2 - wanted) <= 0.25
        assert {low * 2 % 1, high * 2 % 1} == {0.0}
        # The farthest hole of an odd circle is half a pitch off the diameter.
        assert wanted >= 240 * 0.85


@every_row("unit", list(Unit))
def test_a_page_says_in_what_unit_its_sizes_are(unit: Unit) -> None:
    subject = Subject(flange(), JobInfo("T-1"), STAMP, unit)
    assert f"SIZES IN {unit.value}" in " ".join(foot_lines(subject, Box(22.0, 32.0, 198.0, 285.0), ()))


@every_row("unit", list(Unit))
def test_bars_are_drawn_as_long_as_they_say_and_a_page_says_how_to_print(unit: Unit) -> None:
    window = Box(22.0, 32.0, 198.0, 285.0)
    subject = Subject(flange(), JobInfo("T-1"), STAMP, unit)
    items = page_furniture(window, subject, foot_lines(subject, window, ()))
    (arrow,) = (item.what for item in items if item.source == Furniture("top") and isinstance(item.what, Solid))
    tip, *back = arrow.corners
    assert all(tip.y > each.y for each in back)
    (word,) = (item.what for item in items if item.source == Furniture("top") and isinstance(item.what, Label))
    # Above its word, in the corner left of the window and below it, where no bar runs.
    assert word.at.y + word.height_paper < min(each.y for each in back)
    assert tip.y < window.bottom
    assert all(each.x < window.left for each in arrow.corners)
    texts = [item.what.text for item in items if isinstance(item.what, Label)]
    assert any('ON ONE SIDE ONLY, AT 100 % / ACTUAL SIZE, NEVER "FIT TO PAGE"' in text for text in texts)
    for kind, wanted in (
        ("scale bar", bar_length(window.width, unit)),
        ("short bar", short_length(window.width, unit)),
    ):
        lines = [item.what for item in items if item.source == Furniture(kind) and isinstance(item.what, Line)]
        level = max((line for line in lines if line.start.y == line.end.y), key=lambda line: line.end.x - line.start.x)
        assert level.end.x - level.start.x == pytest.approx(wanted)
        ticks = sorted(line.start.x - window.left for line in lines if line.start.x == line.end.x > window.left - 0.1)
        assert (ticks[0], ticks[-1]) == pytest.approx((0.0, wanted), abs=1.0)
        upright = max(
            (line for line in lines if line.start.x == line.end.x), key=lambda line: line.end.y - line.start.y
        )
        height = (bar_length if kind == "scale bar" else short_length)(window.height, unit)
        assert (upright.start.y - window.bottom, upright.end.y - window.bottom) == pytest.approx((0.0, height))
        if kind == "short bar":  # a tick across each end, and nothing else
            assert [tick.start.x - window.left for tick in lines if _is_tick(tick, level.start.y)] == [0.0, wanted]
            assert len(lines) == 6
    numbers = [item.what for item in items if isinstance(item.what, Label) and item.what.text.isdigit()]
    assert {label.rotation_deg for label in numbers} == {0.0, 90.0}
    for label in numbers:
        at = label.at.y - window.bottom if label.rotation_deg else label.at.x - window.left
        assert at == pytest.approx(int(label.text) * (25.4 if unit is Unit.IN else 1.0), abs=1.0)
    if unit is Unit.IN:
        bar = [item.what for item in items if item.source == Furniture("scale bar") and isinstance(item.what, Line)]
        down = [line for line in bar if line.start.x == line.end.x and line.end.y < line.start.y]
        stations = sorted(
            round((line.start.x - window.left) / 25.4 * 16) for line in down if line.start.x >= window.left
        )
        # Sixteenths in the first inch, quarters beyond.
        assert stations == [*range(16), *range(16, 16 * 6 + 1, 4)]


def _is_tick(line: Line, level: float) -> bool:
    """Whether a line crosses a level one of that height."""
    return line.start.x == line.end.x and line.start.y < level < line.end.y
