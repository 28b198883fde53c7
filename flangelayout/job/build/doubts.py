"""Numbers that are likely meant in the other unit: told, not silently taken."""

from collections.abc import Iterator, Mapping

from flangelayout.checks.facts import FitsOtherUnit, FractionOfMm
from flangelayout.checks.finding import Finding, Place, Remedy, Result
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Flange
from flangelayout.job.problems import where_text
from flangelayout.job.schema.tree import Shape, leaf_at
from flangelayout.job.schema.values import written_unit
from flangelayout.standards.table_file import patterns_of_count
from flangelayout.units import Unit, from_mm, names_no_unit, to_mm

_OTHER = {Unit.MM: Unit.IN, Unit.IN: Unit.MM}
_MET, _MISSED = 0.3, 3.0
"""In mm: so near a published circle is it in one unit, and so far from any in the other, that the other is meant.
Tables print to 0.1 mm, and made circles are within 1.5 mm (EN 1092-1, ASME B16.5)."""

Location = tuple[int | str, ...]


def unit_doubts(data: dict[str, object], flange: Flange) -> Iterator[Finding]:
    """What a job file writes that its unit makes unlikely.

    Args:
        data: Its tables as they are written.
        flange: What they come to.
    """
    unit = written_unit(data)
    if unit is Unit.MM:
        for location, value in leaves(data, ()):
            if isinstance(value, str) and "/" in value and is_length(location) and names_no_unit(value):
                place = Place(where_text(location, data))
                yield _doubt(place, FractionOfMm(value.strip()))
    for index, circle in enumerate(flange.bolt_circles):
        location = ("bolt_circle", index, "diameter")
        if names_no_unit(_at(data, location)):
            yield from _fits_other(circle, unit, Place(where_text(location, data), index))


def _fits_other(circle: BoltCircle, unit: Unit, place: Place) -> Iterator[Finding]:
    """A circle whose number is a published one in the other unit, and far from any in its own."""
    meant, rows = to_mm(from_mm(circle.diameter, unit), _OTHER[unit]), patterns_of_count(circle.hole_count)
    met = [row for row in rows if abs(row.bolt_circle - meant) <= _MET]
    if met and all(abs(row.bolt_circle - circle.diameter) > _MISSED for row in rows):
        yield _doubt(place, FitsOtherUnit(circle.hole_count, circle.diameter, _OTHER[unit], met[0].designation))


def _doubt(place: Place, facts: FractionOfMm | FitsOtherUnit) -> Finding:
    return Finding(Rule.UNIT_MEANT, Result.FAILED, place, facts, cure=Remedy.RIGHT_UNIT)


def leaves(value: object, location: Location) -> Iterator[tuple[Location, object]]:
    """Every value of a job file's tables with where it stands."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from leaves(inner, (*location, str(key)))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from leaves(inner, (*location, index))
    else:
        yield location, value


def is_length(location: Location) -> bool:
    """Whether a key is one of a length."""
    leaf = leaf_at(".".join(str(step) for step in location))
    return leaf is not None and leaf.shape is Shape.LENGTH


def _at(data: object, location: Location) -> object:
    for step in location:
        if isinstance(data, Mapping):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data
