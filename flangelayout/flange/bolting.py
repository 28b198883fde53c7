"""What a bolt circle is bolted up with: the mate's thickness, the gasket, what goes through the holes."""

from dataclasses import dataclass
from enum import Enum


class Fastener(Enum):
    """What goes through a hole: a bolt with a head and one nut, or a stud with two nuts."""

    BOLT = "bolt"
    STUD = "stud"


@dataclass(frozen=True, slots=True)
class Joint:
    """A bolted joint.

    Attributes:
        mate_thickness: Of the part on the other side, in mm; ``None`` if not stated.
        gasket_thickness: In mm; ``None`` if not stated.
        fastener: What goes through the holes.
        washers: For each bolt, 0 to 2.
    """

    mate_thickness: float | None = None
    gasket_thickness: float | None = None
    fastener: Fastener = Fastener.BOLT
    washers: int = 2
