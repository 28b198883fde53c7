from itertools import groupby

from flangelayout.drawing.layers import Layer
from rows import every_row


def test_one_line_type_has_one_pattern() -> None:
    pens = sorted((layer.pen.line_type, layer.pen.dashes_paper) for layer in Layer)
    for name, patterns in groupby(pens, key=lambda pen: pen[0]):
        assert len(set(patterns)) == 1, name


@every_row("layer", list(Layer))
def test_a_layer_can_stand_in_any_file(layer: Layer) -> None:
    pen = layer.pen
    assert set(pen.name) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_")
    assert len(pen.name) <= 31
    assert len(pen.dashes_paper) % 2 == 0
    assert bool(pen.dashes_paper) == (pen.line_type != "CONTINUOUS")
    assert 1 <= pen.color <= 255
    behind = layer in (Layer.SHADE, Layer.TILE_NUMBER)  # stands under what is read
    paper = layer is Layer.CLEAR  # hides what is under it
    assert pen.gray == 1.0 if paper else 0.75 <= pen.gray < 1.0 if behind else 0.0 <= pen.gray < 0.5


def test_wide_lines_are_twice_as_wide_as_narrow_ones() -> None:
    # ISO 128-2: the widths of narrow and wide lines stand in the ratio 1:2.
    assert Layer.OUTLINE.pen.width_paper == 2 * Layer.CENTERLINE.pen.width_paper


def test_template_lines_are_hairlines() -> None:
    template = [layer for layer in Layer if layer.name.startswith("TEMPLATE")]
    assert len(template) == 4
    assert all(layer.pen.width_paper <= 0.2 for layer in template)
