"""The published tables, looked up as one types."""

from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.standards import Pattern, PublishedTable, find
from flangelayout.standards.designations.lookup import search
from flangelayout.units import Unit
from flangelayout.web.form.lengths import with_unit

_SHOWN = 8


class Row(Struct, frozen=True):
    """A row of a table, in words."""

    designation: str
    drilling: str
    outside: str
    confidence: str
    usable: bool
    note: str


class FoundRows(Struct, frozen=True):
    """What a text finds: rows, how many more there are, and what to say where there is none."""

    rows: tuple[Row, ...] = ()
    more: int = 0
    said: str = ""


def looked_up(text: str, unit: Unit, own: tuple[PublishedTable, ...] = ()) -> FoundRows:
    """The rows that answer to a text, those the trade means first.

    Args:
        text: As people write a designation.
        unit: Unit of the sizes.
        own: The shop's own patterns.
    """
    if not text:
        return FoundRows(said="Write a size and a class or a pressure, as in dn150 pn16 or 6 in class 150.")
    try:
        best = find(text, "", own)
    except InputError as unknown:
        rows = search(text, own=own)
        if not rows:
            return FoundRows(said=" ".join(problem.text for problem in unknown.problems))
    else:
        rows = (best, *(row for row in search(text, own=own) if row != best))
    return FoundRows(tuple(_row(row, unit) for row in rows[:_SHOWN]), max(len(rows) - _SHOWN, 0))


def _row(pattern: Pattern, unit: Unit) -> Row:
    holes = f"{pattern.hole_count} holes"
    if pattern.hole_diameter is not None:
        holes += f" of {with_unit(pattern.hole_diameter, unit)}"
    outside = pattern.outside_diameter
    return Row(
        designation=pattern.designation,
        drilling=f"{holes} on {with_unit(pattern.bolt_circle, unit)}",
        outside=f"outside {with_unit(outside, unit)}" if outside is not None else "",
        confidence=pattern.confidence.words,
        usable=pattern.equally_spaced,
        note=pattern.note,
    )
