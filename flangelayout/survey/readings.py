"""What a person measured on a part: one reading, and what it is good to. Loads no numpy."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.provenance import Family
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, Kind
from flangelayout.units import Unit, decimal_text, from_mm, size_text, to_mm
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.standards import Pattern

COVERAGE_FACTOR = 2.0
"""Factor between a standard and an expanded uncertainty, about 95 % (JCGM 100:2008, 6.3.3)."""


class ScaleGroup(Struct, frozen=True):
    """Readings that share one unknown scale, such as those off one photo or one print.

    Attributes:
        name: What the group is called.
        within: Plus or minus part of one (95 %) the scale may be off: 0.005 is half a percent.
    """

    name: str
    within: float


class Allowances(Struct, frozen=True):
    """What a reading may be off beside what it is good to by itself, in mm, one standard deviation each.

    Every default is judgement (common practice, no source): good machine work and an everyday caliper. ASME
    B16.5 allows far more, neighboring centers within plus or minus 0.8 mm, which is 0.28 mm along the circle.

    Attributes:
        along: A hole of a well-made part is out of place along the circle.
        across: The same toward or away from the center, the roundness of the circle.
        zero: A caliper's zero is off, in all its readings alike.
        skew: Jaws are held askew: long with outside jaws, short with inside ones, by one pair of hands alike.
    """

    along: float = 0.12
    across: float = 0.10
    zero: float = 0.07
    skew: float = 0.05


class Assumptions(Struct, frozen=True):
    """What is believed before anything is measured.

    Attributes:
        drilling_tolerance: Plus or minus mm (95 %) the circle of any made part may be off; None takes what
            each row says, else what is usual for its family.
        family: Kind of part that alone is looked for; None looks for all.
        home_made: Share of parts, above 0 and below 1, whose drilling is in no table. 0.1 to 0.5 is met
            (judgement).
        known_hole: Hole diameter in mm that the part is said to have, not measured; it only speaks against
            explanations of a wrong reading that need another hole.
        allow: What readings may be off beside what each is good to.
    """

    drilling_tolerance: float | None = None
    family: Family | None = None
    home_made: float = 0.1
    known_hole: float | None = None
    allow: Allowances = Allowances()


class Reading(Struct, frozen=True):
    """One reading, in mm.

    Attributes:
        kind: What it was taken between.
        value: Length in mm; greater than 0 except for X and Y.
        from_hole: First hole of the pair, counted from 1; the hole itself for X and Y.
        to_hole: Second hole of the pair, counted around the circle the same way as the first.
        pitches: Pitches spanned, where no pair is named; a chord with neither spans what is usual for its kind.
        within: Plus or minus mm at 95 % (k = 2) it is good to; None takes the default of its kind.
        unit: Unit it was written in, for messages.
        where: Where it was written (a line, an option), for messages.
        scale: The group whose unknown scale it shares; None for a reading off the part itself.
        shared: Mm that one standard deviation of each further error which its group shares moves it by, in the order
            of those errors: how the errors of a group hang together beside its scale.
        is_drawn: A size as the drawing has it, which nobody read.
    """

    kind: Kind
    value: float
    from_hole: int | None = None
    to_hole: int | None = None
    pitches: int | None = None
    within: float | None = None
    unit: Unit = Unit.MM
    where: str = ""
    scale: ScaleGroup | None = None
    shared: tuple[float, ...] = ()
    is_drawn: bool = False

    @property
    def expanded_uncertainty(self) -> float:
        """Plus or minus mm at 95 %."""
        return KINDS[self.kind].within if self.within is None else self.within

    @property
    def within_its_group(self) -> float:
        """Plus or minus mm at 95 %, with the further errors that its group shares; the group's scale comes on top."""
        return math.hypot(self.expanded_uncertainty, *(COVERAGE_FACTOR * each for each in self.shared))

    @property
    def standard_uncertainty(self) -> float:
        """Half the expanded uncertainty, in mm."""
        return self.expanded_uncertainty / COVERAGE_FACTOR

    def span(self, hole_count: int) -> int:
        """Pitches between the two holes, 1 up to half the count; 0 for a kind that spans none."""
        if self.kind not in CHORD_KINDS:
            return 0
        steps = self.steps % hole_count
        return min(steps, hole_count - steps)

    @property
    def steps(self) -> int:
        """Pitches from the first hole to the second as written, before the circle closes."""
        if self.from_hole is not None and self.to_hole is not None:
            return self.to_hole - self.from_hole
        return KINDS[self.kind].usual_pitches if self.pitches is None else self.pitches


class SurveyInput(Struct, frozen=True):
    """Everything ``measure`` takes, for a caller that reads it from somewhere else, such as a job.

    Attributes:
        readings: The readings.
        hole_count: Holes on the circle; None has it found from the readings.
        hole_diameter: A measured hole in mm, the same as one ``hole-diameter`` reading.
        drilling_tolerance: Plus or minus mm a made part's circle may be off; None takes what is assumed.
        assume: What else is believed beforehand.
        own: A shop's own patterns, which are candidates beside the published rows.
        set_aside: Indices of readings that take no part in the fit.
        drawn_hole: That of the drawing in mm, taken where no hole was measured.
    """

    readings: tuple[Reading, ...]
    hole_count: int | None = None
    hole_diameter: float | None = None
    drilling_tolerance: float | None = None
    assume: Assumptions = Assumptions()
    own: "tuple[Pattern, ...]" = ()
    set_aside: tuple[int, ...] = ()
    drawn_hole: float | None = None


def label(readings: Sequence[Reading], index: int) -> str:
    """What to call a reading: where it was written, or its number counted from 1."""
    return readings[index].where or f"reading {index + 1}"


def size_written(reading: Reading) -> str:
    """The number as it was most likely written down, without its unit."""
    return (decimal_text if reading.unit is Unit.IN else size_text)(reading.value, reading.unit)


def highest_named(readings: Sequence[Reading]) -> int:
    """The highest number of a hole that readings name; 0 where they name none."""
    return max((hole or 0 for reading in readings for hole in (reading.from_hole, reading.to_hole)), default=0)


def unit_beside(unit: Unit) -> Unit:
    """Inches for mm and mm for inches."""
    return Unit.IN if unit is Unit.MM else Unit.MM


def in_other_unit(reading: Reading) -> Reading:
    """The same number, had it been read in the other unit."""
    if reading.unit is Unit.MM:
        return replace(reading, value=to_mm(reading.value, Unit.IN))
    return replace(reading, value=from_mm(reading.value, Unit.IN))


def place_text(reading: Reading) -> str:
    """Which holes a reading spans, or that it is none, in words; empty where there is nothing to say."""
    if reading.is_drawn:
        return "as drawn, not read"
    if reading.from_hole is not None and reading.to_hole is not None:
        return f"holes {reading.from_hole} and {reading.to_hole}"
    if reading.from_hole is not None:
        return f"hole {reading.from_hole}"
    if reading.kind not in CHORD_KINDS:
        return ""
    return "neighbors" if reading.steps == 1 else f"{reading.steps} pitches apart"
