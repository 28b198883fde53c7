"""The words at a seam: along it, on paper left free beyond it, square to it, or tied to it by a leader."""

from collections.abc import Iterator, Sequence
from itertools import chain, product

from msgspec import Struct

from flangelayout.drawing.explode import arrow_head
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.shapes import Box, Line, Point, box_around
from flangelayout.views.template.edges.clear_places import PATCH, Choice, PageWords
from flangelayout.views.template.edges.join_marks import HALF_MARK
from flangelayout.views.template.edges.sides import beyond, inward
from flangelayout.views.template.tiling import Tile, TileJoint

_TEXT, _LOWEST = 2.5, 2.1
"""Height of the words in mm, and how far they reach from their middle, tails of letters included."""
_SEAM, _LEADER = Furniture("seam"), Furniture("leader")
_OFF_SEAM = _TEXT / 2 + 1.2
"""How far in mm from a seam the middle of its words stands."""
WORDS_REACH = _TEXT + 2.9
"""How far in mm from a seam words along it reach."""
_OFF_MARK = 0.5
"""How far in mm words along a seam keep from a join mark."""
_SQUARE_OFF = 1.2
"""How far in mm from a seam words begin that stand square to it."""
_LED_OFF = (5.0, 8.0, 11.0, 13.5)
"""Likewise where a leader ties them to it."""
_OFF_OTHERS = 1.6
"""How far in mm words of a seam keep from the lines of others, so that nobody takes them for theirs."""
_OFF_LEADER = 0.5
"""How far in mm words keep from a leader."""
_OFF_LINE = 0.5
"""How far in mm a leader keeps from words, and its own words from what it leads to."""
_LEAST_OFF = 1.85
"""How far in mm from a seam the middle of words stands on a narrow strip."""
_ROOMY = 3.7
"""Width in mm of a strip below which its words would stand on its line: they do so for want of room alone."""
_PAST_MARKS = HALF_MARK + _TEXT / 2 + 1.3
"""How far in mm from a seam words stand that have no room beside its join marks."""
_PLACES_REACH = 45.0
"""How far in mm from a seam its words reach at most."""
_SHARES = tuple(0.5 + side * step / 40 for step in range(19) for side in ((1, -1) if step else (1,)))
"""Places of words along a seam, as shares of it, from the middle outward."""
_INNER, _SHORT_HALF = 23, 8.0
"""How many of these words have that are longer than twice so many mm."""


def seam_words(
    joint: TileJoint, tile: Tile, texts: Sequence[str], page: PageWords, others: Sequence[Box]
) -> Iterator[Item]:
    """What to do at a seam, the first of ``texts`` that finds room: along it, square to it, or tied to it by a leader.

    Args:
        joint: It.
        tile: The page.
        texts: What may be said, the longest first.
        page: Its words.
        others: The lines of other seams.
    """
    marks = tuple(sorted(joint.trim.start.distance_to(at) for at in joint.marks))
    seam = _Seam(joint.trim, inward(joint, tile).scaled(-1.0), beyond(joint, tile), marks)
    reach = box_around((joint.trim.start, joint.trim.end)).grown(_PLACES_REACH)
    off = [box.grown(_OFF_OTHERS) for box in others]
    long, short, is_narrow = texts[0], texts[-1], seam.strip < _ROOMY
    label = page.free((seam.within(long), seam.square(long)), reach, off=off) if is_narrow else None
    ways = (page.on_clear_paper(*seam.beyond(text), reach, off) for text in texts)
    label = label or next(filter(None, ways), None)
    label = label or page.free((seam.within(short), seam.square(short), seam.led(short, page)), reach, off=off)
    label = label or page.least([seam.within(short)], reach, off)
    yield Item(Layer.TEXT, label, _SEAM)
    if line := seam.leader(label):
        page.taken.append(box_around((line.start, line.end)).grown(_OFF_LEADER))
        yield Item(Layer.DIMENSION, line, _LEADER)
        yield Item(Layer.DIMENSION, arrow_head(line.end, line.start.direction_to(line.end), 1.0), _LEADER)


