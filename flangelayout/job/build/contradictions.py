"""Checks that a job contradicts itself in, as what is wrong with it."""

from collections.abc import Iterable

from flangelayout.checks import Finding
from flangelayout.errors import Problem
from flangelayout.flange import Flange
from flangelayout.problems.checks import CheckProblem
from flangelayout.units import Unit


def contradictions(flange: Flange, findings: Iterable[Finding], unit: Unit) -> tuple[Problem, ...]:
    """One problem for each finding that stops a job; none where it is sound."""
    stopping = [finding for finding in findings if finding.stops]
    if not stopping:
        return ()
    from flangelayout.views.words.findings import finding_text

    return tuple(
        Problem(each.place.key, CheckProblem.CONTRADICTION, told=finding_text(flange, each, unit)) for each in stopping
    )
