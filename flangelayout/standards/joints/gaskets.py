"""What a flat gasket may be off, and what the outside of a ring keeps clear of."""

from enum import Enum

from msgspec import Struct

from flangelayout.provenance import Confidence
from flangelayout.units import Unit

_LARGEST_OF_THE_SMALL = 340.0
"""Inside diameter in mm that parts NPS 12 (pipe of 323.8) from NPS 14 (355.6)."""


class RingEdge(Enum):
    """What the outside of a ring gasket touches."""

    HOLES = "inside the holes"
    """The circle less a hole, so that no bolt ever fouls it: BS 4865-1:1989, tables 5 and 6, which EN 1514-1 took over
    (DN150 PN 16: 240 less 22 is 218)."""
    BOLTS = "inside the bolts"
    """The circle less a bolt, so that the bolts center it: ASME B16.21 (NPS 6 Class 150: 9 1/2 less 3/4 is 8 3/4)."""


def ring_edge(bolt: Unit) -> RingEdge:
    """Which of the two a joint with metric or inch bolts goes by."""
    return RingEdge.HOLES if bolt is Unit.MM else RingEdge.BOLTS


class GasketTolerance(Struct, frozen=True):
    """Tolerances of a flat gasket in mm: the outside is at most as drawn, the others go plus and minus."""

    standard: str
    confidence: Confidence
    outside_minus: float
    inside: float
    chord: float = 1.0


_SMALL = GasketTolerance("ASME B16.21-2005, 4.2, NPS 12 and smaller", Confidence.ONE_SOURCE, 1.5, 1.5)
_LARGE = GasketTolerance("ASME B16.21-2005, 4.2, NPS 14 and larger", Confidence.ONE_SOURCE, 3.0, 3.0)
_OF_PN = "EN 1514-1"
"""No copy was at hand. That EN 12560-1, its sister for Class flanges, has the figures of ASME B16.21 is from memory;
that EN 1514-1 is like it, with DN300 where that has NPS 12, is taken."""


def gasket_tolerances(inside_diameter: float) -> tuple[GasketTolerance, GasketTolerance]:
    """The tolerances in mm of a gasket that is open so wide: of ASME B16.21-2005, 4.2, and of EN 1514-1 from memory."""
    found = _SMALL if inside_diameter < _LARGEST_OF_THE_SMALL else _LARGE
    return found, GasketTolerance(_OF_PN, Confidence.MEMORY, found.outside_minus, found.inside)
