"""Whether holes and openings lie whole on the metal of a plate of any outline."""

import math
from collections.abc import Iterator

from flangelayout.checks.facts import FaceAgainst, FaceOnPlate, OpeningOnPlate, OpeningsMeet
from flangelayout.checks.finding import Bound, Finding, Place, Remedy, Result, judged
from flangelayout.checks.limits import GEOMETRY
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange, Hole, Opening, RoundOutline
from flangelayout.geometry.measure import Edge, distance_to_edge, edge_to_edge, pieces, spine_to_edge
from flangelayout.geometry.near_pairs import near_boxes
from flangelayout.geometry.shapes import Circle, Point, extent

_TOUCH = 1e-6
"""How near in mm the boxes of two openings come that could meet."""


def over_edge(flange: Flange, hole: Hole) -> float:
    """How far in mm a hole runs over the outer edge; negative is the metal left between them."""
    if isinstance(flange.outline, RoundOutline) and isinstance(hole.spine, Point):
        return math.hypot(hole.center.x, hole.center.y) + hole.diameter / 2 - flange.outline.outside_diameter / 2
    return hole.diameter / 2 - flange.edge_distance(hole.spine)


def into_opening(opening: Opening, hole: Hole) -> float:
    """How far in mm a hole runs into an opening; negative is the metal left between them."""
    return hole.diameter / 2 + spine_to_edge(opening.shape, hole.spine)


def check_plate_edges(flange: Flange) -> Iterator[Finding]:
    """Openings against the edge of the plate and each other, and a raised face against a plate that is not round."""
    round_plate = isinstance(flange.outline, RoundOutline)
    for index, opening in enumerate(flange.cutouts()):
        if round_plate and opening.is_bore:
            continue
        metal = max(_metal_round(piece, opening) for piece in flange.pieces())
        place = Place(_key(opening), opening=index)
        facts = OpeningOnPlate()
        yield judged(Rule.OPENING_INSIDE_PLATE, place, facts, metal, GEOMETRY, Remedy.MOVE_OPENING, Bound.MORE_THAN)
    yield from _meeting_openings(flange)
    face = flange.raised_face_diameter
    if face is not None and not round_plate:
        left = flange.edge_distance(Point(0.0, 0.0)) - face / 2
        on_plate = FaceOnPlate(FaceAgainst.EDGE, face)
        place = Place("plate.raised_face_diameter")
        yield judged(Rule.RAISED_FACE_ON_PLATE, place, on_plate, left, GEOMETRY, Remedy.SMALLER_FACE)


def _metal_round(piece: Edge, opening: Opening) -> float:
    """Least metal between an opening and an edge round it; negative as far as it runs over."""
    shape = opening.shape
    if isinstance(shape, Circle):
        return distance_to_edge(piece, shape.center) - shape.radius
    return min(spine_to_edge(piece, part) for part in pieces(shape))


def _meeting_openings(flange: Flange) -> Iterator[Finding]:
    """The first copies of any two openings that run into each other; one that passed for all where none do."""
    openings = flange.cutouts()
    told: set[tuple[int, int]] = set()
    near = sorted(near_boxes([extent(opening.shape) for opening in openings], _TOUCH), key=lambda pair: pair[::-1])
    for before, index in near:
        other, one = openings[before], openings[index]
        pair = (other.number, one.number)
        if pair not in told and _meet(one, other):
            told.add(pair)
            place, meet = Place(_key(one), opening=index), OpeningsMeet(before)
            yield Finding(Rule.OPENINGS_APART, Result.FAILED, place, meet, cure=Remedy.MOVE_ONE_OPENING)
    if len(openings) > 1 and not told:
        yield Finding(Rule.OPENINGS_APART, Result.PASSED, Place("opening"))


def _meet(one: Opening, other: Opening) -> bool:
    return edge_to_edge(one.shape, other.shape) <= 0 or _is_within(one, other) or _is_within(other, one)


def _is_within(one: Opening, other: Opening) -> bool:
    """Whether an opening lies whole inside another."""
    start = pieces(one.shape)[0].start
    return distance_to_edge(other.shape, start) > 0


def _key(opening: Opening) -> str:
    return "plate.bore" if opening.is_bore else "opening"
