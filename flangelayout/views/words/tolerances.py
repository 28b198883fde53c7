"""The tolerances of a drawing in words: what holds for which size, each length told once.

The distance of any two holes of a circle covers neighbors and diagonals: where the job states one, the bolt circle has
a tolerance of its own only if that is narrower, and it is told as the exception.
"""

import math
from collections.abc import Iterator

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Flange
from flangelayout.flange.claims import own_tolerance
from flangelayout.flange.plate import Deviations, GeneralTolerance
from flangelayout.provenance import Confidence
from flangelayout.standards.tolerances.general import GeneralRange, general_ranges
from flangelayout.units import Unit, from_mm, to_mm
from flangelayout.value import replace
from flangelayout.views.words.lengths import DIAMETER_SIGN, Lengths

_INCH_PLACES = 3
MOST_RANGES = 3
"""Ranges of a general tolerance that are told with their figures: those of the plate's larger sizes."""

Row = tuple[str, str]


def deviations_text(deviations: Deviations, lengths: Lengths) -> str:
    """How far a size may be off, as it stands behind it.

    Example:
        >>> mm = Lengths(Unit.MM)
        >>> deviations_text(Deviations(0.3, 0.3), mm), deviations_text(Deviations(0.5, 0.0), mm)
        ('±0.3', '+0.5/0')
    """
    if deviations.plus == deviations.minus:
        return f"±{lengths.size(deviations.plus)}"
    plus, minus = (lengths.size(each) if each else "0" for each in (deviations.plus, deviations.minus))
    return f"{'+' if deviations.plus else ''}{plus}/{'-' if deviations.minus else ''}{minus}"


def rounded_inward(least: float, most: float, unit: Unit, places: int) -> tuple[float, float]:
    """The least and the most that passes, in mm, rounded inward to what is read: nothing outside is accepted.

    Example:
        >>> [round(each, 3) for each in rounded_inward(112.39, 113.39, Unit.MM, 1)]
        [112.4, 113.3]
    """
    step = 10.0**places
    low = math.ceil(round(from_mm(least, unit) * step, 6)) / step
    high = math.floor(round(from_mm(most, unit) * step, 6)) / step
    return to_mm(low, unit), to_mm(high, unit)


def tolerance_table(flange: Flange, lengths: Lengths) -> TextTable:
    """The block of tolerances; without rows where nothing is stated and nothing published goes with the drilling."""
    rows = (*_center_rows(flange, lengths), *_hole_rows(flange, lengths), *_general_rows(flange, lengths))
    return TextTable(f"TOLERANCES ({lengths.words()})", ("OF", "ALLOWED"), rows)


def tolerance_lines(flange: Flange, unit: Unit) -> tuple[str, ...]:
    """That no tolerance is known to drill by, where that is so."""
    known = any(_center_rows(flange, Lengths(unit))) or flange.tolerances.general or flange.tolerances.block
    return () if known or not flange.holes() else ("Drilling tolerance not stated: ask before drilling",)


def _center_rows(flange: Flange, lengths: Lengths) -> Iterator[Row]:
    """How exactly hole centers stand: as the job states it, else as the standard of each circle's row does."""
    circle, chord = flange.tolerances.bolt_circle, flange.tolerances.chord
    name = "PCD" if lengths.is_iso else "bolt circle"
    if chord is not None:
        yield "centers, any 2 of a circle", _plus_minus(chord, lengths)
        if circle is not None and circle < chord:
            yield f"but {name}", _plus_minus(circle, lengths)
    elif circle is not None:
        yield name, _plus_minus(circle, lengths)
    else:
        yield from _published_rows(flange, lengths, name)


def _published_rows(flange: Flange, lengths: Lengths, name: str) -> Iterator[Row]:
    """What each circle's standard allows; circles of which the same is said stand together."""
    said: dict[tuple[Row, ...], list[str]] = {}
    for group, what in enumerate(flange.bolt_circles):
        if rows := tuple(_circle_rows(what, lengths, name)):
            said.setdefault(rows, []).append(flange.group_letter(group))
    for rows, letters in said.items():
        lead = f"{', '.join(letters)}: " if all(letters) else ""
        yield from ((f"{lead}{what}", allowed) for what, allowed in rows)


