"""The tolerances of a drawing in words: what holds for which size, each length told once.

The zone of each hole covers every distance of theirs, the distance of any two holes of a circle neighbors and
diagonals: what else the job states of their places is told only if that is narrower, and as the exception.
"""

import math
import re
from collections.abc import Collection, Iterable, Iterator

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Flange
from flangelayout.flange.claims import own_tolerance
from flangelayout.flange.cutting import CutProcess
from flangelayout.flange.plate import Deviations, GeneralTolerance, Tolerances
from flangelayout.provenance import Confidence
from flangelayout.standards.shop import is_gasket_material
from flangelayout.standards.tolerances.general import GeneralRange, Scope, general_ranges, scope
from flangelayout.standards.tolerances.sizes import OpenSize, open_sizes
from flangelayout.units import Unit, decimal_text, from_mm, to_mm
from flangelayout.value import replace
from flangelayout.views.words.lengths import DIAMETER_SIGN, Lengths

_INCH_PLACES = 3
_MICROMETER = {Unit.MM: 3, Unit.IN: 4}
"""Decimals of what a micrometer reads."""
_AT_MAXIMUM_MATERIAL = " at MMC"
"""Maximum material condition, as ISO 2692 and ASME Y14.5 call it (both from memory)."""
_SIZES = {Scope.EVERY: "other sizes", Scope.CUT: "cut sizes", Scope.WELDED: "welded sizes"}

Row = tuple[str, str]


def deviations_text(deviations: Deviations, lengths: Lengths) -> str:
    """How far a size may be off, as it stands behind it.

    Example:
        >>> mm = Lengths(Unit.MM)
        >>> deviations_text(Deviations(0.3, 0.3), mm), deviations_text(Deviations(0.5, 0.0), mm)
        ('±0.3', '+0.5/0')
    """
    if deviations.plus == deviations.minus:
        return f"±{_one_way(deviations.plus, lengths)}"
    plus, minus = (_one_way(each, lengths) if each else "0" for each in (deviations.plus, deviations.minus))
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


def tolerance_table(flange: Flange, lengths: Lengths, process: CutProcess | None = None) -> TextTable:
    """The block of tolerances; without rows where nothing is stated and nothing published goes with the drilling.

    Args:
        flange: What is made.
        lengths: How lengths are written.
        process: What cuts it, its plain holes too; ``None`` where the job does not say.
    """
    holes_are_cut = process is not None and process.is_thermal
    rows = (
        *_center_rows(flange, lengths),
        *_hole_rows(flange, lengths),
        *_general_rows(flange, lengths, holes_are_cut=holes_are_cut),
    )
    return TextTable(f"TOLERANCES ({lengths.words()})", ("OF", "ALLOWED"), rows)


def tolerance_lines(flange: Flange, unit: Unit) -> tuple[str, ...]:
    """That no tolerance is known to make holes by, where that is so: those of cutting and welding are none."""
    stated = flange.tolerances
    of_all = stated.general is not None and scope(stated.general) is Scope.EVERY
    known = any(_center_rows(flange, Lengths(unit))) or of_all or stated.block
    if known or not flange.holes():
        return ()
    if is_gasket_material(flange.material):
        return ("Tolerance of the holes not stated: ask before cutting",)
    return ("Drilling tolerance not stated: ask before drilling",)


def _center_rows(flange: Flange, lengths: Lengths) -> Iterator[Row]:
    """How exactly hole centers stand: as the job states it, else as the standard of each circle's row does."""
    stated, name = flange.tolerances, "PCD" if lengths.is_iso else "bolt circle"
    widest = math.inf
    if stated.position is not None:
        yield "hole positions", zone_text(flange, lengths)
        widest = _apart_by_position(stated, stated.position)
    for what, allowed in (("centers, any 2 of a circle", stated.chord), (name, stated.bolt_circle)):
        if allowed is not None and allowed < widest:
            yield what if math.isinf(widest) else f"but {what}", _plus_minus(allowed, lengths)
            widest = allowed
    if not stated.of_places:
        yield from _published_rows(flange, lengths, name)


def zone_text(flange: Flange, lengths: Lengths) -> str:
    """The zone that each hole center lies in, as ``⌀1 at MMC``; empty where none is stated."""
    stated = flange.tolerances
    if stated.position is None:
        return ""
    at = _AT_MAXIMUM_MATERIAL if stated.maximum_material else ""
    return f"{DIAMETER_SIGN}{_one_way(stated.position, lengths)}{at}"


