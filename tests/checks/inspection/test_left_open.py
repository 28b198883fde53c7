"""What places and widths of holes do not tell of a part is named, and no part passes by it."""

from typing import Any

import pytest

from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.report import inspection_data, part_passes
from flangelayout.checks.inspection.results import Inspection, MeasuredHole, PartVerdict
from flangelayout.checks.inspection.tolerances import Allowed
from flangelayout.errors import InputError
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.value import replace
from flangelayout.views.words.parts.inspection import hole_passed, verdict_text

_RING = {
    "plate": {"outside_diameter": 285, "bore": 160, "thickness": 22},
    "bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22}],
}
_BASE = {
    "plate": {"outline": "rectangle", "width": 420, "height": 280},
    "hole_rectangle": [{"width": 360, "height": 220, "columns": 2, "rows": 2, "hole_diameter": 18.5}],
    "hole": [{"x": x, "y": 0, "diameter": 14} for x in (-85, 85)],
}


def job(tables: dict[str, Any], **tolerances: object) -> Job:
    return job_from_data(tables | {"tolerances": tolerances or {"general": "ISO 2768-1 m"}})


def found(
    made: Job, stretched: float = 1.0, is_wide: bool = True, count: int | None = None, bore: float | None = None
) -> Inspection:
    """The first holes of a part as drawn, or longer along x; measured in width or not, its bore too."""
    holes = [
        MeasuredHole(Point(hole.center.x * stretched, hole.center.y), hole.label, hole.diameter if is_wide else None)
        for hole in made.flange.holes()[:count]
    ]
    of_bore = None if bore is None else MeasuredHole(Point(0.0, 0.0), "bore", bore)
    return inspect_part(made.flange, holes, made.inspection, of_bore)


def test_sizes_of_the_plate_are_left_to_the_card_and_named() -> None:
    """ISO 2768-1 m: outside and bore ±0.5, thickness ±0.2; x and y of holes say nothing of them."""
    right = found(job(_RING))
    assert (right.verdict, part_passes(right)) == (PartVerdict.USABLE, True)
    assert verdict_text(right) == (
        "Holes good to use: what was measured of them keeps its limits; by the card alone: outside, bore, thickness"
    )
    assert inspection_data(right)["not_judged"] == ["outside", "bore", "thickness"]


def test_widths_and_holes_that_were_not_measured_leave_a_part_open() -> None:
    narrow, few = found(job(_RING), is_wide=False), found(job(_RING), count=3)
    assert [part_passes(each) for each in (narrow, few)] == [False, False]
    assert verdict_text(narrow).startswith("Open: what was measured keeps its limits; not measured: width of 1 TO 8;")
    assert verdict_text(few).startswith("Open: what was measured keeps its limits; not measured: holes 4 TO 8;")


def test_rectangles_and_pairs_of_single_holes_are_held_as_on_the_card() -> None:
    """ISO 2768-1 m: 360 and 170 ± 0.5; 0.6 % more is 362.16 and 171.02, and 0.2 % more 360.72 and 170.34."""
    long = {size.what for size in found(job(_BASE), 1.006).chords if size.passed is False}
    assert {"X1 - X2"} < long
    little = found(job(_BASE), 1.002)
    assert little.verdict is PartVerdict.FAIL
    assert {size.what for size in little.chords if size.what == "X1 - X2" and size.passed} == {"X1 - X2"}


def test_a_hole_whose_place_nothing_judges_bears_no_pass_for_it() -> None:
    """The card ties X1 and X2 to the rectangle, with limits of no one."""
    right = found(job(_BASE))
    assert "place of X1, X2 against the others" in verdict_text(right)
    assert [hole_passed(each) for each in right.holes] == ["pass, size"] * 6


def test_two_holes_that_no_limit_is_between_leave_a_part_open_as_two_that_one_is_between_do() -> None:
    holes = [MeasuredHole(hole.center, hole.label) for hole in job(_RING).flange.holes()]
    for pair in (holes[:2], [holes[0], holes[3]]):
        few = inspect_part(job(_RING).flange, pair, job(_RING).inspection)
        assert few.verdict is PartVerdict.OPEN, pair
    assert verdict_text(few).startswith("Open: nothing that was measured has limits; not measured: holes 2, 3, 5 TO 8,")


