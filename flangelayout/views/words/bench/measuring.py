"""The lists of a check card in words: the limits of a reading, and what is measured beside the circles."""

import math
from collections.abc import Iterator
from itertools import pairwise

from flangelayout.checks.inspection.tolerances import (
    Allowed,
    allowed_between,
    edge_allowed,
    general_allowed,
    held_in_width,
    pattern_of,
)
from flangelayout.checks.measuring import form_sizes, further_pairs, plate_sides, seat_sizes
from flangelayout.flange import Dowel, Flange, LuggedOutline, Slot, SplitOutline
from flangelayout.flange.plate import Deviations, Opening
from flangelayout.geometry.measure import edge_to_edge
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Rounding, Unit, to_mm
from flangelayout.views.words.joint.turned import side_text
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.tolerances import rounded_inward

_RULE = {
    Unit.MM: (0.5, Rounding(Unit.MM, 1)),
    Unit.IN: (to_mm(1 / 64, Unit.IN), Rounding(Unit.IN, 6, is_fraction=True)),
}
"""What a rule is read to in mm, and how that is written: half millimeters, 64ths of an inch."""
_CALIPER = {Unit.MM: 2, Unit.IN: 3}
"""Decimals of what a caliper reads; a micrometer has one more."""
BETWEEN_SLOTS = "Slots: mark their middles and measure between the marks."
"""Slots that are turned to each other have no same edge."""
_EXACT = 1e-6
_FEW_STEPS = 9.5
"""How many of a caliper's steps are few for limits to lie apart, as an inspection form has it."""


def accepted(allowed: Allowed | None, distance: float, lengths: Lengths, by_rule: bool = False) -> str:
    """The limits of a center distance, rounded inward to what is read; empty where it has no tolerance."""
    if allowed is None:
        return ""
    least, most = distance - allowed.value, distance + allowed.value
    return _ruled(least, most, lengths) if by_rule else _between(least, most, lengths, _CALIPER[lengths.unit])


def _ruled(least: float, most: float, lengths: Lengths) -> str:
    """The least and the most that passes, rounded inward to what a rule is read to."""
    step, rounding = _RULE[lengths.unit]
    low, high = math.ceil(round(least / step, 6)) * step, math.floor(round(most / step, 6)) * step
    return f"{rounding.text(low)} – {rounding.text(high)}"


