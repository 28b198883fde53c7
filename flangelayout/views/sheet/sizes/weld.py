"""The symbol of a seam whose words say all that it shows: a V from either side with its angle and the gap at the root.

Its elementary symbol stands on both sides of the reference line; the angle beyond either V, the gap within one (ISO
2553, AWS A2.4; both from memory). What is prepared from one side, or on one part, is left to its words: they do not
say which.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import product

from flangelayout.drawing.explode import arrow_head, items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import SegmentOutline, SplitOutline, joint_lines
from flangelayout.flange.segments import angle_of_double_v
from flangelayout.geometry.pieces import point_at
from flangelayout.geometry.shapes import Box, Line, Point, polar
from flangelayout.units import angle_text
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.look import Look, Option, placed

_HIGH, _HALF_TURN = 5.0, 30.0
"""Printed mm that a V is high, and degrees of either leg from the upright: the symbol is the same for any angle."""
_LINE, _AT = 14.0, 8.0
"""Printed mm of the reference line, and from its end at the arrow to the V."""
_OFF = 1.0
"""Printed mm from the symbol to the numbers at it."""
_WIDEST_GAP = 2.6
"""Printed mm that a number within a V is wide at the most."""
_TAILS = (12.0, 16.0, 21.0, 27.0, 34.0)
_WAYS = (30.0, -30.0, 50.0, -50.0, 150.0, -150.0, 130.0, -130.0, 70.0, -70.0, 110.0, -110.0)
_ACROSS = 0.5
"""Sine of the angle between an arrow and its joint at the least: one along it is not seen."""
_OFF_HOLES = 0.6
"""Printed mm from the arrow's line to a hole."""
_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85)
"""Where on a joint the arrow may come to it."""


def weld_items(look: Look, ink: Ink, room: Box, others: Sequence[Item]) -> Option:
    """The symbol at a joint where it crosses no text, its arrow neither a size nor a hole, the rest of it nothing.

    Args:
        look: What is drawn.
        ink: What stands there; what is placed is added to it.
        room: Where it stands, in mm: it takes no room from the views.
        others: What is crossed by none of it but its arrow, the plate's edges among them.
    """
    outline = look.flange.outline
    if not isinstance(outline, SegmentOutline | SplitOutline):
        return ()
    angle = angle_of_double_v(outline.joint)
    if angle is None:
        return ()
    lines, sizes = Ink(look.scale), Ink(look.scale)
    lines.add(others)
    sizes.add(each for each in others if each.layer is Layer.DIMENSION)
    for hole, ink_of in product(look.flange.holes(), (lines, sizes)):
        ink_of.add_disc(hole.center, hole.reach + look.real(_OFF_HOLES))
    return placed(ink, (each for each in _symbols(look, outline, angle) if _is_free(each, room, lines, sizes))) or ()


def _is_free(option: Option, room: Box, lines: Ink, sizes: Ink) -> bool:
    box = items_box(option, lines.scale)
    within = room.left <= box.left and box.right <= room.right and room.bottom <= box.bottom and box.top <= room.top
    arrow, *rest = (each.what for each in option if isinstance(each.what, Line))
    return within and not sizes.is_near(arrow) and not any(map(lines.is_near, rest))


def _symbols(look: Look, outline: SegmentOutline | SplitOutline, angle: float) -> Iterator[Option]:
    """The symbol in every place, those near its joint first."""
    ends = 2 if isinstance(outline, SegmentOutline) else outline.part_count
    for tail, share, joint, way in product(_TAILS, _SHARES, joint_lines(outline)[:ends], _WAYS):
        if abs(math.sin(math.radians(way - joint.start.direction_to(joint.end)))) >= _ACROSS:
            tip = point_at(joint, share)
            yield tuple(_symbol(look, tip, polar(look.real(tail), way, tip), angle, outline.gap))


def _symbol(look: Look, tip: Point, elbow: Point, angle: float, gap: float) -> Iterator[Item]:
    """Arrow, reference line, a V on either side of it, the angle beyond both, the gap within one."""
    out = 1.0 if elbow.x > tip.x else -1.0
    foot = elbow + Point(look.real(_AT * out), 0.0)
    lines = [Line(tip, elbow), Line(elbow, elbow + Point(look.real(_LINE * out), 0.0))]
    for up, aside in product((90.0, -90.0), (_HALF_TURN, -_HALF_TURN)):
        lines.append(Line(foot, polar(look.real(_HIGH), up + aside, foot)))
    yield from (Item(Layer.DIMENSION, line, Furniture("weld")) for line in lines)
    yield Item(Layer.DIMENSION, arrow_head(tip, elbow.direction_to(tip), look.scale), Furniture("weld"))
    letter = look.letter
    beyond = _HIGH + _OFF + letter / 2
    words = [(beyond, angle_text(angle)), (-beyond, angle_text(angle))]
    root = look.lengths.named(gap) if gap else ""
    if root and text_width(root, letter) <= _WIDEST_GAP:
        inside = _HIGH - letter / 2
        words.append((inside if look.convention.first_angle else -inside, root))
    for rise, text in words:
        at = foot + Point(0.0, look.real(rise))
        yield Item(Layer.TEXT, Label(at, text, letter, 0.0, Anchor.MIDDLE), Furniture("weld"))
