"""Whether a bolt circle is drilled as the row of the standard that it names."""

from collections.abc import Iterator

from flangelayout.checks.facts import AsStandard
from flangelayout.checks.finding import Bound, Cure, Finding, Result
from flangelayout.checks.limits import Limit, Published
from flangelayout.checks.plate.keys import circle_place
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Dowel, Flange, Jack, Tapped
from flangelayout.standards import Difference, Field, Pattern, differences

_KEYS = {Field.CIRCLE: "diameter", Field.HOLE_COUNT: "hole_count", Field.HOLE: "hole_diameter", Field.SPACING: "angles"}


def check_standard(flange: Flange, named: tuple[Pattern | None, ...]) -> Iterator[Finding]:
    """Every figure of every circle against the row that its job names; ``named`` are the rows by group."""
    for group, (circle, row) in enumerate(zip(flange.bolt_circles, named, strict=False)):
        if row is not None:
            found = {difference.field: difference for difference in not_as(circle, row)}
            for field in _compared(circle, row):
                yield _figure(flange, group, row, field, found.get(field))


def not_as(circle: BoltCircle, row: Pattern) -> tuple[Difference, ...]:
    """Everything in which a circle is not drilled as a row; a tapped hole is never the row's, and is not compared."""
    hole = row.hole_diameter if _has_own_holes(circle) else circle.hole_diameter
    angles = None if circle.equally_spaced and not circle.skipped else circle.hole_angles()
    return differences(row, circle.diameter, len(circle.hole_numbers()), hole, angles)


def _compared(circle: BoltCircle, row: Pattern) -> Iterator[Field]:
    """The figures that are held against a row."""
    for field in Field:
        if field is not Field.HOLE or (row.hole_diameter is not None and not _has_own_holes(circle)):
            yield field


def _has_own_holes(circle: BoltCircle) -> bool:
    """Whether the holes are made to take the bolts of a mate drilled as the row, and not as the row's own."""
    return isinstance(circle.kind, Tapped | Jack | Dowel)


def _figure(flange: Flange, group: int, row: Pattern, field: Field, found: Difference | None) -> Finding:
    """One figure: as the row's, or not."""
    circle = flange.bolt_circles[group]
    place, facts = circle_place(flange, group, _KEYS[field]), AsStandard(field, row.designation)
    source = Published(row.designation)
    if found is None:
        value = {Field.CIRCLE: circle.diameter, Field.HOLE: circle.hole_diameter}.get(field)
        value = float(row.hole_count) if field is Field.HOLE_COUNT else value
        limit = None if value is None else Limit(value, source)
        return Finding(Rule.AS_STANDARD, Result.PASSED, place, facts, value, limit, Bound.EQUAL)
    limit = None if found.published is None else Limit(found.published, source)
    cure = Cure.FIGURE_OF_STANDARD
    return Finding(Rule.AS_STANDARD, Result.FAILED, place, facts, found.written, limit, Bound.EQUAL, cure)
