"""Widths of holes that no drill leaves: read wrong, they would widen the zone of their hole without end."""

from collections.abc import Iterable

from flangelayout.errors import InputError, Problem
from flangelayout.facts import Length
from flangelayout.flange import Hole
from flangelayout.problems.checks import CheckProblem

_LEAST, _MOST = 0.5, 1.5
"""What a hole can be of its drawn width at all, as shares of it (common practice, no source)."""


def refuse_misread(widths: Iterable[tuple[Hole, float]]) -> None:
    """Refuse a width that is another one than that of its hole.

    Args:
        widths: Of the measured holes, in mm.

    Raises:
        InputError: With every width under half or over one and a half of what is drawn.
    """
    wrong = [(hole, read) for hole, read in widths if not _LEAST <= read / hole.diameter <= _MOST]
    if wrong:
        raise InputError(*(_problem(hole, read) for hole, read in wrong))


def _problem(hole: Hole, read: float) -> Problem:
    read_as, drawn = Length(read), Length(hole.diameter)
    return Problem("diameter", CheckProblem.WIDTH_MISREAD, label=hole.label, read=read_as, drawn=drawn)
