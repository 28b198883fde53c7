"""Face view and section put together: everything said of the plate, each thing where it crosses no text."""

import math
from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.model import AngularDimension, DiameterDimension, Item, Label, Leader, RadiusDimension
from flangelayout.drawing.references import Feature, FeatureRef, HoleRef
from flangelayout.flange import Hole, RoundOutline, SegmentOutline, SplitOutline
from flangelayout.geometry.shapes import Box, box_of_all
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.call_outs import CallOuts, call_out_items
from flangelayout.views.sheet.face import add_holes, centerline_items, edge_items, hole_items
from flangelayout.views.sheet.face_dimensions import (
    cutting_plane_items,
    detail_ring,
    diameter_items,
    top_items,
)
from flangelayout.views.sheet.hole_numbers import hole_numbers, opened
from flangelayout.views.sheet.look import Look, Option
from flangelayout.views.sheet.section.cut import plane_of
from flangelayout.views.sheet.section.drawn import GAP, Section, section_items
from flangelayout.views.sheet.section.profiles import Unshown, unshown_holes
from flangelayout.views.sheet.section.said import section_dimensions
from flangelayout.views.sheet.sizes.angles import angle_items, angles_to_tell
from flangelayout.views.sheet.sizes.plate import plate_sizes, sizes_at_arrows
from flangelayout.views.sheet.sizes.weld import weld_items

DETAIL_RADIUS = 4.0
"""Printed mm round a hole that the ring of a detail encloses at the least."""
_Numbered = tuple[Ink, tuple[Item, ...], tuple[Item, ...], list[Item]]
"""The ink with hole numbers, the numbers, the centerlines that open for them, and the sizes of the plate."""
_AT_ARROWS = (Leader, DiameterDimension, RadiusDimension)
_FIRST_ANGLE = FeatureRef(Feature.FIRST_HOLE_ANGLE)


class Composition(Struct, frozen=True):
    """A layout drawn at a scale.

    Attributes:
        look: What and how.
        items: Everything on it.
        call_outs: The leaders of it and the patterns that none leads to.
        box: What it takes up in printed mm about the middle of the plate.
        unshown: Holes whose profile the section does not show.
    """

    look: Look
    items: tuple[Item, ...]
    call_outs: CallOuts
    box: Box
    unshown: tuple[Unshown, ...] = ()

    def rest_left(self) -> float:
        """How far left all but words at leaders reaches, in printed mm with its sign."""
        rest = (each for each in self.items if not isinstance(each.what, Leader))
        return items_box(rest, self.look.scale).left * self.look.scale

    def numbered(self) -> frozenset[str]:
        """The labels of the holes that bear their number."""
        labels = (each.source for each in self.items if isinstance(each.what, Label))
        return frozenset(source.label for source in labels if isinstance(source, HoleRef))


def compose(
    look: Look,
    holes: tuple[Hole, ...],
    detailed: Hole | None = None,
    most_angles: int | None = None,
    may_fit: Callable[[Box], bool] = lambda _: True,
) -> tuple[Composition, ...]:
    """The layout at a scale as often as there are sets of call-outs, those that run over fewest sizes first.

    Where a leader would run over a measure, hole numbers that stood in the way of others are tried on the other side.

    Args:
        look: What and how.
        holes: The plate's.
        detailed: The hole that a detail shows larger, if there is one.
        most_angles: How many angles of first holes are drawn; all unless told.
        may_fit: Whether anything is drawn for views that take so much or more, in printed mm; call-outs are left out
            where nothing is.
    """
    usual = _composed(look, holes, detailed, most_angles, may_fit)
    through, _ = usual[0].call_outs.crossings
    others = _composed(look, holes, detailed, most_angles, may_fit, on_other_side=True) if through else ()
    better = (each for each in others if each.call_outs.crossings[0] < through)
    return (*(each for each in better if each.numbered() >= usual[0].numbered()), *usual)


