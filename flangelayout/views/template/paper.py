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
from flangelayout.value import replace
from flangelayout.views.template.furniture import BOTTOM_STRIP, LEFT_STRIP, LINE_PITCH, Subject, foot_lines, lines_of

FLIP_NOTES = (
    "PRINTED UPRIGHT; its neighbors are printed upside down on purpose, so that a printer's taper cancels out.",
    "PRINTED UPSIDE DOWN on purpose: lay it with the arrow pointing as on its neighbors.",
)


class TemplatePage(Struct, frozen=True):
    """A page turned one way.

    Attributes:
        paper: Its size as printed.
        window: The part of it that shows the template.
        notes: What every page tells beside the usual words.
        lines: At its foot on every page, these and the usual words.
        stretch: By how much the file is larger than the print, along x and y.
    """

    paper: Paper
    window: Box
    notes: tuple[str, ...]
    lines: tuple[str, ...]
    stretch: tuple[float, float]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the window."""
        return self.window.width, self.window.height


def both_ways(
    subject: Subject, layout: TemplateSettings, notes: tuple[str, ...] = ()
) -> tuple[TemplatePage, TemplatePage]:
    """The page upright and sideways, with further ``notes`` at the foot."""
    upright, sideways = (
        page_on(subject, paper(layout.paper, landscape), layout.margin, layout.measured, notes, layout.flip_tiles)
        for landscape in (False, True)
    )
    return upright, sideways


def page_on(
    subject: Subject,
    sheet: Paper,
    margin: float,
    printer: Printer | None,
    notes: tuple[str, ...] = (),
    flip: bool = False,
) -> TemplatePage:
    """A sheet of paper as it comes out of the printer.

    Args:
        subject: What its foot tells of.
        sheet: The paper; cut sheets may lie sideways, a roll or a sheet of its own size always feeds upright.
        margin: Free edge in printed mm.
        printer: What the page is corrected for.
        notes: Told at the foot beside the usual words.
        flip: Whether each page says which way up it was printed.
    """
    x, y = printer.factors(sheet.name in PAPER_NAMES and sheet.width > sheet.height) if printer else (1.0, 1.0)
    printed = Paper(sheet.name, sheet.width * x, sheet.height * y)
    whole = Box(margin + LEFT_STRIP, margin, printed.width - margin, printed.height - margin)
    notes = with_correction(notes, printer, (x, y))
    window = replace(whole, bottom=margin + foot_height(subject, whole, notes, flip))
    return TemplatePage(printed, window, notes, foot_lines(subject, window, notes), (1 / x, 1 / y))


def foot_height(subject: Subject, window: Box, notes: tuple[str, ...], flip: bool) -> float:
    """What the lines below a window take, in printed mm; its height serves for the words of the bars alone."""
    flips = max(len(lines_of(note, window)) for note in FLIP_NOTES) if flip else 0
    return BOTTOM_STRIP + LINE_PITCH * (len(foot_lines(subject, window, notes)) - 1 + flips)


def with_correction(notes: tuple[str, ...], printer: Printer | None, factors: tuple[float, float]) -> tuple[str, ...]:
    """The notes of a page, before them that and how it is corrected."""
    return (correction_text(printer, factors), *notes) if printer else notes


def correction_text(printer: Printer, factors: tuple[float, float]) -> str:
    """That and how a page is corrected."""
    x, y = (f"{1 / factor:.4f}" for factor in factors)
    return (
        f'CORRECTED FOR PRINTER "{printer.name}": X × {x}, Y × {y} '
        f"({printer.date}, {printer.paper}). USE NO OTHER PRINTER."
    )
