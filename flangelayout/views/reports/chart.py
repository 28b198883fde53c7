"""Charts to hang up and cards to carry: from a hole count or a standard to what a caliper reads between two holes.

The factor of a span is the center-to-center distance of two holes on a bolt circle of 1: sin(pitches x 180 deg /
holes), as the chord tables of the machinist's handbooks print it.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Paper, Sheet, SheetSet, Solid, Stamp
from flangelayout.drawing.papers import paper
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import chord_across
from flangelayout.geometry.shapes import Box, Circle, Line, Point, polar, rectangle
from flangelayout.provenance import Confidence
from flangelayout.standards import Pattern
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.views.page.text import paragraph, text_item

FEWEST_HOLES, MOST_HOLES = 3, 48
_MARGIN = 12.0
_PLACES = 5
_SPANS_A_ROW = 10
_SMALL = 2.5
_ROWS_OF_A_CARD = 12
_TAKEN, _APART = 5 / 6, 2.4
"""Share of a column that a text takes at the most; in lists, printed mm that a column is wider than its widest text."""
_UNVOUCHED = "check it"
_CARD = (148.0, 105.0)
"""A6 laid sideways, ISO 216."""
_FIGURES = ("holes", "⌀", "bolt", "circle", "next", "long side", "skip 1", "across", "GAP")
_TOLD = {
    "next": "center to center of neighbors",
    "long side": "of neighbors on the long side of a rectangle, where next is its short one",
    "skip 1": "one hole between",
    "across": "to the farthest hole",
    "GAP": "next less one hole",
}


class _Column(Struct, frozen=True):
    """A column of a chart: its head, its share of the width, the share of a row that its figures are high or more."""

    head: str
    share: float
    height: float


_FACTOR_COLUMNS = (
    _Column("holes", 0.15, 0.5),
    _Column("degrees", 0.2, 0.28),
    _Column("1 next", 0.25, 0.42),
    _Column("2 skip 1", 0.2, 0.31),
    _Column("3 skip 2", 0.2, 0.31),
)


def wall_chart(paper_name: str, stamp: Stamp) -> SheetSet:
    """Factors of neighbors and of holes one and two apart on one page to hang up, every further span on the next.

    Args:
        paper_name: One of ``papers.PAPER_NAMES``; the larger it is, the farther it reads.
        stamp: Carries the program's version; no job.
    """
    page = paper(paper_name)
    return SheetSet((_factor_page(page), *_span_pages(page)), stamp)


def _factor_page(page: Paper) -> Sheet:
    unit = page.width / 210.0
    room = Box(_MARGIN, _MARGIN, page.width - _MARGIN, page.height - _MARGIN)
    items = [*_heading(room, unit)]
    top, foot = room.top - 37.0 * unit, room.bottom + 19.0 * unit
    half = (room.width - 5.0 * unit) / 2
    counts = range(FEWEST_HOLES, MOST_HOLES + 1)
    rows = [_factor_row(count) for count in counts]
    for number, left in enumerate((room.left, room.right - half)):
        part = rows[number * 23 : number * 23 + 23]
        items += _grid(Box(left, foot, left + half, top), _FACTOR_COLUMNS, part)
    items += _foot(Box(room.left, room.bottom, room.right, foot - 4.0 * unit), unit)
    return Sheet(page, (), tuple(items), "chart 1")


def _heading(room: Box, unit: float) -> Iterator[Item]:
    left, top = room.left, room.top
    yield text_item(Point(left, top - 9.0 * unit), "HOLE TO HOLE", 9.0 * unit)
    lines = ("center distance = bolt circle × factor", "bolt circle = center distance ÷ factor")
    for number, line in enumerate(lines):
        yield text_item(Point(left, top - (16.5 + 6.0 * number) * unit), line, 3.6 * unit)
    told = "Count the holes. Columns 1, 2 and 3 are the lines 1, 2 and 3 of the picture."
    yield text_item(Point(left, top - 30.0 * unit), told, 2.8 * unit)
    yield from _picture(Point(room.right - 18.0 * unit, top - 16.0 * unit), 14.0 * unit)


def _picture(center: Point, radius: float) -> Iterator[Item]:
    """Eight holes and the three spans, each with its number."""
    source = Furniture("picture")
    places = [polar(radius, 112.5 + 45.0 * number, center) for number in range(8)]
    yield Item(Layer.CENTERLINE, Circle(center, radius), source)
    yield from (Item(Layer.OUTLINE, Circle(place, radius * 0.12), source) for place in places)
    for name, (start, end) in (("1", (7, 6)), ("2", (0, 2)), ("3", (6, 3))):
        a, b = places[start], places[end]
        way = a.direction_to(b)
        yield Item(Layer.OUTLINE, Line(polar(radius * 0.12, way, a), polar(-radius * 0.12, way, b)), source)
        middle = Point((a.x + b.x) / 2, (a.y + b.y) / 2)
        yield text_item(polar(radius * 0.22, way + 90.0, middle), name, radius * 0.2, Anchor.MIDDLE)


def _factor_row(count: int) -> tuple[str, ...]:
    spans = (_factor(count, pitches) if 2 * pitches <= count else "" for pitches in (1, 2, 3))
    return (str(count), f"{360 / count:.4f}".rstrip("0").rstrip("."), *spans)


def _factor(count: int, pitches: int) -> str:
    return f"{chord_across(1.0, count, pitches):.{_PLACES}f}"


def _foot(room: Box, unit: float) -> Iterator[Item]:
    yield Item(Layer.BORDER, rectangle(room), Furniture("chart"))
    near, far = chord_across(180.0, 8), chord_across(295.0, 12)
    lines = (
        f"EXAMPLES: 8 holes on 180: 180 × {_factor(8, 1)} = {near:.1f}; "
        f"12 holes, next {far:.2f}: {far:.2f} ÷ {_factor(12, 1)} = 295.0",
        "AT THE PLATE: same edge to same edge = center distance = gap between two holes + one hole",
    )
    for number, line in enumerate(lines):
        at = Point(room.left + 3.0 * unit, room.top - (5.6 + 5.4 * number) * unit)
        yield text_item(at, line, 2.6 * unit)


def _grid(
    room: Box, columns: Sequence[_Column], rows: Sequence[Sequence[str]], taken: float = _TAKEN
) -> Iterator[Item]:
    """A ruled table that fills its room, every other row shaded, the figures of a column as high as it says.

    Lower, all of them, where one would be wider than the share ``taken`` of its column.
    """
    source = Furniture("chart")
    pitch = room.height / (len(rows) + 1)
    edges = [room.left + room.width * sum(each.share for each in columns[:index]) for index in range(len(columns) + 1)]
    for number in range(1, len(rows), 2):
        high = room.top - pitch * (number + 1)
        yield Item(Layer.SHADE, Solid(Box(room.left, high - pitch, room.right, high).corners), source)
    yield Item(Layer.BORDER, rectangle(room), source)
    yield Item(Layer.BORDER, Line(Point(room.left, room.top - pitch), Point(room.right, room.top - pitch)), source)
    yield from (Item(Layer.TABLE, Line(Point(x, room.bottom), Point(x, room.top)), source) for x in edges[1:-1])
    heads, widths = [each.head for each in columns], [taken * (high - low) for low, high in pairwise(edges)]
    of_heads = [_height([head], 0.3 * pitch, width) for head, width in zip(heads, widths, strict=True)]
    figures = zip(columns, widths, zip(*rows, strict=True), strict=True)
    of_figures = [_height(texts, column.height * pitch, width) for column, width, texts in figures]
    for number, row in enumerate((heads, *rows)):
        middle = room.top - pitch * (number + 0.5)
        heights = of_figures if number else of_heads
        for text, height, (low, high) in zip(row, heights, pairwise(edges), strict=True):
            if text:
                at = Point((low + high) / 2, middle)
                yield Item(Layer.TEXT, Label(at, text, height, 0.0, Anchor.MIDDLE), source)


def _height(texts: Sequence[str], wanted: float, width: float) -> float:
    """The height wanted, or less where one of the texts is wider than it may be."""
    wanted = max(_SMALL, wanted)
    return min((wanted, *(wanted * width / text_width(text, wanted) for text in texts if text)))


def _span_pages(page: Paper) -> tuple[Sheet, ...]:
    """Every span of every hole count: as many rows of ten as a count needs."""
    heads = ("holes", "FROM", *(f"+{step}" for step in range(_SPANS_A_ROW)))
    rows: list[tuple[str, ...]] = []
    for count in range(FEWEST_HOLES, MOST_HOLES + 1):
        spans = [_factor(count, pitches) for pitches in range(1, count // 2 + 1)]
        for first in range(0, len(spans), _SPANS_A_ROW):
            part = spans[first : first + _SPANS_A_ROW]
            rows.append((str(count), str(first + 1), *part, *[""] * (_SPANS_A_ROW - len(part))))
    return _list_pages(
        (page,),
        "EVERY SPAN: FACTORS FOR A BOLT CIRCLE OF 1",
        (
            "Multiply the bolt circle by it: center to center of two holes. Row: holes on the circle; column: pitches "
            "apart, counted on from the number under FROM.",
        ),
        heads,
        rows,
    )


def pattern_chart(title: str, rows: Sequence[Pattern], unit: Unit, paper_name: str, stamp: Stamp) -> SheetSet:
    """A list of published drillings with what a caliper reads on each.

    Args:
        title: What was asked for.
        rows: At least one; those whose holes stand on a rectangle have its long side in a column of its own.
        unit: Of every figure.
        paper_name: One of ``papers.PAPER_NAMES``.
        stamp: Carries the program's version; no job.
    """
    heads, texts = _filled_columns(("drilling", *_FIGURES, ""), _pattern_rows(rows, unit))
    told = f"Figures in {unit.value}. {'; '.join(f'{head}: {_TOLD[head]}' for head in heads if head in _TOLD)}."
    about = (told, *filter(None, (_count_note(rows), _trust_note(rows))))
    pages = tuple(paper(paper_name, landscape=sideways) for sideways in (False, True))
    return SheetSet(_list_pages(pages, title.upper(), about, heads, texts), stamp)


def pattern_figures(row: Pattern, unit: Unit) -> tuple[str, ...]:
    """The figures of a row in words, in the order of their heads; empty where there is none."""
    hole = size_text(row.hole_diameter, unit) if row.hole_diameter else ""
    head = (str(row.hole_count), hole, row.bolt or "", size_text(row.bolt_circle, unit))
    return (*head, *("" if length is None else decimal_text(length, unit) for length in pattern_chords(row)))


def pattern_chords(row: Pattern) -> tuple[float | None, ...]:
    """Next, long side, skip 1, across and gap in mm; ``None`` where there is none.

    With one hole between, and farthest away, is the corner of a rectangle that lies across its diagonal.
    """
    count, circle = row.hole_count, row.bolt_circle
    long = row.rectangle.long if row.rectangle else None
    near = row.rectangle.short if row.rectangle else chord_across(circle, count) if count > 1 else None
    skip = chord_across(circle, count, 2) if count > 3 else None
    across = chord_across(circle, count, count // 2) if count > 2 else near
    return near, long, skip, across, near - row.hole_diameter if near and row.hole_diameter else None


def _pattern_rows(rows: Sequence[Pattern], unit: Unit) -> list[tuple[str, ...]]:
    return [(_marked(row, row.designation), *pattern_figures(row, unit), _trust(row)) for row in rows]


def _marked(row: Pattern, name: str) -> str:
    """A name with a star where the mating part may have another count of holes on the same circle."""
    return f"{name} *" if row.other_counts else name


def _trust(row: Pattern) -> str:
    return "" if row.confidence is Confidence.TWO_SOURCES else _UNVOUCHED


def _trust_note(rows: Sequence[Pattern]) -> str:
    told = f"{_UNVOUCHED}: no second source vouches for the row; look into the standard itself before cutting."
    return told if any(map(_trust, rows)) else ""


def _count_note(rows: Sequence[Pattern]) -> str:
    starred = [
        f"{row.size or row.designation} with {' or '.join(map(str, row.other_counts))}"
        for row in rows
        if row.other_counts
    ]
    told = f"* the same circle is also drilled otherwise ({'; '.join(starred)}): count the holes of the mate"
    return told if starred else ""


def _filled_columns(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[list[str], list[tuple[str, ...]]]:
    """Heads and rows without the columns that no row has anything in."""
    kept = [index for index in range(len(heads)) if any(row[index] for row in rows)]
    return [heads[index] for index in kept], [tuple(row[index] for index in kept) for row in rows]


def _list_pages(
    pages: Sequence[Paper], title: str, about: Sequence[str], heads: Sequence[str], rows: Sequence[tuple[str, ...]]
) -> tuple[Sheet, ...]:
    """Plain ruled lists on as many pages as they need, columns as wide as their widest text, letters all alike.

    On the first paper on which they are not too small, or else the widest.
    """
    widths = [max(text_width(text, 1.0) for text in column) for column in zip(heads, *rows, strict=True)]
    apart = _APART * len(heads)
    heights = [min((page.width - 2 * _MARGIN - apart) / sum(widths), 3.6) for page in pages]
    at = next((at for at, height in enumerate(heights) if height >= _SMALL), -1)
    page, height = pages[at], heights[at]
    room = Box(_MARGIN, _MARGIN, page.width - _MARGIN, page.height - _MARGIN)
    wide = (room.width - height * sum(widths)) / len(widths)
    pitch = max(height * 1.9, 4.2)
    columns = tuple(
        _Column(head, (width * height + wide) / room.width, height / pitch)
        for head, width in zip(heads, widths, strict=True)
    )
    words, top = paragraph(room.left, room.top - 8.0, room.width, about, _SMALL)
    fit = int((top - room.bottom) / pitch) - 1
    parts = [rows[first : first + fit] for first in range(0, len(rows), fit)]
    sheets = []
    for number, part in enumerate(parts, 1):
        heading = f"{title}, page {number} of {len(parts)}" if len(parts) > 1 else title
        box = Box(room.left, top - pitch * (len(part) + 1), room.right, top)
        items = (
            _line(Point(room.left, room.top - 5.0), heading, 5.0, room.width),
            *words,
            *_grid(box, columns, part, 1.0),
        )
        sheets.append(Sheet(page, (), items, f"list {number}"))
    return tuple(sheets)


def pocket_card(title: str, rows: Sequence[Pattern], unit: Unit, paper_name: str, stamp: Stamp) -> SheetSet:
    """A card of A6 with its cut marks for as many rows as it holds, further cards on further pages.

    Args:
        title: What was asked for.
        rows: At least one.
        unit: Of every figure.
        paper_name: The paper it is printed on.
        stamp: Carries the program's version; no job.
    """
    page = paper(paper_name)
    names = _card_names(rows)
    return SheetSet(
        tuple(
            _card(
                page, title, names[first : first + _ROWS_OF_A_CARD], rows[first : first + _ROWS_OF_A_CARD], unit, number
            )
            for number, first in enumerate(range(0, len(rows), _ROWS_OF_A_CARD), 1)
        ),
        stamp,
    )


def _card(page: Paper, title: str, names: Sequence[str], rows: Sequence[Pattern], unit: Unit, number: int) -> Sheet:
    left, bottom = (page.width - _CARD[0]) / 2, (page.height - _CARD[1]) / 2
    card = Box(left, bottom, left + _CARD[0], bottom + _CARD[1])
    factors = sorted({row.hole_count for row in rows if row.equally_spaced and row.hole_count >= FEWEST_HOLES})
    spoken = ", ".join(f"{count}: {_factor(count, 1)}" for count in factors[:6])
    spaced = "" if all(row.equally_spaced for row in rows) else ", equally spaced"
    heads, texts = _filled_columns(
        ("size", *_FIGURES), [(name, *pattern_figures(row, unit)) for name, row in zip(names, rows, strict=True)]
    )
    gap = "GAP" if "GAP" in heads else "gap"
    told = f"{unit.value}. Measure the {gap} between two neighbors, count the holes, read across."
    rule = f"{gap} + one hole = next; next ÷ factor = circle." if spoken else f"{gap} + one hole = next."
    lines = tuple(filter(None, (rule, f"factor by holes{spaced}: {spoken}" if spoken else "", _count_note(rows))))
    table = Box(card.left + 4.0, card.bottom + 16.0, card.right - 4.0, card.top - 18.0)
    items = (
        _line(Point(table.left, card.top - 9.0), title, 6.5, table.width),
        _line(Point(table.left, card.top - 14.5), told, _SMALL, table.width),
        *_grid(table, _card_columns(heads, texts), texts),
        *(
            _line(Point(table.left, card.bottom + 11.0 - 4.4 * at), line, _SMALL, table.width)
            for at, line in enumerate(lines)
        ),
        *_cut_marks(card),
    )
    return Sheet(page, (), items, f"card {number}")


def _line(at: Point, text: str, height: float, width: float) -> Item:
    """A line of text, in smaller letters where it would be wider than ``width``."""
    return text_item(at, text, min(height, height * width / text_width(text, height)))


def _card_names(rows: Sequence[Pattern]) -> list[str]:
    """What tells each row from all others asked for: its size, its class and size, or its whole designation."""
    is_mixed, is_graded = len({each.standard for each in rows}) > 1, len({each.grade for each in rows}) > 1

    def name(row: Pattern) -> str:
        if is_mixed or not row.size:
            return row.designation
        return f"{row.grade} {row.size}" if is_graded and row.grade else row.size

    return [_marked(row, name(row)) for row in rows]


def _card_columns(heads: Sequence[str], texts: Sequence[tuple[str, ...]]) -> tuple[_Column, ...]:
    widths = [max(text_width(text, 1.0) for text in column) + 1.5 for column in zip(heads, *texts, strict=True)]
    return tuple(
        _Column(head, width / sum(widths), 0.56 if head in ("size", "circle", "GAP") else 0.46)
        for head, width in zip(heads, widths, strict=True)
    )


def _cut_marks(card: Box) -> Iterator[Item]:
    """Corner marks clear of the card, to cut it out by."""
    for x, out_x in ((card.left, -1.0), (card.right, 1.0)):
        for y, out_y in ((card.bottom, -1.0), (card.top, 1.0)):
            source = Furniture("cut mark")
            yield Item(Layer.TABLE, Line(Point(x + 2.0 * out_x, y), Point(x + 8.0 * out_x, y)), source)
            yield Item(Layer.TABLE, Line(Point(x, y + 2.0 * out_y), Point(x, y + 8.0 * out_y)), source)
