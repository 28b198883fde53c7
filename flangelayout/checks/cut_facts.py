"""What the checks of cut files, marks and drilling programs found, as values; see ``facts``."""

from msgspec import Struct

from flangelayout.flange.cutting import CutProcess, NoProgram
from flangelayout.geometry.lead import NoLead


class Signs(Struct, frozen=True):
    """Characters the drawing's font has no sign for, or no single-stroke letters."""

    characters: str


class CutHoles(Struct, frozen=True):
    """Holes that share size and fate.

    Attributes:
        count: How many.
        diameter: In mm, of slots the width.
        process: What cuts.
        undersize: By how many mm they are cut smaller than drawn, where they are.
        slot_length: Over all in mm, of slots.
    """

    count: int
    diameter: float
    process: CutProcess | None = None
    undersize: float | None = None
    slot_length: float | None = None


class BoreThere(Struct, frozen=True):
    """A bore of ``diameter`` mm that is in the plate already."""

    diameter: float


class KerfTaken(Struct, frozen=True):
    """A kerf in mm that the file takes up."""

    kerf: float


class KerfInGap(Struct, frozen=True):
    """A kerf in mm against the gap between the parts of a ring, which is the limit."""

    kerf: float


class CornersRounded(Struct, frozen=True):
    """Corners of a cut that come out with a radius in mm, and as far short of what is drawn."""

    of: str
    count: int
    radius: float
    short: float


class LeadsDrawn(Struct, frozen=True):
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


class LeadsLeftOff(Struct, frozen=True):
    """Cuts without a lead, and why."""

    cuts: tuple[str, ...]
    why: NoLead


class Overcut(Struct, frozen=True):
    """How far in mm each cut runs on over its beginning."""

    length: float


class TabsLeft(Struct, frozen=True):
    """How many tabs of ``width`` mm hold the parts and what falls out of openings; whether the kerf is allowed for."""

    count: int
    width: float
    with_kerf: bool


class PaperCannotHold(Struct, frozen=True):
    """Sheets of paper joined across ``size`` mm: how far off they may be, and what else is there.

    Attributes:
        paper: Name of the paper.
        joints: Seams across it.
        size: Of the largest bolt circle, or of what one part of a ring has of it.
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


class ProgramLeftOut(Struct, frozen=True):
    """Why there is no drilling program, and the drills it would need, in mm."""

    why: NoProgram
    drills: tuple[float, ...]


class DrillDepth(Struct, frozen=True):
    """How deep the drilling program goes in a plate of ``thickness`` mm."""

    thickness: float
