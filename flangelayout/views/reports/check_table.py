"""The list of the page of the checks: a row for each, with its number, value, limit and result."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.checks import Finding
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Drawing, Item, Label, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import ORIGIN, Box, Line, Point, rectangle
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.reports.flow import FlowedItems, FlowFigure
from flangelayout.views.words.findings import check_figures, check_words

_TEXT, _VALUE = 2.5, 3.5
_NUMBER, _FIGURE, _LIMIT, _RESULT = 9.0, 31.0, 36.0, 18.0
_ROW, _LINE = 6.4, 4.0
_KEPT = 3
"""Rows at the end that stand on one page."""
_SOURCE = Furniture("list of checks")


class NumberedCheck(Struct, frozen=True):
    """A check that was run, with the number it has in the list and in the picture."""

    number: int
    finding: Finding


def check_rows(flange: Flange, checks: tuple[NumberedCheck, ...], unit: Unit, width: float) -> Iterator[FlowFigure]:
    """The head and the rows, ``width`` printed mm wide; those that failed are shaded and their result is boxed.

    The head stands over the rows of every page; no row stands alone on the last.
    """
    head = _figure(tuple(_head(width)), _ROW)
    rows = [_row(flange, check, unit, width) for check in checks]
    first, last = rows[:1], rows[max(1, len(rows) - _KEPT) :]
    yield _stacked((head, *first))
    yield from (replace(row, head=head) for row in rows[1 : len(rows) - len(last)])
    yield replace(_stacked(last), gap_paper=4.0, head=head)


def _stacked(figures: Sequence[FlowFigure]) -> FlowFigure:
    """Figures one below the other that no page parts."""
    parts, low = list[FlowedItems](), 0.0
    for figure in figures:
        parts += [replace(part, at_paper=part.at_paper + Point(0.0, low)) for part in figure.parts]
        low -= figure.height_paper
    return FlowFigure(-low, tuple(parts), 0.0)


def _edges(width: float) -> tuple[float, float, float, float]:
    """Where words, value, limit and result begin."""
    result = width - _RESULT
    return _NUMBER, result - _LIMIT - _FIGURE, result - _LIMIT, result


def _head(width: float) -> Iterator[Item]:
    words, _, limit, result = _edges(width)
    yield _shade(Box(0.0, -_ROW, width, 0.0))
    yield from _frame(width, _ROW)
    for text, at, anchor in (
        ("check", words + 1.5, Anchor.MIDDLE_LEFT),
        ("value", limit - 2.0, Anchor.MIDDLE_RIGHT),
        ("limit", limit + 2.0, Anchor.MIDDLE_LEFT),
        ("result", result + _RESULT / 2, Anchor.MIDDLE),
    ):
        yield _item(Layer.TEXT, Label(Point(at, -_ROW / 2), text, _TEXT, 0.0, anchor))


def _row(flange: Flange, check: NumberedCheck, unit: Unit, width: float) -> FlowFigure:
    words, value, limit, result = _edges(width)
    said = check_words(flange, check.finding, unit).removesuffix(",")
    figure, bound = check_figures(flange, check.finding, unit)
    columns = [wrapped(text, room, _TEXT) for text, room in ((said, value - words - 3.0), (bound, _LIMIT - 3.0))]
    large = text_width(figure, _VALUE) <= _FIGURE - 3.0
    columns.append((figure,) if large else wrapped(figure, _FIGURE - 3.0, _TEXT))
    height = _ROW + _LINE * (max(map(len, columns)) - 1)
    items = [_shade(Box(0.0, -height, width, 0.0))] if check.finding.failed else []
    items += _frame(width, height)
    items += _lines((str(check.number),), _NUMBER / 2, height, Anchor.MIDDLE, _TEXT)
    items += _lines(columns[0], words + 1.5, height, Anchor.MIDDLE_LEFT, _TEXT)
    items += _lines(columns[2], limit - 2.0, height, Anchor.MIDDLE_RIGHT, _VALUE if large else _TEXT)
    items += _lines(columns[1], limit + 2.0, height, Anchor.MIDDLE_LEFT, _TEXT)
    items += _result(check.finding.failed, Point(result + _RESULT / 2, -height / 2))
    return _figure(tuple(items), height)


def _lines(lines: tuple[str, ...], x: float, height: float, anchor: Anchor, size: float) -> Iterator[Item]:
    top = -height / 2 + _LINE * (len(lines) - 1) / 2
    for index, line in enumerate(lines):
        yield _item(Layer.TEXT, Label(Point(x, top - _LINE * index), line, size, 0.0, anchor))


def _result(failed: bool, at: Point) -> Iterator[Item]:
    yield _item(Layer.TEXT, Label(at, "FAIL" if failed else "pass", _TEXT, 0.0, Anchor.MIDDLE))
    if failed:
        yield _item(Layer.OUTLINE, rectangle(Box(at.x - 7.0, at.y - 2.3, at.x + 7.0, at.y + 2.3)))


def _frame(width: float, height: float) -> Iterator[Item]:
    """The rules of a row: its sides, and the one below."""
    for x in (0.0, width):
        yield _item(Layer.OUTLINE, Line(Point(x, 0.0), Point(x, -height)))
    yield _item(Layer.TABLE, Line(Point(0.0, -height), Point(width, -height)))


def _shade(box: Box) -> Item:
    return _item(Layer.SHADE, Solid(box.corners))


def _figure(items: tuple[Item, ...], height: float) -> FlowFigure:
    return FlowFigure(height, (FlowedItems(Drawing("checks", items), 1.0, ORIGIN),), 0.0)


def _item(layer: Layer, what: Content) -> Item:
    return Item(layer, what, _SOURCE)
