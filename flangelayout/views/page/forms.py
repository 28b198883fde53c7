"""Lists to be written in at the bench: rows high enough for a gloved hand, blanks, numbers in rings, tick boxes."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.shapes import Box, Circle, Line, Point, rectangle
from flangelayout.views.page.blocks import Block, PlacedBlock

BLANK = 20.0
"""Least width in printed mm of a place to write a figure in."""
_PAD = 2.0
_HEAVY = 0.35
"""What the second line of a heavy ring stands outside of the first, in printed mm."""
_TICK, _STEP, _SIGN = 5.4, 9.0, 13.0
"""Side of a tick box, from one to the next, room to sign in, at the least."""
_LEAST_SIGN, _SIGN_GAP = 15.0, 4.0
"""Printed mm that a line to sign on is long at the least, and from its end to the next."""
_SIGNED = 0.55
"""Share of its block that a verdict spans: the lines to sign on stand at the height of the last tick box."""
_FORM = Furniture("form")


class Form(Struct, frozen=True):
    """Heads over rows of texts, the last column left blank.

    Attributes:
        heads: Of the columns; the blank's is the last.
        rows: Of texts, one fewer than heads.
        ringed: How many rows from the first have their first text in a heavy ring; the rest have a light one.
            ``None`` where the first text stands bare.
        bare: First texts without a ring all the same.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    ringed: int | None = None
    bare: frozenset[str] = frozenset()


def form_width(form: Form, letter: float) -> float:
    """In printed mm."""
    return sum(_widths(form, letter))


def form_block(form: Form, letter: float, row: float, width: float = 0.0) -> Block:
    """A form as a block, at least ``width`` wide: what is left over widens the blank."""
    widths = _widths(form, letter)
    widths[-1] += max(width - sum(widths), 0.0)
    height = row * (len(form.rows) + 1)
    return Block(sum(widths), height, lambda at: PlacedBlock(tuple(_items(form, widths, letter, row, at))))


def _widths(form: Form, letter: float) -> list[float]:
    columns = list(zip(form.heads, *((*row, "") for row in form.rows), strict=True))
    widths = [max(text_width(text, letter) for text in column) + 2 * _PAD for column in columns]
    if form.ringed is not None:
        widths[0] = max(widths[0], 2 * (ring_radius(letter) + _HEAVY) + 1.0)
    widths[-1] = max(widths[-1], BLANK)
    return widths


def ring_radius(letter: float) -> float:
    """Of a ring that holds two figures, in printed mm."""
    return letter * 1.22


def least_row(letter: float) -> float:
    """Height of a row that holds a heavy ring, in printed mm."""
    return 2 * (ring_radius(letter) + _HEAVY) + 0.6


def ring_items(at: Point, text: str, letter: float, heavy: bool) -> Iterator[Item]:
    """A number in a ring; in a heavy one where it comes first."""
    radius = ring_radius(letter)
    for each in (radius, radius + _HEAVY) if heavy else (radius,):
        yield Item(Layer.OUTLINE if heavy else Layer.DIMENSION, Circle(at, each), _FORM)
    yield Item(Layer.TEXT, Label(at, text, letter, 0.0, Anchor.MIDDLE), _FORM)


def _items(form: Form, widths: Sequence[float], letter: float, row: float, at: Point) -> Iterator[Item]:
    edges = [at.x + sum(widths[:index]) for index in range(len(widths) + 1)]
    low = at.y - row * (len(form.rows) + 1)
    yield Item(Layer.OUTLINE, rectangle(Box(at.x, low, edges[-1], at.y)), _FORM)
    for x in edges[1:-1]:
        yield Item(Layer.TABLE, Line(Point(x, low), Point(x, at.y)), _FORM)
    for number in range(1, len(form.rows) + 1):
        y = at.y - row * number
        layer = Layer.OUTLINE if number == (form.ringed or 0) + 1 else Layer.TABLE
        yield Item(layer, Line(Point(at.x, y), Point(edges[-1], y)), _FORM)
    for number, texts in enumerate((form.heads, *form.rows)):
        y = at.y - row * (number + 0.5)
        for index, text in enumerate(texts):
            middle = Point((edges[index] + edges[index + 1]) / 2, y)
            if number and index == 0 and form.ringed is not None and text not in form.bare:
                yield from ring_items(middle, text, letter, number <= form.ringed)
            elif text:
                yield Item(Layer.TEXT, Label(middle, text, letter, 0.0, Anchor.MIDDLE), _FORM)


def verdict_width(verdicts: Sequence[str], signs: Sequence[str], letter: float) -> float:
    """What a block of verdicts takes at the least, so that what belongs under its lines stands apart."""
    return _verdicts_wide(verdicts, letter) + 3 * _PAD + sum(_signs_wide(signs, letter))


def _verdicts_wide(verdicts: Sequence[str], letter: float) -> float:
    return max(text_width(text, letter) for text in verdicts) + _tick(letter) + 2.5


def _tick(letter: float) -> float:
    """Side of a tick box: higher than the letters beside it."""
    return max(_TICK, letter * 1.6)


def _signs_wide(signs: Sequence[str], letter: float) -> list[float]:
    """What each line to sign on takes at the least, with the gap behind it."""
    return [max(text_width(sign, letter), _LEAST_SIGN) + _SIGN_GAP for sign in signs]


def verdict_block(verdicts: Sequence[str], signs: Sequence[str], letter: float, width: float) -> Block:
    """A tick box before each verdict, and beside them, or below, lines to sign on with what belongs there beneath."""
    told, is_below = _verdicts_wide(verdicts, letter), width < verdict_width(verdicts, signs, letter)
    tick, step = _tick(letter), max(_STEP, letter * 2.4)
    left, down = (0.0, step * len(verdicts)) if is_below else (told + 3 * _PAD, 0.0)
    height = max(step * len(verdicts), down + _SIGN + letter * 1.6) + 1.0
    least = _signs_wide(signs, letter)
    more = max(width - left - sum(least), 0.0) / len(signs)

    def draw(at: Point) -> PlacedBlock:
        items: list[Item] = []
        for number, text in enumerate(verdicts):
            y = at.y - 1.0 - step * number
            items.append(Item(Layer.OUTLINE, rectangle(Box(at.x, y - tick, at.x + tick, y)), _FORM))
            place = Point(at.x + tick + 2.5, y - tick / 2)
            items.append(Item(Layer.TEXT, Label(place, text, letter, 0.0, Anchor.MIDDLE_LEFT), _FORM))
        start, y = at.x + left, at.y - down - _SIGN
        for wide, text in zip(least, signs, strict=True):
            end = Point(start + wide + more - _SIGN_GAP, y)
            items.append(Item(Layer.OUTLINE, Line(Point(start, y), end), _FORM))
            items.append(Item(Layer.TEXT, Label(Point(start, y - letter * 1.6), text, letter), _FORM))
            start += wide + more
        return PlacedBlock(tuple(items))

    return Block(max(width, told, left + sum(least)), height, draw, spanned=_SIGNED)
