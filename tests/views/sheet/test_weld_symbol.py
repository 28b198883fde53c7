"""The symbol of a welded joint: two V of 60 degrees on either side of a line, angle and gap at them, if words say so.

ISO 2553 and AWS A2.4, both from memory: the elementary symbol has 60 degrees whatever the angle is, which stands beyond
it; the gap at the root stands within it.
"""

import math
from collections.abc import Sequence
from typing import Any

import pytest

from flangelayout.drawing.model import Item, Label
from flangelayout.geometry.pieces import nearest_on
from flangelayout.geometry.shapes import Line
from flangelayout.job import Job
from flangelayout.packet.job import layout_pages
from jobs import make_job
from rows import every_row

RING: dict[str, Any] = {
    "outside_diameter": 1200,
    "inside_diameter": 1000,
    "part_count": 4,
    "gap": 3,
    "thickness": 20,
}
CIRCLE = {"diameter": 1120, "hole_count": 32, "hole_diameter": 26}
JOINT = "double V 60 degrees, root gap 3, ground flush"


def ring(joint: str, outline: str = "segment", **sheet: str) -> Job:
    plate = RING | {"outline": outline} | ({"joint": joint} if joint else {})
    return make_job(plate=plate, bolt_circle=[CIRCLE], sheet={"convention": "ISO", "paper": "A4"} | sheet)


def drawn(job: Job) -> tuple[list[Line], list[str], Sequence[Item]]:
    """The lines of the symbol, its words from above, and all of the view."""
    items = layout_pages(job).sheets[0].views[0].drawing.items
    own = [item.what for item in items if getattr(item.source, "name", "") == "weld"]
    labels = sorted((each for each in own if isinstance(each, Label)), key=lambda label: -label.at.y)
    return [each for each in own if isinstance(each, Line)], [label.text for label in labels], items


@pytest.mark.parametrize("outline", ["segment", "split"])
def test_a_joint_chamfered_from_both_faces_bears_its_symbol(outline: str) -> None:
    job = ring(JOINT, outline)
    (arrow, level, *legs), words, _ = drawn(job)
    assert words == ["60°", "3", "60°"]
    assert level.start.y == level.end.y == arrow.end.y
    feet = {(round(leg.start.x, 6), round(leg.start.y, 6)) for leg in legs}
    assert len(feet) == 1, "both V stand on one place of the line"
    turns = sorted(round(leg.start.direction_to(leg.end)) % 360 for leg in legs)
    assert turns == [60, 120, 240, 300]
    # The arrow ends on a joint: 45 degrees from TOP to either side or on it, between both edges.
    tip = arrow.start
    assert 500 < math.hypot(tip.x, tip.y) < 600
    angle = math.degrees(math.atan2(tip.y, tip.x)) % 90
    assert min(angle, 90 - angle) < 0.01
    for hole in job.flange.holes():
        assert nearest_on(arrow, hole.center).distance_to(hole.center) > hole.diameter / 2


@pytest.mark.slow
def test_the_symbol_costs_neither_scale_nor_sheets() -> None:
    for outline in ("segment", "split"):
        with_symbol, without = (layout_pages(ring(joint, outline)).sheets for joint in (JOINT, "butt welded"))
        assert len(with_symbol) == len(without)
        assert with_symbol[0].views[0].scale == without[0].views[0].scale


def test_a_gap_wider_in_print_than_its_v_is_left_to_the_call_out() -> None:
    plate = RING | {"outline": "segment", "gap": 3.25, "joint": JOINT}
    _, words, items = drawn(make_job(plate=plate, bolt_circle=[CIRCLE], sheet={"convention": "ISO", "paper": "A4"}))
    assert words == ["60°", "60°"]
    assert any("GAP 3.25" in line for item in items for line in getattr(item.what, "text", ()))


@every_row(
    "joint", ["", "no double V 60 degrees", "single V 60 degrees", "double V", "two M16 bolts", "double bevel 45°"]
)
def test_words_that_do_not_say_all_of_it_stay_words(joint: str) -> None:
    assert drawn(ring(joint))[:2] == ([], [])
