"""The check card: what is measured at the plate, in the order of measuring, with blanks to write in and a verdict."""

import math
from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from itertools import pairwise

from msgspec import Struct

from flangelayout.checks.inspection.tolerances import Allowed, allowed_spans, published_tolerance
from flangelayout.checks.measuring import MOST_NEIGHBORS, MeasuredSpan
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.textwidth import text_width, wrapped_at_commas
from flangelayout.flange import BoltCircle, Flange
from flangelayout.geometry.shapes import Box, Point
from flangelayout.standards.shop import is_gasket_material
from flangelayout.value import replace
from flangelayout.views.page.blocks import GAP, Block, PlacedBlock, side_by_side, stacked, text_block
from flangelayout.views.page.forms import Form, form_block, form_width, least_row, verdict_block
from flangelayout.views.sheet.card_picture import CardPicture, card_picture, is_round, picture_width, radius_within
from flangelayout.views.sheet.card_readings import CardAsks, Readings, how_to_measure, same_distance
from flangelayout.views.words.bench.measuring import accepted, further_distances, machined_sizes
from flangelayout.views.words.bench.tying import left_loose, tubes_told, tying_distances
from flangelayout.views.words.call_outs import pitch_circle
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.tolerances import trust_words

MOST_LARGER = 1.4
"""How many times larger than notes the letters of a card are at the most: a step of ISO 3098, TOP is a second."""
HIGH_ROWS, _HIGH_ROW = 2.8, 2.0
"""How many times larger pictures are where rows, too, are higher than letters need, and how many times higher."""
AT_THE_PLATE, AT_THE_GASKET = "AT THE PLATE", "AT THE GASKET"
_USE_IT, _USE_REST_AS_AGREED = "all inside ACCEPT: use it", "all inside ACCEPT, rest as agreed, ______: use it"
_USE_IT_AS_AGREED = "all inside what was agreed, ______: use it"
_PUT_ASIDE = "one or more out: put aside, tell: ______"
_SIGNS = ("measured by", "date")
_FROM_THE_BACK = "FROM THE BACK: plate turned over, TOP up, numbers as seen there"
_LOW_ROW = 2.6
"""Height of a row of a long list, in heights of its letters: its numbers stand without rings."""
_RADIUS, _SMALL_RADIUS, _LEAST_RADIUS = 26.0, 21.0, 19.0
"""Printed, of the circle in a picture, in a small one and in the smallest."""
_ROOMY = 48.0
"""Heights of a larger card's letters that a picture of holes on one side takes to be lettered as large."""
_SIZES_SHARE = 0.42
"""Of the width of a page that further sizes take: they stand under a picture, beside a list with limits."""
_LEAST_VERDICT = 100.0
"""Printed mm that the verdict is wide at the least, to be signed beside it."""
_MOST_SIZES, _LEAST_SIZES = 5, 3
"""Further sizes up to which they stand in one list; in each of several at the least."""
_MOST_ROOMY = 12
"""The same where rows are high."""
_LOWEST_ROW = 2.2
"""Height of a row of several such lists, in heights of its letters."""
_VERDICT_ROOM = 14.0
"""Heights of a capital that the verdict takes under the last of them."""
_SAME = 1e-6
_CLOSE = 0.1
"""Between the lines over a picture, in line pitches."""


class CardStyle(Enum):
    """How a circle's list stands to its picture on a card of several circles."""

    LARGE = "under a large picture"
    SMALL = "under a small picture"
    BESIDE = "beside a small picture"
    COLUMNS = "in two columns beside a small picture"


_BESIDE = (CardStyle.BESIDE, CardStyle.COLUMNS)


class CheckCard(Struct, frozen=True):
    """A card to be set down.

    Attributes:
        blocks: In the order of measuring, the verdict last; none where nothing is to be measured.
        unringed: How many readings have no ring on the line measured, and are found by the numbers of their holes.
    """

    blocks: tuple[Block, ...] = ()
    unringed: int = 0


