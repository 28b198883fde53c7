"""What a person measured on a part: one reading, its kind, and what it is good to. Loads no numpy."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from flangelayout.units import Unit, size_text

COVERAGE_FACTOR = 2.0
"""Factor between a standard and an expanded uncertainty, about 95 % (JCGM 100:2008, 6.3.3)."""


class Kind(Enum):
    """What the caliper was set to; the value is how a job or a readings file writes it."""

    CENTERS = "centers"
    SAME_EDGES = "same-edges"
    NEAR_EDGES = "near-edges"
    FAR_EDGES = "far-edges"
    OVER_STUDS = "over-studs"
    BETWEEN_STUDS = "between-studs"
    HOLE_TO_BORE = "hole-to-bore"
    HOLE_TO_RIM = "hole-to-rim"
    X = "x"
    Y = "y"
    OUTSIDE_DIAMETER = "outside-diameter"
    BORE = "bore"
    HOLE_DIAMETER = "hole-diameter"
    STUD_DIAMETER = "stud-diameter"


CHORD_KINDS = frozenset(
    {Kind.CENTERS, Kind.SAME_EDGES, Kind.NEAR_EDGES, Kind.FAR_EDGES, Kind.OVER_STUDS, Kind.BETWEEN_STUDS}
)
"""Kinds that span two holes, so they need a pair or a number of pitches."""

POSITION_KINDS = frozenset({Kind.X, Kind.Y})
RADIAL_KINDS = frozenset({Kind.HOLE_TO_BORE, Kind.HOLE_TO_RIM})
"""Metal between the edge of a hole and the nearest edge of the bore, or the rim.

Bore and rim are taken as concentric with the bolt circle; where they are not, read two opposite holes.
"""

SINGLE_SIZES = frozenset({Kind.OUTSIDE_DIAMETER, Kind.BORE, Kind.HOLE_DIAMETER, Kind.STUD_DIAMETER})

WORDS = {
    Kind.CENTERS: "center to center",
    Kind.SAME_EDGES: "same edge to same edge",
    Kind.NEAR_EDGES: "between the near edges",
    Kind.FAR_EDGES: "over the far edges",
    Kind.OVER_STUDS: "over the studs",
    Kind.BETWEEN_STUDS: "between the studs",
    Kind.HOLE_TO_BORE: "hole edge to bore",
    Kind.HOLE_TO_RIM: "hole edge to rim",
    Kind.X: "X of the hole center",
    Kind.Y: "Y of the hole center",
    Kind.OUTSIDE_DIAMETER: "outside diameter",
    Kind.BORE: "bore",
    Kind.HOLE_DIAMETER: "hole diameter",
    Kind.STUD_DIAMETER: "stud diameter",
}

DEFAULT_WITHIN = {
    Kind.CENTERS: 0.5,
    Kind.SAME_EDGES: 0.2,
    Kind.NEAR_EDGES: 0.2,
    Kind.FAR_EDGES: 0.2,
    Kind.OVER_STUDS: 0.5,
    Kind.BETWEEN_STUDS: 0.5,
    Kind.HOLE_TO_BORE: 0.5,
    Kind.HOLE_TO_RIM: 0.5,
    Kind.X: 0.2,
    Kind.Y: 0.2,
    Kind.OUTSIDE_DIAMETER: 0.5,
    Kind.BORE: 0.3,
    Kind.HOLE_DIAMETER: 0.2,
    Kind.STUD_DIAMETER: 0.2,
}
"""What a reading of each kind is good to where nothing is said: plus or minus mm at 95 %.

Common practice, no source: a caliper itself reads 0.02 mm; burrs, wear and a jaw held askew make it
0.2 mm between edges; an eyeballed center, a leaning stud or a rough rim 0.5 mm.
"""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading, in mm.

    Attributes:
        kind: What it was taken between.
        value: Length in mm; greater than 0 except for X and Y.
        from_hole: First hole of the pair, counted from 1; the hole itself for X and Y.
        to_hole: Second hole of the pair, counted around the circle the same way as the first.
        pitches: Pitches spanned, where no pair is named; a chord with neither is between neighbors.
        within: Plus or minus mm at 95 % (k = 2) it is good to; None takes the default of its kind.
        unit: Unit it was written in, for messages.
        where: Where it was written (a line, an option), for messages.
    """

    kind: Kind
    value: float
    from_hole: int | None = None
    to_hole: int | None = None
    pitches: int | None = None
    within: float | None = None
    unit: Unit = Unit.MM
    where: str = ""

    @property
    def expanded_uncertainty(self) -> float:
        """Plus or minus mm at 95 %."""
        return DEFAULT_WITHIN[self.kind] if self.within is None else self.within

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
        return 1 if self.pitches is None else self.pitches

    def value_text(self) -> str:
        """The value in the unit it was written in, with that unit."""
        return f"{size_text(self.value, self.unit)} {self.unit.value}"


@dataclass(frozen=True, slots=True)
class SurveyInput:
    """Everything ``measure`` takes, for a caller that reads it from somewhere else, such as a job.

    Attributes:
        readings: The readings.
        hole_count: Holes on the circle; None has it found from the readings.
        hole_diameter: A measured hole in mm, the same as one ``hole-diameter`` reading.
        drilling_tolerance: Plus or minus mm a made part's circle may be off; None takes the standards' own.
    """

    readings: tuple[Reading, ...]
    hole_count: int | None = None
    hole_diameter: float | None = None
    drilling_tolerance: float | None = None


def label(readings: Sequence[Reading], index: int) -> str:
    """What to call a reading: where it was written, or its number counted from 1."""
    return readings[index].where or f"reading {index + 1}"


def place_text(reading: Reading) -> str:
    """Which holes a reading spans, in words; empty where there is nothing to say."""
    if reading.from_hole is not None and reading.to_hole is not None:
        return f"holes {reading.from_hole} and {reading.to_hole}"
    if reading.from_hole is not None:
        return f"hole {reading.from_hole}"
    if reading.kind not in CHORD_KINDS:
        return ""
    return "neighbors" if reading.steps == 1 else f"{reading.steps} pitches apart"
