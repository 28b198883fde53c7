"""One row of one published drilling table, and the words a sheet gives it."""

from dataclasses import dataclass
from enum import Enum

from flangelayout.units import Unit


class Confidence(Enum):
    """How well the drilling of a row is vouched for."""

    TWO_SOURCES = "two-sources"
    ONE_SOURCE = "one-source"
    MEMORY = "memory"

    @property
    def words(self) -> str:
        """What a person is told beside a row of this confidence."""
        match self:
            case Confidence.TWO_SOURCES:
                return "two sources agree"
            case Confidence.ONE_SOURCE:
                return "one source only"
            case Confidence.MEMORY:
                return "from memory, check before cutting"


@dataclass(frozen=True, slots=True)
class Pattern:
    """One row of one published table; every length in mm.

    Attributes:
        standard: The standard as it is called, such as ``"EN 1092-1"``.
        edition: Its edition, or ``"not stated"`` where the sources do not say.
        family: What carries the pattern: ``"pipe flange"``, ``"motor flange"``, ``"wheel hub"``...
        grade: Pressure class, table or series as printed, such as ``"PN 16"``; may be empty.
        size: Size as printed, such as ``"DN150"``, ``"NPS 6"``, ``"100A"``, ``"FF215"``.
        designation: Unique name, how a person would write the row.
        bolt_circle: Pitch circle diameter.
        hole_count: Holes on the circle.
        hole_diameter: Published hole, ``None`` where the table lists none or the holes are tapped.
        outside_diameter: Outside diameter of the part, if the table gives one.
        bore: Spigot, pilot or register inside the bolt circle, if the table gives one.
        thickness: Published thickness; the table's header says of what.
        raised_face_diameter: Raised face, if the table gives one.
        bolt: Bolt or thread as printed, such as ``"M20"`` or ``"3/4"``.
        unit: Unit of the published table.
        equally_spaced: False where the holes sit on a circle but not at equal angles.
        circle_tolerance: Published drilling tolerance of the bolt circle, plus or minus; ``None`` if none.
        chord_tolerance: The same for centers of adjacent holes.
        confidence: How well outside diameter, circle, holes and bolt are vouched for.
        sources: Where the values are from, parted by semicolons.
        note: What to look out for in this row; usually empty.
        tolerance_confidence: How well the two tolerances are vouched for.
    """

    standard: str
    edition: str
    family: str
    grade: str
    size: str
    designation: str
    bolt_circle: float
    hole_count: int
    hole_diameter: float | None
    outside_diameter: float | None
    bore: float | None
    thickness: float | None
    raised_face_diameter: float | None
    bolt: str | None
    unit: Unit
    equally_spaced: bool
    circle_tolerance: float | None
    chord_tolerance: float | None
    confidence: Confidence
    sources: str
    note: str = ""
    tolerance_confidence: Confidence | None = None


def credit(pattern: Pattern) -> str:
    """The sheet's words for where a drilling is from; never a class or rating claim.

    Returns:
        One sentence without a full stop, naming the row, its first source and how far to trust it.
    """
    match pattern.confidence:
        case Confidence.TWO_SOURCES | Confidence.ONE_SOURCE:
            values = f"values from {pattern.sources.split('; ', 1)[0]}, {pattern.confidence.words}"
        case Confidence.MEMORY:
            values = f"values {pattern.confidence.words}"
    edition = "" if pattern.edition == "not stated" else f" (edition {pattern.edition})"
    return f"Drilled to match {pattern.designation}{edition}; {values}"