def check_card(
    flange: Flange,
    asked: CardAsks,
    lengths: Lengths,
    convention: Convention,
    room: Box,
    row: float,
    style: CardStyle = CardStyle.LARGE,
    step: float = 1.0,
) -> CheckCard:
    """The check card of a plate.

    Args:
        flange: What is made.
        asked: What is measured of it.
        lengths: How lengths are written; only the master unit is measured in.
        convention: The rules of the sheet.
        room: What of a page it may take.
        row: Usual height of a row to write in, in printed mm.
        style: How a circle's list stands to its picture where there are several.
        step: How many times larger than usual its pictures are; letters and rows grow along as far as they may.
    """
    larger, letter = min(step, MOST_LARGER), convention.letter_height
    card = _Card(
        flange,
        replace(lengths, dual=False),
        letter * larger,
        room,
        row * (larger if step < HIGH_ROWS else _HIGH_ROW),
        step,
        letter,
    )
    readings = asked.patterns
    if not (readings or asked.ties.readings):
        return CheckCard()
    told = how_to_measure(flange, asked), tubes_told(flange, asked.ties, card.lengths)
    how = text_block("", tuple(filter(None, told)), room.width, card.letter)
    last = card.last_blocks(asked, style)
    high = room.height - sum(each.height + GAP for each in (how, *last))
    parts = [card.group_card(shown, len(readings) > 1, style, high) for shown in readings]
    if len(parts) == 1 and parts[0].unringed:
        alone = card.group_card(readings[0], False, style, room.height - how.height - GAP)
        parts = [min(parts[0], alone, key=lambda part: part.unringed)]
    blocks = (how, *(block for part in parts for block in part.blocks), *last)
    return CheckCard(blocks, sum(part.unringed for part in parts))


def _sizes_form(sizes: Sequence[tuple[str, str, str]]) -> Form:
    """The machined sizes, their limits where any has some."""
    if any(limits for _, _, limits in sizes):
        return Form(("also", "wanted", "accept", "measured"), tuple(sizes))
    return Form(("also", "wanted", "measured"), tuple((name, wanted) for name, wanted, _ in sizes))


def _space(wide: float) -> Block:
    """What parts two blocks that stand as one."""
    return Block(wide, GAP, lambda at: PlacedBlock(()), spanned=0.0)


