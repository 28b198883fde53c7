"""The lines of a sheet by ISO and by ASME, as they are told apart on paper: widths and dashes."""

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.layers import Layer
from rows import every_row

# ISO 128-2, lines 02.1 and 04.1 in group 0.5: dashes of 12 and 24 widths, gaps of 3, dots of a half (from memory).
# ASME Y14.2: hidden lines of 3 mm and gaps of 1 mm, centerlines of 20, 1.5, 3 and 1.5 mm (from memory).
LINES = [
    (Convention.ISO, Layer.HIDDEN, 0.25, (3.0, 0.75)),
    (Convention.ISO, Layer.CENTERLINE, 0.25, (6.0, 0.75, 0.125, 0.75)),
    (Convention.ISO, Layer.OUTLINE, 0.5, ()),
    (Convention.ASME, Layer.HIDDEN, 0.3, (3.0, 1.0)),
    (Convention.ASME, Layer.CENTERLINE, 0.3, (20.0, 1.5, 3.0, 1.5)),
    (Convention.ASME, Layer.OUTLINE, 0.6, ()),
]


@every_row(("convention", "layer", "width", "dashes"), LINES)
def test_a_line_has_the_width_and_the_dashes_of_its_standard(
    convention: Convention, layer: Layer, width: float, dashes: tuple[float, ...]
) -> None:
    pen = convention.pen(layer)
    assert pen.width_paper == width
    assert pen.dashes_paper == pytest.approx(dashes)
