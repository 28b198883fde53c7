"""Published rows as a drilling carries them, and what chords its holes have."""

import math
from functools import cache

from flangelayout.flange.origin import PublishedRow
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.pattern import NOT_STATED, Pattern
from flangelayout.standards.tables import PublishedTable, all_patterns


def published_row(row: Pattern) -> PublishedRow:
    """A row as far as a drilling is held against it."""
    bolt = known_bolt(row.bolt) if row.bolt else None
    return PublishedRow(
        designation=row.designation,
        family=row.family,
        confidence=row.confidence,
        circle=row.bolt_circle,
        hole_count=row.hole_count,
        hole_diameter=row.hole_diameter,
        thread=bolt.diameter if bolt else None,
        tapped=row.tapped,
        angles=() if row.equally_spaced else row_angles(row),
        source=row.sources.split("; ", 1)[0],
        edition="" if row.edition == NOT_STATED else row.edition,
        tolerance=row.tolerance,
        other_counts=row.other_counts,
        note=row.note,
    )


def row_called(designation: str, own: tuple[PublishedTable, ...] = ()) -> Pattern | None:
    """The row of exactly that designation; one of a shop's own patterns before a published one, as in a look-up."""
    mine = (row for table in own for row in table.patterns if row.designation == designation)
    return next(mine, None) or _by_designation().get(designation)


@cache
def _by_designation() -> dict[str, Pattern]:
    return {row.designation: row for row in all_patterns()}


def row_angles(row: Pattern) -> tuple[float, ...]:
    """Where the holes of a row sit, in degrees from the first, turning left."""
    if row.rectangle is None:
        return tuple(360.0 * index / row.hole_count for index in range(row.hole_count))
    first = math.degrees(2 * math.atan2(row.rectangle.short, row.rectangle.long))
    return (0.0, first, 180.0, 180.0 + first)


def neighbor_chord(row: Pattern) -> float | None:
    """Center to center of neighbors in mm; ``None`` where neighbors are not all as far apart."""
    return None if row.rectangle else _chord(row, 1)


def longest_chord(row: Pattern) -> float:
    """Center to center in mm of the two holes farthest apart; of an even count, the bolt circle."""
    return row.bolt_circle if row.rectangle else _chord(row, row.hole_count // 2)


def _chord(row: Pattern, pitches: int) -> float:
    return row.bolt_circle * math.sin(math.pi * pitches / row.hole_count)