class _Card(Struct, frozen=True):
    """What all blocks of a card have in common."""

    flange: Flange
    lengths: Lengths
    letter: float
    room: Box
    row: float
    step: float
    usual: float
    """Height of the capitals of notes."""

    @property
    def half(self) -> float:
        """Printed mm that a block is wide of which two stand beside each other."""
        return (self.room.width - GAP) / 2

    def last_blocks(self, asked: CardAsks, style: CardStyle) -> list[Block]:
        """Further sizes with the verdict under or beside the last of them: who signs sees what he signs."""
        sizes = (
            *further_distances(self.flange, self.lengths),
            *tying_distances(asked.ties, self.lengths),
            *machined_sizes(self.flange, self.lengths),
        )
        *before, last = self._sizes(sizes, style, len(asked.patterns) > 1) if sizes else [None]
        verdicts = (self._use_it(asked, sizes), _PUT_ASIDE)
        left = self.room.width - (last.width + GAP if last else 0.0)
        if last and style is CardStyle.COLUMNS and left >= _LEAST_VERDICT and not asked.ties.loose:
            return [*before, side_by_side([last, verdict_block(verdicts, _SIGNS, self.letter, left)])]
        wide = self.room.width
        if style is CardStyle.SMALL and len(asked.patterns) == 1 and (last is None or last.width <= self.half):
            under_picture = verdict_block(verdicts, _SIGNS, self.letter, self.half)
            wide = self.half if under_picture.width <= self.half else wide
        loose = [text_block("", (told,), wide, self.letter)] if (told := left_loose(asked.ties)) else []
        verdict = verdict_block(verdicts, _SIGNS, self.letter, wide)
        signed = [*loose, verdict]
        together = stacked([last, _space(wide), *signed] if last else signed)
        if last and together.height > self.room.height:
            return [*before, last, stacked(signed)]
        return [*before, together]

    def _use_it(self, asked: CardAsks, sizes: Sequence[tuple[str, str, str]]) -> str:
        """What is to be so for the plate to be used."""
        limited = {bool(limits) for _, _, limits in sizes}
        limited |= {each is not None for shown in asked.patterns for each in shown.allowed}
        limited |= {False} if self.flange.tolerances.position is not None else set()
        return _USE_REST_AS_AGREED if len(limited) > 1 else _USE_IT if True in limited else _USE_IT_AS_AGREED

    def _sizes(self, sizes: Sequence[tuple[str, str, str]], style: CardStyle, several: bool) -> list[Block]:
        """The further sizes in one list, many in columns beside each other, in parts a page takes."""
        form, is_roomy = _sizes_form(sizes), self.row > least_row(self.letter) + _SAME
        is_long = len(sizes) > (_MOST_ROOMY if is_roomy else _MOST_SIZES)
        row = self.row if is_roomy or not is_long else self.letter * _LOWEST_ROW
        columns = min(self._columns(form), -(-len(sizes) // (_MOST_SIZES if is_roomy else _LEAST_SIZES)))
        columns = columns if is_long else 1
        most = max(int((self.room.height - _VERDICT_ROOM * self.letter) / row) - 1, 1)
        share = 1.0 if self.step >= HIGH_ROWS or (is_roomy and several) else _SIZES_SHARE
        wide = self.room.width * share if is_roomy or style not in _BESIDE else 0.0
        if columns > 1:
            wide = (self.room.width + GAP) / columns - GAP
        each = _even(len(sizes), columns, most)
        lists = [form_block(part, self.letter, row, wide) for part in _parts(form, each)]
        return [side_by_side(lists[at : at + columns]) for at in range(0, len(lists), columns)]

    def group_card(self, shown: Readings, several: bool, style: CardStyle, high: float) -> CheckCard:
        """One pattern: its picture and its list; ``high`` is the height left to it where it stands alone."""
        if shown.is_few and several:
            return self._few(shown)
        if shown.is_long:
            return self._long(shown, style)
        if not several and not is_round(self._seen(shown.group)):
            return self._alone(shown, high)
        if style is CardStyle.COLUMNS and (columns := self._in_columns(shown)):
            return columns
        return self._short(shown, several=several, style=style)

    def _few(self, shown: Readings) -> CheckCard:
        """One reading beside those of other patterns, which needs no picture."""
        form = self._form(shown.found, shown)
        wide = self._wide(form)
        return CheckCard((stacked([self._head(shown, wide, told=False), *self._lists(form, wide)]),))

    def _alone(self, shown: Readings, high: float) -> CheckCard:
        """Holes all on one side, or in rows, as large as a page takes them: their lines run close to each other.

        The list stands beside the picture or under it, as leaves it more room.
        """
        form, centers, full = self._form(shown.found, shown), self._seen(shown.group), self.room.width
        head = self._head(shown, self.half, told=False)
        most = 3 * _SMALL_RADIUS * self.step if shown.is_few else math.inf
        sizes = {
            (count, is_below): self._left(form, count, is_below, high - head.height, most)
            for count, is_below in ((1, False), (2, False), (1 if shown.is_few else self._columns(form), True))
        }
        radii = {way: radius_within(centers, shown.widest, self.letter, *left) for way, left in sizes.items()}
        (count, is_below), radius = max(radii.items(), key=lambda each: each[1])
        if radius < _LEAST_RADIUS:
            return self._short(shown, several=False, style=CardStyle.LARGE)
        is_roomy = shown.is_few or 2 * radius >= _ROOMY * self.letter
        picture = self._picture(shown, radius, self.letter if is_roomy else self.usual)
        wide = (full + GAP) / count - GAP if is_below else form_width(form, self.letter)
        lists = [
            form_block(part, self.letter, self.row, wide)
            for part in _parts(_as_ringed(form, picture), -(-len(form.rows) // count))
        ]
        stack = [head, picture.block(sizes[count, is_below][0])]
        if not is_below:
            return CheckCard((side_by_side([stacked(stack), *lists]),), picture.unringed)
        return CheckCard((stacked(stack), side_by_side(lists)), picture.unringed)

    def _left(self, form: Form, count: int, is_below: bool, high: float, most: float) -> tuple[float, float]:
        """Width and height, ``most`` at the most, that a list in columns below or beside leaves; none if too narrow."""
        listed = (-(-len(form.rows) // count) + 1) * self.row
        if is_below:
            return self.room.width, min(high - listed - GAP, most)
        wide = self.room.width - count * (form_width(form, self.letter) + GAP)
        return wide, min(high, most) if listed <= high and wide >= self.half else 0.0

    def _short(self, shown: Readings, *, several: bool, style: CardStyle) -> CheckCard:
        """The list under or beside the picture, as one block where that fits a page that holds several patterns."""
        form, beside = self._form(shown.found, shown), several and style in _BESIDE
        listed = self._wide(form)
        wide = listed if several else self._beside(form, shown)
        if beside:
            wide = picture_width(shown.widest, self.letter, _SMALL_RADIUS * self.step)
            listed = self.half - wide - GAP
        picture = self._picture(shown, self._radius(shown, wide, style))
        stack = stacked([self._head(shown, wide, told=False), picture.block(wide)])
        lists = self._lists(_as_ringed(form, picture), listed)
        joined = side_by_side([stack, *lists]) if beside else stacked([stack, *lists])
        is_one = several and joined.height <= self.room.height and joined.width <= self.room.width
        return CheckCard((joined,) if is_one else (stack, *lists), picture.unringed)

    def _in_columns(self, shown: Readings) -> CheckCard | None:
        """Two columns beside the picture, all distances over it where they are even; none where they have no room."""
        wide, is_even = self.room.width, shown.is_even
        told = _lines(self._told(shown, told=is_even), wide, self.letter)
        head = text_block("", told, wide, self.letter, _CLOSE)
        form = self._form(shown.found, shown, apart=not is_even)
        each = -(-len(form.rows) // 2)
        picture, block = self._plain_beside(
            shown, self.row * (each + 1), wide - 2 * (form_width(form, self.letter) + GAP)
        )
        form = _as_ringed(form, picture)
        wide = (self.room.width - block.width) / 2 - GAP
        if not is_even and form_width(form, self.letter) > wide:
            return None
        lists = [form_block(p, self.letter, self.row, wide) for p in _parts(form, each)]
        return CheckCard((stacked([head, side_by_side([block, *lists])]),), picture.unringed)

    def _plain_beside(self, shown: Readings, high: float, wide: float) -> tuple[CardPicture, Block]:
        """The smallest picture, or a larger one that lists so high and wide leave room for, if it is plainer."""
        tried: list[tuple[CardPicture, Block]] = []
        for radius in (_LEAST_RADIUS, _SMALL_RADIUS, _RADIUS):
            picture = self._picture(shown, radius * self.step)
            tried.append((picture, picture.block(picture_width(shown.widest, self.letter, radius * self.step))))
            if picture.is_plain:
                break
        picture, block = tried[-1]
        return tried[-1] if picture.is_plain and block.height <= high and block.width <= wide else tried[0]

    def _long(self, shown: Readings, style: CardStyle) -> CheckCard:
        """The picture, the list of what goes across beside it, the neighbors in columns below."""
        form = self._form(shown.across, shown)
        wide = self._beside(form, shown)
        picture = self._picture(shown, self._radius(shown, wide, style))
        stack = stacked([self._head(shown, wide, told=True), picture.block(wide)])
        listed = form_block(_as_ringed(form, picture), self.letter, self.row, self._wide(form))
        across = [listed] if shown.across else []
        return CheckCard((stack, *across, *self._neighbors(shown)), picture.unringed)

    def _wide(self, form: Form) -> float:
        """Printed mm that a picture with a list under it takes."""
        return max(self.half, form_width(form, self.letter))

    def _beside(self, form: Form, shown: Readings) -> float:
        """Printed mm that its list leaves for a picture, or that a picture takes over it where that is too little."""
        left = self.room.width - GAP - self._wide(form)
        return left if left >= picture_width(shown.widest, self.letter, _LEAST_RADIUS * self.step) else self._wide(form)

    def _head(self, shown: Readings, wide: float, *, told: bool) -> Block:
        """What is measured; ``told`` with the distances that the list leaves out."""
        lines = [line for text in self._told(shown, told=told) for line in wrapped_at_commas(text, wide, self.letter)]
        return text_block("", lines, wide, self.letter, _CLOSE)

    def _radius(self, shown: Readings, wide: float, style: CardStyle) -> float:
        """Of a picture that stands in a width with its numbers."""
        most = (wide - picture_width(shown.widest, self.letter, 0.0)) / 2
        return min((_RADIUS if style is CardStyle.LARGE else _SMALL_RADIUS) * self.step, most)

    def _picture(self, shown: Readings, radius: float, letter: float = 0.0) -> CardPicture:
        """The picture; what a long list has between neighbors is found by the holes' numbers, the rest by its ring."""
        centers, ringed = self._seen(shown.group), len(shown.across if shown.is_long else shown.found)
        return card_picture(centers, shown.labels, shown.widest, shown.found, letter or self.letter, radius, ringed)

    def _seen(self, group: int) -> list[Point]:
        hidden = self._is_hidden(group)
        return [Point(-at.x, at.y) if hidden else at for at in self.flange.groups()[group].hole_centers()]

    def _is_hidden(self, group: int) -> bool:
        return group not in dict(self.flange.shown_groups())

    def _lists(self, form: Form, wide: float) -> list[Block]:
        """A list in as many parts as it takes for each to stand on a page."""
        most = max(int(self.room.height / self.row) - 1, 1)
        return [form_block(part, self.letter, self.row, wide) for part in _parts(form, most)]

    def _form(self, found: Sequence[MeasuredSpan], shown: Readings, *, apart: bool = True) -> Form:
        """A list of some of the readings; ``apart`` with how far the holes are from each other."""
        is_limited = apart and any(shown.allowed_of(span) is not None for span in found)
        heads = ("", "holes", *(("centers",) if apart else ()), *(("accept",) if is_limited else ()), "measured")
        rows = (self._row(span, shown, apart=apart) for span in found)
        return Form(heads, tuple(row[: len(heads) - 1] for row in rows), len(shown.across))

    def _row(self, span: MeasuredSpan, shown: Readings, *, apart: bool) -> tuple[str, ...]:
        texts = (str(shown.found.index(span) + 1), f"{shown.labels[span.first]} – {shown.labels[span.last]}")
        sizes = (self.lengths.decimal(span.distance), self._accepted(shown.allowed_of(span), span))
        return (*texts, *(sizes if apart else ()))

    def _columns(self, form: Form) -> int:
        """How many lists stand beside each other on a page."""
        return max(int((self.room.width + GAP) // (form_width(form, self.letter) + GAP)), 1)

    def _neighbors(self, shown: Readings) -> Iterator[Block]:
        """A long list by the holes' numbers in as many columns as stand beside each other, in parts a page takes."""
        form = self._form(shown.beside, shown, apart=same_distance(shown.beside) is None)
        form = Form(form.heads[1:], tuple(row[1:] for row in form.rows))
        low = self.letter * _LOW_ROW
        columns = self._columns(form)
        most = max(int(self.room.height / low) - 1, 1)
        wide = (self.room.width + GAP) / columns - GAP
        for part in _parts(form, columns * most):
            each = _even(len(part.rows), columns, most)
            yield side_by_side([form_block(column, self.letter, low, wide) for column in _parts(part, each)])

    def _told(self, shown: Readings, *, told: bool) -> Iterator[str]:
        """The pattern's name, what its holes are; ``told`` with how far apart they are where that is one distance."""
        pattern, group = self.flange.groups()[shown.group], shown.group
        wide = ""
        if isinstance(pattern, BoltCircle) and all(abs(s.distance - pattern.diameter) > _SAME for s in shown.found):
            wide = f", {pitch_circle(pattern, self.lengths)}"
        back = f" {_FROM_THE_BACK}" if self._is_hidden(group) else ""
        yield f"{self.flange.group_name(group).upper()}{wide}{back}"
        hole, count = hole_text(pattern.drilling.kind, pattern.drilling.diameter, self.lengths), len(shown.labels)
        yield f"{count}{self.lengths.times}{hole}"
        if known := published_tolerance(self.flange, pattern):
            yield f"accept: {known.standard}{trust_words(known.confidence)}"
        if count > MOST_NEIGHBORS:
            yield self._all_neighbors(group)
        elif told:
            named = (("across", () if shown.is_long else shown.across), ("neighbors", shown.beside))
            told_of = ((name, found[0]) for name, found in named if same_distance(found))
            yield from (f"All {name}: {self._with_limits(span, shown.allowed_of(span))}" for name, span in told_of)

    def _with_limits(self, span: MeasuredSpan, allowed: Allowed | None) -> str:
        limits = self._accepted(allowed, span)
        return self.lengths.decimal(span.distance) + (f", accept {limits}" if limits else "")

    def _accepted(self, allowed: Allowed | None, span: MeasuredSpan) -> str:
        """The limits of a reading, which of soft sheet is taken by a rule."""
        return accepted(allowed, span.distance, self.lengths, is_gasket_material(self.flange.material))

    def _all_neighbors(self, group: int) -> str:
        """What replaces a list of very many neighbors."""
        centers = self.flange.groups()[group].hole_centers()
        apart = {round(a.distance_to(b), 3) for a, b in pairwise(centers)}
        if len(apart) > 1:
            return f"The {len(centers)} neighbors: centers as in the hole list. Tick each on the plate."
        one = MeasuredSpan(0, 1, apart.pop(), is_across=False)
        (allowed,) = allowed_spans(self.flange, group, (one,), self.lengths.unit)
        return f"All {len(centers)} neighbors: {self._with_limits(one, allowed)}. Tick each on the plate."


def _even(count: int, columns: int, most: int) -> int:
    """How many rows stand in each column, no more columns than given, the last at least half full if it may be."""
    least = -(-count // columns)
    return next(
        (each for each in range(least, min(least + 2, most) + 1) if 2 * ((count - 1) % each + 1) >= each), least
    )


def _as_ringed(form: Form, picture: CardPicture) -> Form:
    """A list whose readings stand in a ring where the picture has one of them, and only there."""
    return replace(form, bare=frozenset(number for number, *_ in form.rows if int(number) not in picture.rings))


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
