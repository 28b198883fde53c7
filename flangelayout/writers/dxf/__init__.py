"""A drawing of cut geometry, or dimensioned sheets, as a DXF file."""

from typing import assert_never

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.model import CutDrawing, SheetSet
from flangelayout.writers.dxf.options import DxfOptions

__all__ = ["DxfOptions", "DxfVersion", "write_dxf"]


def write_dxf(what: CutDrawing | SheetSet, options: DxfOptions = DxfOptions()) -> bytes:
    """Cut geometry and nothing else, or sheets with the drawing at real size in model space.

    Raises:
        OutputError: If a drawing to cut holds a text, filled shape or dimension, the same thing twice, nothing
            at all, or if the version cannot hold a layer name.
    """
    match what:
        case CutDrawing():
            from flangelayout.writers.dxf.cut import cut_file

            return cut_file(what.drawing, what.stamp, options)
        case SheetSet():
            from flangelayout.writers.dxf.sheet import sheet_file

            return sheet_file(what, options)
        case _:
            assert_never(what)
