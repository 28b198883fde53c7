"""A boxed warning on a page: its title larger than the notes, a heavy frame round it."""

from collections.abc import Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Point, rectangle
from flangelayout.views.page.text import paragraph, text_item

_TITLE_HEIGHT = 3.5
_TEXT_HEIGHT = 2.5
_PAD = 2.0
_FRAME_GAP = 0.8
"""Between the two lines of the frame."""


def alert_items(left: float, top: float, width: float, title: str, texts: Sequence[str]) -> tuple[list[Item], float]:
    """A warning whose frame has its upper left corner at (``left``, ``top``); nothing without texts.

    Returns:
        The items and the y below the frame, where the next thing may begin.
    """
    if not texts:
        return [], top
    baseline = top - _PAD - _TITLE_HEIGHT
    words, below = paragraph(left + _PAD, baseline - _PAD, width - 2 * _PAD, texts, _TEXT_HEIGHT)
    outer = Box(left, below + 0.5, left + width, top)
    gap = _FRAME_GAP
    inner = Box(outer.left + gap, outer.bottom + gap, outer.right - gap, outer.top - gap)
    frame = [Item(Layer.OUTLINE, rectangle(box), Furniture("alert")) for box in (outer, inner)]
    return [*frame, text_item(Point(left + _PAD, baseline), title, _TITLE_HEIGHT), *words], outer.bottom
