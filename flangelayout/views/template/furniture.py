"""What stands round the window of a template page: scale bars, identity, TOP, and how to print."""

from collections.abc import Iterator, Sequence
from itertools import compress

from msgspec import Struct

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Solid, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import wrapped, wrapped_at_commas
from flangelayout.flange import Flange, Hole
from flangelayout.flange.sector import AlikePart
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.units import Unit
from flangelayout.views.page.text import identity_line, text_item
from flangelayout.views.template.measured.across import paper_check
from flangelayout.views.template.measured.bars import PageBars, accept_text, bar_length, bar_text, rule_margin
from flangelayout.views.template.tiling import Tile, Tiling
from flangelayout.views.words.call_outs import seen_from
from flangelayout.views.words.numbering import holes_in_words

LEFT_STRIP = 10.0
BOTTOM_STRIP = 8.5
LINE_PITCH = 4.0
_TEXT = 2.5
_TILE_TEXT_WIDTH = 84.0
_FIRST_LINE = 9.3
"""Printed mm from the window down to the identity; the next lines follow."""
_LEAST_IDENTITY = 30.0
"""Printed mm beside the number of the page for which it is worth to begin the identity there."""
PRINT_WORDS = 'PRINT ON ONE SIDE ONLY, AT 100 % / ACTUAL SIZE, NEVER "FIT TO PAGE". MEASURE BOTH BARS FIRST.'


class Subject(Struct, frozen=True):
    """What every page of a template is about.

    Attributes:
        flange: The plate, its face the one that the pages show.
        info: Of the job.
        stamp: Of the job.
        unit: Of the numbers shown.
        drawn: Where the pages show the back: the plate as its sheet shows it.
        part: Where the plate is one part of a ring and the template serves all of them.
    """

    flange: Flange
    info: JobInfo
    stamp: Stamp
    unit: Unit
    drawn: Flange | None = None
    part: AlikePart | None = None

    @property
    def is_back(self) -> bool:
        """Whether the pages show the back."""
        return self.drawn is not None

    @property
    def pointer(self) -> str:
        """What is up on every page: the top of the plate; of parts alike only one has it."""
        return "UP" if self.part else "TOP"

    def shares(self) -> tuple[tuple[Hole, ...], ...]:
        """The holes of every part that the template serves, those that it shows first."""
        if self.part is None:
            return ()
        shown = {hole.label for hole in self.flange.shown_holes()}
        seen = [hole.label in shown for hole in self.part.shares[0]]
        return tuple(tuple(compress(share, seen)) for share in self.part.shares)


def page_furniture(window: Box, subject: Subject, lines: Sequence[str], pointer: str = "") -> tuple[Item, ...]:
    """Everything that is the same on every tile.

    Args:
        window: The part of the page that shows the template.
        subject: What is printed on all pages.
        lines: At the foot, as :func:`foot_lines` has them.
        pointer: What the arrow in the corner points to, where that is not what is up.
    """
    bars = PageBars(subject.flange, subject.unit, window)
    return (*bars.across(), *bars.upward(), *_arrow(window, pointer or subject.pointer), *_lines(lines, window, 0))


def foot_lines(subject: Subject, window: Box, notes: Sequence[str]) -> tuple[str, ...]:
    """What every page says at its foot, whole, in as many lines as the width of its window asks for.

    The identity begins beside the number of the page; the ``notes`` stand last.
    """
    identity = identity_line(subject.info, subject.stamp)
    beside = max(window.width - _TILE_TEXT_WIDTH, 0.0)
    first = wrapped(identity, beside, _TEXT)[0] if beside > _LEAST_IDENTITY else ""
    said = (
        " ".join(identity.split()).removeprefix(first),
        PageBars(subject.flange, subject.unit, window).words(),
        PRINT_WORDS,
        f"{seen_from(subject.flange, subject.is_back)} · SIZES IN {subject.unit.value} · hole circles at finished size",
        *use_lines(subject),
        *notes,
    )
    return first, *(line for text in said for line in lines_of(text, window))


