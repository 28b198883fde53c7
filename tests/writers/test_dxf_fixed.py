from itertools import product

import pytest
from ezdxf.document import Drawing as DxfDocument

from builders import drawing_of, label, ring, sheet_of, sheets_of, view_of
from flangelayout.drawing.choices import DxfVersion
from flangelayout.geometry.shapes import Point
from flangelayout.units import Unit
from flangelayout.writers.dxf import document, write_dxf
from flangelayout.writers.dxf.options import DxfOptions
from rows import every_row

PLATE = view_of(drawing_of(*ring()), 0.2, Point(105.0, 180.0))
SHEETS = sheets_of(sheet_of(PLATE, furniture=[label("bore 170")]), sheet_of())


def put_classes_in_order(of: DxfDocument) -> None:
    ordered = sorted(of.classes.classes.items())
    of.classes.classes.clear()
    of.classes.classes.update(ordered)


@every_row(("version", "unit"), product((DxfVersion.R2000, DxfVersion.R2010), Unit))
def test_what_files_have_alike_is_what_ezdxf_writes_for_each(version: DxfVersion, unit: Unit) -> None:
    options = DxfOptions(unit, version)
    ours = write_dxf(SHEETS, options)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(document, "use_fixed_parts", lambda of: None)
        patch.setattr(document, "write_out_header", put_classes_in_order)
        assert ours == write_dxf(SHEETS, options)
