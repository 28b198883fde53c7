"""One row of one published drilling table, and the words a sheet gives it."""

from enum import Enum

from msgspec import Struct

from flangelayout.provenance import Confidence, DrillingTolerance, Family
from flangelayout.units import Unit


class Register(Enum):
    """What the diameter inside the bolt circle is on the part that the table describes."""

    SPIGOT = "spigot"
    """Stands proud of the face; the other part has the recess."""
    RECESS = "recess"
    """Turned into the face; the other part has the spigot."""


NOT_STATED = "not stated"
"""What the edition of a table says whose sources do not name one."""


class Rectangle(Struct, frozen=True):
    """Four holes on the corners of a rectangle, in mm.

    Attributes:
        long: Between centers along its long side.
        short: Along its short side.
    """

    long: float
    short: float


class Pattern(Struct, frozen=True, kw_only=True):
    """One row of one published table; every length in mm.

    Attributes:
        standard: The standard as it is called, such as ``"EN 1092-1"``.
        edition: Its edition, or ``"not stated"`` where the sources do not say.
        family: What carries the pattern.
        grade: Pressure class, table or series as printed, such as ``"PN 16"``; may be empty.
        size: Size as printed, such as ``"DN150"``, ``"NPS 6"``, ``"100A"``, ``"FF215"``.
        designation: Unique name, how a person would write the row.
        bolt_circle: Pitch circle diameter.
        hole_count: Holes on the circle.
        hole_diameter: Published hole, ``None`` where the table lists none or the holes are tapped.
        outside_diameter: Outside diameter of the part, if the table gives one.
        bore: Spigot, pilot or register inside the bolt circle, if the table gives one.
        register: Whether that stands proud of the face or is turned into it; ``None`` where it is not known.
        thickness: Published thickness; the table's header says of what.
        raised_face_diameter: Raised face, if the table gives one.
        bolt: Bolt or thread as printed, such as ``"M20"`` or ``"3/4"``.
        tapped: Whether the holes of the part are tapped for the bolt.
        unit: Unit of the published table.
        rectangle: Where the holes sit on a circle but not at equal angles: the rectangle they make.
        tolerance: Published drilling tolerance; ``None`` if none.
        other_counts: Counts that other issues of the pattern have on the same circle: count the holes of the mate.
        confidence: How well outside diameter, circle, holes and bolt are vouched for.
        sources: Where the values are from, parted by semicolons.
        also: Other names of its size, such as the size in inches or the frames that have it.
        note: What to look out for in this row; usually empty.
    """

    standard: str
    edition: str
    family: Family
    grade: str
    size: str
    designation: str
    bolt_circle: float
    hole_count: int
    unit: Unit
    confidence: Confidence
    sources: str
    hole_diameter: float | None = None
    outside_diameter: float | None = None
    bore: float | None = None
    register: Register | None = None
    thickness: float | None = None
    raised_face_diameter: float | None = None
    bolt: str | None = None
    tapped: bool = False
    rectangle: Rectangle | None = None
    tolerance: DrillingTolerance | None = None
    other_counts: tuple[int, ...] = ()
    also: str = ""
    note: str = ""

    @property
    def equally_spaced(self) -> bool:
        """Whether the holes sit at equal angles."""
        return self.rectangle is None

    @property
    def circle_tolerance(self) -> float | None:
        """Published drilling tolerance of the bolt circle, plus or minus; ``None`` if none."""
        return self.tolerance.circle if self.tolerance else None

    @property
    def chord_tolerance(self) -> float | None:
        """The same for centers of adjacent holes."""
        return self.tolerance.chord if self.tolerance else None

    @property
    def tolerance_confidence(self) -> Confidence | None:
        """How well the two tolerances are vouched for."""
        return self.tolerance.confidence if self.tolerance else None
