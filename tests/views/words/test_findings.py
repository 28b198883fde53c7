"""Every rule, cure, reason and ground has its words; what they say is counted and never claims more than was run."""

from collections.abc import Mapping
from enum import Enum

from checking import plate_of, said, shop
from flangelayout.checks import Result, Rule
from flangelayout.checks.facts import Sized
from flangelayout.checks.finding import Finding, Place, Reason, Remedy
from flangelayout.checks.limits import CheckLimits, Ground
from flangelayout.units import Unit
from flangelayout.views.words.findings import tally_text
from flangelayout.views.words.findings.cures import CURES, REASONS
from flangelayout.views.words.findings.limits import GROUNDS
from flangelayout.views.words.findings.titles import SIZED, TITLES
from jobs import bolt_circle
from rows import every_row


@every_row(
    ("words", "things"),
    [(TITLES, Rule), (CURES, Remedy), (REASONS, Reason), (GROUNDS, Ground), (SIZED, Sized)],
)
def test_nothing_is_without_words(words: Mapping[Enum, str], things: type[Enum]) -> None:
    assert set(words) == set(things)
    assert all(words.values())


def test_the_count_tells_what_was_run_and_what_was_not() -> None:
    plate = plate_of(bolt_circle(bolt="M24"))  # M24 does not go through 22 mm (ISO 273 medium 26)
    found = shop(plate)
    results = [each.result for each in found]
    passed, failed, skipped = (results.count(each) for each in (Result.PASSED, Result.FAILED, Result.NOT_RUN))
    assert failed == 1
    assert skipped >= 3
    text = tally_text(found)
    assert text.startswith(f"{len(found)} checks: {passed} passed, 1 failed, {skipped} not run (")
    assert "needs the diameter of the hub or pipe" in text


def test_a_weld_without_a_hub_is_said() -> None:
    plate = plate_of(bolt_circle(bolt="M20"))
    found = shop(plate, CheckLimits(weld=8.0))
    (hub,) = (each for each in found if each.rule is Rule.SEAT_CLEAR_OF_HUB)
    assert (hub.result, hub.reason) == (Result.NOT_RUN, Reason.HUB_DIAMETER)
    assert said(plate, hub) == (
        "bolt circle: seat clear of hub and weld, room to them: needs the diameter of the hub or pipe"
    )


def test_every_check_of_a_plate_has_a_line_with_its_numbers() -> None:
    plate = plate_of(bolt_circle(24, bolt="M20"), raised_face_diameter=212.0)
    for unit in Unit:
        for each in shop(plate):
            text = said(plate, each, unit)
            assert text
            assert "{" not in text
            if each.result is Result.PASSED and each.value is not None:
                assert unit.value in text or "holes" in text


def test_a_check_that_was_not_run_has_words_without_gaps() -> None:
    """What it would be of is not known; no sign of a form to be filled in is left."""
    for rule in Rule:
        idle = Finding(rule, Result.NOT_RUN, Place(""), reason=Reason.CONTRADICTION)
        assert not set("{}") & set(said(plate_of(bolt_circle()), idle)), rule