def _composed(
    look: Look,
    holes: tuple[Hole, ...],
    detailed: Hole | None,
    most_angles: int | None,
    may_fit: Callable[[Box], bool],
    *,
    on_other_side: bool = False,
) -> tuple[Composition, ...]:
    """The layout with what has the fewest places to stand first."""
    flange = look.flange
    ink, numbers, lines = _with_angles(look, holes, detailed, most_angles, on_other_side)
    cut = flange.thickness is not None
    lines += cutting_plane_items(look, ink, plane_of(flange), lines) if cut else diameter_items(look, ink)
    lines += top_items(look, ink)
    reach, section_left, last = items_box(lines, look.scale), math.inf, (*hole_items(holes), *numbers)
    unshown: tuple[Unshown, ...] = ()
    if cut:
        section_left = _section_left(look, _box_of(look, reach, numbers))
        section = Section(look, section_left)
        drawn = _section(section, ink, (*lines, *numbers))
        lines += drawn
        reach, unshown = _box_of(look, reach, drawn), unshown_holes(section)
    lines += weld_items(look, ink, reach, lines)
    least = _box_of(look, reach, last).scaled(look.scale)
    if not may_fit(least):
        return (Composition(look, (*lines, *last), CallOuts((), ()), least, unshown),)
    found = []
    for call_outs in call_out_items(look, ink, holes, lines, reach, section_left):
        box = _box_of(look, reach, (*call_outs.items, *last))
        found.append(Composition(look, (*lines, *call_outs.items, *last), call_outs, box.scaled(look.scale), unshown))
    return tuple(found)


def _with_angles(
    look: Look, holes: tuple[Hole, ...], detailed: Hole | None, most: int | None, on_other_side: bool
) -> tuple[Ink, tuple[Item, ...], list[Item]]:
    """The ink with hole numbers, sizes, ring of a detail and angles of first holes; the numbers; all other lines.

    Angles come after sizes, unless one is lost by that and nothing if they come before sizes at arrows, or before
    those and the numbers.
    """

    def told(ink: Ink, numbers: Sequence[Item]) -> tuple[Item, ...]:
        ring = _ring_items(look, ink, detailed, numbers) if detailed else ()
        return (*ring, *angle_items(look, ink, numbers, most))

    ink, numbers, centerlines, sizes = _numbered_and_sized(look, holes, on_other_side)
    edges, late = edge_items(look.flange), told(ink, numbers)
    count = _count_angles(late)
    if count < len(look.flange.bolt_circles) and count < angles_to_tell(look.flange, most):
        early, others, opened_lines = _numbered(look, holes, [], on_other_side)
        every, are_all = plate_sizes(look, early, between=lambda: told(early, others))
        if not are_all:
            blank = _begun(look, holes)
            blank.add(centerline_items(look))
            every, are_all = plate_sizes(look, blank, between=lambda: told(blank, ()))
            early, others, opened_lines = _numbered(look, holes, every, on_other_side)
        if are_all and _count_angles(every) > count and _labels(others) >= _labels(numbers):
            return early, others, [*edges, *opened_lines, *every]
    return ink, numbers, [*edges, *centerlines, *sizes, *late]


def _count_angles(items: Iterable[Item]) -> int:
    """How many angles of first holes there are."""
    return sum(each.source == _FIRST_ANGLE and isinstance(each.what, AngularDimension) for each in items)


def _ring_items(look: Look, ink: Ink, detailed: Hole, numbers: Sequence[Item]) -> Option:
    """The ring of a detail, broken for numbers, and its letter; taken into the ink."""
    ring, letter = detail_ring(look, ink, detailed, detail_ring_radius(look, detailed))
    broken = tuple(opened((ring,), numbers, look.scale))
    ink.add(broken)
    return (*broken, *letter)


def _box_of(look: Look, box: Box, items: Sequence[Item]) -> Box:
    """A box with further items in it."""
    if not items:
        return box
    return box_of_all([box, items_box(items, look.scale)])