def _apart_by_position(stated: Tolerances, position: float) -> float:
    """How far in mm two holes may be off their distance by their zones, half of each; without end if nothing says."""
    if not stated.maximum_material:
        return position
    return math.inf if stated.hole is None else position + stated.hole.plus + stated.hole.minus


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
        yield "figures", "not verified: compare"


def _plus_minus(length: float, lengths: Lengths) -> str:
    """A tolerance both ways."""
    return f"±{_one_way(length, lengths)}"


def _one_way(length: float, lengths: Lengths) -> str:
    """How far a size may be off, to one side, by no more than that: to a micrometer's last figure.

    In the other unit, which is for reference only, to a caliper's, but for what is less than ten of those.
    """
    here = _allowance(length, lengths.unit, _MICROMETER[lengths.unit], lengths)
    usual = _MICROMETER[lengths.other] - 1
    fine = from_mm(length, lengths.other) < 10.0 ** (1 - usual)
    return f"{here} [{_allowance(length, lengths.other, usual + fine, lengths)}]" if lengths.dual else here


def _allowance(length: float, unit: Unit, places: int, lengths: Lengths) -> str:
    """So many decimals of it at the most: mm without idle zeros, inches to three at least."""
    text = decimal_text(rounded_inward(-length, length, unit, places)[1], unit, places)
    if unit is Unit.MM:
        return text.rstrip("0").rstrip(".")
    bare = lengths.convention is Convention.ASME
    return (text.lstrip("0") if bare else text).removesuffix("0" if places > _INCH_PLACES else "")


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


def _general_rows(flange: Flange, lengths: Lengths, *, holes_are_cut: bool) -> Iterator[Row]:
    """What holds for all other sizes, for edges and surfaces."""
    stated = flange.tolerances
    if stated.general is not None:
        by = scope(stated.general)
        sizes = set(open_sizes(flange, holes_are_cut=holes_are_cut and by is Scope.CUT))
        yield _SIZES[by], stated.general.value
        yield from _range_rows(
            flange, stated.general, {each for each in sizes if each.is_cut or by is Scope.EVERY}, lengths
        )
    for line in stated.block:
        what, _, allowed = line.partition("=")
        yield what.strip(), allowed.strip()
    for what, said in (("cut edges", _cut_edges(stated)), ("surface", stated.texture), ("edges", stated.edges)):
        if said:
            yield what, said


def _cut_edges(stated: Tolerances) -> str:
    """The quality of cut edges; where it names a class of lengths as well, that these are held to what stands above.

    The third figure behind ISO 9013 is the class of limit deviations, 0 for none (from memory).
    """
    by_other = stated.block or (stated.general is not None and scope(stated.general) is not Scope.WELDED)
    names_class = re.search(r"9013\s*-\s*\d\d[1-9]", stated.cut_edges)
    return f"{stated.cut_edges}, sizes as above" if by_other and names_class else stated.cut_edges


def _range_rows(
    flange: Flange, general: GeneralTolerance, sizes: Collection[OpenSize], lengths: Lengths
) -> Iterator[Row]:
    """The figures of the ranges in which sizes lie that state none, where the table has them."""
    edges = [each for each in sizes if each.is_outer_edge]
    names = [
        name
        for name, is_cut in (("outer radii", True), ("chamfer", False))
        if any(each.is_cut is is_cut for each in edges)
    ]
    for found, name in (
        ([each for each in sizes if not each.is_outer_edge], ""),
        (edges, f"{', '.join(names)} "),
    ):
        ranges = general_ranges(general, flange.thickness, of_edges=bool(name))
        held = (each for each in ranges if any(each.holds(size.length) for size in found))
        for each in _joined(held):
            allowed = _published(each.plus_minus, each.plus_minus, lengths)
            yield f"  {name}{_range(each, lengths)}", f"{allowed}{trust_words(each.confidence)}"


def _joined(ranges: Iterable[GeneralRange]) -> list[GeneralRange]:
    """Those that follow each other and allow the same as one."""
    found: list[GeneralRange] = []
    for each in ranges:
        same = (each.over, each.plus_minus, each.confidence)
        if found and same == (found[-1].to, found[-1].plus_minus, found[-1].confidence):
            found[-1] = replace(found[-1], to=each.to)
        else:
            found.append(each)
    return found


def _range(each: GeneralRange, lengths: Lengths) -> str:
    over = f"{'' if each.from_over else 'over '}{lengths.size(each.over)}"
    return over if math.isinf(each.to) else f"{over} to {'under ' if each.below_to else ''}{lengths.size(each.to)}"
