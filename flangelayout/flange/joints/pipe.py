"""The pipe that a bore is made for, and how it fits."""

from enum import Enum

from msgspec import Struct

from flangelayout.provenance import Confidence


class PipeFit(Enum):
    """How a flange goes with its pipe."""

    SLIP_ON = "slip-on"
    WELD_NECK = "weld neck"


class PipeBore(Struct, frozen=True):
    """A bore that follows from a pipe; lengths in mm.

    Attributes:
        fit: Over the pipe with a little room, or flush with its inside.
        size: Of the pipe, ``NPS 6`` or ``DN150``.
        schedule: Of its wall; empty where the wall is written, or none is.
        outside: Its outside diameter.
        wall: ``None`` where none is said.
        standard: That of the pipe.
        confidence: In its figures.
        bore: What comes out.
        plus: How much wider the bore may be, where that is published.
        bore_confidence: In the bore; of a weld neck that of the pipe.
    """

    fit: PipeFit
    size: str
    schedule: str
    outside: float
    wall: float | None
    standard: str
    confidence: Confidence
    bore: float
    plus: float | None
    bore_confidence: Confidence