def test_a_bore_that_was_measured_is_judged() -> None:
    """ISO 2768-1 m: 160 ± 0.5."""
    wide, right = found(job(_RING), bore=161.0), found(job(_RING), bore=160.4)
    assert verdict_text(wide) == "Part does not pass: bore out of limits"
    assert verdict_text(right).endswith("; by the card alone: outside, thickness")
    assert inspection_data(wide)["plate_sizes"] == [
        {"what": "bore", "measured": 161.0, "may_be": [159.5, 160.5], "source": "ISO 2768-1 m", "passes": False}
    ]


def test_holes_whose_spacing_nothing_is_stated_of_are_not_called_good() -> None:
    """A circle's diameter holds no hole along it: 4 mm along change the one across by 0.07 mm (plain geometry)."""
    along = _RING | {"tolerances": {}}
    made = job(along, bolt_circle=0.5, hole_plus=0.2, hole_minus=0.2)
    right = found(made)
    assert part_passes(right) is False
    assert "; hold against the drawing yourself: spacing of holes along a circle, of which nothing is stated" in (
        verdict_text(right)
    )
    held = found(job(along, bolt_circle=0.5, chord=0.5, hole_plus=0.2, hole_minus=0.2))
    assert held.verdict is PartVerdict.PASS


def test_one_length_holds_a_hole_in_one_direction_only() -> None:
    """Two single holes 170 apart: across that they may stand anywhere."""
    made = job(_BASE | {"hole_rectangle": []})
    assert "place of X1, X2 against each other" in verdict_text(found(made))


def test_a_mirror_image_does_not_pass_though_all_its_lengths_are_right() -> None:
    """Seen from behind, every distance is the same (plain geometry); the part meets no mate."""
    uneven = {"diameter": 240, "angles": [0, 40, 110, 190, 250, 320], "hole_diameter": 22}
    made = job(_RING | {"bolt_circle": [uneven]})
    holes = [
        MeasuredHole(Point(-hole.center.x, hole.center.y), hole.label, hole.diameter) for hole in made.flange.holes()
    ]
    found_so = inspect_part(made.flange, holes, made.inspection)
    assert found_so.verdict is PartVerdict.FAIL
    assert "holes lie as the mirror image of the drawing" in verdict_text(found_so)
    assert not found(made).is_mirrored


def test_bolts_that_do_not_pass_are_in_the_head_and_make_no_good_part() -> None:
    made = job(_RING)
    limits = replace(made.inspection, position=Allowed(9.0, "the job"))
    bolted = replace(limits, groups=tuple(replace(group, bolt="M24") for group in limits.groups))
    holes = [MeasuredHole(hole.center, hole.label, hole.diameter) for hole in made.flange.holes()]
    tight = inspect_part(made.flange, holes, bolted)
    assert verdict_text(tight).startswith("Holes good to use")
    assert verdict_text(tight).endswith("; bolts do not pass")
    assert part_passes(tight) is False


def test_a_bore_as_datum_that_nothing_holds_the_holes_to_is_said() -> None:
    made = job(_RING)
    aside = [MeasuredHole(hole.center + Point(5.0, 0.0), hole.label, hole.diameter) for hole in made.flange.holes()]
    bore = MeasuredHole(Point(0.0, 0.0), "bore", 160.0)
    off = inspect_part(made.flange, aside, made.inspection, bore, datum_bore=True)
    assert part_passes(off) is False
    assert "place of holes to the bore, of which nothing is stated" in verdict_text(off)


def test_holes_without_names_whose_widths_do_not_suit_their_places_are_asked_for() -> None:
    """Four of 18 and four of 14 on one circle, turned by 30 degrees: by place alone 18 falls on 14."""
    both = [
        {"diameter": 240, "hole_count": 4, "hole_diameter": width, "start_angle": turn}
        for width, turn in ((18, 0), (14, 45))
    ]
    made = job(_RING | {"bolt_circle": both})
    turned = [MeasuredHole(turned_point(hole.center, 30.0), "", hole.diameter) for hole in made.flange.holes()]
    with pytest.raises(InputError, match="name the holes"):
        inspect_part(made.flange, turned, made.inspection)
    straight = [MeasuredHole(hole.center, "", hole.diameter) for hole in made.flange.holes()]
    assert part_passes(inspect_part(made.flange, straight, made.inspection))
