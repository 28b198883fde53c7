"""The formats that pages are written in, one row each, and the files of a set of pages."""

from collections.abc import Iterator
from enum import Enum
from typing import Protocol

from msgspec import Struct

from flangelayout.drawing.layers import CUT_LAYERS
from flangelayout.drawing.model import CutDrawing, SheetSet
from flangelayout.units import Unit
from flangelayout.writers.dxf import DxfOptions, write_dxf
from flangelayout.writers.pdf import write_pdf
from flangelayout.writers.svg import SvgOptions, write_svg


class WritePage(Protocol):
    """Writes the pages of a set, or the one at ``page`` where a file holds one."""

    def __call__(self, sheets: SheetSet, page: int) -> bytes:
        """The bytes of a file."""


class _FormatRow(Struct, frozen=True):
    ending: str
    every_page: bool
    write: WritePage


class PageFormat(Enum):
    """A format for pages; its value is a row: how names end, whether a file holds every page, the writer."""

    PDF = _FormatRow(".pdf", True, lambda sheets, page: write_pdf(sheets))
    SVG = _FormatRow("_mm.svg", False, lambda sheets, page: write_svg(sheets, SvgOptions(page=page)))


class WriteCut(Protocol):
    """Writes the one view of a cut page at real size."""

    def __call__(self, page: SheetSet, options: DxfOptions) -> bytes:
        """The bytes of a file."""


class _CutRow(Struct, frozen=True):
    ending: str
    own_unit: bool
    write: WriteCut


class CutFormat(Enum):
    """A format for what is cut; its value is a row: how names end, whether in the unit asked for or mm, the writer."""

    DXF = _CutRow("dxf", True, lambda page, options: write_dxf(_drawing(page), options))
    SVG = _CutRow("svg", False, lambda page, options: write_svg(page, _as_svg(options)))


def _as_svg(options: DxfOptions) -> SvgOptions:
    """Layer names and colors as in the DXF, the drawing's own colors too: a cutter's program sorts by them."""
    return SvgOptions(options.layer_names, colors={layer: options.color(layer) for layer in CUT_LAYERS})


def _drawing(page: SheetSet) -> CutDrawing:
    return CutDrawing(page.sheets[0].views[0].drawing, page.stamp)


def cut_files(lead: str, page: SheetSet, options: DxfOptions) -> Iterator[tuple[str, bytes]]:
    """Names and bytes of the files of what is cut, one of each format: ``lead_in.dxf``, ``lead_mm.svg``."""
    for row in (each.value for each in CutFormat):
        unit = options.unit if row.own_unit else Unit.MM
        yield f"{lead}_{unit.value}.{row.ending}", row.write(page, options)


def page_files(lead: str, sheets: SheetSet, *formats: PageFormat) -> Iterator[tuple[str, bytes]]:
    """Names and bytes of the files of a set of pages: ``lead.pdf``, ``lead_mm.svg``, ``lead_2_mm.svg``."""
    for row in (each.value for each in formats):
        for page in range(1 if row.every_page else len(sheets.sheets)):
            yield f"{lead}{f'_{page + 1}' if page else ''}{row.ending}", row.write(sheets, page)