class _Seam(Struct, frozen=True):
    """A seam as a page shows it, and where its words may stand.

    Attributes:
        line: It.
        outward: One mm square to it, off the tile's own part.
        strip: How far in mm the page shows its drawing beyond it.
        marks: How far in mm from its start its join marks are, rising.
    """

    line: Line
    outward: Point
    strip: float
    marks: tuple[float, ...]

    def beyond(self, text: str) -> Choice:
        """Words along it on the strip beyond the tile's own part, near it where the strip is narrow, or past marks."""
        half, length = text_width(text, _TEXT) / 2, self.line.start.distance_to(self.line.end)
        off = min(_OFF_SEAM, max(self.strip - _TEXT / 2 - PATCH, _LEAST_OFF))
        past = (self._at(share, _PAST_MARKS) for share in _SHARES if half <= length * min(share, 1 - share))
        return self._label(text), chain((self._at(share, off) for share in self._shares(half)), past)

    def within(self, text: str) -> Choice:
        """Words along it on the tile's own part."""
        return self._label(text), [
            self._at(share, -_OFF_SEAM) for share in (*self._shares(text_width(text, _TEXT) / 2), 0.5)
        ]

    def square(self, text: str) -> Choice:
        """Words that begin at it and stand square to it."""
        out = _SQUARE_OFF + text_width(text, _TEXT) / 2
        offs = [out, -out] if 2 * out <= self.strip else [-out]
        return self._label(text, 90.0), (self._at(share, off) for off in offs for share in self._shares(_LOWEST))

    def led(self, text: str, page: PageWords) -> Choice:
        """Words square to it on the tile's own part, farther off: where a leader from them crosses no others."""
        label = self._label(text, 90.0)
        return label, self._led(label_box(label).moved(label.at.scaled(-1.0)), page)

    def _led(self, around: Box, page: PageWords) -> Iterator[Point]:
        half = max(around.width, around.height) / 2
        for off, share in product(_LED_OFF, self._shares(0.0)):
            at = self._at(share, -off - half)
            leader = box_around((self._at(share, -off), self._at(share, -_OFF_LINE))).grown(_OFF_LINE / 2)
            is_shown = all(map(page.shown.contains, around.moved(at).corners))
            if is_shown and not any(leader.overlaps(box) for box in page.taken):
                yield at

    def leader(self, label: Label) -> Line | None:
        """The line from words that stand far off to it; ``None`` where they are near."""
        start, outward = self.line.start, self.outward
        off = max((at.x - start.x) * outward.x + (at.y - start.y) * outward.y for at in label_box(label).corners)
        foot = Point(start.x, label.at.y) if outward.x else Point(label.at.x, start.y)
        return Line(foot + outward.scaled(off + _OFF_LEADER), foot) if off < 1.0 - _LED_OFF[0] else None

    def _label(self, text: str, turned: float = 0.0) -> Label:
        return Label(self.line.start, text, _TEXT, abs((90.0 if self.outward.x else 0.0) - turned), Anchor.MIDDLE)

    def _at(self, share: float, off: float) -> Point:
        start, end, outward = self.line.start, self.line.end, self.outward
        x, y = start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share
        return Point(x + outward.x * off, y + outward.y * off)

    def _shares(self, half: float) -> Iterator[float]:
        """Places where words keep within it and off its join marks; last, the middle of every stretch."""
        length = self.line.start.distance_to(self.line.end)
        clear = half + HALF_MARK + _OFF_MARK
        lows, highs = (
            (half, *(mark + clear for mark in self.marks)),
            (*(mark - clear for mark in self.marks), length - half),
        )
        stretches = [(low, high) for low, high in zip(lows, highs, strict=True) if low <= high]
        shares = _SHARES if half <= _SHORT_HALF else _SHARES[:_INNER]
        yield from (share for share in shares if any(low <= share * length <= high for low, high in stretches))
        yield from ((low + high) / 2 / length for low, high in stretches)
