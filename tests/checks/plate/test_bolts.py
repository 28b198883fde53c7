"""A bolt in its hole: through it, not lost in it, and a name that a table has."""

from checking import failed, of_rule, plate_of, said, shop, told
from flangelayout.checks import Result, Rule
from flangelayout.flange import Drilling, HoleGrid, RectangleOutline, Slot, Tapped
from flangelayout.flange.plate import Flange
from flangelayout.units import Unit
from jobs import bolt_circle
from rows import every_row

BOLT_RULES = {Rule.BOLT_KNOWN, Rule.BOLT_IN_HOLE, Rule.HOLE_COVERED}


def of_bolts(bolt: str, hole: float) -> set[Rule]:
    """The bolt rules that a ring with that bolt and hole fails."""
    return BOLT_RULES & set(failed(plate_of(bolt_circle(8, 240.0, hole, bolt=bolt))))


@every_row(
    ("bolt", "hole", "expected"),
    [
        # ISO 273: M20 fine 21, medium 22, coarse 24; published pipe flanges go 0.5 mm beyond coarse.
        ("M20", 18.0, {Rule.BOLT_IN_HOLE}),
        ("M20", 19.99, {Rule.BOLT_IN_HOLE}),
        ("M20", 20.0, set()),
        ("M20", 22.0, set()),
        ("M20", 24.5, set()),
        ("M20", 24.51, {Rule.HOLE_COVERED}),
        ("M20", 26.0, {Rule.HOLE_COVERED}),
        ("M20", 30.0, {Rule.HOLE_COVERED}),
        ("M24", 18.0, {Rule.BOLT_IN_HOLE}),
        # JIS B 2220 drills 19 mm for M16 and 15 mm for M12.
        ("M16", 19.0, set()),
        ("M12", 15.0, set()),
        # ASME B18.2.8: 3/4 in loose 29/32 in = 23.02 mm; ASME B16.5 drills 3/4 in holes for 5/8 in bolts.
        ("3/4", 18.0, {Rule.BOLT_IN_HOLE}),
        ("3/4", 23.5, set()),
        ("3/4", 23.6, {Rule.HOLE_COVERED}),
        ("5/8", 19.05, set()),
        # ASME B16.1 drills 2 in holes for 1 3/4 in bolts.
        ("1 3/4", 50.8, set()),
        ("1 3/4", 50.9, {Rule.HOLE_COVERED}),
        # Names with property class, pitch and length are bolts all the same.
        ("m20x80", 18.0, {Rule.BOLT_IN_HOLE}),
        ("M20-8.8", 26.0, {Rule.HOLE_COVERED}),
        ("M20x2.5x80", 22.0, set()),
    ],
)
def test_a_bolt_goes_through_its_hole_and_is_not_lost_in_it(bolt: str, hole: float, expected: set[Rule]) -> None:
    assert of_bolts(bolt, hole) == expected


def test_a_bolt_too_thick_is_told_with_the_hole_it_wants() -> None:
    plate = plate_of(bolt_circle(8, 240.0, 18.0, bolt="M20"))
    text = said(plate, told(plate, Rule.BOLT_IN_HOLE))
    assert text == (
        "bolt circle: M20, 20 mm thick, does not go through a hole of 18 mm; ISO 273 medium is 22 mm; "
        "use a smaller bolt or drill larger holes"
    )


def test_a_hole_too_wide_is_told_with_the_nut_across_flats() -> None:
    # ISO 4032: M20 nut 30 mm across flats.
    plate = plate_of(bolt_circle(8, 240.0, 26.0, bolt="M20"))
    text = said(plate, told(plate, Rule.HOLE_COVERED))
    wide = "a hole of 26 mm is too wide for nut (30 mm across flats), head and washer of M20: more than 24.50 mm"
    assert f"{wide} (ISO 273 coarse" in text


def test_an_unknown_bolt_fails_in_words() -> None:
    plate = plate_of(bolt_circle(bolt="M99"))
    assert failed(plate) == [Rule.BOLT_KNOWN]
    assert 'bolt circle: no table has a bolt "M99"; write a bolt of the tables' in said(
        plate, told(plate, Rule.BOLT_KNOWN)
    )


def test_a_passed_bolt_is_listed_with_both_numbers() -> None:
    plate = plate_of(bolt_circle(bolt="3/4", hole_diameter=20.6375))
    passed = told(plate, Rule.BOLT_IN_HOLE)
    assert passed.result is Result.PASSED
    assert said(plate, passed, Unit.IN) == (
        "bolt circle: bolt goes through its hole, diameter of the hole 0.813 in, at least 0.750 in (plain geometry)"
    )


def test_threads_have_no_clearance_hole_and_patterns_and_slots_do() -> None:
    tapped = plate_of(bolt_circle(8, 240.0, 17.5, bolt="M20", kind=Tapped("M20", 20.0)))
    assert not of_rule(shop(tapped), Rule.BOLT_IN_HOLE)
    slot = plate_of(bolt_circle(4, 240.0, 18.0, bolt="M20", kind=Slot(40.0)))
    assert Rule.BOLT_IN_HOLE in failed(slot)
    grid = HoleGrid(Drilling(9.0, bolt="M10"), 2, 2, 60.0, 60.0)
    assert failed(Flange(RectangleOutline(200.0, 200.0), (), patterns=(grid,))) == [Rule.BOLT_IN_HOLE]
