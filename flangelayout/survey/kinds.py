"""The kinds of reading, one row each: everything any room needs to know of a kind. Loads no numpy.

A new kind is one member of ``Kind`` and one row of ``KINDS``; a test holds the two against each other.
"""

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType
from typing import NamedTuple

from msgspec import Struct


class Kind(Enum):
    """What the caliper was set to; the value is how a job or a readings file writes it."""

    CENTERS = "centers"
    SAME_EDGES = "same-edges"
    NEAR_EDGES = "near-edges"
    FAR_EDGES = "far-edges"
    OVER_STUDS = "over-studs"
    BETWEEN_STUDS = "between-studs"
    STUD_TO_FAR_EDGE = "stud-to-far-edge"
    HOLE_TO_BORE = "hole-to-bore"
    HOLE_TO_RIM = "hole-to-rim"
    X = "x"
    Y = "y"
    OUTSIDE_DIAMETER = "outside-diameter"
    BORE = "bore"
    HOLE_DIAMETER = "hole-diameter"
    STUD_DIAMETER = "stud-diameter"


class Span(Enum):
    """What a reading runs between."""

    TWO_HOLES = "two holes"
    TO_AN_EDGE = "a hole and the bore or rim"
    POSITION = "a hole and an axis"
    ONE_SIZE = "one size"


class Jaws(Enum):
    """Which jaws close on the part, so which way a caliper held askew falsifies the reading.

    The value is the sign of that error: outside jaws read long, inside jaws short.
    """

    OUTSIDE = 1
    INSIDE = -1
    NEITHER = 0


class SizeShares(NamedTuple):
    """How much of each size a reading holds, beside the chord or the position itself."""

    diameter: float = 0.0
    hole: float = 0.0
    stud: float = 0.0
    bore: float = 0.0
    rim: float = 0.0


_OF_NO_SIZE = SizeShares()


class ReadingKind(Struct, frozen=True):
    """One kind of reading.

    Attributes:
        words: What it is between, in shop words.
        option: What the command line calls it, without dashes; empty where it takes no option.
        help: One line on what to measure.
        within: What it is good to where nothing is said, plus or minus mm at 95 %. Common practice, no
            source: a caliper reads 0.02 mm; burrs, wear and an askew jaw make it 0.2 mm between edges;
            an eyeballed center, a leaning stud or a rough rim 0.5 mm.
        span: What it runs between.
        shares: Sizes it holds.
        jaws: Which jaws close.
        usual_pitches: Pitches it spans where neither holes nor pitches are named; 0 if it spans none.
        mixed_with: Kinds it is taken for by a slip at one edge.
        swapped_with: The kind it is taken for by a slip at both edges.
    """

    words: str
    option: str
    help: str
    within: float
    span: Span
    shares: SizeShares = _OF_NO_SIZE
    jaws: Jaws = Jaws.NEITHER
    usual_pitches: int = 0
    mixed_with: tuple[Kind, ...] = ()
    swapped_with: Kind | None = None


_EDGES = (Kind.NEAR_EDGES, Kind.FAR_EDGES)