def use_lines(subject: Subject) -> tuple[str, ...]:
    """How often a template of one part of a ring serves."""
    if subject.part is None:
        return ()
    count, but = len(subject.part.shares), " BUT FOR THE NUMBERS OF THEIR HOLES" if any(subject.shares()) else ""
    return (f"ONE OF {count} PARTS: USE {count} TIMES FOR A RING, THEY ARE ALIKE{but}",)


def shares_in_words(subject: Subject) -> tuple[str, ...]:
    """The holes of every part that the template serves, those that it shows first; none where it shows none."""
    shares = subject.shares()
    return tuple(map(holes_in_words, shares)) if any(shares) else ()


def way_round(subject: Subject) -> str:
    """Which way the parts of a ring follow each other as the pages show them."""
    return "CLOCKWISE" if subject.is_back else "COUNTER-CLOCKWISE"


def share_lines(subject: Subject) -> tuple[str, ...]:
    """Which holes of the other parts those of a template of one part stand for, where there is no cover to tell it."""
    own, *others = shares_in_words(subject) or ("",)
    if not others:
        return ()
    parts = "PART" if len(others) == 1 else "PARTS"
    return (f"HOLES {own}, ON THE NEXT {parts} {way_round(subject)}: {'; '.join(others)}",)


def lines_of(text: str, window: Box, mark: str = "") -> tuple[str, ...]:
    """A text at the foot, in lines as wide as the window, broken behind a mark alone where that can be."""
    width = window.width - 1.0
    return wrapped_at_commas(text, width, _TEXT, mark) if mark else wrapped(text, width, _TEXT)


def tile_line(text: str, window: Box) -> Item:
    """Which of the pages this is, at the right of the identity."""
    return text_item(Point(window.right, window.bottom - _FIRST_LINE), text, _TEXT, Anchor.RIGHT)


def note_lines(text: str, window: Box, row: int) -> Iterator[Item]:
    """A text of one page alone, below the ``row`` lines that every page has at its foot."""
    yield from _lines(lines_of(text, window), window, row)


def _lines(lines: Sequence[str], window: Box, row: int) -> Iterator[Item]:
    for rank, line in enumerate(lines, row):
        yield text_item(Point(window.left + 1.0, window.bottom - _FIRST_LINE - LINE_PITCH * rank), line, _TEXT)


def tile_text(tile: Tile, number: int, tiling: Tiling, is_back: bool) -> str:
    """Which of the tiles this is."""
    side, count = "BACK · " if is_back else "", len(tiling.tiles)
    place = f"ROW {tile.row} of {tile.of_row} · COLUMN {tile.column} of {tile.of_column} · " if count > 1 else ""
    return f"{side}{place}TILE {number} of {count}"


def verdict_lines(flange: Flange, window: Box, unit: Unit, seams: Sequence[Line] = ()) -> tuple[str, ...]:
    """What to measure on pages without a cover: both bars, and lengths on the paper, with room for what is read."""
    bars = (
        f"BAR {axis}: {bar_text(length, unit)}, read ____________, "
        f"accept {accept_text(length, rule_margin(flange, length, unit), unit)}"
        for axis, length in (("X", bar_length(window.width, unit)), ("Y", bar_length(window.height, unit)))
    )
    lengths = paper_check(flange, unit, seams).lengths
    return (*bars, *(f"ON THE PAPER {length.words}, read ____________" for length in lengths))


def _arrow(window: Box, pointer: str) -> Iterator[Item]:
    """TOP (or another word) with an arrow, in the corner that the two strips leave free."""
    x, low = window.left - LEFT_STRIP / 2 - 0.5, window.bottom - 17.0
    tip = Point(x, low + 13.0)
    yield Item(Layer.TEXT, Solid((tip, Point(x - 2.0, tip.y - 5.0), Point(x + 2.0, tip.y - 5.0))), Furniture("top"))
    yield Item(Layer.BORDER, Line(Point(x, low + 3.6), Point(x, tip.y - 5.0)), Furniture("top"))
    yield Item(Layer.TEXT, Label(Point(x, low), pointer, 2.5, 0.0, Anchor.CENTER), Furniture("top"))
