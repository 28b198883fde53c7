"""The pages a template is laid out on, as they come out of the printer.

Pages made for one printer are laid out at the size that printer makes of them and are stretched by the
inverse in the file, so that everything on them, scale bars included, prints true and the file's page is
exactly the paper.
"""

from msgspec import Struct

from flangelayout.drawing.model import Paper
from flangelayout.drawing.papers import PAPER_NAMES, paper
from flangelayout.drawing.printer import Printer
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.geometry.shapes import Box
from flangelayout.views.template.furniture import BOTTOM_STRIP, LEFT_STRIP, NOTE_PITCH

FLIP_NOTES = (
    "PRINTED UPRIGHT; its neighbors are printed upside down on purpose, so that a printer's taper cancels out.",
    "PRINTED UPSIDE DOWN on purpose: lay it with the arrow pointing as on its neighbors.",
)


class TemplatePage(Struct, frozen=True):
    """A page turned one way.

    Attributes:
        paper: Its size as printed.
        window: The part of it that shows the template.
        notes: Lines at its foot that every page carries.
        stretch: By how much the file is larger than the print, along x and y.
    """

    paper: Paper
    window: Box
    notes: tuple[str, ...] = ()
    stretch: tuple[float, float] = (1.0, 1.0)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the window."""
        return self.window.width, self.window.height


def both_ways(
    layout: TemplateSettings, notes: tuple[str, ...] = (), lines: int = 0
) -> tuple[TemplatePage, TemplatePage]:
    """The page upright and sideways, with further ``notes`` and room for so many lines more at the foot."""
    upright, sideways = (
        page_on(paper(layout.paper, landscape), layout.margin, layout.measured, notes, lines)
        for landscape in (False, True)
    )
    return upright, sideways


def page_on(
    sheet: Paper, margin: float, printer: Printer | None, notes: tuple[str, ...] = (), lines: int = 0
) -> TemplatePage:
    """A sheet of paper as it comes out of the printer.

    Args:
        sheet: The paper; cut sheets may lie sideways, a roll or a sheet of its own size always feeds upright.
        margin: Free edge in printed mm.
        printer: What the page is corrected for.
        notes: Further lines at the foot.
        lines: Room for so many lines more.
    """
    x, y = printer.factors(sheet.name in PAPER_NAMES and sheet.width > sheet.height) if printer else (1.0, 1.0)
    printed = Paper(sheet.name, sheet.width * x, sheet.height * y)
    notes = (*((correction_text(printer, (x, y)),) if printer else ()), *notes)
    foot = foot_height(margin, len(notes) + lines)
    window = Box(margin + LEFT_STRIP, foot, printed.width - margin, printed.height - margin)
    return TemplatePage(printed, window, notes, (1 / x, 1 / y))


def foot_height(margin: float, lines: int) -> float:
    """How far above the lower edge of the paper the window begins, in printed mm."""
    return margin + BOTTOM_STRIP + NOTE_PITCH * lines


def correction_text(printer: Printer, factors: tuple[float, float]) -> str:
    """That and how a page is corrected."""
    x, y = (f"{1 / factor:.4f}" for factor in factors)
    return (
        f'CORRECTED FOR PRINTER "{printer.name}": X × {x}, Y × {y} '
        f"({printer.date}, {printer.paper}). USE NO OTHER PRINTER."
    )