KINDS: Mapping[Kind, ReadingKind] = MappingProxyType(
    {
        Kind.CENTERS: ReadingKind(
            words="center to center",
            option="chord",
            help="Center to center",
            within=0.5,
            span=Span.TWO_HOLES,
            usual_pitches=1,
            mixed_with=_EDGES,
        ),
        Kind.SAME_EDGES: ReadingKind(
            words="same edge to same edge",
            option="same-edges",
            help="Left edge to left edge, or right to right",
            within=0.2,
            span=Span.TWO_HOLES,
            usual_pitches=1,
            mixed_with=_EDGES,
        ),
        Kind.NEAR_EDGES: ReadingKind(
            words="between the near edges",
            option="near-edges",
            help="Between the near edges of two holes",
            within=0.2,
            span=Span.TWO_HOLES,
            shares=SizeShares(hole=-1),
            jaws=Jaws.OUTSIDE,
            usual_pitches=1,
            mixed_with=(Kind.SAME_EDGES,),
            swapped_with=Kind.FAR_EDGES,
        ),
        Kind.FAR_EDGES: ReadingKind(
            words="over the far edges",
            option="far-edges",
            help="Over the far edges of two holes",
            within=0.2,
            span=Span.TWO_HOLES,
            shares=SizeShares(hole=1),
            jaws=Jaws.INSIDE,
            usual_pitches=1,
            mixed_with=(Kind.SAME_EDGES,),
            swapped_with=Kind.NEAR_EDGES,
        ),
        Kind.OVER_STUDS: ReadingKind(
            words="over the studs",
            option="over-studs",
            help="Over two studs",
            within=0.5,
            span=Span.TWO_HOLES,
            shares=SizeShares(stud=1),
            jaws=Jaws.OUTSIDE,
            usual_pitches=1,
            mixed_with=(Kind.CENTERS, Kind.STUD_TO_FAR_EDGE),
            swapped_with=Kind.BETWEEN_STUDS,
        ),
        Kind.BETWEEN_STUDS: ReadingKind(
            words="between the studs",
            option="between-studs",
            help="Between two studs",
            within=0.5,
            span=Span.TWO_HOLES,
            shares=SizeShares(stud=-1),
            jaws=Jaws.INSIDE,
            usual_pitches=1,
            mixed_with=(Kind.CENTERS,),
            swapped_with=Kind.OVER_STUDS,
        ),
        Kind.STUD_TO_FAR_EDGE: ReadingKind(
            words="center of a stud to the far edge of another",
            option="stud-to-far-edge",
            help="Center of a stud to the far edge of the one two away (how a wheel with five studs is read)",
            within=0.5,
            span=Span.TWO_HOLES,
            shares=SizeShares(stud=0.5),
            usual_pitches=2,
            mixed_with=(Kind.CENTERS, Kind.OVER_STUDS),
        ),
        Kind.HOLE_TO_BORE: ReadingKind(
            words="hole edge to bore",
            option="hole-to-bore",
            help="Metal from a hole edge to the bore",
            within=0.5,
            span=Span.TO_AN_EDGE,
            shares=SizeShares(diameter=0.5, hole=-0.5, bore=-0.5),
            jaws=Jaws.OUTSIDE,
        ),
        Kind.HOLE_TO_RIM: ReadingKind(
            words="hole edge to rim",
            option="hole-to-rim",
            help="Metal from a hole edge to the rim",
            within=0.5,
            span=Span.TO_AN_EDGE,
            shares=SizeShares(diameter=-0.5, hole=-0.5, rim=0.5),
            jaws=Jaws.OUTSIDE,
        ),
        Kind.X: ReadingKind(
            words="X of the hole center",
            option="",
            help="X of a hole center",
            within=0.2,
            span=Span.POSITION,
        ),
        Kind.Y: ReadingKind(
            words="Y of the hole center",
            option="",
            help="Y of a hole center",
            within=0.2,
            span=Span.POSITION,
        ),
        Kind.HOLE_DIAMETER: ReadingKind(
            words="hole diameter",
            option="hole-diameter",
            help="Size of a hole",
            within=0.2,
            span=Span.ONE_SIZE,
            shares=SizeShares(hole=1),
            jaws=Jaws.INSIDE,
        ),
        Kind.STUD_DIAMETER: ReadingKind(
            words="stud diameter",
            option="stud-diameter",
            help="Size of a stud",
            within=0.2,
            span=Span.ONE_SIZE,
            shares=SizeShares(stud=1),
            jaws=Jaws.OUTSIDE,
        ),
        Kind.BORE: ReadingKind(
            words="bore",
            option="bore",
            help="Bore of the part",
            within=0.3,
            span=Span.ONE_SIZE,
            shares=SizeShares(bore=1),
            jaws=Jaws.INSIDE,
        ),
        Kind.OUTSIDE_DIAMETER: ReadingKind(
            words="outside diameter",
            option="outside-diameter",
            help="Outside diameter of the part",
            within=0.5,
            span=Span.ONE_SIZE,
            shares=SizeShares(rim=1),
            jaws=Jaws.OUTSIDE,
        ),
    }
)
"""Every kind, in the order people are offered them."""


def _spanning(span: Span) -> frozenset[Kind]:
    return frozenset(kind for kind, row in KINDS.items() if row.span is span)


CHORD_KINDS = _spanning(Span.TWO_HOLES)
"""Kinds that span two holes, so they need a pair or a number of pitches."""

POSITION_KINDS = _spanning(Span.POSITION)
RADIAL_KINDS = _spanning(Span.TO_AN_EDGE)
"""Metal between the edge of a hole and the nearest edge of the bore, or the rim.

Bore and rim are taken as concentric with the bolt circle; where they are not, read two opposite holes.
"""

SINGLE_SIZES = _spanning(Span.ONE_SIZE)
