"""A boxed warning on a page: its title larger than the notes, a heavy frame round it."""

from collections.abc import Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.shapes import Box, Point, rectangle
from flangelayout.views.page.blocks import Block, PlacedBlock
from flangelayout.views.page.text import numbered, numbered_height, text_item

_PAD = 2.0
_FRAME_GAP = 0.8
"""Between the two lines of the frame."""


def alert_block(title: str, texts: Sequence[str], width: float, letter: float, heading: float) -> Block:
    """A warning in a double frame, its texts numbered where there are several.

    Args:
        title: What is to be done.
        texts: Why, one or more.
        width: Of the frame in printed mm; more where the title needs it.
        letter: Height of the capitals of the texts.
        heading: Of the title.
    """
    width = max(width, text_width(title, heading) + 2 * _PAD + 2 * _FRAME_GAP)
    lead = 2 * _PAD + heading
    height = lead + numbered_height(width - 2 * _PAD, texts, letter) + 0.5

    def draw(at: Point) -> PlacedBlock:
        outer = Box(at.x, at.y - height, at.x + width, at.y)
        frame = [Item(Layer.OUTLINE, rectangle(box), Furniture("alert")) for box in (outer, outer.grown(-_FRAME_GAP))]
        words, _ = _words(texts, Point(at.x, at.y - lead), width, letter)
        return PlacedBlock((*frame, text_item(Point(at.x + _PAD, at.y - _PAD - heading), title, heading), *words))

    return Block(width, height, draw)


def _words(texts: Sequence[str], at: Point, width: float, letter: float) -> tuple[list[Item], float]:
    return numbered(at.x + _PAD, at.y, width - 2 * _PAD, texts, letter)
