"""The face view of a layout sheet: the plate seen from its named face. What is said of it comes from other modules."""

from collections.abc import Iterator

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, Item
from flangelayout.drawing.references import Feature, FeatureRef, Furniture, GroupRef, HoleRef, TurnedRef
from flangelayout.flange import Flange, Hole, Slot
from flangelayout.flange.hole import face_circle, thread_circle
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.views.page.plate_lines import disc_centerlines, joint_items, metal_edges, pattern_lines
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.look import Look

CUTTING_PLANE = Furniture("cutting plane")
"""The source of what marks the section's plane: its ends, arrows and letters."""
MARK_REACH = 1.2
"""Printed mm from the center of a hole to the ends of its cross."""
CENTERLINE_PAST = 3.0
"""Printed mm that centerlines pass the plate."""


def edge_items(flange: Flange) -> Iterator[Item]:
    """The edge of the plate, its openings and the circles of raised face and chamfer."""
    yield from metal_edges(flange, Layer.OUTLINE)
    if flange.raised_face_diameter is not None:
        yield Item(Layer.OUTLINE, Circle(ORIGIN, flange.raised_face_diameter / 2), FeatureRef(Feature.RAISED_FACE))
    for number, each in enumerate(flange.turned, 1):
        layer = Layer.OUTLINE if each.face is PlateFace.FACE else Layer.HIDDEN
        for wall in each.walls:
            if wall > (flange.bore or 0.0) / 2:
                yield Item(layer, Circle(ORIGIN, wall), TurnedRef(number))
    if flange.bore is not None and flange.bore_chamfer:
        yield Item(
            Layer.OUTLINE, Circle(ORIGIN, flange.bore / 2 + flange.bore_chamfer), FeatureRef(Feature.BORE_CHAMFER)
        )


def centerline_items(look: Look) -> Iterator[Item]:
    """Both centerlines as rays from the middle, so that they cross on a dash; pattern lines, joints, discs."""
    box, past = look.box, look.real(CENTERLINE_PAST)
    right, left = Point(max(box.right, 0.0) + past, 0.0), Point(min(box.left, 0.0) - past, 0.0)
    above, below = Point(0.0, max(box.top, 0.0) + past), Point(0.0, min(box.bottom, 0.0) - past)
    for first, last, name in ((right, left, "horizontal centerline"), (above, below, "vertical centerline")):
        yield Item(Layer.CENTERLINE, Line(ORIGIN, first), Furniture(name))
        yield Item(Layer.CENTERLINE, Line(ORIGIN, last), Furniture(name))
    for line in disc_centerlines(look.flange, past):
        yield Item(Layer.CENTERLINE, line, Furniture("disc centerline"))
    yield from joint_items(look.flange, Layer.CENTERLINE)
    for group in range(len(look.flange.groups())):
        for what in pattern_lines(look.flange, group):
            yield Item(Layer.CENTERLINE, what, GroupRef(group))


def hole_items(holes: tuple[Hole, ...]) -> Iterator[Item]:
    """Every hole with its recess or thread and a cross in its center; what is worked from the back is hidden."""
    for hole in holes:
        seen = hole.worked_from is PlateFace.FACE
        yield Item(Layer.OUTLINE if seen or hole.is_through else Layer.HIDDEN, hole.shape, HoleRef(hole.label))
        recess, thread = face_circle(hole), thread_circle(hole)
        if recess is not None:
            yield Item(Layer.OUTLINE if seen else Layer.HIDDEN, recess, HoleRef(hole.label))
        if thread is not None:
            yield Item(Layer.DIMENSION if seen or hole.is_through else Layer.HIDDEN, thread, HoleRef(hole.label))
        yield Item(Layer.DIMENSION, CenterMark(hole.center, MARK_REACH), HoleRef(hole.label))


def add_holes(ink: Ink, holes: tuple[Hole, ...]) -> None:
    """Take the holes into the ink, as round places that no text may stand in."""
    least = (MARK_REACH + 0.1) / ink.scale
    for hole in holes:
        if isinstance(hole.kind, Slot):
            ink.add((Item(Layer.OUTLINE, hole.shape),))
            ink.add_disc(hole.center, max(hole.diameter / 2, least))
        else:
            ink.add_disc(hole.center, max(hole.face_diameter / 2, least))


def hole_rim(hole: Hole, toward: Point) -> Point:
    """Where the edge of a hole is met from ``toward``."""
    return polar(hole.face_diameter / 2, hole.center.direction_to(toward), hole.center)
