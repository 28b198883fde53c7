"""One leader: its parts, whether its words are clear and read alone, which holes its line passes."""

from collections.abc import Iterable, Iterator

from flangelayout.drawing.explode import explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Leader
from flangelayout.flange import Hole
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.shapes import Line
from flangelayout.views.page.text_clearance import Ink, corners_of

ALONE = 1.5
"""Printed mm from the words of a leader to others, and from those over the middle of a plate to TOP, if that can be."""


def leader_of(item: Item) -> Leader:
    """The leader that an item is."""
    assert isinstance(item.what, Leader)
    return item.what


def lines_of(leader: Leader, scale: float) -> Iterator[Line]:
    """The line of a leader and its shelf."""
    return (part for part in explode(leader, scale) if isinstance(part, Line))


def is_clear(ink: Ink, leader: Leader) -> bool:
    """Whether neither the words of a leader nor its line meet what they may not."""
    return ink.is_clear_of([Item(Layer.DIMENSION, leader)])


def text_meets(leader: Leader, ink: Ink) -> bool:
    """Whether the words of a leader meet anything."""
    return any(ink.meets(corners_of(label, ink.scale)) for label in labels_of(leader, ink.scale))


def is_alone(leader: Leader, ink: Ink, apart: float = ALONE) -> bool:
    """Whether no other words stand so near a leader's, in printed mm, that they are read with them."""
    return not any(ink.has_text_near(corners_of(label, ink.scale), apart) for label in labels_of(leader, ink.scale))


def labels_of(leader: Leader, scale: float) -> Iterator[Label]:
    """The words of a leader, line by line."""
    return (part for part in explode(leader, scale) if isinstance(part, Label))


def crosses(line: Line, holes: Iterable[Hole], by: float = 0.0) -> bool:
    """Whether a leader passes over a hole, or nearer by it than so many mm; its own lies behind its tip."""
    step, length = line.end - line.start, line.start.distance_to(line.end)
    if length == 0:
        return False
    for hole in holes:
        away = hole.center - line.start
        along = (away.x * step.x + away.y * step.y) / length
        off = abs(away.x * step.y - away.y * step.x) / length
        near = 0 < along < length and off < hole.reach + by
        if near and spine_distance(line, hole.spine) < hole.face_diameter / 2 + by:
            return True
    return False