def _numbered_and_sized(look: Look, holes: tuple[Hole, ...], on_other_side: bool) -> _Numbered:
    """The ink with hole numbers, the centerlines that open for them, and the sizes of the plate.

    Numbers come first, unless a size is lost by that: then sizes at arrows give way to numbers, or numbers to all
    sizes, which keep clear of centerlines. Where numbers are lost to the lines of a round plate's diameter, that stands
    at its rim if both find a place so.
    """
    ink, numbers, centerlines = _numbered(look, holes, [], on_other_side)
    sizes, are_all = plate_sizes(look, ink)
    if are_all:
        return ink, numbers, centerlines, sizes
    sized = _begun(look, holes)
    sized.add(centerline_items(look))
    wanted, _ = plate_sizes(look, sized)
    if len(sizes) >= len(wanted):
        return ink, numbers, centerlines, sizes
    ink, fewer, opened_lines, found = _beside_sizes(look, holes, wanted, _labels(numbers), on_other_side)
    if _labels(fewer) < _labels(numbers) and isinstance(look.flange.outline, RoundOutline):
        other, _, _ = _numbered(look, holes, [], on_other_side)
        at_rim, are_all = plate_sizes(look, other, at_rim=True)
        if are_all:
            return other, numbers, centerlines, at_rim
    return ink, fewer, opened_lines, found


def _beside_sizes(
    look: Look, holes: tuple[Hole, ...], wanted: list[Item], enough: int, on_other_side: bool
) -> _Numbered:
    """Numbers beside sizes that stand already: all of them, or those in rows where that shows more numbers.

    Of a plate in parts those in rows first: words at a joint give way to numbers.
    """
    rows = [each for each in wanted if not isinstance(each.what, _AT_ARROWS)]
    ways = [wanted, rows] if len(rows) < len(wanted) else [wanted]
    best: _Numbered | None = None
    for first in ways[::-1] if isinstance(look.flange.outline, SplitOutline | SegmentOutline) else ways:
        ink, numbers, centerlines = _numbered(look, holes, first, on_other_side)
        at_arrows = wanted[len(rows) :] if first is wanted else sizes_at_arrows(look, ink, rows)
        are_all = len(rows) + len(at_arrows) >= len(wanted)
        if are_all and (best is None or _labels(numbers) > _labels(best[1])):
            best = ink, numbers, centerlines, [*rows, *at_arrows]
        if best and _labels(best[1]) >= enough:
            break
    assert best  # all sizes find a place where they come first
    return best


def _labels(items: Iterable[Item]) -> int:
    return sum(isinstance(each.what, Label) for each in items)


def _numbered(
    look: Look, holes: tuple[Hole, ...], sizes: list[Item], on_other_side: bool
) -> tuple[Ink, tuple[Item, ...], tuple[Item, ...]]:
    """The ink with hole numbers beside sizes that stand already, and the centerlines that open for the numbers."""
    ink = _begun(look, holes)
    ink.add(sizes)
    numbers = tuple(hole_numbers(look, holes, ink, on_other_side=on_other_side))
    centerlines = tuple(opened(centerline_items(look), numbers, look.scale))
    ink.add(centerlines)
    return ink, numbers, centerlines


def _begun(look: Look, holes: tuple[Hole, ...]) -> Ink:
    """Edges and holes, which nothing may stand on."""
    ink = Ink(look.scale)
    ink.add(edge_items(look.flange))
    add_holes(ink, holes)
    return ink


def detail_ring_radius(look: Look, hole: Hole) -> float:
    """Printed radius of the ring round the detailed hole."""
    return max(DETAIL_RADIUS, hole.face_diameter / 2 * look.scale + 2.0)


def _section_left(look: Look, said: Box) -> float:
    """Where the section begins, right of everything said so far."""
    return max(look.box.right + look.real(GAP), said.right + look.real(3.5))


def _section(section: Section, ink: Ink, others: Sequence[Item]) -> list[Item]:
    """The section with its dimensions, beside others."""
    items = list(section_items(section))
    ink.add(items)
    return [*items, *section_dimensions(section, ink, others)]
