"""The part that bolts to one circle of a plate: which face it lies on, how wide it is, what stands on it."""

from collections.abc import Iterable
from enum import Enum

from msgspec import Struct

from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.hole import Tapped
from flangelayout.flange.turning import Fitted, PlateFace


class MateSource(Enum):
    """Where the sizes of a mate come from."""

    ROW = "row"
    JOB = "job"
    SIZES = "sizes"


class Spigot(Struct, frozen=True):
    """A spigot of the mate that stands out of its face, in mm; ``height`` is ``None`` where it is not known."""

    diameter: float
    height: float | None = None
    fit: Fitted | None = None


class Mate(Struct, frozen=True):
    """A part on one face of the plate; lengths in mm, ``None`` for what is not known.

    Attributes:
        group: Index of the bolt circle it bolts to.
        face: The face of the plate that it lies on.
        called: A designation, the number of a job, or its name.
        source: Where its sizes come from.
        key: The table of the job that names it: ``mate[2]``; of the circle where only that names it.
        is_face_said: Whether the job says on which face it lies.
        circle: Its holes, seen from its face that lies on the plate.
        has_own_places: Whether they have places of their own; else they are the plate's, seen as the plate is.
        outside_diameter: Of a round part.
        thickness: Through its bolt holes.
        bore: Opening in its middle, on the face that lies on the plate.
        hub_diameter: Of the hub or pipe on its other side.
        raised_face_diameter: Of the raised face that lies on the plate.
        spigot: What stands out of that face.
        gasket_thickness: Between it and the plate.
    """

    group: int
    face: PlateFace
    called: str
    source: MateSource
    key: str
    is_face_said: bool = True
    circle: BoltCircle | None = None
    has_own_places: bool = True
    outside_diameter: float | None = None
    thickness: float | None = None
    bore: float | None = None
    hub_diameter: float | None = None
    raised_face_diameter: float | None = None
    spigot: Spigot | None = None
    gasket_thickness: float | None = None

    @property
    def is_tapped(self) -> bool:
        """Whether the bolts are screwed into it."""
        return self.circle is not None and isinstance(self.circle.kind, Tapped)


def mates_by_group(mates: Iterable[Mate]) -> dict[int, Mate]:
    """The mate of each bolt circle, the first where several are named."""
    found: dict[int, Mate] = {}
    for each in mates:
        found.setdefault(each.group, each)
    return found
