"""Plain texts on a page: single lines, wrapped paragraphs, numbered lists."""

from collections.abc import Iterable, Sequence

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.geometry.shapes import Box, Point

LINE_PITCH = 1.6
"""From one baseline to the next, in heights of the capitals."""
BETWEEN = 0.35
"""What paragraphs stand farther apart than lines, in line pitches."""


def text_item(at: Point, text: str, height: float, anchor: Anchor = Anchor.LEFT, turn: float = 0.0) -> Item:
    """One line of text on the paper."""
    return Item(Layer.TEXT, Label(at, text, height, turn, anchor), Furniture("text"))


def headed(title: str, identity: str, room: Box) -> tuple[list[Item], float]:
    """What stands over a page of a report: its title, and the identity in as many lines as it needs.

    Returns:
        The items and the y below them, where the page may begin.
    """
    lines, below = paragraph(room.left, room.top - 7.9, room.width, (identity,), 2.6, between=0.0)
    return [text_item(Point(room.left, room.top - 5.0), title, 4.0), *lines], below - 2.94


def paragraph(
    left: float, top: float, width: float, texts: Iterable[str], height: float, between: float = BETWEEN
) -> tuple[list[Item], float]:
    """Wrapped texts, each beginning on a new line.

    Returns:
        The items and the y below them, where the next thing may begin.
    """
    items, pitch = [], height * LINE_PITCH
    for text in texts:
        for line in wrapped(text, width, height):
            items.append(text_item(Point(left, top - height), line, height))
            top -= pitch
        top -= pitch * between
    return items, top


def paragraph_height(width: float, texts: Iterable[str], height: float, between: float = BETWEEN) -> float:
    """How far :func:`paragraph` comes down."""
    return sum(len(wrapped(text, width, height)) + between for text in texts) * height * LINE_PITCH


def numbered_height(width: float, texts: Sequence[str], height: float, first: int = 1) -> float:
    """How far :func:`numbered` comes down."""
    return paragraph_height(width - _indent(texts, height, first), texts, height)


def _indent(texts: Sequence[str], height: float, first: int) -> float:
    return text_width(f"{first + len(texts) - 1}. ", height) + 0.8


def numbered(
    left: float, top: float, width: float, texts: Sequence[str], height: float, first: int = 1
) -> tuple[list[Item], float]:
    """Wrapped texts as :func:`paragraph`, each with its number before it; further lines stand under the first."""
    items: list[Item] = []
    indent = _indent(texts, height, first)
    for number, text in enumerate(texts, first):
        items.append(text_item(Point(left, top - height), f"{number}.", height))
        lines, top = paragraph(left + indent, top, width - indent, (text,), height)
        items += lines
    return items, top


def identity_line(info: JobInfo, stamp: Stamp) -> str:
    """Number, revision, digest and title, as far as there are any: what tells a stale print from a fresh one."""
    number = f"{info.number} rev {info.revision}" if info.revision else info.number
    return " · ".join(filter(None, (number, stamp.digest[:10], info.title)))