def _circle_rows(what: BoltCircle, lengths: Lengths, name: str) -> Iterator[Row]:
    published = own_tolerance(what)
    if published is None:
        return
    here, there = (published.published_in(unit) for unit in (lengths.unit, lengths.other))
    if here.chord is not None and there.chord is not None and _has_neighbors(what):
        yield "neighbors", _published(here.chord, there.chord, lengths)
    yield name, _published(here.circle, there.circle, lengths)
    yield "taken from", published.standard
    if published.confidence is Confidence.MEMORY:
        yield "not verified:", "compare"


def _plus_minus(length: float, lengths: Lengths) -> str:
    """A tolerance both ways: mm without idle zeros, inches to three decimals."""
    return f"±{lengths.size(length) if lengths.unit is Unit.MM else lengths.decimal(length)}"


def _published(here: float, there: float, lengths: Lengths) -> str:
    """A published tolerance both ways, by the figures that its standard has in the unit and in the other one.

    Where it has the same in both, none are in inches: those in mm stand behind the inches that they make.
    """
    alone = replace(lengths, dual=False)
    text, other = _inward(here, alone), _inward(there, replace(alone, unit=lengths.other))
    if lengths.dual:
        return f"±{text} [{other}]"
    return f"±{text} ({other} mm)" if lengths.unit is Unit.IN and here == there else f"±{text}"


def _inward(length: float, lengths: Lengths) -> str:
    """What a tolerance allows: mm as they are, inches to three decimals and no more than that."""
    if lengths.unit is Unit.MM:
        return lengths.size(length)
    return lengths.decimal(rounded_inward(-length, length, Unit.IN, _INCH_PLACES)[1])


def _has_neighbors(circle: BoltCircle) -> bool:
    """Whether its neighbors are not opposite each other as well: then their distance is the bolt circle itself."""
    return circle.hole_count > 2


def trust_words(confidence: Confidence) -> str:
    """What stands behind a published figure: to be checked where it is one from memory."""
    return ", unverified" if confidence is Confidence.MEMORY else ""


def _hole_rows(flange: Flange, lengths: Lengths) -> Iterator[Row]:
    allowed = flange.tolerances.hole
    if allowed is not None and flange.holes():
        yield f"{DIAMETER_SIGN} of drilled holes", deviations_text(allowed, lengths)


def _general_rows(flange: Flange, lengths: Lengths) -> Iterator[Row]:
    """What holds for all other sizes, for edges and surfaces."""
    stated = flange.tolerances
    if stated.general is not None:
        yield "other sizes", stated.general.value
        yield from _range_rows(flange, stated.general, lengths)
    for line in stated.block:
        what, _, allowed = line.partition("=")
        yield what.strip(), allowed.strip()
    for what, said in (("cut edges", stated.cut_edges), ("surface", stated.texture), ("edges", stated.edges)):
        if said:
            yield what, said


def _range_rows(flange: Flange, general: GeneralTolerance, lengths: Lengths) -> Iterator[Row]:
    """The figures for the ranges that the plate's own sizes lie in, where the table has them."""
    ranges = general_ranges(general, flange.thickness)
    held = [each for each in ranges if any(each.holds(size) for size in _sizes(flange))]
    for each in held[-MOST_RANGES:]:
        allowed = _published(each.plus_minus, each.plus_minus, lengths)
        yield f"  {_range(each, lengths)}", f"{allowed}{trust_words(each.confidence)}"


def _range(each: GeneralRange, lengths: Lengths) -> str:
    over = lengths.size(each.over)
    return f"over {over}" if math.isinf(each.to) else f"over {over} to {lengths.size(each.to)}"


def _sizes(flange: Flange) -> tuple[float, ...]:
    box = flange.box()
    return tuple(size for size in (box.width, box.height, flange.bore, flange.thickness) if size is not None)
