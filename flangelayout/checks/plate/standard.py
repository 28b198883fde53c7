"""Whether a bolt circle is drilled as the row of the standard that it names."""

from collections.abc import Iterator

from flangelayout.checks.facts import AsStandard, RowNote
from flangelayout.checks.finding import Bound, Finding, Remedy, Result, circle_place, noted
from flangelayout.checks.limits import Limit, Published
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Flange
from flangelayout.flange.claims import Against, Difference, against, met_rows, named_rows
from flangelayout.flange.origin import Figure, PublishedRow
from flangelayout.standards import Pattern, PublishedTable, row_called


def check_standard(flange: Flange) -> Iterator[Finding]:
    """Every figure of every circle against the row that it names; what is meant to differ passes as such."""
    for group, circle in enumerate(flange.bolt_circles):
        stands = against(circle)
        if stands is not None:
            found = {difference.figure: difference for difference in stands.differences}
            for figure in dict.fromkeys((*_compared(circle, stands.row), *found)):
                different = found.get(figure)
                if different is None:
                    yield _same(flange, group, stands.row, figure)
                else:
                    yield _different(flange, group, stands, different)


def note_rows(flange: Flange) -> Iterator[Finding]:
    """What the rows that the circles name ask one to look out for, whether or not they are met."""
    for group, circle in enumerate(flange.bolt_circles):
        for row in named_rows(circle):
            if row.note:
                yield noted(Rule.ROW_NOTE, circle_place(flange, group, "standard"), RowNote(row.designation, row.note))


def met_patterns(flange: Flange, own: tuple[PublishedTable, ...] = ()) -> tuple[Pattern | None, ...]:
    """The row that each bolt circle is drilled to in every figure, the first of several; ``None`` for none."""
    met = map(met_rows, flange.bolt_circles)
    return tuple(row_called(rows[0].designation, own) if rows else None for rows in met)


def _compared(circle: BoltCircle, row: PublishedRow) -> Iterator[Figure]:
    """The figures that are held against a row."""
    yield Figure.CIRCLE
    yield Figure.HOLE_COUNT
    if circle.is_tapped:
        yield Figure.THREAD
    elif row.hole_diameter is not None:
        yield Figure.HOLE
    if circle.hole_count == row.hole_count:
        yield Figure.SPACING


def _same(flange: Flange, group: int, row: PublishedRow, figure: Figure) -> Finding:
    values = {
        Figure.CIRCLE: row.circle,
        Figure.HOLE_COUNT: float(row.hole_count),
        Figure.HOLE: row.hole_diameter,
        Figure.THREAD: row.thread,
    }
    value = values.get(figure)
    limit = None if value is None else Limit(value, Published(row.designation))
    place, facts = circle_place(flange, group, figure.value), AsStandard(figure, row.designation)
    return Finding(Rule.AS_STANDARD, Result.PASSED, place, facts, value, limit, Bound.EQUAL)


def _different(flange: Flange, group: int, stands: Against, found: Difference) -> Finding:
    meant = found.figure in stands.meant
    row, place = stands.row, circle_place(flange, group, found.figure.value)
    facts = AsStandard(found.figure, row.designation, meant)
    limit = None if found.published is None else Limit(found.published, Published(row.designation))
    result, cure = (Result.PASSED, None) if meant else (Result.FAILED, Remedy.FIGURE_OF_STANDARD)
    return Finding(Rule.AS_STANDARD, result, place, facts, found.drawn, limit, Bound.EQUAL, cure)
