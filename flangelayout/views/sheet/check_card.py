"""The check card: what is measured at the plate, in the order of measuring, with blanks to write in and a verdict."""

from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Slot
from flangelayout.geometry.shapes import Box, Point
from flangelayout.standards.shop import is_gasket_material
from flangelayout.value import replace
from flangelayout.views.page.blocks import GAP, Block, side_by_side, stacked, text_block
from flangelayout.views.page.forms import Form, form_block, form_width, verdict_block, verdict_width
from flangelayout.views.sheet.card_picture import picture_block, picture_width, ringed
from flangelayout.views.words.bench.measuring import MOST_NEIGHBORS, MeasuredSpan, accepted, machined_sizes, spans
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.lengths import Lengths

AT_THE_PLATE, AT_THE_GASKET = "AT THE PLATE", "AT THE GASKET"
_USE_IT, _USE_IT_AS_AGREED = "all inside: use it", "all inside what was agreed, ______: use it"
_PUT_ASIDE = "one or more out: put aside, tell: ______"
_SIGNS = ("measured by", "date")
_FROM_THE_BACK = "FROM THE BACK: plate turned over, TOP up, numbers as seen there"
_MOST_BESIDE = 12
"""Holes up to which a circle has one list; of more the neighbors stand in columns beside each other."""
_LOW_ROW = 2.6
"""Height of a row of a long list, in heights of its letters: its numbers stand without rings."""
_RADIUS, _SMALL_RADIUS, _LEAST_RADIUS = 26.0, 21.0, 19.0
"""Printed, of the circle in a picture, in a small one and in the smallest."""
_LEAST_VERDICT = 115.0
"""Printed mm that the verdict is wide at the least, to be signed beside it."""
_CLOSE = 0.1
"""Between the lines over a picture, in line pitches."""


class CardStyle(Enum):
    """How a circle's list stands to its picture on a card of several circles."""

    LARGE = "under a large picture"
    SMALL = "under a small picture"
    BESIDE = "beside a small picture"
    COLUMNS = "in two columns beside a small picture"


_BESIDE = (CardStyle.BESIDE, CardStyle.COLUMNS)


def card_blocks(
    flange: Flange,
    lengths: Lengths,
    convention: Convention,
    room: Box,
    row: float,
    style: CardStyle = CardStyle.LARGE,
    step: float = 1.0,
) -> list[Block]:
    """The blocks of the card in the order of measuring, the verdict last; none where nothing is to be measured.

    Args:
        flange: What is made.
        lengths: How lengths are written; only the master unit is measured in.
        convention: The rules of the sheet.
        room: What of a page they may take.
        row: Height of a row to write in, in printed mm.
        style: How a circle's list stands to its picture where there are several.
        step: How many times larger than usual its letters and pictures are.
    """
    card = _Card(flange, replace(lengths, dual=False), convention.letter_height * step, room, row, step)
    measured = {group: found for group, pattern in enumerate(flange.groups()) if (found := spans(pattern))}
    if not measured:
        return []
    blocks = [text_block("", _how(flange), room.width, card.letter)]
    for group, found in measured.items():
        blocks += card.group_blocks(group, found, len(measured) > 1, style)
    sizes = tuple(machined_sizes(flange, card.lengths))
    stated = flange.tolerances.chord is not None and all(limits for _, _, limits in sizes)
    verdicts = (_USE_IT if stated else _USE_IT_AS_AGREED, _PUT_ASIDE)
    sizes_wide = 0.0 if style in _BESIDE else card.half
    last = [form_block(_sizes_form(sizes), card.letter, row, sizes_wide)] if sizes else []
    left = room.width - sum(each.width + GAP for each in last)
    if style is CardStyle.COLUMNS and left >= max(_LEAST_VERDICT, verdict_width(verdicts, _SIGNS, card.letter)):
        return [*blocks, side_by_side([*last, verdict_block(verdicts, _SIGNS, card.letter, left)])]
    return [*blocks, *last, verdict_block(verdicts, _SIGNS, card.letter, room.width)]


def _sizes_form(sizes: Sequence[tuple[str, str, str]]) -> Form:
    """The machined sizes, their limits where any has some."""
    if any(limits for _, _, limits in sizes):
        return Form(("also", "wanted", "accept", "measured"), tuple(sizes))
    return Form(("also", "wanted", "measured"), tuple((name, wanted) for name, wanted, _ in sizes))


def _how(flange: Flange) -> tuple[str, ...]:
    """How to measure: with the same edge of both holes, as far as they are round and alike; soft sheet by a rule."""
    slots = any(isinstance(group.drilling.kind, Slot) for group in flange.groups())
    edge = "Measure from a hole edge to the SAME edge of the other hole: that reading is the center distance."
    first = "Heavy rings first; if one is out, stop and measure it again before going round."
    if len(flange.pieces()) > 1:
        first = f"Lay the parts together at their gaps: what spans a joint is of the whole ring. {first}"
    if is_gasket_material(flange.material):
        return (f"Lay the gasket flat, unstretched, and use a rule, not the jaws of a caliper. {edge} {first}",)
    return (("Slots: mark their middles and measure between the marks. " if slots else "") + f"{edge} {first}",)


