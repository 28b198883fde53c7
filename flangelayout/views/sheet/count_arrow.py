"""The arrow along a bolt circle that says which way its holes are counted where not all bear their number."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.drawing.explode import ARROW_LENGTH, arrow_head
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import GroupRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Hole
from flangelayout.geometry.shapes import ORIGIN, Arc, polar
from flangelayout.views.sheet.look import Look, Option

_WORDS = "count this way"
_ARROW, _LEAST_ARROW_RADIUS = 22.0, 14.0
"""Printed mm that the arrow is long, and the least radius it is bent by."""
_ARROW_OFFS = (-11.0, -14.0, -18.0, -8.0, -24.0, -21.0, -30.0, -36.0)
_OFF_CIRCLES = 2.0
"""Printed mm from the arrow to the holes of a circle."""
_ARROW_LEADS = (4.0, 20.0, 40.0, 60.0, 110.0, 150.0, 200.0, 250.0, 290.0)
"""Where the arrow is tried: printed mm from the circle, degrees from hole 1."""


def count_arrows(look: Look, group: int, holes: Sequence[Hole]) -> Iterator[Option]:
    """A short arc with an arrow along the circle, the way its holes count, and what it means."""
    circle = look.flange.groups()[group]
    if not isinstance(circle, BoltCircle) or not holes:
        return
    letter = look.flange.group_letter(group)
    words = f"{letter}: {_WORDS}" if letter else _WORDS
    for off in _ARROW_OFFS:
        radius = circle.diameter / 2 + look.real(off)
        if radius > look.real(_LEAST_ARROW_RADIUS) and _is_off_circles(look, radius):
            for lead in _ARROW_LEADS:
                yield _count_arrow(look, GroupRef(group), words, radius, holes[0].angle + lead)


def _is_off_circles(look: Look, radius: float) -> bool:
    """Whether an arrow of a radius keeps off the holes of every bolt circle, so as to be read with none of another."""
    return all(
        abs(each.diameter / 2 - radius) > each.hole_diameter / 2 + look.real(_OFF_CIRCLES)
        for each in look.flange.bolt_circles
    )


def _count_arrow(look: Look, source: GroupRef, said: str, radius: float, start: float) -> Option:
    """The arrow from a direction on, its words inside of it."""
    sweep = min(math.degrees(look.real(_ARROW) / radius), 60.0)
    bent = math.degrees(look.real(ARROW_LENGTH) / radius)
    head = arrow_head(polar(radius, start + sweep), start + sweep - bent / 2 + 90.0, look.scale)
    height, middle = look.convention.letter_height, start + sweep / 2
    turn, wide = math.radians(middle), text_width(said, height) / 2
    room = abs(math.cos(turn)) * wide + abs(math.sin(turn)) * height / 2
    bulge = (abs(math.sin(turn)) * wide + height) ** 2 / (2 * radius * look.scale)
    words = Label(polar(radius - look.real(room + bulge + 1.2), middle), said, height, 0.0, Anchor.MIDDLE)
    return (
        Item(Layer.DIMENSION, Arc(ORIGIN, radius, start, sweep), source),
        Item(Layer.DIMENSION, head, source),
        Item(Layer.TEXT, words, source),
    )
