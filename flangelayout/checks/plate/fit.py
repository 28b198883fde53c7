"""Whether holes and openings lie whole on the metal of a plate of any outline."""

import math
from collections.abc import Iterator

from flangelayout.flange import Flange, Hole, Opening, RoundOutline
from flangelayout.geometry.measure import Edge, distance_to_edge, edge_to_edge, pieces, spine_to_edge
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.units import Unit, decimal_text, size_text

Trouble = tuple[str, str, str]
"""Rule, job key and sentence of an error."""


def over_edge(flange: Flange, hole: Hole) -> float:
    """How far in mm a hole runs over the outer edge; negative is the metal left between them."""
    if isinstance(flange.outline, RoundOutline) and isinstance(hole.spine, Point):
        return math.hypot(hole.center.x, hole.center.y) + hole.diameter / 2 - flange.outline.outside_diameter / 2
    return hole.diameter / 2 - flange.edge_distance(hole.spine)


def into_opening(opening: Opening, hole: Hole) -> float:
    """How far in mm a hole runs into an opening; negative is the metal left between them."""
    return hole.diameter / 2 + spine_to_edge(opening.shape, hole.spine)


def plate_words(flange: Flange, unit: Unit) -> str:
    """What the plate is called in a sentence: ``plate of 285 mm``."""
    if isinstance(flange.outline, RoundOutline):
        return f"plate of {size_text(flange.outline.outside_diameter, unit)} {unit.value}"
    box = flange.box()
    return f"plate of {size_text(box.width, unit)} x {size_text(box.height, unit)} {unit.value}"


def plate_problems(flange: Flange, unit: Unit) -> Iterator[Trouble]:
    """Openings that run over the edge of the plate or into each other, and a raised face wider than the plate."""
    openings = flange.openings if isinstance(flange.outline, RoundOutline) else flange.cutouts()
    for opening in openings:
        metal = max(_metal_round(piece, opening) for piece in flange.pieces())
        if metal <= 0:
            yield (
                "opening-inside-plate",
                _key(opening),
                f"the {opening.name} runs {decimal_text(-metal, unit)} {unit.value} over the edge of the "
                f"{plate_words(flange, unit)}; make it smaller or move it",
            )
    yield from _meeting_openings(flange.cutouts())
    face = flange.raised_face_diameter
    if face is not None and not isinstance(flange.outline, RoundOutline):
        over = face / 2 - flange.edge_distance(Point(0.0, 0.0))
        if over > 0:
            yield (
                "raised-face-on-plate",
                "plate.raised_face_diameter",
                f"a raised face of {size_text(face, unit)} {unit.value} runs {decimal_text(over, unit)} {unit.value} "
                f"over the edge of the {plate_words(flange, unit)}; make it smaller",
            )


def _metal_round(piece: Edge, opening: Opening) -> float:
    """Least metal between an opening and an edge round it; negative as far as it runs over."""
    shape = opening.shape
    if isinstance(shape, Circle):
        return distance_to_edge(piece, shape.center) - shape.radius
    return min(spine_to_edge(piece, part) for part in pieces(shape))


def _meeting_openings(openings: tuple[Opening, ...]) -> Iterator[Trouble]:
    for index, one in enumerate(openings):
        for other in openings[:index]:
            if edge_to_edge(one.shape, other.shape) <= 0 or _is_within(one, other) or _is_within(other, one):
                text = f"the {one.name} and the {other.name} run into each other; make one smaller or move it"
                yield "openings-apart", _key(one), text


def _is_within(one: Opening, other: Opening) -> bool:
    """Whether an opening lies whole inside another."""
    start = pieces(one.shape)[0].start
    return distance_to_edge(other.shape, start) > 0


def _key(opening: Opening) -> str:
    return "plate.bore" if opening.is_bore else "opening"