class _Card(Struct, frozen=True):
    """What all blocks of a card have in common."""

    flange: Flange
    lengths: Lengths
    letter: float
    room: Box
    row: float
    step: float

    @property
    def half(self) -> float:
        """Printed mm that a block is wide of which two stand beside each other."""
        return (self.room.width - GAP) / 2

    def group_blocks(
        self, group: int, found: tuple[MeasuredSpan, ...], several: bool, style: CardStyle
    ) -> Iterator[Block]:
        """One pattern: its picture and its list."""
        labels = tuple(str(hole.number) for hole in self.flange.holes() if hole.group == group)
        shown = _Measured(labels, found)
        yield from self._long(group, shown, style) if shown.is_long else self._short(group, shown, several, style)

    def _short(self, group: int, shown: "_Measured", several: bool, style: CardStyle) -> Iterator[Block]:
        """The list under or beside the picture, as one block where that fits a page that holds several patterns."""
        few = len(shown.labels) < 3
        if style is CardStyle.COLUMNS and not few and shown.is_even:
            yield self._in_columns(group, shown)
            return
        form, beside = self._form(shown.found, shown), style in _BESIDE and not few
        wide = picture_width(shown.labels, self.letter, _SMALL_RADIUS * self.step) if beside else self._wide(form)
        stack = self._stack(group, shown, wide, style, told=False)
        if not few:
            form = replace(form, bare=self._bare(group, shown, self._radius(shown, wide, style)))
        lists = self._lists(form, self.half - wide - GAP if beside else wide)
        joined = side_by_side([stack, *lists]) if beside else stacked([stack, *lists])
        if (several or few) and joined.height <= self.room.height and joined.width <= self.room.width:
            yield joined
        else:
            yield stack
            yield from lists

    def _in_columns(self, group: int, shown: "_Measured") -> Block:
        """All distances said over the picture and two columns to write in."""
        wide = self.room.width
        head = text_block("", _lines(self._told(group, shown, told=True), wide, self.letter), wide, self.letter, _CLOSE)
        radius = _LEAST_RADIUS * self.step
        picture = self._picture(group, shown, picture_width(shown.labels, self.letter, radius), radius)
        form = replace(self._form(shown.found, shown, apart=False), bare=self._bare(group, shown, radius))
        wide = (self.room.width - picture.width) / 2 - GAP
        parts = _parts(form, -(-len(form.rows) // 2))
        return stacked([head, side_by_side([picture, *(form_block(p, self.letter, self.row, wide) for p in parts)])])

    def _long(self, group: int, shown: "_Measured", style: CardStyle) -> Iterator[Block]:
        """The picture, the list of what goes across beside it, the neighbors in columns below."""
        first = self._form(shown.across, shown)
        wide = self._wide(first)
        yield self._stack(group, shown, wide, style, told=True)
        yield from [form_block(first, self.letter, self.row, wide)] if shown.across else []
        yield from self._neighbors(shown)

    def _wide(self, form: Form) -> float:
        """Printed mm that a picture with a list under it takes."""
        return max(self.half, form_width(form, self.letter))

    def _stack(self, group: int, shown: "_Measured", wide: float, style: CardStyle, *, told: bool) -> Block:
        """What is measured, over its picture; ``told`` with the distances that the list leaves out."""
        head = text_block("", tuple(self._told(group, shown, told=told)), wide, self.letter, _CLOSE)
        if len(shown.labels) < 3:
            return head
        return stacked([head, self._picture(group, shown, wide, self._radius(shown, wide, style))])

    def _radius(self, shown: "_Measured", wide: float, style: CardStyle) -> float:
        """Of a picture that stands in a width with its numbers."""
        radius = (_RADIUS if style is CardStyle.LARGE else _SMALL_RADIUS) * self.step
        return radius - max(picture_width(shown.labels, self.letter, radius) - wide, 0.0) / 2

    def _picture(self, group: int, shown: "_Measured", wide: float, radius: float) -> Block:
        return picture_block(self._seen(group), shown.labels, shown.found, self.letter, wide, radius)

    def _bare(self, group: int, shown: "_Measured", radius: float) -> frozenset[str]:
        """The readings whose number the picture has no place for: in the list they stand without a ring too."""
        rings = ringed(self._seen(group), shown.labels, shown.found, self.letter, radius)
        return frozenset(str(number) for number in range(1, len(shown.found) + 1) if number not in rings)

    def _seen(self, group: int) -> list[Point]:
        hidden = self._is_hidden(group)
        return [Point(-at.x, at.y) if hidden else at for at in self.flange.groups()[group].hole_centers()]

    def _is_hidden(self, group: int) -> bool:
        return group not in dict(self.flange.shown_groups())

    def _lists(self, form: Form, wide: float) -> list[Block]:
        """A list in as many parts as it takes for each to stand on a page."""
        most = max(int(self.room.height / self.row) - 1, 1)
        return [form_block(part, self.letter, self.row, wide) for part in _parts(form, most)]

    def _form(self, found: Sequence[MeasuredSpan], shown: "_Measured", *, apart: bool = True) -> Form:
        """A list of some of the readings; ``apart`` with how far the holes are from each other."""
        accept = ("accept",) if self.flange.tolerances.chord is not None else ()
        heads = ("", "holes", *(("centers", *accept) if apart else ()), "measured")
        return Form(heads, tuple(self._row(span, shown, apart=apart) for span in found), len(shown.across))

    def _row(self, span: MeasuredSpan, shown: "_Measured", *, apart: bool) -> tuple[str, ...]:
        number = str(shown.found.index(span) + 1)
        texts = (number, f"{shown.labels[span.first]} – {shown.labels[span.last]}")
        sizes = (self.lengths.decimal(span.distance), accepted(self.flange, span.distance, self.lengths))
        return (*texts, *(filter(None, sizes) if apart else ()))

    def _neighbors(self, shown: "_Measured") -> Iterator[Block]:
        """A long list in as many columns as stand beside each other, in parts that a page takes."""
        form = replace(self._form(shown.beside, shown, apart=_one(shown.beside) is None), ringed=None)
        low = self.letter * _LOW_ROW
        columns = max(int((self.room.width + GAP) // (form_width(form, self.letter) + GAP)), 1)
        most = max(int(self.room.height / low) - 1, 1)
        wide = (self.room.width + GAP) / columns - GAP
        for part in _parts(form, columns * most):
            each = -(-len(part.rows) // columns)
            yield side_by_side([form_block(column, self.letter, low, wide) for column in _parts(part, each)])

    def _told(self, group: int, shown: "_Measured", *, told: bool) -> Iterator[str]:
        """The pattern's name, what its holes are; ``told`` with how far apart they are where that is one distance."""
        pattern = self.flange.groups()[group]
        yield self.flange.group_name(group).upper() + (f" {_FROM_THE_BACK}" if self._is_hidden(group) else "")
        hole, count = hole_text(pattern.drilling.kind, pattern.drilling.diameter, self.lengths), len(shown.labels)
        yield f"{count}{self.lengths.times}{hole}"
        if count > MOST_NEIGHBORS:
            yield self._all_neighbors(group)
        elif told:
            across = None if shown.is_long else _one(shown.across)
            named = (("across", across), ("neighbors", _one(shown.beside)))
            yield from (f"All {name}: {self._with_limits(apart)}" for name, apart in named if apart is not None)

    def _with_limits(self, distance: float) -> str:
        limits = accepted(self.flange, distance, self.lengths)
        return self.lengths.decimal(distance) + (f", accept {limits}" if limits else "")

    def _all_neighbors(self, group: int) -> str:
        """What replaces a list of very many neighbors."""
        centers = self.flange.groups()[group].hole_centers()
        apart = {round(a.distance_to(b), 3) for a, b in pairwise(centers)}
        if len(apart) > 1:
            return f"The {len(centers)} neighbors: centers as in the hole list. Tick each on the plate."
        return f"All {len(centers)} neighbors: {self._with_limits(*apart)}. Tick each on the plate."


class _Measured(Struct, frozen=True):
    """What is measured of a pattern: its holes' numbers, and the readings, those across first."""

    labels: tuple[str, ...]
    found: tuple[MeasuredSpan, ...]

    @property
    def across(self) -> tuple[MeasuredSpan, ...]:
        return tuple(span for span in self.found if span.is_across)

    @property
    def beside(self) -> tuple[MeasuredSpan, ...]:
        return tuple(span for span in self.found if not span.is_across)

    @property
    def is_long(self) -> bool:
        """Whether the neighbors stand in columns of their own."""
        return len(self.labels) > _MOST_BESIDE

    @property
    def is_even(self) -> bool:
        """Whether one distance holds for all readings across, and one for all neighbors."""
        return _one(self.across) is not None and _one(self.beside) is not None


def _one(found: Sequence[MeasuredSpan]) -> float | None:
    """The distance of all readings where it is one."""
    apart = {round(span.distance, 3): span.distance for span in found}
    return next(iter(apart.values())) if len(apart) == 1 else None


def _lines(texts: Iterable[str], width: float, letter: float) -> tuple[str, ...]:
    """Texts beside each other, each whole on one of as few lines as they take."""
    lines: list[str] = []
    for text in texts:
        joined = f"{lines[-1]} · {text}" if lines else text
        if lines and text_width(joined, letter) <= width:
            lines[-1] = joined
        else:
            lines.append(text)
    return tuple(lines)


def _parts(form: Form, most: int) -> list[Form]:
    """A form in parts of so many rows at the most."""
    rings = form.ringed
    return [
        replace(form, rows=form.rows[at : at + most], ringed=None if rings is None else max(rings - at, 0))
        for at in range(0, len(form.rows), most)
    ]
