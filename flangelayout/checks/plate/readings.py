"""A bolt circle that was written, held against what the job's own readings say."""

from collections.abc import Sequence

from flangelayout.checks.facts import PickedAmong, ReadAgain, ReadingsFixNothing
from flangelayout.checks.finding import (
    Bound,
    Finding,
    Place,
    Reason,
    Remedy,
    Result,
    circle_place,
    not_run,
    noted,
)
from flangelayout.checks.limits import Ground, Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.origin import Measured


def check_readings(flange: Flange, group: int, found: Measured) -> Finding:
    """Whether a circle lies within the band of the readings; readings that contradict each other say nothing.

    Args:
        flange: The plate.
        group: Index of the circle that the readings are of.
        found: What they say of it.
    """
    place, drawn = circle_place(flange, group, "diameter"), flange.bolt_circles[group].diameter
    if found.band is None:
        return not_run(Rule.READINGS, place, Reason.READINGS)
    limit = Limit(found.diameter, Ground.READINGS)
    holds = abs(drawn - found.diameter) <= found.band
    result, cure = (Result.PASSED, None) if holds else (Result.FAILED, Remedy.READ_OR_WRITE)
    return Finding(Rule.READINGS, result, place, ReadAgain(found.band), drawn, limit, Bound.EQUAL, cure)


def readings_fix_nothing() -> Finding:
    """That the readings of a job fix no circle at all, so that nothing can be held against them."""
    place, facts = Place("survey.reading"), ReadingsFixNothing()
    return Finding(Rule.READINGS, Result.FAILED, place, facts, cure=Remedy.READ_ACROSS)


def note_pick(flange: Flange, group: int, designation: str, others: Sequence[str]) -> Finding:
    """That a circle names a row although the readings fit others as well.

    Args:
        flange: The plate.
        group: Index of the circle.
        designation: The row.
        others: Rows of the other drillings that the readings fit, one name for each.
    """
    return noted(Rule.PICKED_AMONG, circle_place(flange, group, "standard"), PickedAmong(designation, tuple(others)))