def further_distances(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """What is measured from hole to hole beside the patterns, as :func:`machined_sizes`."""
    for one, other in further_pairs(flange):
        apart = one.center.distance_to(other.center)
        allowed = allowed_between(flange, pattern_of(flange, one, other), one.center, other.center)
        yield f"{one.label} – {other.label}", lengths.decimal(apart), accepted(allowed, apart, lengths)


def machined_sizes(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The sizes bored and turned, others that have a tolerance of their own: what, as wanted, and its limits."""
    yield from _plate_sizes(flange, lengths)
    for each in flange.all_turned():
        name, fit = f"{each.kind.value} {side_text(each.face).lower()}", each.fit
        if fit:
            limits = _fitted(each.diameter + fit.lower, each.diameter + fit.upper, lengths)
            yield name, f"{lengths.diameter(each.diameter)} {fit.name}", limits
        else:
            yield _sized(name, each.diameter, _general(flange, each.diameter), lengths)
        if each.inner_diameter:
            yield _sized("inner wall", each.inner_diameter, _general(flange, each.inner_diameter), lengths)
        limits = _own(each.size, _general(flange, each.size), lengths)
        yield "depth" if each.kind.is_sunk else "height", lengths.size(each.size), limits
    yield from _openings(flange, lengths)


def _openings(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """How large every opening beside the bore is, and how wide the metal between its copies."""
    copies: dict[int, list[Opening]] = {}
    for opening in flange.openings:
        if not opening.is_bore:
            copies.setdefault(opening.number, []).append(opening)
    for number, (first, *others) in copies.items():
        name = f"{'each ' if others else ''}opening {number}"
        for what, size in form_sizes(first):
            limits = _own(size, _of_edge(flange, size), lengths)
            yield f"{name} {what}".strip(), (lengths.size if what else lengths.diameter)(size), limits
        webs = [edge_to_edge(one.shape, other.shape) for one, other in pairwise((first, *others, first))]
        for web in dict.fromkeys(round(web, 3) for web in webs[: None if len(others) > 1 else 1] if others):
            yield f"openings {number}: between", lengths.decimal(web), ""


def _plate_sizes(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """Outside, sides, thickness and holes where they have limits, pins' holes, the bore; of soft sheet by a rule."""
    held, ruled = flange.tolerances, is_gasket_material(flange.material)

    def row(name: str, diameter: float, limits: Deviations | None) -> tuple[str, str, str]:
        if limits and ruled:
            return name, lengths.diameter(diameter), _ruled(diameter - limits.minus, diameter + limits.plus, lengths)
        return _sized(name, diameter, limits, lengths)

    if (outside := flange.outside_diameter) is not None and (own := held.outside or _of_edge(flange, outside)):
        yield row("body" if isinstance(flange.outline, LuggedOutline) else "outside", outside, own)
    yield from _sides(flange, lengths)
    if (thick := flange.thickness) is not None and (own := held.thickness or _general(flange, thick)):
        yield "thickness", lengths.size(thick), _own(thick, own, lengths)
    for diameter in dict.fromkeys(hole.diameter for hole in held_in_width(flange)):
        if own := held.hole or _general(flange, diameter):
            yield row("each hole", diameter, own)
    yield from _slots(flange, lengths)
    yield from _seats(flange, lengths)
    yield from _pins(flange, lengths)
    if (bore := flange.bore_diameter) is not None and not flange.bore_cut:
        yield row("bore", bore, held.bore or _of_edge(flange, bore))
    if isinstance(flange.outline, SplitOutline):
        inside = flange.outline.inside_diameter
        yield row("inside", inside, held.bore or _of_edge(flange, inside))


def _sides(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """How wide and high, or long, a plate is that is not round, where that has limits."""
    for name, size in plate_sides(flange):
        if own := _of_edge(flange, size):
            is_ruled = is_gasket_material(flange.material)
            limits = _ruled(size - own.minus, size + own.plus, lengths) if is_ruled else _own(size, own, lengths)
            yield name, (lengths.diameter if name == "middle" else lengths.size)(size), limits


def _slots(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """How wide and how long over all slots are that have limits."""
    for kind, width in dict.fromkeys((hole.kind, hole.diameter) for hole in flange.holes()):
        for what, size in (("width", width), ("length", kind.length)) if isinstance(kind, Slot) else ():
            if own := _general(flange, size):
                yield f"each slot {what}", lengths.size(size), _own(size, own, lengths)


def _seats(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The seats of holes that have limits."""
    for kind in dict.fromkeys(hole.kind for hole in flange.holes()):
        for what, size in seat_sizes(kind):
            if own := _general(flange, size):
                is_deep = what.endswith("depth")
                yield f"each {what}", (lengths.size if is_deep else lengths.diameter)(size), _own(size, own, lengths)


def _pins(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The holes reamed for pins whose limits are known."""
    for kind, diameter in dict.fromkeys((hole.kind, hole.diameter) for hole in flange.holes()):
        if isinstance(kind, Dowel) and kind.lower is not None and kind.upper is not None:
            limits = _fitted(diameter + kind.lower, diameter + kind.upper, lengths)
            yield "each dowel", f"{lengths.diameter(diameter)} {kind.fit}", limits


def _general(flange: Flange, size: float) -> Deviations | None:
    """What the drawing's general tolerance allows of a size."""
    return _both_ways(general_allowed(flange.tolerances, size))


def _of_edge(flange: Flange, size: float) -> Deviations | None:
    """What it allows of outside and bore."""
    return _both_ways(edge_allowed(flange, size))


def _both_ways(allowed: Allowed | None) -> Deviations | None:
    return None if allowed is None else Deviations(allowed.value, allowed.value)


def _sized(name: str, diameter: float, held: Deviations | None, lengths: Lengths) -> tuple[str, str, str]:
    """A diameter, as wanted, and its limits where it has some."""
    return name, lengths.diameter(diameter), _own(diameter, held, lengths)


def _own(size: float, held: Deviations | None, lengths: Lengths) -> str:
    """The limits of a size to a caliper's last figure, or to a micrometer's where they are finer than that."""
    if held is None:
        return ""
    least, most = size - held.minus, size + held.plus
    caliper = rounded_inward(least, most, lengths.unit, _CALIPER[lengths.unit])
    is_exact = abs(caliper[0] - least) < _EXACT and abs(caliper[1] - most) < _EXACT
    is_wide = most - least > _FEW_STEPS * to_mm(10.0 ** -_CALIPER[lengths.unit], lengths.unit)
    places = _CALIPER[lengths.unit] + (not is_exact and not is_wide)
    return _between(least, most, lengths, places)


def _fitted(least: float, most: float, lengths: Lengths) -> str:
    """The limits of a fit to a micrometer's last figure."""
    return _between(least, most, lengths, _CALIPER[lengths.unit] + 1)


def _between(least: float, most: float, lengths: Lengths, places: int) -> str:
    """The least and the most that passes, rounded inward."""
    low, high = rounded_inward(least, most, lengths.unit, places)
    return f"{lengths.to_places(low, places)} – {lengths.to_places(high, places)}"
