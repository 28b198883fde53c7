"""How a layout view is drawn: the plate, how its lengths are written, by which rules, at what scale."""

import math
from collections.abc import Iterable
from itertools import islice

from msgspec import Struct

from flangelayout.drawing.convention import Convention, DimensionStyle
from flangelayout.drawing.explode import explode, items_box
from flangelayout.drawing.model import Item, Label, Leader
from flangelayout.flange import Flange
from flangelayout.geometry.pieces import length_of
from flangelayout.geometry.shapes import Box, Line
from flangelayout.views.page.text_clearance import Corners, Ink, corners_of
from flangelayout.views.words.lengths import Lengths

Option = tuple[Item, ...]
DETAIL_LETTER = "Z"
_MOST_APART, _FARTHER = 60, 20.0
"""Ways to draw a leader that are looked at for one that crosses no size, and printed mm that it is longer for that."""

_ALONE = 2.0
"""Printed mm from the words at a leader to others, if that can be."""

LEAST_NUMBERED_WITHIN = 130.0
"""Printed mm of a plate round which any paper has room for numbers at the ends of lines."""


class Look(Struct, frozen=True):
    """A plate to be drawn.

    Attributes:
        flange: What is shown.
        lengths: How its lengths are written.
        convention: The rules it is drawn by.
        scale: Printed mm for a real mm.
        left: How far left of the middle of the plate words at leaders stand at the most, in printed mm with its sign.
        numbered_within: Printed mm of a plate round which the paper has room for numbers at the ends of lines.
    """

    flange: Flange
    lengths: Lengths
    convention: Convention
    scale: float
    left: float = -math.inf
    numbered_within: float = LEAST_NUMBERED_WITHIN

    @property
    def box(self) -> Box:
        """What the plate takes up, in mm."""
        return self.flange.box()

    @property
    def section_letter(self) -> str:
        """Of the section: A, or Y where letters name groups of holes."""
        return "Y" if self.flange.group_letter(0) else "A"

    @property
    def style(self) -> DimensionStyle:
        """Where dimension texts stand."""
        return self.convention.dimension_style

    @property
    def letter(self) -> float:
        """Height of the smallest capitals in printed mm."""
        return self.style.text_height

    @property
    def heading(self) -> float:
        """Height of the capitals of names and of letters of planes, in printed mm."""
        return self.convention.heading_height

    def real(self, printed: float) -> float:
        """Real mm of a printed length."""
        return printed / self.scale


def placed(ink: Ink, options: Iterable[Option]) -> Option | None:
    """The first of several ways to draw a thing that crosses no text; taken into the ink. ``None`` if none does."""
    return next((option for option in options if ink.takes(option)), None)


def placed_apart(ink: Ink, options: Iterable[Option], lines: Ink, right: float = math.inf) -> Option | None:
    """As :func:`best_apart`; it is taken into the ink."""
    chosen = best_apart(ink, options, lines, right)
    ink.add(chosen or ())
    return chosen


def best_apart(ink: Ink, options: Iterable[Option], lines: Ink, right: float = math.inf) -> Option | None:
    """As :func:`placed` for leaders; of the first few that cross no text one that crosses none of some lines, if any.

    One whose words are read with no others is taken rather. It is not taken into the ink.

    Args:
        ink: What stands there.
        options: Each with its leader last.
        lines: Those of sizes, which a leader crosses only where there is no other place (ISO 129-1).
        right: In mm, how far such a one may reach.
    """
    clear = (option for option in options if ink.is_clear_of(option) and _is_clear_block(ink, option))
    first = next(clear, None)
    if first is None:
        return None
    chosen = first
    if lines.is_near(_shank(first, ink.scale)) or not _is_alone(ink, first):
        most = length_of(_shank(first, ink.scale)) + _FARTHER / ink.scale
        others = [option for option in islice(clear, _MOST_APART) if length_of(_shank(option, ink.scale)) <= most]
        narrow = [option for option in others if items_box(option, ink.scale).right <= right]
        apart = [option for option in (first, *narrow) if not lines.is_near(_shank(option, ink.scale))]
        chosen = next((option for option in apart if _is_alone(ink, option)), next(iter(apart), first))
    return chosen


def _is_clear_block(ink: Ink, option: Option) -> bool:
    """Whether nothing runs between the lines of words at a leader."""
    rows = _rows(ink, option)
    xs, ys = ([at[axis] for corners in rows for at in corners] for axis in (0, 1))
    return len(rows) < 2 or not ink.meets(
        ((min(xs), min(ys)), (max(xs), min(ys)), (max(xs), max(ys)), (min(xs), max(ys)))
    )


def _is_alone(ink: Ink, option: Option) -> bool:
    """Whether the words at a leader are read with no others."""
    return not any(ink.has_text_near(corners, _ALONE) for corners in _rows(ink, option))


def _rows(ink: Ink, option: Option) -> list[Corners]:
    """The rooms of the words at a leader, row by row; none of another thing."""
    what = option[-1].what
    parts = explode(what, ink.scale) if isinstance(what, Leader) else ()
    return [corners_of(part, ink.scale) for part in parts if isinstance(part, Label)]


def _shank(option: Option, scale: float) -> Line:
    """The line of a leader."""
    return next(part for part in explode(option[-1].what, scale) if isinstance(part, Line))
