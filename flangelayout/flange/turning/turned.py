"""Recesses, registers, spigots, grooves and raised faces: what is turned on either face round the middle."""

import math
from enum import Enum

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.problems.flange import FlangeProblem
from flangelayout.provenance import Confidence


class PlateFace(Enum):
    """The two faces of a plate: the one it is seen from, and the one behind."""

    FACE = "face"
    BACK = "back"

    @property
    def other(self) -> "PlateFace":
        """The face on the other side."""
        return PlateFace.BACK if self is PlateFace.FACE else PlateFace.FACE


class TurnedKind(Enum):
    """What is turned: a recess takes a part in, a register centers it, a spigot or a raised face stands out."""

    RECESS = "recess"
    REGISTER = "register"
    GROOVE = "groove"
    SPIGOT = "spigot"
    RAISED_FACE = "raised face"

    @property
    def is_sunk(self) -> bool:
        """Whether it goes into the face; the others stand out of it."""
        return self in (TurnedKind.RECESS, TurnedKind.REGISTER, TurnedKind.GROOVE)


class Fitted(Struct, frozen=True):
    """The tolerance class of a turned diameter, by ISO 286.

    Attributes:
        name: As it is called: ``H7`` of a recess, ``g6`` of a spigot.
        lower: Lower limit deviation in mm.
        upper: Upper limit deviation in mm.
        confidence: How well the table is vouched for.
    """

    name: str
    lower: float
    upper: float
    confidence: Confidence


class Turned(Struct, frozen=True):
    """One thing turned on a face, round the middle of the plate; lengths in mm.

    Attributes:
        kind: What it is.
        face: Where.
        diameter: Across its outer wall.
        size: How deep it goes or how far it stands out, from the surface just outside of it.
        inner_diameter: Across its inner wall; 0 where it goes on to the middle or the bore.
        fit: Of its diameter.
        name: What the shop calls it.
        key: The table of the job that asks for it: ``turned[2]``; empty outside a job.

    Raises:
        GeometryError: If a size is none, or the inner wall is not inside the outer one.
    """

    kind: TurnedKind
    face: PlateFace
    diameter: float
    size: float
    inner_diameter: float = 0.0
    fit: Fitted | None = None
    name: str = ""
    key: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot be turned."""
        for key, value in (("diameter", self.diameter), ("depth", self.size)):
            if not (math.isfinite(value) and value > 0):
                raise GeometryError.of(FlangeProblem.SIZE_NOT_ABOVE_ZERO, key=key, value=Length(value))
        if not 0 <= self.inner_diameter < self.diameter:
            outer, inner = Length(self.diameter), Length(self.inner_diameter)
            raise GeometryError.of(FlangeProblem.TURNED_INSIDE_OUT, outer=outer, inner=inner)

    @property
    def rise(self) -> float:
        """How far it stands out of the surface round it in mm; negative where it goes in."""
        return -self.size if self.kind.is_sunk else self.size

    @property
    def walls(self) -> tuple[float, ...]:
        """The radii of its walls in mm, from the middle."""
        return tuple(diameter / 2 for diameter in (self.inner_diameter, self.diameter) if diameter)


def raised_face(diameter: float | None, height: float | None) -> tuple[Turned, ...]:
    """The raised face that a plate has by its own keys; nothing where it is flat or its height is unknown."""
    if not (diameter and height):
        return ()
    return (Turned(TurnedKind.RAISED_FACE, PlateFace.FACE, diameter, height, key="plate"),)
