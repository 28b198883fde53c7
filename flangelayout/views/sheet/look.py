"""How a layout view is drawn: the plate, how its lengths are written, by which rules, at what scale."""

import math
from collections.abc import Iterable
from itertools import islice

from msgspec import Struct

from flangelayout.drawing.convention import Convention, DimensionStyle
from flangelayout.drawing.explode import explode, items_box
from flangelayout.drawing.model import Item
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Line
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.words.lengths import Lengths

Option = tuple[Item, ...]
DETAIL_LETTER = "Z"
_MOST_APART, _FARTHER = 40, 12.0
"""Ways to draw a leader that are looked at for one that crosses no size, and printed mm that it is longer for that."""


class Look(Struct, frozen=True):
    """A plate to be drawn.

    Attributes:
        flange: What is shown.
        lengths: How its lengths are written.
        convention: The rules it is drawn by.
        scale: Printed mm for a real mm.
    """

    flange: Flange
    lengths: Lengths
    convention: Convention
    scale: float

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
    """As :func:`placed` for leaders; of the first few that cross no text one that crosses none of some lines, if any.

    Args:
        ink: What stands there; the option is taken into it.
        options: Each with its leader last.
        lines: Those of sizes, which a leader crosses only where there is no other place (ISO 129-1).
        right: In mm, how far such a one may reach.
    """
    clear = filter(ink.is_clear_of, options)
    chosen = first = next(clear, None)
    if first and lines.is_near(_shank(first, ink.scale)):
        most = _length(_shank(first, ink.scale)) + _FARTHER / ink.scale
        others = ((option, _shank(option, ink.scale)) for option in islice(clear, _MOST_APART))
        apart = (option for option, line in others if _length(line) <= most and not lines.is_near(line))
        chosen = next((option for option in apart if items_box(option, ink.scale).right <= right), first)
    ink.add(chosen or ())
    return chosen


def _shank(option: Option, scale: float) -> Line:
    """The line of a leader."""
    return next(part for part in explode(option[-1].what, scale) if isinstance(part, Line))


def _length(line: Line) -> float:
    return line.start.distance_to(line.end)
