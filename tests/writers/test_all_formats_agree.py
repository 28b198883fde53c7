"""One geometry in every format: what a reader of each file finds is the same ring of holes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import STAMP, drawing_of, ring, sheet_of, sheets_of, view_of
from flangelayout.drawing.model import CutDrawing, Item, Paper, SheetSet
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.units import Unit
from flangelayout.writers.dxf import DxfOptions, DxfVersion, write_dxf
from flangelayout.writers.numbers import FILE_TOLERANCE
from flangelayout.writers.pdf import write_pdf
from flangelayout.writers.svg import write_svg
from readers import FoundCircle, dxf_circles, pdf_circles, svg_circles
from rows import every_row


def found_in_each_format(items: tuple[Item, ...], reach: float) -> dict[str, list[FoundCircle]]:
    """Circles by format, in mm round the middle of the drawing."""
    drawing, middle = drawing_of(*items), Point(reach, reach)
    sheet = sheet_of(view_of(drawing, at=middle), paper=Paper("square", 2 * reach, 2 * reach))
    sheets = sheets_of(sheet)
    ways = [(version, unit) for version in DxfVersion for unit in Unit]
    file = CutDrawing(drawing, STAMP)
    cut = {
        f"cut {version.value} {unit.value}": dxf_circles(write_dxf(file, DxfOptions(unit, version)), unit)
        for version, unit in ways
    }
    shown = {
        "svg": svg_circles(write_svg(SheetSet((sheet,), STAMP)), 2 * reach),
        "pdf": pdf_circles(write_pdf(sheets)),
    }
    around = {
        name: [FoundCircle(each.x - reach, each.y - reach, each.radius) for each in circles]
        for name, circles in shown.items()
    }
    return cut | around | {"sheet": dxf_circles(write_dxf(sheets, DxfOptions()))}


@every_row(("hole_count", "diameter"), [(8, 240.0), (32, 1085.85), (5, 110.0)])
def test_all_formats_hold_the_same_holes(hole_count: int, diameter: float) -> None:
    items = ring(hole_count, diameter, 0.06 * diameter)
    model = [
        (each.what.center.x, each.what.center.y, each.what.radius) for each in items if isinstance(each.what, Circle)
    ]
    for name, circles in found_in_each_format(items, diameter).items():
        assert len(circles) == hole_count + 2, name
        np.testing.assert_allclose(circles, model, rtol=0, atol=FILE_TOLERANCE, err_msg=name)


@settings(max_examples=3, deadline=None)
@given(st.integers(3, 12), st.floats(50.0, 900.0), st.floats(0.05, 0.2))
def test_any_ring_is_the_same_in_all_formats(hole_count: int, diameter: float, share: float) -> None:
    items = ring(hole_count, diameter, share * diameter)
    formats = found_in_each_format(items, diameter)
    first = formats.pop("cut R2000 mm")
    for name, circles in formats.items():
        np.testing.assert_allclose(circles, first, rtol=0, atol=FILE_TOLERANCE, err_msg=name)


def test_a_hole_that_is_moved_does_not_pass_unseen() -> None:
    formats = found_in_each_format(ring(), 240.0)
    moved = [circle._replace(x=circle.x + 0.01) for circle in formats["svg"]]
    with pytest.raises(AssertionError):
        np.testing.assert_allclose(moved, formats["pdf"], rtol=0, atol=FILE_TOLERANCE)
