"""The lists of a check card in words: the limits of a reading, and what is measured beside the circles."""

from collections.abc import Iterator
from itertools import pairwise

from flangelayout.checks.inspection.tolerances import Allowed, held_in_width
from flangelayout.flange import Flange, Hole, HoleGrid, HoleKind, SplitOutline
from flangelayout.units import Unit, decimal_text
from flangelayout.views.words.joint.turned import side_text
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.tolerances import rounded_inward


def accepted(allowed: Allowed | None, distance: float, lengths: Lengths) -> str:
    """The limits of a center distance, rounded inward; empty where it has no tolerance."""
    if allowed is None:
        return ""
    places = 2 if lengths.unit is Unit.MM else 3
    low, high = rounded_inward(distance - allowed.value, distance + allowed.value, lengths.unit, places)
    return f"{lengths.decimal(low)} – {lengths.decimal(high)}"


def further_distances(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """What is measured from hole to hole beside the circles, as :func:`machined_sizes`: no limits are known.

    Between single holes of one kind, and along and across the outer rows of a grid.
    """
    pairs: list[tuple[Hole, Hole]] = []
    for group, pattern in enumerate(flange.groups()):
        ends = frozenset(pattern.ends()) if isinstance(pattern, HoleGrid) else ()
        own = [hole for hole in flange.holes() if hole.group == group and hole.number in ends] if ends else []
        if len(own) > 3:
            first, second, *_, third, fourth = own
            pairs += [(first, second), (third, fourth), (first, fourth), (second, third)]
    single: dict[tuple[HoleKind, float], list[Hole]] = {}
    for hole in flange.holes()[-len(flange.single_holes) :] if flange.single_holes else ():
        single.setdefault((hole.kind, hole.diameter), []).append(hole)
    pairs += [pair for alike in single.values() for pair in pairwise(alike)]
    for one, other in pairs:
        yield f"{one.label} – {other.label}", lengths.decimal(one.center.distance_to(other.center)), ""


def machined_sizes(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The sizes bored and turned: what each is of, as wanted, and its limits where a tolerance or fit sets them."""
    if (wide := flange.tolerances.hole) is not None:
        for diameter in dict.fromkeys(hole.diameter for hole in held_in_width(flange)):
            yield "each hole", lengths.diameter(diameter), _limits(diameter - wide.minus, diameter + wide.plus, lengths)
    if flange.bore is not None and not flange.bore_cut:
        held = flange.tolerances.bore
        yield (
            "bore",
            lengths.diameter(flange.bore),
            _limits(flange.bore - held.minus, flange.bore + held.plus, lengths) if held else "",
        )
    if isinstance(flange.outline, SplitOutline):
        yield "inside", lengths.diameter(flange.outline.inside_diameter), ""
    for each in flange.all_turned():
        name, wanted, fit = (
            f"{each.kind.value} {side_text(each.face).lower()}",
            lengths.diameter(each.diameter),
            each.fit,
        )
        limits = _limits(each.diameter + fit.lower, each.diameter + fit.upper, lengths) if fit else ""
        yield name, f"{wanted} {fit.name}" if fit else wanted, limits
        if each.inner_diameter:
            yield "inner wall", lengths.diameter(each.inner_diameter), ""
        yield "depth" if each.kind.is_sunk else "height", lengths.size(each.size), ""


def _limits(least: float, most: float, lengths: Lengths) -> str:
    """The least and the most that passes, to a micrometer's last figure."""
    places = 3 if lengths.unit is Unit.MM else 4
    low, high = rounded_inward(least, most, lengths.unit, places)
    return f"{decimal_text(low, lengths.unit, places)} – {decimal_text(high, lengths.unit, places)}"
