"""Where the figures of a drilling come from, as plain facts; ``claims`` works out what may be said of them."""

from enum import Enum

from msgspec import Struct

from flangelayout.provenance import Confidence, DrillingTolerance, Family


class Figure(Enum):
    """What of a drilling is held against a published row; the value is its key in a ``[[bolt_circle]]``."""

    CIRCLE = "diameter"
    HOLE_COUNT = "hole_count"
    HOLE = "hole_diameter"
    THREAD = "thread"
    SPACING = "angles"
    KIND = "kind"
    SKIPPED = "skip"


class PublishedRow(Struct, frozen=True):
    """The row of a published table, as far as a drilling is held against it; lengths in mm.

    Attributes:
        designation: Its unique name.
        family: What carries the pattern.
        confidence: How well it is vouched for.
        circle: Bolt circle.
        hole_count: Holes on it.
        hole_diameter: Published hole; ``None`` where the table lists none.
        thread: Nominal diameter of the row's bolt; ``None`` where it names none that can be read.
        tapped: Whether the published part is tapped for that bolt.
        angles: Where its holes sit, in degrees from the first, where they are unequally spaced.
        source: The first of its sources; empty where there is none.
        edition: Of the standard, where the sources state it.
        tolerance: Published drilling tolerance.
        other_counts: Hole counts that other issues of the pattern have on the same circle.
        note: What to look out for.
    """

    designation: str
    family: Family
    confidence: Confidence
    circle: float
    hole_count: int
    hole_diameter: float | None = None
    thread: float | None = None
    tapped: bool = False
    angles: tuple[float, ...] = ()
    source: str = ""
    edition: str = ""
    tolerance: DrillingTolerance | None = None
    other_counts: tuple[int, ...] = ()
    note: str = ""


class Written(Struct, frozen=True):
    """The job writes the figures and names no standard."""


class FromRow(Struct, frozen=True):
    """The job names a row of a published table, which fills what is not written.

    Attributes:
        row: The row.
        meant: Figures in which the drilling differs from it on purpose.
        measured: What readings say of the bolt circle, where it was taken from them all the same.
    """

    row: PublishedRow
    meant: frozenset[Figure] = frozenset()
    measured: "Measured | None" = None


class Doubt(Enum):
    """What speaks against readings that a job drills by all the same."""

    DISAGREE = "disagree"
    SUSPECT = "suspect"
    UNEVEN = "uneven"
    NOT_ONE = "not one"
    COUNT = "count"
    UNIT = "unit"
    UNDECIDED = "undecided"


class Measured(Struct, frozen=True):
    """The bolt circle was found from readings.

    Attributes:
        diameter: As found, in mm.
        band: Plus and minus in mm at 95 %; ``None`` where the readings contradict any.
        angles: Of every place in degrees, where they were taken from the readings, too.
        doubts: What speaks against drilling by the readings as they are.
        set_aside: How many further readings took no part.
        family: What the part is said to be, or every drilling that the readings leave is of; ``None`` where it is open.
        off_a_picture: Whether readings off photos, a scan or a print took part.
    """

    diameter: float
    band: float | None
    angles: tuple[float, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    set_aside: int = 0
    family: Family | None = None
    off_a_picture: bool = False


class NearestOf(Struct, frozen=True):
    """The bolt circle is that of the one published drilling that readings fit.

    Attributes:
        rows: Every row that has this drilling, the likeliest first.
        measured: What the readings say.
        meant: Figures in which the drilling differs from the rows on purpose.
    """

    rows: tuple[PublishedRow, ...]
    measured: Measured
    meant: frozenset[Figure] = frozenset()


Origin = Written | FromRow | Measured | NearestOf
WRITTEN = Written()


class Made(Enum):
    """What a looked-up size is of."""

    CLEARANCE_HOLE = "clearance hole"
    TAP_DRILL = "tap drill"
    COUNTERBORE = "counterbore"
    COUNTERSINK = "countersink"
    SPOTFACE = "spotface"


class LookedUp(Struct, frozen=True):
    """A size of a hole that was taken from a published table.

    Attributes:
        made: What the size is of.
        value: In mm.
        of: The bolt or thread it was looked up for, as the table names it.
        standard: The table.
        confidence: How well it is vouched for.
        inch: Whether the table is in inches.
        fit: The column of a clearance hole, as its standard calls it.
        washer: Outside diameter of the washer that a spotface is for, in mm.
    """

    made: Made
    value: float
    of: str
    standard: str
    confidence: Confidence
    inch: bool = False
    fit: str = ""
    washer: float | None = None
