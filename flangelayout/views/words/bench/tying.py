"""The list of a check card that ties circles, bore and single holes to each other, by the metal between their edges."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from flangelayout.flange import Counterbored, Dowel, Drilled, Flange, Hole, HoleKind, Jack, Spotfaced, Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.views.words.lengths import Lengths

_PLAIN = Drilled | Dowel | Spotfaced
"""Holes that are measured at their drilled edge; of a seat just deep enough to be flat jaws reach it too."""
_THREAD, _RECESS = "thread", "recess"
"""What stands before the name of a hole that is not measured at its drilled edge."""


class _Edge(NamedTuple):
    """What the jaws of a caliper find of a hole: how wide it is, what it is called, and where it can be reached."""

    diameter: float
    name: str
    face: PlateFace | None


def _edge(hole: Hole) -> _Edge | None:
    """The edge of a hole that a distance is measured from: of a thread the crests, which stand about as drilled."""
    match hole.kind:
        case Drilled() | Dowel() | Spotfaced():
            return _Edge(hole.diameter, hole.label, None)
        case Tapped(tapers=False) | Jack():
            return _Edge(hole.diameter, f"{_THREAD} {hole.label}", None if hole.is_through else hole.made_from)
        case Counterbored(bore_diameter=wide):
            return _Edge(wide, f"{_RECESS} {hole.label}", hole.made_from)
    return None


def tying_distances(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The metal between bore and first circle, between that and each other one and the single holes.

    As :func:`machined_sizes`. It shows a circle that stands off the middle, where it is alone by two holes at right
    angles, one that is turned against another, and single holes that are off together: the first and the last of each
    kind are tied to the nearest hole of the circle. The first circle is the first of plain holes, if there is one.
    """
    circles = [[hole for hole in flange.holes() if hole.group == group] for group in range(len(flange.bolt_circles))]
    known = sorted((each for each in circles if _edge(each[0])), key=lambda each: not isinstance(each[0].kind, _PLAIN))
    for first in known[:1]:
        yield from _to_bore(flange, first, lengths, is_alone=not known[1:])
        for others in known[1:]:
            other = max(others, key=lambda each: round(_tells_of_turn(first[0], each), 3))
            yield from _between(first[0], other, lengths)
        for single in _outer_single(flange):
            near = min(first, key=lambda each: round(each.center.distance_to(single.center), 3))
            yield from _between(single, near, lengths)


def tied_by(ties: Sequence[str]) -> str:
    """How such distances are measured, by their names."""
    edges = {_THREAD: "a thread at its crests, about as drilled", _RECESS: "a recess at its own edge"}
    met = [told for word, told in edges.items() if any(word in name for name in ties)]
    return f"{'; '.join(('“To”: metal between', *met))}."


def _to_bore(flange: Flange, first: Sequence[Hole], lengths: Lengths, is_alone: bool) -> Iterator[tuple[str, str, str]]:
    """Of a circle's first hole, and where it is alone of the one most aside of that."""
    if flange.bore is None or flange.bore_cut:
        return
    aside = max(first, key=lambda hole: round(abs(_across(first[0], hole)), 3))
    for hole in dict.fromkeys((first[0], aside)) if is_alone else first[:1]:
        if edge := _edge(hole):
            metal = hole.center.distance_to(ORIGIN) - (edge.diameter + flange.bore) / 2
            yield f"{edge.name} to bore", lengths.decimal(metal), ""


def _between(one: Hole, other: Hole, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The metal between two holes; nothing where there is none, or no face shows the edges of both."""
    ends = _edge(one), _edge(other)
    if ends[0] is None or ends[1] is None or (None not in (faces := {ends[0].face, ends[1].face}) and len(faces) > 1):
        return
    metal = one.center.distance_to(other.center) - (ends[0].diameter + ends[1].diameter) / 2
    if metal > 0:
        yield f"{ends[0].name} to {ends[1].name}", lengths.decimal(metal), ""


def _outer_single(flange: Flange) -> Iterator[Hole]:
    """The first and the last single hole of each kind: what is between them is measured from hole to hole."""
    alike: dict[tuple[HoleKind, float], list[Hole]] = {}
    for hole in flange.holes()[-len(flange.single_holes) :] if flange.single_holes else ():
        alike.setdefault((hole.kind, hole.diameter), []).append(hole)
    for each in alike.values():
        yield from dict.fromkeys((each[0], each[-1]))


def _tells_of_turn(one: Hole, other: Hole) -> float:
    """How much their distance changes, in mm, where one circle is turned against the other by one radian."""
    return abs(_across(one, other)) / one.center.distance_to(other.center)


def _across(one: Hole, other: Hole) -> float:
    return one.center.x * other.center.y - one.center.y * other.center.x
