"""Where the figures of a drilling come from, and whether it may be called by a standard's name, in words."""

from collections.abc import Iterator, Sequence
from typing import assert_never

from flangelayout.flange import BoltCircle, Dowel, Flange, Jack, Slot
from flangelayout.flange.claims import (
    Against,
    Difference,
    against,
    measured,
    met_rows,
    standing,
)
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.origin import Doubt, Figure, LookedUp, Made, Measured, NearestOf, PublishedRow
from flangelayout.provenance import Confidence
from flangelayout.units import Unit, counted, decimal_text, size_text

NOT_YET_TRIED = "not yet tried on real flanges; the caliper decides"
OFF_A_PICTURE = f"read off a picture or print, {NOT_YET_TRIED}"
"""What is said of a circle that does not rest on caliper readings alone."""
CHECK_FIRST = "CHECK BEFORE CUTTING"
"""Title of what stands in the way of calling a drilling by the name it is given."""


def match_words(rows: Sequence[PublishedRow], verb: str = "Drilled") -> str:
    """The words for a drilling that is as published; never a class or rating claim, and no full stop.

    Example:
        >>> from flangelayout.standards import find, published_row
        >>> match_words([published_row(find("EN 1092-1 PN16 DN150"))]).split(";")[0]
        'Drilled to match EN 1092-1 PN16 DN150'
    """
    return f"{verb} to match {_listed([f'{_called(row)}{_doubt(row)}' for row in rows])}"


def claim_sentences(circle: BoltCircle, unit: Unit) -> Iterator[str]:
    """What a bolt circle is drilled to match or to differ from, and what was measured."""
    met, found = met_rows(circle), measured(circle)
    if met:
        verb = "Tapped" if circle.is_tapped else "Drilled"
        yield match_words(met, verb)
    if met and found and isinstance(circle.origin, NearestOf):
        yield f"The one drilling that the readings fit: {measured_words(found, unit)}"
    elif found:
        yield measured_words(found, unit).capitalize()
    stands = against(circle)
    if stands and (meant := [each for each in stands.differences if each.figure in stands.meant]):
        yield f"DIFFERS FROM {stands.row.designation} AS INTENDED: {_differences(circle, meant, unit)}"


def warnings(flange: Flange, unit: Unit) -> tuple[str, ...]:
    """What has to be looked into before cutting, one sentence for each.

    Bolt circles that are not as the standard they name, though nobody meant it, and those drawn by readings that
    something speaks against.

    Example: ``Bolt circle: NOT AS EN 1092-1 PN16 DN150: bolt circle 235 (240), 6 holes (8)``.
    """
    return tuple(
        f"{flange.group_name(group).capitalize()}: {warning}"
        for group, circle in enumerate(flange.bolt_circles)
        for warning in _warnings(circle, unit)
    )


def _warnings(circle: BoltCircle, unit: Unit) -> Iterator[str]:
    stands, found = against(circle), measured(circle)
    if stands and stands.unmeant:
        yield not_as(circle, stands, unit)
    if found and found.doubts:
        yield f"READINGS USED ANYWAY: {'; '.join(_DOUBTS[doubt] for doubt in found.doubts)}"


_DOUBTS = {
    Doubt.DISAGREE: "they contradict each other",
    Doubt.SUSPECT: "one of them is suspect",
    Doubt.UNEVEN: "they say that the holes are not equally spaced",
    Doubt.NOT_ONE: "they single out no published drilling",
    Doubt.COUNT: "they fit another hole count",
    Doubt.UNIT: "they fit another unit",
    Doubt.UNDECIDED: "which published drilling they are of is not decided, and it is drilled as measured",
}
"""What speaks against readings that are used anyway; a test holds it against the list of doubts."""


def found_line(flange: Flange, unit: Unit) -> str:
    """What readings found of the plate's bolt circles, in one line; empty where nothing was taken from readings.

    Example: ``8 holes of 18 on 180 mm as EN 1092-1 PN10 DN100 and EN 1092-1 PN16 DN100; measured 180.07 ± 0.12 mm``.
    """
    return "; ".join(
        _found(circle, found, unit) for circle in flange.bolt_circles if (found := measured(circle)) is not None
    )


def _found(circle: BoltCircle, found: Measured, unit: Unit) -> str:
    hole = size_text(circle.hole_diameter, unit)
    band = "" if found.band is None else f" ± {decimal_text(found.band, unit)}"
    holes = f"{counted(circle.hole_count, 'hole')} of {hole} on"
    read = f"{decimal_text(found.diameter, unit)}{band} {unit.value}{_set_aside(found)}"
    met = [row.designation for row in met_rows(circle)]
    if isinstance(circle.origin, NearestOf):
        named = f" as {_listed(met)}" if met else ""
        return f"{holes} {size_text(circle.diameter, unit)} {unit.value}{named}; measured {read}"
    return f"{holes} {read}; matches {_listed(met)}" if met else f"{holes} {read}"


def _set_aside(found: Measured) -> str:
    return f"; {counted(found.set_aside, 'reading')} set aside" if found.set_aside else ""


