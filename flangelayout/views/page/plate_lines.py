"""Lines of a plate that every view shows: the centerlines of hole patterns, joints, centers of its discs."""

from collections.abc import Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import JointRef, OpeningRef, OutlineRef
from flangelayout.flange import (
    BoltCircle,
    FigureEightOutline,
    Flange,
    Opening,
    SegmentOutline,
    SplitOutline,
    joint_lines,
)
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, polar


def metal_edges(flange: Flange, layer: Layer) -> Iterator[Item]:
    """The edge of every part of the plate, then of every opening."""
    pieces = flange.pieces()
    yield from (Item(layer, piece, OutlineRef(part)) for part, piece in numbered_parts(pieces))
    yield from (Item(layer, opening.shape, opening_ref(opening)) for opening in flange.cutouts())


def numbered_parts(pieces: Sequence[Edge]) -> Iterator[tuple[int, Edge]]:
    """Each part with the number it is referred to by: from 1, or 0 for a plate in one piece."""
    return zip(range(1, len(pieces) + 1) if len(pieces) > 1 else (0,), pieces, strict=True)


def opening_ref(opening: Opening) -> OpeningRef:
    """What items of an opening refer to."""
    return OpeningRef(opening.number, opening.copy)


def pattern_lines(flange: Flange, group: int) -> tuple[Circle | Arc | Contour, ...]:
    """The line or lines on which the centers of a group's holes stand; none for a grid and for many rings.

    On a single segment of a ring the bolt circle is shown as far as the segment goes; the circle through the
    two bolts of a plate that is not round would only stand beside it.
    """
    what = flange.groups()[group]
    if not isinstance(what, BoltCircle):
        return what.lines()
    outline = flange.outline
    if isinstance(outline, SegmentOutline):
        return (Arc(ORIGIN, what.diameter / 2, outline.first_joint_angle, 360 / outline.part_count),)
    alone = what.hole_count <= 2 and flange.round_diameter is None
    return () if alone else (Circle(ORIGIN, what.diameter / 2),)


def joint_items(flange: Flange, layer: Layer) -> Iterator[Item]:
    """The middle lines of a split ring's joints, where they have a gap between them."""
    outline = flange.outline
    if isinstance(outline, SplitOutline) and outline.gap:
        for number, line in enumerate(joint_lines(outline), 1):
            yield Item(layer, line, JointRef(number))


def disc_centerlines(flange: Flange, past: float) -> Iterator[Line]:
    """Upright centerlines of the two discs of a figure-8, ``past`` mm beyond their edges."""
    outline = flange.outline
    if isinstance(outline, FigureEightOutline):
        reach = outline.outside_diameter / 2 + past
        for center in (outline.blind_center, outline.ring_center):
            yield Line(polar(reach, -90.0, center), polar(reach, 90.0, center))
