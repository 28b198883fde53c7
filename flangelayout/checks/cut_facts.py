"""What the checks of cut files, marks and drilling programs found, as values; see ``facts``."""

from dataclasses import dataclass

from flangelayout.flange.cutting import CutProcess, NoProgram
from flangelayout.geometry.lead import NoLead


@dataclass(frozen=True, slots=True)
class Signs:
    """Characters the drawing's font has no sign for, or no single-stroke letters."""

    characters: str


@dataclass(frozen=True, slots=True)
class CutHoles:
    """Holes that share size and fate: ``count`` of ``diameter`` mm, cut at ``cut_at`` where they are cut undersize."""

    count: int
    diameter: float
    process: CutProcess | None = None
    cut_at: float | None = None


@dataclass(frozen=True, slots=True)
class KerfTaken:
    """A kerf in mm that the file takes up."""

    kerf: float


@dataclass(frozen=True, slots=True)
class KerfInGap:
    """A kerf in mm against the gap between the parts of a ring, which is the limit."""

    kerf: float


@dataclass(frozen=True, slots=True)
class CornersRounded:
    """Corners of a cut that come out with a radius in mm, and as far short of what is drawn."""

    of: str
    count: int
    radius: float
    short: float


@dataclass(frozen=True, slots=True)
class LeadsDrawn:
    """The longest lead-in and lead-out that the file holds.

    Attributes:
        lead_in: Radius in mm of an arc, length of a straight one.
        lead_out: Likewise; 0 for none.
        arc_length: In mm of the longest lead-in that is an arc; ``None`` where they are straight.
        some_shorter: Whether others are smaller.
    """

    lead_in: float
    lead_out: float
    arc_length: float | None
    some_shorter: bool


@dataclass(frozen=True, slots=True)
class LeadsLeftOff:
    """Cuts without a lead, and why."""

    cuts: tuple[str, ...]
    why: NoLead


@dataclass(frozen=True, slots=True)
class Overcut:
    """How far in mm each cut runs on over its beginning."""

    length: float


@dataclass(frozen=True, slots=True)
class TabsLeft:
    """How many tabs of ``width`` mm hold the parts and what falls out of openings; whether the kerf is allowed for."""

    count: int
    width: float
    with_kerf: bool


@dataclass(frozen=True, slots=True)
class PaperCannotHold:
    """Sheets of paper joined across a circle of ``size`` mm: how far off they may be, and what else is there.

    Attributes:
        paper: Name of the paper.
        joints: Seams across the circle.
        size: Diameter of the circle.
        error: How far off at best, plus and minus.
        tolerance: What the plate allows, plus and minus.
        sector: Whether a sector can be stepped round the plate.
        strips: Whether strips can be laid along its bolt circles.
    """

    paper: str
    joints: int
    size: float
    error: float
    tolerance: float
    sector: bool
    strips: bool


@dataclass(frozen=True, slots=True)
class ProgramLeftOut:
    """Why there is no drilling program, and the drills it would need, in mm."""

    why: NoProgram
    drills: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class DrillDepth:
    """How deep the drilling program goes in a plate of ``thickness`` mm."""

    thickness: float
