"""What a set of layout sheets is made from."""

from collections.abc import Sequence

from msgspec import Struct

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Stamp
from flangelayout.drawing.settings import SheetSettings
from flangelayout.flange import Flange
from flangelayout.flange.cutting import CutProcess
from flangelayout.units import Unit
from flangelayout.views.page.heading import PageHeading
from flangelayout.views.words.lengths import Lengths


class SheetRequest(Struct, frozen=True):
    """A set of layout sheets to be made.

    Attributes:
        flange: What is made.
        info: Title block.
        stamp: Identity.
        unit: Master unit of the numbers shown.
        sheet: Paper, upright or sideways, whichever serves better; border, rules, units, further sheets.
        failed: What the checks found wrong, to be looked into before cutting.
        failed_in_short: The same without ground and cure.
        remarks: What the checks noticed, printed among the notes.
        process: What cuts the plate; ``None`` where the job does not say.
    """

    flange: Flange
    info: JobInfo
    stamp: Stamp
    unit: Unit
    sheet: SheetSettings
    failed: Sequence[str] = ()
    failed_in_short: Sequence[str] = ()
    remarks: Sequence[str] = ()
    process: CutProcess | None = None

    @property
    def lengths(self) -> Lengths:
        """How lengths are written."""
        return Lengths(self.unit, self.sheet.dual_units, self.sheet.convention, self.flange.tolerances)

    @property
    def letter(self) -> float:
        """Height of the smallest capitals, in printed mm."""
        return self.sheet.convention.letter_height

    def heading(self, number: int, count: int) -> PageHeading:
        """What stands above and below a further sheet."""
        about = f"{self.flange.face.upper()} toward you · {self.unit.value}"
        return PageHeading(self.info, self.stamp, about, number, count)