def not_as(circle: BoltCircle, stands: Against, unit: Unit) -> str:
    """In what a drilling is not as the row it names, the row's own figure in brackets."""
    return f"NOT AS {stands.row.designation}: {_differences(circle, stands.unmeant, unit)}"


def measured_words(found: Measured, unit: Unit) -> str:
    """What the readings make of a bolt circle that was named before, with its band where one holds."""
    value, angles = decimal_text(found.diameter, unit), ", the angles of its holes as well" if found.angles else ""
    picture = f"; {OFF_A_PICTURE}" if found.off_a_picture else ""
    if found.band is None:
        return f"measured {value} {unit.value}{angles}; the readings contradict each other, so no band holds{picture}"
    band = decimal_text(found.band, unit)
    return f"measured {value} ± {band} {unit.value} (95 %){angles}{_set_aside(found)}{picture}"


def row_sources(circle: BoltCircle) -> Iterator[str]:
    """Where the published drillings come from that a bolt circle meets."""
    for row in met_rows(circle):
        source = f"{row.source}, " if row.source else ""
        yield f"{_called(row)}: {source}{row.confidence.words}"


def size_sources(drilling: Drilling) -> Iterator[str]:
    """Where the sizes of a hole were looked up."""
    return (_looked_up(each) for each in standing(drilling))


def _called(row: PublishedRow) -> str:
    return f"{row.designation} (edition {row.edition})" if row.edition else row.designation


def _doubt(row: PublishedRow) -> str:
    """What to do about figures that two sources do not vouch for, in brackets; nothing where they do."""
    match row.confidence:
        case Confidence.TWO_SOURCES:
            return ""
        case Confidence.ONE_SOURCE:
            return " (figures from one source only: check them before cutting)"
        case Confidence.MEMORY:
            return " (figures not verified: compare them with the standard before cutting)"
        case _:
            assert_never(row.confidence)


def _listed(texts: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))


def _differences(circle: BoltCircle, found: Sequence[Difference], unit: Unit) -> str:
    return ", ".join(difference_words(circle, each, unit) for each in found)


def difference_words(circle: BoltCircle, found: Difference, unit: Unit) -> str:
    """One figure as drawn, and the row's in brackets."""
    drawn, published = _both(found, unit)
    match found.figure:
        case Figure.CIRCLE:
            text = f"bolt circle {drawn} ({published})"
        case Figure.HOLE_COUNT:
            text = f"{counted(int(found.drawn or 0), 'hole')} ({int(found.published or 0)})"
        case Figure.HOLE:
            text = f"hole {drawn} ({published})"
        case Figure.THREAD:
            text = f"thread for {drawn} ({published})"
        case Figure.SPACING:
            text = f"neighbors {drawn} apart ({published})"
        case Figure.KIND:
            text = f"{_kind(circle)} (round holes)"
        case Figure.SKIPPED:
            text = f"{counted(int(found.drawn or 0), 'place')} not drilled"
        case _:
            assert_never(found.figure)
    return text


def _both(found: Difference, unit: Unit) -> tuple[str, str]:
    """Both figures as sizes, or to as many places as tell them apart."""
    drawn, published = found.drawn, found.published
    if drawn is None or published is None:
        return _or_none(drawn, unit), _or_none(published, unit)
    if decimal_text(drawn, unit) == decimal_text(published, unit):
        places = 3 if unit is Unit.MM else 4
        return decimal_text(drawn, unit, places), decimal_text(published, unit, places)
    return size_text(drawn, unit), size_text(published, unit)


def _or_none(length: float | None, unit: Unit) -> str:
    return "none" if length is None else size_text(length, unit)


_KINDS = {Slot: "slots", Jack: "threads for jack screws", Dowel: "dowel holes"}


def _kind(circle: BoltCircle) -> str:
    return _KINDS.get(type(circle.kind), "other holes")


def _looked_up(found: LookedUp) -> str:
    unit = Unit.IN if found.inch else Unit.MM
    of = f"{found.of} in" if found.inch and found.made is not Made.TAP_DRILL else found.of
    trust = found.confidence.words
    match found.made:
        case Made.CLEARANCE_HOLE:
            return f"Hole {_sized(found.value, unit)} for {of}: {found.standard} {found.fit}; {trust}"
        case Made.TAP_DRILL:
            return f"Tap drill {_drill(found.value, unit)} for {of}: {found.standard}; {trust}"
        case Made.COUNTERBORE | Made.COUNTERSINK:
            return f"{found.made.value.capitalize()} for {of} {_sized(found.value, unit)}: {found.standard}; {trust}"
        case Made.SPOTFACE:
            washer = _sized(found.washer or 0.0, unit)
            return f"Spotface for {of}: washer of {found.standard}, {washer}, and 2 mm; {trust}"
        case _:
            assert_never(found.made)


def _sized(length: float, unit: Unit) -> str:
    return f"{size_text(length, unit)} {unit.value}"


def _drill(length: float, unit: Unit) -> str:
    """A drill's size: as sizes are written in inches, decimals without idle zeros in mm."""
    if unit is Unit.IN:
        return _sized(length, unit)
    return f"{decimal_text(length, unit).rstrip('0').rstrip('.')} {unit.value}"
