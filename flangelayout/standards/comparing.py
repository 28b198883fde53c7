"""What a drilling has in common with a published row: every difference as a value, and the rows that are the same."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from flangelayout.standards.pattern import Pattern
from flangelayout.standards.tables import all_patterns

SAME = 0.005
"""In mm; two figures no farther apart are the same figure, printed to a hundredth."""


class Field(Enum):
    """A figure of a drilling that a row publishes."""

    CIRCLE = "bolt circle"
    HOLE_COUNT = "hole count"
    HOLE = "hole"
    SPACING = "spacing"


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure of a drilling that is not the row's.

    Attributes:
        field: Which one.
        written: The figure of the drilling in mm, or its count; ``None`` where it has none. Of the spacing, the
            distance between the centers of the two neighbors that are farthest from where the row has them.
        published: The row's figure for the same, in mm or its count; ``None`` where the row has none.
    """

    field: Field
    written: float | None
    published: float | None


def differences(
    row: Pattern,
    circle: float,
    hole_count: int,
    hole_diameter: float | None,
    angles: Sequence[float] | None = None,
) -> tuple[Difference, ...]:
    """Everything in which a drilling is not a row's; only where nothing is may it be called by the row's name.

    A hole is compared where the row publishes one; the plate that meets a tapped face has its own holes. Spacing is
    compared where the counts are equal.

    Args:
        row: The published row.
        circle: Bolt circle of the drilling in mm.
        hole_count: Its holes.
        hole_diameter: Its holes' diameter in mm; ``None`` where they are tapped.
        angles: Where its holes sit in degrees, in any order and from any start; equally spaced where not given.
    """
    found = []
    if abs(circle - row.bolt_circle) > SAME:
        found.append(Difference(Field.CIRCLE, circle, row.bolt_circle))
    if hole_count != row.hole_count:
        found.append(Difference(Field.HOLE_COUNT, hole_count, row.hole_count))
    published = row.hole_diameter
    if published is not None and (hole_diameter is None or abs(hole_diameter - published) > SAME):
        found.append(Difference(Field.HOLE, hole_diameter, published))
    if hole_count == row.hole_count:
        found += _spacing(row, circle, hole_count, angles)
    return tuple(found)


def tied_rows(row: Pattern) -> tuple[Pattern, ...]:
    """Every row with the same circle, count, hole and spacing, this one among them, in table order."""
    return tuple(other for other in all_patterns() if same_drilling(row, other))


def same_drilling(row: Pattern, other: Pattern) -> bool:
    """Whether two rows have the same circle, count, hole and spacing."""
    if row.hole_count != other.hole_count or abs(row.bolt_circle - other.bolt_circle) > SAME:
        return False
    return _same(row.hole_diameter, other.hole_diameter) and _same_rectangle(row, other)


def row_angles(row: Pattern) -> tuple[float, ...]:
    """Where the holes of a row sit, in degrees from the first, turning left."""
    if row.rectangle is None:
        return tuple(360.0 * index / row.hole_count for index in range(row.hole_count))
    first = math.degrees(2 * math.atan2(row.rectangle.short, row.rectangle.long))
    return (0.0, first, 180.0, 180.0 + first)


def _spacing(row: Pattern, circle: float, count: int, angles: Sequence[float] | None) -> list[Difference]:
    """The worst pair of neighbors, with the row's steps turned and mirrored to fit the drilling best."""
    written = _steps(angles) if angles is not None else [360.0 / count] * count
    if len(written) != count:
        return [Difference(Field.HOLE_COUNT, len(written), row.hole_count)]
    published = _steps(row_angles(row))
    turned = [steps[at:] + steps[:at] for steps in (published, published[::-1]) for at in range(count)]
    best = min(turned, key=lambda steps: max(abs(a - b) for a, b in zip(steps, written, strict=True)))
    pairs = [(_chord(circle, here), _chord(circle, there)) for here, there in zip(written, best, strict=True)]
    here, there = max(pairs, key=lambda pair: abs(pair[0] - pair[1]))
    return [Difference(Field.SPACING, here, there)] if abs(here - there) > SAME else []


def _steps(angles: Sequence[float]) -> list[float]:
    """Degrees from each hole to the next, once round."""
    places = sorted(angle % 360.0 for angle in angles)
    return [(after - place) % 360.0 or 360.0 for place, after in zip(places, places[1:] + places[:1], strict=True)]


def _chord(circle: float, step: float) -> float:
    return circle * math.sin(math.radians(step) / 2)


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= SAME


def _same_rectangle(row: Pattern, other: Pattern) -> bool:
    if row.rectangle is None or other.rectangle is None:
        return row.rectangle is other.rectangle
    return _same(row.rectangle.long, other.rectangle.long) and _same(row.rectangle.short, other.rectangle.short)
