"""The call-outs of openings and of single holes."""

import math
from collections.abc import Iterator

from flangelayout.checks.dimensioned import places_stand_in_table
from flangelayout.drawing.references import Feature, FeatureRef, GroupRef, HoleRef, OpeningRef
from flangelayout.drawing.textwidth import text_width, wrapped, wrapped_at_commas
from flangelayout.flange import Hole, Opening
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Point, box_around, polar
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.sizes.bores import allowed_behind
from flangelayout.views.sheet.sizes.wishes import RimSize, SaidSize, Wish
from flangelayout.views.words.lengths import DIAMETER_SIGN
from flangelayout.views.words.plate import opening_call_out, single_hole_call_out

_WIDEST, _NARROWEST = 52.0, 40.0
"""Printed mm of a line of words, and of one where a view has little room beside the plate."""
_AIMS = (-30.0, 30.0, -60.0, 60.0, 150.0, -150.0, 120.0, -120.0, 0.0, 180.0, 90.0, -90.0)
"""Directions from a round thing to its call-out, the best read first."""
_MOST_HOLES, _MOST_AIMS = 4, 5
"""Of holes alike those that are tried for a leader, and directions from each: those out of the plate."""

_MOST_COPIES = 24
"""Of an opening that are tried for a leader, spread over all of them."""


def opening_sizes(look: Look) -> Iterator[Wish]:
    """A call-out for each opening, copies told once; the ring side of a figure-8 has a diameter like any bore."""
    numbered: dict[int, list[Opening]] = {}
    for opening in look.flange.openings:
        numbered.setdefault(opening.number, []).append(opening)
    for number, copies in numbered.items():
        shape = copies[0].shape
        if not number and isinstance(shape, Circle):
            off = allowed_behind(look, look.flange.tolerances.bore)
            text = look.lengths.measured(2 * shape.radius, DIAMETER_SIGN, off)
            rim = Arc(shape.center, shape.radius, -90.0, 360.0)
            yield RimSize((rim,), text, FeatureRef(Feature.BORE), is_diameter=True)
        elif lines := opening_call_out(copies, look.lengths):
            tried = copies[:: 1 + len(copies) // _MOST_COPIES]
            tips = tuple(tip for copy in tried for tip in _opening_tips(copy))
            yield SaidSize(tips, _opening_lines(look, lines), OpeningRef(number))


def _opening_lines(look: Look, lines: tuple[str, ...]) -> tuple[str, ...]:
    """A call-out with name and sizes in one line, or each in lines of its own where that were too wide."""
    name, sizes, *places = lines
    first, wide = f"{name} {sizes}", _NARROWEST if math.isfinite(look.left) else _WIDEST
    is_short = text_width(first, look.letter) <= wide
    begun = (first,) if is_short else (name, *wrapped_at_commas(sizes, wide, look.letter))
    return (*begun, *places)


def _opening_tips(opening: Opening) -> Iterator[tuple[Point, float]]:
    """Places on the edge of an opening, each with the direction out of it."""
    shape = opening.shape
    if isinstance(shape, Circle):
        yield from ((polar(shape.radius, aim, shape.center), aim) for aim in _AIMS)
        return
    ends = [part.start for part in pieces(shape)]
    middle = box_around(ends).center
    tips = [Point((a.x + b.x) / 2, (a.y + b.y) / 2) for a, b in zip(ends, [*ends[1:], ends[0]], strict=True)]
    straight = [tip for tip, part in zip(tips, pieces(shape), strict=True) if not isinstance(part, Arc)]
    for tip in straight or ends:
        yield tip, middle.direction_to(tip)


def single_hole_lines(look: Look, alike: tuple[Hole, ...]) -> tuple[str, ...]:
    """The call-out of single holes that are alike."""
    in_table = places_stand_in_table(look.flange)
    lines = single_hole_call_out(alike, look.flange, look.lengths, in_table=in_table)
    return tuple(part for line in lines for part in wrapped(line, _WIDEST, look.letter))


def hole_size(holes: tuple[Hole, ...], lines: tuple[str, ...], source: HoleRef | GroupRef) -> SaidSize:
    """A call-out of holes alike where it finds no place above the plate: beside one of the first few of them."""
    near = holes[:_MOST_HOLES]
    tips = ((polar(hole.face_diameter / 2, aim, hole.center), aim) for hole in near for aim in _aims(hole))
    return SaidSize(tuple(tips), lines, source)


def _aims(hole: Hole) -> tuple[float, ...]:
    """Directions from a hole to its call-out: away from the middle of the plate first."""
    out = ORIGIN.direction_to(hole.center) if hole.center != ORIGIN else 0.0
    return tuple(sorted(_AIMS, key=lambda aim: abs((aim - out + 180.0) % 360.0 - 180.0)))[:_MOST_AIMS]
