"""What stands in the way of cutting by a survey, as values: each door puts them into its own words."""

from collections.abc import Iterator
from enum import Enum
from typing import TypeAlias

from msgspec import Struct

from flangelayout.survey.candidates import Candidate, Verdict
from flangelayout.survey.fitting.fit import Spacing
from flangelayout.survey.mistakes import Mistake
from flangelayout.survey.otherwise import ReadInOtherUnit
from flangelayout.survey.survey import Survey


class Wanted(Enum):
    """What is to be cut from the readings."""

    CIRCLE = "equally spaced holes on the circle as measured"
    ANGLES = "holes at the angles measured, on the circle as measured"
    STANDARD = "the published drilling that it is"


class ReadingsDisagree(Struct, frozen=True):
    """The readings contradict each other by more than they are good to, so no band holds.

    Attributes:
        chance: How often honest readings would differ as much, 0 to 1.
        worst: Index of the reading farthest from the circle, in terms of what it is good to.
        off_by: That reading less what the circle makes it, mm.
    """

    chance: float
    worst: int
    off_by: float


class SuspectReadings(Struct, frozen=True):
    """A mistake that would explain the disagreement.

    Attributes:
        indices: The readings it speaks of.
        off_by: The first of them less what the others make it, mm.
        mistake: What was done wrong, if that is it.
        diameter: Bolt circle with the mistake undone, mm.
    """

    indices: tuple[int, ...]
    off_by: float
    mistake: Mistake
    diameter: float


class NotEquallySpaced(Struct, frozen=True):
    """The holes are not equally spaced.

    Attributes:
        angles: Degrees of every hole, from hole 1 or from the X axis where positions were read.
        proven: Whether readings to spare bear that out; if not, misread chords would explain it as well.
    """

    angles: tuple[float, ...]
    proven: bool


class NotOneAnswer(Struct, frozen=True):
    """The readings do not single out one published drilling.

    Attributes:
        verdict: Several or none, or open where the readings disagree.
        candidates: Those that stay possible, the likeliest first; none if none is likely.
        outside: Chance that it is in no table, 0 to 1; None where the verdict is open.
    """

    verdict: Verdict
    candidates: tuple[Candidate, ...]
    outside: float | None


class CountUncertain(Struct, frozen=True):
    """Nothing published fits the hole count given, but something fits one more or one fewer.

    Attributes:
        given: The count given.
        fits: Counts that do fit, with what each would be.
    """

    given: int
    fits: tuple[tuple[int, Candidate], ...]


class UnitUncertain(Struct, frozen=True):
    """Nothing published fits, but the same numbers in another unit are a published drilling."""

    other: ReadInOtherUnit


Obstacle: TypeAlias = (
    ReadingsDisagree | SuspectReadings | NotEquallySpaced | NotOneAnswer | CountUncertain | UnitUncertain
)


def obstacles(survey: Survey, wanted: Wanted) -> tuple[Obstacle, ...]:
    """Everything that speaks against cutting what is wanted; empty if nothing does.

    Args:
        survey: What the readings say.
        wanted: What is to be cut.
    """
    return tuple(_obstacles(survey, wanted))


def _obstacles(survey: Survey, wanted: Wanted) -> Iterator[Obstacle]:
    if not survey.band_holds:
        yield _disagreement(survey)
    for suspect in survey.suspects:
        yield SuspectReadings(suspect.readings, suspect.off_by, suspect.mistake, suspect.cured.bolt_circle.value)
    yield from _spacing(survey, wanted)
    if survey.other_unit is not None:
        yield UnitUncertain(survey.other_unit)
    if wanted is Wanted.STANDARD and survey.verdict is not Verdict.ONE:
        yield NotOneAnswer(survey.verdict, survey.ties, survey.ranking.outside)
        fits = tuple((other.hole_count, other.leading[0]) for other in survey.other_counts if other.leading)
        if fits:
            yield CountUncertain(survey.hole_count, fits)


def _disagreement(survey: Survey) -> ReadingsDisagree:
    live = [index for index in range(len(survey.readings)) if index not in survey.set_aside]
    worst = max(live, key=lambda index: abs(survey.residuals[index]) / survey.readings[index].standard_uncertainty)
    return ReadingsDisagree(survey.fit.probability, worst, survey.residuals[worst])


def _spacing(survey: Survey, wanted: Wanted) -> Iterator[NotEquallySpaced]:
    """Unequal spacing, but for angles that are proven and asked for."""
    if survey.fit.spacing is Spacing.INDIVIDUAL:
        if wanted is not Wanted.ANGLES:
            yield NotEquallySpaced(survey.fit.hole_angles, proven=True)
        return
    own = survey.spacings.own
    if own is not None and own.agrees and not survey.band_holds:
        yield NotEquallySpaced(own.hole_angles, proven=False)
