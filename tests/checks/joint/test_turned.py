"""Checks of what is turned: on the plate, metal left, walls clear of holes, depths where the plate is thin."""

import math

import pytest

from checking import drilling, failed, of_rule, plate_of, shop
from flangelayout.checks import Rule
from flangelayout.flange import BoltCircle, Counterbored, Flange, RectangleOutline, SingleHole, Tapped
from flangelayout.flange.turning import PlateFace, Turned, TurnedKind
from flangelayout.geometry.shapes import polar
from flangelayout.units import Unit
from flangelayout.views.words.findings import check_words
from rows import every_row

FACE, BACK = PlateFace.FACE, PlateFace.BACK


def turned(diameter: float, size: float, face: PlateFace = FACE, inner: float = 0.0) -> Turned:
    kind = TurnedKind.GROOVE if inner else TurnedKind.RECESS
    return Turned(kind, face, diameter, size, inner, key="turned")


def stops(plate: Flange) -> set[Rule]:
    return {each.rule for each in drilling(plate) if each.stops}


@every_row(("diameter", "sound"), [(170.0, False), (170.1, True), (284.9, True), (285.0, False)])
def test_a_recess_lies_between_bore_and_edge(diameter: float, sound: bool) -> None:
    found = stops(plate_of(turned=(turned(diameter, 3.0),)))
    assert (Rule.TURNED_ON_PLATE not in found) == sound


def test_what_is_turned_is_named_in_what_is_checked_of_it_and_of_no_bore_nothing_is_said() -> None:
    what = (turned(200.0, 3.0), turned(230.0, 4.0, BACK, inner=210.0))
    said = {
        is_open: [check_words(plate, each, Unit.MM) for each in of_rule(drilling(plate), Rule.TURNED_ON_PLATE)]
        for is_open, plate in ((True, plate_of(turned=what)), (False, plate_of(bore=None, turned=what)))
    }
    recess, groove = "recess of 200 mm on the named face", "groove of 230 mm on the back"
    edges = [f"{each}: clear of the edge of the plate, metal to it" for each in (recess, groove)]
    bores = [f"{each}: clear of the bore, metal to it" for each in (recess, groove)]
    assert said == {True: [edges[0], bores[0], edges[1], bores[1]], False: edges}


def test_a_plate_that_is_not_round_is_asked_for_its_nearest_edge() -> None:
    plate = Flange(RectangleOutline(300.0, 200.0), (), thickness=20.0, turned=(turned(201.0, 3.0),))
    assert Rule.TURNED_ON_PLATE in stops(plate)


@every_row(("back", "sound"), [(11.9, True), (12.0, False), (13.0, False)])
def test_both_faces_together_leave_metal(back: float, sound: bool) -> None:
    plate = plate_of(turned=(turned(200.0, 10.0), turned(190.0, back, BACK)))
    (found,) = of_rule(drilling(plate), Rule.TURNED_FLOOR)
    assert found.value == pytest.approx(12.0 - back)
    assert found.failed != sound


def test_a_spigot_takes_its_height_from_the_rest_of_the_plate() -> None:
    plate = plate_of(turned=(Turned(TurnedKind.SPIGOT, FACE, 200.0, 6.0), turned(220.0, 10.0, BACK)))
    (found,) = of_rule(drilling(plate), Rule.TURNED_FLOOR)
    assert found.value == pytest.approx(6.0)


# The holes: 22 mm on 240, from 218 to 262 in diameter.
@every_row(
    ("what", "fails"),
    [
        (turned(218.0, 3.0), False),
        (turned(218.2, 3.0), True),
        (turned(261.8, 3.0), True),
        (turned(262.0, 3.0), False),
        (turned(217.0, 3.0, inner=205.0), False),
        (turned(218.2, 3.0, inner=205.0), True),
        (turned(270.0, 3.0, inner=210.0), True),
        (turned(218.2, 3.0, BACK), True),
    ],
)
def test_walls_are_clear_of_holes_and_no_hole_opens_into_a_groove(what: Turned, fails: bool) -> None:
    assert (Rule.WALL_CLEAR in failed(plate_of(turned=(what,)))) == fails


def test_a_counterbore_counts_on_the_face_it_is_worked_from() -> None:
    for face, fails in ((FACE, True), (BACK, False)):
        sunk = BoltCircle(240.0, 8, 22.0, kind=Counterbored(36.0, 8.0), worked_from=face)
        assert (Rule.WALL_CLEAR in failed(plate_of(sunk, turned=(turned(210.0, 3.0),)))) == fails


def test_a_blind_hole_of_the_back_does_not_open_on_the_face() -> None:
    blind = BoltCircle(200.0, 8, 14.0, kind=Tapped("M16", 16.0, 12.0), worked_from=BACK)
    assert Rule.WALL_CLEAR not in failed(plate_of(blind, turned=(turned(200.0, 3.0),)))
    assert Rule.WALL_CLEAR in failed(plate_of(blind, turned=(turned(200.0, 3.0, BACK),)))


def test_depths_are_held_against_the_plate_where_it_is_thin() -> None:
    """Counterbores 13 deep in 22 leave 9; under a recess of 10 on the other face they come through."""
    sunk = BoltCircle(200.0, 8, 22.0, kind=Counterbored(36.0, 13.0), worked_from=BACK)
    assert Rule.DEPTH_IN_PLATE not in stops(plate_of(sunk))
    assert Rule.DEPTH_IN_PLATE in stops(plate_of(sunk, turned=(turned(245.0, 10.0),)))
    blind = BoltCircle(200.0, 8, 14.0, kind=Tapped("M16", 16.0, 14.0, 20.0), worked_from=BACK)
    below = [of_rule(shop(plate_of(blind, turned=cut)), Rule.TAP_BOTTOM)[0].value for cut in ((), (turned(245, 2),))]
    assert below[0] is not None
    assert below[1] == pytest.approx(below[0] - 2.0)


def test_recesses_of_two_faces_do_not_meet() -> None:
    """Holes 33.4 mm apart with counterbores of 30: 3.4 mm of metal on one face, 12.4 to the hole on the other."""
    for face, fails in ((FACE, True), (BACK, False)):
        one = BoltCircle(240.0, 4, 12.0, kind=Counterbored(30.0, 6.0))
        other = BoltCircle(240.0, 4, 12.0, kind=Counterbored(30.0, 6.0), start_angle=16.0, worked_from=face)
        (found,) = of_rule(shop(plate_of(one, other)), Rule.CLOCKING)
        assert found.failed == fails
        apart = 240 * math.sin(math.radians(8))
        assert found.value == pytest.approx(apart - (30 if fails else 21))
        alone = (SingleHole(polar(120.0, 61.0), other.drilling),)
        assert (Rule.LIGAMENT in failed(plate_of(one, single_holes=alone))) == fails
