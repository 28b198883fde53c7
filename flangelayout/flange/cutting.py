"""How a flange is to be cut and drilled: the choices of a job, in mm."""

from collections.abc import Iterable
from enum import Enum

from msgspec import Struct

from flangelayout.flange.hole import Dowel, Hole, Jack, Slot, Tapped
from flangelayout.units import Unit


class CutProcess(Enum):
    """What cuts the plate."""

    PLASMA = "plasma"
    LASER = "laser"
    WATERJET = "waterjet"
    OXYFUEL = "oxyfuel"

    @property
    def is_thermal(self) -> bool:
        """Whether it cuts by heat."""
        return self is not CutProcess.WATERJET


class HoleCut(Enum):
    """What the table makes of a hole."""

    AS_DRAWN = "as drawn"
    UNDERSIZE = "undersize for drilling"
    CENTER_MARK = "center mark only"


class Mark(Enum):
    """What the table scribes beside cutting."""

    CENTERS = "centers"
    NUMBER = "part number"
    TOP = "top"


class LeadShape(Enum):
    """How a cutter comes to a path and leaves it."""

    ARC = "arc"
    STRAIGHT = "straight"


class Zero(Enum):
    """Where X and Y are zero: the middle of the plate, the lower left corner of its square, or the first hole."""

    CENTER = "center"
    CORNER = "corner"
    FIRST_HOLE = "first hole"


class MachineFile(Enum):
    """What is written for the machine that drills."""

    READOUT = "readout"
    DIVIDING = "dividing head"
    ROTARY = "rotary table"
    PROGRAM = "drilling program"
    PAGE = "settings page"


class SmallestHole(Struct, frozen=True):
    """The least hole diameter a process cuts well.

    Attributes:
        per_thickness: As a multiple of the plate's thickness.
        at_least: In mm, whatever the thickness.
        origin: Where the limit is from, in words.
    """

    per_thickness: float
    at_least: float
    origin: str

    def diameter(self, thickness: float | None) -> float | None:
        """The least diameter in mm; ``None`` where it hangs on a thickness that is not known."""
        if thickness is None:
            return None if self.per_thickness else self.at_least
        return max(self.per_thickness * thickness, self.at_least)


class CutOptions(Struct, frozen=True):
    """What is asked of a cut file beyond nominal geometry.

    Attributes:
        process: What cuts, ``None`` where the job does not say.
        smallest: The least hole that cuts well, ``None`` where nothing is checked.
        small_holes: What is made of holes below it.
        undersize: How much smaller in diameter a hole is cut that is drilled afterwards.
        cuts: What is made of the holes of a job table, by its key (``bolt_circle[2]``), where the job says so.
        kerf: Width of the cut; half of it is added outside and taken off inside. 0 for nominal size.
        lead_in: Radius of the arc that leads into each cut, or length of a straight lead; 0 for none.
        lead_out: Likewise out of it.
        lead_shape: What leads look like.
        overcut: How far each closed cut is followed again after it is closed.
        tabs: How many tabs hold each part in the plate, and what falls out of its openings.
        tab_width: Width of the metal that is left at each.
        marks: What is scribed.
        mark_height: Height of scribed letters.
    """

    process: CutProcess | None = None
    smallest: SmallestHole | None = None
    small_holes: HoleCut = HoleCut.AS_DRAWN
    undersize: float = 3.0
    cuts: tuple[tuple[str, HoleCut], ...] = ()
    kerf: float = 0.0
    lead_in: float = 0.0
    lead_out: float = 0.0
    lead_shape: LeadShape = LeadShape.ARC
    overcut: float = 0.0
    tabs: int = 0
    tab_width: float = 1.0
    marks: tuple[Mark, ...] = ()
    mark_height: float = 10.0

    @property
    def is_nominal(self) -> bool:
        """Whether the cut file holds every hole and edge as drawn and nothing else."""
        choices = {self.small_holes, *(cut for _, cut in self.cuts)}
        return choices == {HoleCut.AS_DRAWN} and not (self.kerf or self.has_ways or self.marks)

    @property
    def has_ways(self) -> bool:
        """Whether the file holds the open ways of the cutter, from pierce to end, in place of closed shapes."""
        return bool(self.lead_in or self.overcut or self.tabs)

    @property
    def name_parts(self) -> tuple[str, ...]:
        """What the names of the cut files say: ``kerf``, ``leads`` and ``tabs`` where they are in the file."""
        said = (("kerf", self.kerf > 0), ("leads", self.lead_in > 0), ("tabs", self.tabs > 0))
        return tuple(word for word, on in said if on)


class DrillingOptions(Struct, frozen=True):
    """How a program drills, in mm.

    Attributes:
        unit: Of the program.
        zero: Where X and Y are zero.
        safe_height: Above the face; every way from hole to hole is at this height.
        clearance: Above the face; where feeding begins.
        depth: Below the face that the point of the drill reaches; ``None`` for right through.
        peck: How deep each bite of a deep hole is; ``None`` for half a diameter.
        feed: In mm per minute; ``None`` where it is set at the control.
        speed: In turns per minute; ``None`` where it is set at the control.
    """

    unit: Unit
    zero: Zero = Zero.CENTER
    safe_height: float = 25.0
    clearance: float = 2.0
    depth: float | None = None
    peck: float | None = None
    feed: float | None = None
    speed: float | None = None


class NoProgram(Enum):
    """Why there is no drilling program."""

    FEED_AND_SPEED = "feed and speed not stated"
    SEVERAL_DRILLS = "several drills"
    TOO_DEEP = "too deep"
    NOTHING = "nothing to drill"


def is_drilled(hole: Hole) -> bool:
    """Whether a drilling program makes a hole: right through and round, and not reamed."""
    return hole.is_through and not isinstance(hole.kind, Slot | Dowel)


def hole_cut(hole: Hole, options: CutOptions, thickness: float | None) -> HoleCut:
    """What is made of a hole: what its group says, else what small holes get if it is one.

    A hole to be tapped is marked unless its group says otherwise: heat and taper spoil what the tap needs (common
    practice, no source).
    """
    said = next((cut for key, cut in options.cuts if key == hole.key), None)
    if said is not None:
        return said
    if isinstance(hole.kind, Tapped | Jack):
        return HoleCut.CENTER_MARK
    return options.small_holes if is_small(hole, options, thickness) else HoleCut.AS_DRAWN


def is_small(hole: Hole, options: CutOptions, thickness: float | None) -> bool:
    """Whether a hole is smaller than the process cuts well."""
    least = options.smallest.diameter(thickness) if options.smallest else None
    return least is not None and hole.diameter < least - 1e-9


def zero_point(zero: Zero, corner: tuple[float, float], holes: Iterable[Hole]) -> tuple[float, float]:
    """X and Y in mm, from the middle of the plate, of the chosen zero.

    Args:
        zero: Which one.
        corner: Lower left corner of the upright rectangle round the plate.
        holes: In order of their numbers; without any, the first hole is the middle of the plate.
    """
    match zero:
        case Zero.CENTER:
            return 0.0, 0.0
        case Zero.CORNER:
            return corner
        case Zero.FIRST_HOLE:
            first = next(iter(holes), None)
            return (first.center.x, first.center.y) if first else (0.0, 0.0)
