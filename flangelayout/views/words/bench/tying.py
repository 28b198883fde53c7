"""The rows of a check card that tie what is cut into a plate to its edges and to each other, in words."""

from collections.abc import Iterator, Sequence

from flangelayout.checks.measuring import further_pairs
from flangelayout.checks.ties.chosen import Tie, Ties
from flangelayout.checks.ties.edges import EdgeKind, JawEdge, RigidBody
from flangelayout.flange import Flange
from flangelayout.views.words.lengths import Lengths

_NAMED = {
    EdgeKind.HOLE: "",
    EdgeKind.SLOT: "slot",
    EdgeKind.THREAD: "thread",
    EdgeKind.RECESS: "cbore",
    EdgeKind.DRILL: "drill",
    EdgeKind.BORE: "bore",
    EdgeKind.REGISTER: "register",
    EdgeKind.OPENING: "opening",
    EdgeKind.RIM: "rim",
    EdgeKind.INSIDE: "inside",
    EdgeKind.JOINT: "joint",
    EdgeKind.SIDE: "edge",
}
_WAYS = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")
"""Which way an edge of the plate as drawn lies from what it is measured to, by eighths of a turn."""
_MOST_NAMED = 8
"""Patterns, openings and holes that are named one by one."""
_TOLD = {
    EdgeKind.THREAD: "a thread at its crests, about as drilled",
    EdgeKind.RECESS: "“cbore”: the edge of a counterbore",
    EdgeKind.DRILL: "“drill”: of a sunk hole, on the other face",
    EdgeKind.SIDE: "edges on that side of it, as drawn on sheet 1",
}


def tying_distances(ties: Ties, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The metal between two edges, as :func:`machined_sizes`; nothing is stated of how far it may be off."""
    for tie in ties.readings:
        yield f"{_named(tie.one, tie)} to {_named(tie.other, tie)}", lengths.decimal(tie.metal), ""


def tied_by(ties: Ties, is_soft: bool = False) -> str:
    """How such distances are measured; ``is_soft`` on a gasket."""
    kinds = {edge.kind for tie in ties.readings for edge in (tie.one, tie.other)}
    met = (told for kind, told in _TOLD.items() if kind in kinds)
    what = "material" if is_soft else "metal"
    return f"{'; '.join((f'“To”: the least {what} between', *met))}."


def tubes_told(flange: Flange, ties: Ties, lengths: Lengths) -> str:
    """Where the holes for tubes stand that a card names, as most of them bear no number; empty where it names none."""
    named = {edge.name for tie in ties.readings for edge in (tie.one, tie.other)}
    named |= {hole.label for pair in further_pairs(flange) for hole in pair}
    tubes = {group for group, pattern in enumerate(flange.groups()) if pattern.tubes}
    found = (hole for hole in flange.holes() if hole.group in tubes and hole.label in named)
    places = (f"{hole.label} {lengths.decimal(hole.center.x)}, {lengths.decimal(hole.center.y)}" for hole in found)
    told = "; ".join(places)
    return f"Where these holes stand (x, y from the middle): {told}." if told else ""


def left_loose(ties: Ties) -> str:
    """What no reading of the card holds in its place, or not wholly; empty where all is held."""
    partly = [body for body in ties.loose if ties.is_read(body)]
    wholly = [body for body in ties.loose if body not in partly]
    said = (("Not held in place by this card", wholly), ("Held in place only in part by this card", partly))
    told = ". ".join(f"{lead}: {_some_of(found)}" for lead, found in said if found)
    return f"{told}. Measure by the drawing before use." if told else ""


def _some_of(loose: Sequence[RigidBody]) -> str:
    more = len(loose) - _MOST_NAMED
    return ", ".join(_loose(body) for body in loose[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _loose(body: RigidBody) -> str:
    if body.group >= 0:
        return f"pattern {body.name}".strip()
    if body.kind is EdgeKind.SIDE:
        return "edges of the plate"
    return f"opening {body.name}" if body.kind is EdgeKind.OPENING else body.name or _NAMED[body.kind]


def _named(edge: JawEdge, tie: Tie) -> str:
    """As ``thread B1``, ``bore``, ``edge, upper left``: which way it is met, as round ends have sides to all ways."""
    if edge.kind is EdgeKind.SIDE:
        return f"edge, {_WAYS[tie.toward]}"
    return f"{_NAMED[edge.kind]} {edge.name}".strip()
