"""One drawing with a bit of everything, written in every format: a program of its own for tests of equal bytes."""

import hashlib

from builders import STAMP, drawing_of, item, label, ring, sheet_of, sheets_of, stadium, view_of
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    AngularDimension,
    CenterMark,
    CutDrawing,
    DiameterDimension,
    Leader,
    LinearDimension,
    SheetSet,
    TextTable,
)
from flangelayout.geometry.shapes import ORIGIN, Box, Point, polar
from flangelayout.units import Unit
from flangelayout.writers.csv_table import write_csv
from flangelayout.writers.dxf import DxfOptions, DxfVersion, write_dxf
from flangelayout.writers.pdf import write_pdf
from flangelayout.writers.svg import write_svg


def every_file() -> dict[str, bytes]:
    """A file of every kind, by name."""
    mark = item(CenterMark(polar(120.0, 45.0), 5.0, 1.0), Layer.CUT_MARKS)
    cut = drawing_of(*ring(), mark, item(stadium(600.0, 400.0), Layer.CUT_OUTLINE))
    shown = drawing_of(
        *ring(),
        item(LinearDimension(Point(-144.0, 0.0), Point(144.0, 0.0), Point(0.0, -170.0), 0.0, "288"), Layer.DIMENSION),
        item(DiameterDimension(ORIGIN, 120.0, 150.0, "⌀240"), Layer.DIMENSION),
        item(AngularDimension(ORIGIN, 90.0, 22.5, 45.0, "45°"), Layer.DIMENSION),
        item(Leader(polar(109.0, -67.5), Point(170.0, -190.0), ("8X ⌀22", "EQ SP")), Layer.DIMENSION),
    )
    page = sheet_of(
        view_of(shown, 0.2, Point(105.0, 150.0)),
        view_of(shown, 0.2, Point(60.0, 60.0), Box(20.0, 20.0, 100.0, 100.0)),
        furniture=[label("Größe 1:5 – Λ Ж", Point(20.0, 20.0))],
    )
    sheets = sheets_of(page, page)
    files = {"table.csv": write_csv(TextTable("holes", ("hole", "X"), (("1", "45.9"),)))}
    files |= {"page.svg": write_svg(SheetSet((page,), STAMP)), "pages.pdf": write_pdf(sheets)}
    for version in DxfVersion:
        for unit in Unit:
            options = DxfOptions(unit, version)
            files[f"cut_{version.value}_{unit.value}.dxf"] = write_dxf(CutDrawing(cut, STAMP), options)
            files[f"sheet_{version.value}_{unit.value}.dxf"] = write_dxf(sheets, options)
    return files


def digests() -> dict[str, str]:
    """What tells the files of one run from those of another."""
    return {name: hashlib.sha256(data).hexdigest() for name, data in every_file().items()}
