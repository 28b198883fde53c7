"""The sizes that stand on the picture of the flange: what is known of each, and who says so."""

from enum import Enum

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.flange import Flange
from flangelayout.flange.hole import Jack, Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.job.build.circles import OwnTables
from flangelayout.standards import Pattern, find
from flangelayout.survey import Survey
from flangelayout.survey.kinds import Kind
from flangelayout.units import Unit, parse_length, size_text
from flangelayout.value import replace
from flangelayout.views.words.holes import is_worked_from_one_face
from flangelayout.web.form.address_tables import Table
from flangelayout.web.form.state import State


class Source(Enum):
    """Who says a size."""

    YOURS = "yours"
    STANDARD = "standard"
    READINGS = "readings"
    ASKS = "asks"


class Size(Struct, frozen=True):
    """One size: the key that holds it, its value in mm (or a count), how it reads, and who says so."""

    key: str
    value: float | None = None
    text: str = ""
    source: Source = Source.ASKS


class CircleSizes(Struct, frozen=True):
    """What is known of one bolt circle.

    ``standard`` is the row it names, if it does; a hole that is ``threaded`` is called by its thread, and
    ``from_back`` is one that is made from the face that is not seen.
    """

    number: int
    diameter: Size
    hole_count: Size
    hole_diameter: Size
    standard: Pattern | None
    threaded: bool = False
    from_back: bool = False


class PictureSizes(Struct, frozen=True):
    """What is known of the plate and its bolt circles."""

    outside: Size
    bore: Size
    thickness: Size
    circles: tuple[CircleSizes, ...]


_THREADED = ("tapped", "jack", "lifting")
"""Kinds of hole, as a job file names them, that are called by their thread."""


def sizes_of(state: State, flange: Flange | None, survey: Survey | None, own: OwnTables = ()) -> PictureSizes:
    """What is written, what a standard or the readings fill in, and what is still asked for.

    Args:
        state: What stands in the fields.
        flange: What is made of it, as far as that can be said.
        survey: What the readings say.
        own: The shop's own patterns.
    """
    plate = state.table("plate")
    row = _row(plate.get("standard"), own)
    outside = _size(state, "plate.outside_diameter", plate, row.outside_diameter if row else None)
    if outside.value is None and flange is not None and flange.round_diameter is not None:
        outside = _known(outside.key, flange.round_diameter, Source.YOURS, state.show)
    return PictureSizes(
        outside=_or_read(outside, state, survey, Kind.OUTSIDE_DIAMETER),
        bore=_or_read(_size(state, "plate.bore", plate, None), state, survey, Kind.BORE),
        thickness=_size(state, "plate.thickness", plate, None),
        circles=tuple(
            _made(_circle(state, number, survey, own), flange, state.show)
            for number in range(1, max(1, len(state.rows("bolt_circle"))) + 1)
        ),
    )


def _circle(state: State, number: int, survey: Survey | None, own: OwnTables) -> CircleSizes:
    rows = state.rows("bolt_circle")
    table = rows[number - 1] if number <= len(rows) else {}
    lead, row = f"bolt_circle.{number}", _row(table.get("standard"), own)
    read = survey if number == 1 or table.get("diameter") == "measured" else None
    diameter = _size(state, f"{lead}.diameter", table, row.bolt_circle if row else None)
    if read is not None and diameter.value is None and survey is not None and survey.band_holds:
        diameter = _known(diameter.key, survey.diameter, Source.READINGS, state.show, rounded=1)
    count = _count(f"{lead}.hole_count", table.get("hole_count"), row, state if number == 1 else None, read)
    if table.get("kind") in _THREADED and isinstance(thread := table.get("thread"), str):
        hole = Size(f"{lead}.thread", None, thread, Source.YOURS)
        return CircleSizes(number, diameter, count, hole, row, threaded=True)
    hole = _size(state, f"{lead}.hole_diameter", table, row.hole_diameter if row else None)
    return CircleSizes(number, diameter, count, _or_read(hole, state, read, Kind.HOLE_DIAMETER), row)


def _made(circle: CircleSizes, flange: Flange | None, unit: Unit) -> CircleSizes:
    """A circle with its holes as they are made, where that is known: a thread is called by its name."""
    circles = flange.bolt_circles if flange is not None else ()
    if circle.number > len(circles):
        return circle
    drilling, hole = circles[circle.number - 1].drilling, circle.hole_diameter
    back = is_worked_from_one_face(drilling.kind) and drilling.worked_from is PlateFace.BACK
    match drilling.kind:
        case Tapped(thread=thread) | Jack(thread=thread):
            key = f"bolt_circle.{circle.number}.thread"
            return replace(
                circle, hole_diameter=Size(key, hole.value, thread, Source.YOURS), threaded=True, from_back=back
            )
        case _:
            known = hole if hole.text else _known(hole.key, drilling.diameter, Source.STANDARD, unit)
            return replace(circle, hole_diameter=known, from_back=back)


def _size(state: State, key: str, table: Table, published: float | None) -> Size:
    """A length as it is written, else as a standard fills it in."""
    written = table.get(key.rpartition(".")[2])
    if written is not None:
        try:
            value = parse_length(written if isinstance(written, int | float) else str(written), state.unit)
        except (FlangeLayoutError, OverflowError):
            return Size(key, None, "", Source.YOURS if written != "measured" else Source.READINGS)
        if 0 < value < 1e6:
            return _known(key, value, Source.YOURS, state.show)
        return Size(key, None, "", Source.YOURS)
    return _known(key, published, Source.STANDARD, state.show) if published is not None else Size(key)


def _known(key: str, value: float, source: Source, unit: Unit, rounded: int | None = None) -> Size:
    text = size_text(value if rounded is None or unit is Unit.IN else round(value, rounded), unit)
    return Size(key, value, text, source)


def _or_read(size: Size, state: State, survey: Survey | None, kind: Kind) -> Size:
    """The size, or what was read of it where nothing else says it; rim and bore also where no circle was read yet."""
    if size.value is not None:
        return size
    if survey is not None:
        read = next((reading.value for reading in survey.readings if reading.kind is kind), None)
    elif kind is Kind.HOLE_DIAMETER:
        read = None
    else:
        text = next((str(row.get("value", "")) for row in state.readings() if row.get("kind") == kind.value), "")
        read = _size(state, size.key, {size.key.rpartition(".")[2]: text or None}, None).value
    return size if read is None else _known(size.key, read, Source.READINGS, state.show)


def _count(key: str, written: object, row: Pattern | None, state: State | None, survey: Survey | None) -> Size:
    if isinstance(written, int) and 0 < written <= 400:
        return Size(key, written, str(written), Source.YOURS)
    if row is not None:
        return Size(key, row.hole_count, str(row.hole_count), Source.STANDARD)
    counted = state.table("survey").get("hole_count") if state else None
    if isinstance(counted, int) and 0 < counted <= 400:
        return Size(key, counted, str(counted), Source.READINGS)
    if survey is not None:
        return Size(key, survey.hole_count, str(survey.hole_count), Source.READINGS)
    return Size(key)


def _row(designation: object, own: OwnTables) -> Pattern | None:
    if not isinstance(designation, str):
        return None
    try:
        return find(designation, own=own)
    except InputError:
        return None
