"""What of a picture is the ring that was asked for, and what is told instead."""

import numpy as np
import pytest

from flangelayout.errors import InputError
from flangelayout.problems.survey import PhotoProblem
from flangelayout.value import replace
from flangelayout.vision.asked import AskedHoles, check_asked, check_rims, of_size, settled_ring
from flangelayout.vision.holes import Search
from flangelayout.vision.rims import Rim
from flangelayout.vision.rings import Flat, Ring

NOWHERE = np.zeros((0, 2))
WIDE, NARROW = (Ring(np.zeros(2), size, 0.3, 6, np.ones(6)) for size in (160.0, 100.0))
SEEN = Search(WIDE, NARROW, NOWHERE, 1.0, NOWHERE, np.zeros((2, 2)), Flat(np.zeros(2), 1.0, (2, 2)))
ASKED = AskedHoles(6, 14.0)


def told(seen: Search, asked: AskedHoles) -> object:
    with pytest.raises(InputError) as refused:
        settled_ring(of_size(seen, asked), asked)
    return refused.value.problems[0].kind


def test_of_two_rings_the_one_of_the_size_that_was_said_is_taken() -> None:
    assert told(SEEN, ASKED) is PhotoProblem.TWO_RINGS
    for about, ring in ((150.0, WIDE), (110.0, NARROW)):
        said = replace(ASKED, about=about)
        assert settled_ring(of_size(SEEN, said), said) is ring
    for seen in (SEEN, replace(SEEN, rival=None)):
        assert told(seen, replace(ASKED, about=300.0)) is PhotoProblem.RING_OF_ANOTHER_SIZE


def test_a_ring_with_places_missing_or_too_many_is_not_taken() -> None:
    alone = replace(SEEN, rival=None)
    assert settled_ring(alone, ASKED) is WIDE
    gap = replace(alone, ring=replace(WIDE, votes=np.array([1, 1, 0.1, 1, 1, 1])))
    assert told(gap, ASKED) is PhotoProblem.HOLES_MISSING
    assert settled_ring(gap, replace(ASKED, without=frozenset({3}))) is gap.ring
    assert told(replace(alone, extra=np.array([[80.0, 0.0]])), ASKED) is PhotoProblem.HOLES_TOO_MANY
    assert told(replace(alone, told=np.array([[0.0, 0.0]])), ASKED) is PhotoProblem.ADDED_OFF_THE_RING
    assert told(replace(alone, ring=None), ASKED) is PhotoProblem.NO_RING


def test_no_rim_at_all_is_another_matter_than_one_without() -> None:
    rim = Rim(np.zeros(2), 7.0, 1.0, 0.01, 50.0, 0.01)
    check_rims([[rim] * 3], (1, 2, 3), ASKED)
    for row, kind in (([None, rim, rim], PhotoProblem.HOLE_NOT_ROUND), ([None] * 3, PhotoProblem.NO_ROUND_RIMS)):
        with pytest.raises(InputError) as refused:
            check_rims([row, row], (1, 2, 3), ASKED)
        assert refused.value.problems[0].kind is kind


def test_a_hole_that_is_not_there_cannot_be_left_out() -> None:
    check_asked(replace(ASKED, without=frozenset({6})))
    with pytest.raises(InputError) as refused:
        check_asked(replace(ASKED, without=frozenset({0, 7})))
    assert refused.value.lines()[0] == "without: there is no hole 0 or 7; the holes are 1 to 6"
