"""The face view of a layout sheet: the plate seen from its named face, with call-outs and dimensions."""

from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.drawing.explode import LINE_PITCH, SHELF, TEXT_HEIGHT, exploded
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    AngularDimension,
    CenterMark,
    DiameterDimension,
    Item,
    Label,
    Leader,
    LinearDimension,
)
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Centerline, Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.units import Unit, angle_text
from flangelayout.views.hole_numbers import hole_numbers
from flangelayout.views.wording import call_out, diameter_text

MAX_CALL_OUTS = 3
_ANGLE_FIRST, _ANGLE_STEP = 5.0, 6.5
_ANGLE_TEXT = 3.5
_CALL_OUT_FIRST = 12.0
_OVERALL = 9.0
BELOW = _OVERALL + 7.0
"""Printed mm that the face view needs below the plate."""
BESIDE = 5.0
"""Printed mm that it needs left and right of the plate."""
_LEADER_ANGLES = (68.0, 34.0, 18.0)
_ONE_LEADER_ANGLE = (60.0,)


@dataclass(frozen=True, slots=True)
class FaceView:
    """A face view at a scale."""

    flange: Flange
    unit: Unit
    scale: float

    @property
    def radius(self) -> float:
        """Of the plate, in mm."""
        return self.flange.outline.outside_diameter / 2

    def paper(self, length: float) -> float:
        """Real mm of a printed length."""
        return length / self.scale


def height_above(flange: Flange, unit: Unit) -> float:
    """Printed mm that a face view needs above the plate, for TOP, angles and call-outs."""
    lines = sum(len(call_out(circle, unit)) for circle in flange.bolt_circles[:MAX_CALL_OUTS])
    stack = _CALL_OUT_FIRST + lines * TEXT_HEIGHT * LINE_PITCH + 2.0 * len(flange.bolt_circles[:MAX_CALL_OUTS])
    return max(stack, _top_of_angles(flange) + _ANGLE_TEXT + 5.0)


def face_view(view: FaceView) -> tuple[Item, ...]:
    """Edges, centerlines, holes with their numbers, call-outs, first-hole angles and the overall dimension."""
    holes = view.flange.holes()
    pointing = (*_angles(view), *_call_outs(view, holes))
    lines = [part for _, part in exploded(pointing, view.scale) if isinstance(part, Line)]
    return (
        *_edges(view.flange),
        *_centerlines(view),
        *_holes(holes),
        *hole_numbers(view.flange, holes, view.scale, lines),
        *pointing,
        *_overall(view),
        _top(view),
    )


def _edges(flange: Flange) -> Iterator[Item]:
    yield Item(Layer.OUTLINE, flange.outline.shape, "outline")
    for name, diameter in (("bore", flange.bore), ("raised face", flange.raised_face_diameter)):
        if diameter is not None and diameter < flange.outline.outside_diameter:
            yield Item(Layer.OUTLINE, Circle(ORIGIN, diameter / 2), name)


def _centerlines(view: FaceView) -> Iterator[Item]:
    past = view.radius + view.paper(4.0)
    top = view.radius + view.paper(_top_of_angles(view.flange))
    yield Item(Layer.CENTERLINE, Line(Point(-past, 0.0), Point(past, 0.0)), "horizontal centerline")
    yield Item(Layer.CENTERLINE, Line(Point(0.0, -past), Point(0.0, top)), "vertical centerline")
    for group, circle in enumerate(view.flange.bolt_circles):
        yield Item(Layer.CENTERLINE, Circle(ORIGIN, circle.diameter / 2), view.flange.group_name(group))


def _holes(holes: tuple[Hole, ...]) -> Iterator[Item]:
    for hole in holes:
        yield Item(Layer.OUTLINE, Circle(hole.center, hole.diameter / 2), hole.source)
        yield Item(Layer.DIMENSION, CenterMark(hole.center, 1.2), hole.source)


def _first_hole_offsets(flange: Flange) -> list[tuple[float, float, str, float]]:
    """The angles from a centerline to hole 1 that are dimensioned: two at the most, equal ones once.

    Returns:
        For each the angle of the centerline, the step from it in degrees counter-clockwise, the letters
        of the circles it holds for, and the diameter of the smallest of them.
    """
    found: dict[tuple[float, float], list[int]] = {}
    for group, circle in enumerate(flange.bolt_circles):
        offset = _offset(circle)
        if circle.hole_count > 1 and 0.05 < abs(offset) < 179.9:
            found.setdefault((Centerline(circle.centerline).angle, round(offset, 3)), []).append(group)
    return [
        (axis, offset, ", ".join(filter(None, map(flange.group_letter, groups))), _least(flange, groups))
        for (axis, offset), groups in list(found.items())[:2]
    ]


def _least(flange: Flange, groups: list[int]) -> float:
    return min(flange.bolt_circles[group].diameter for group in groups)


def _offset(circle: BoltCircle) -> float:
    return (circle.first_hole_angle - Centerline(circle.centerline).angle + 180.0) % 360.0 - 180.0


def _top_of_angles(flange: Flange) -> float:
    """Printed mm from the plate's edge to above the last angle."""
    count = len(_first_hole_offsets(flange))
    return _ANGLE_FIRST + _ANGLE_STEP * (count - 1) + 2.5 if count else 4.0


def _angles(view: FaceView) -> Iterator[Item]:
    """From the centerline to hole 1 of each circle, outside the plate, one above the other."""
    for index, (axis, offset, letters, diameter) in enumerate(_first_hole_offsets(view.flange)):
        radius = view.radius + view.paper(_ANGLE_FIRST + _ANGLE_STEP * index)
        first = axis + offset
        ray = Line(polar(diameter / 2, first), polar(radius + view.paper(1.8), first))
        yield Item(Layer.DIMENSION, ray, "first hole angle")
        text = angle_text(abs(offset)) + (f" ({letters})" if letters else "")
        angle = AngularDimension(ORIGIN, radius, min(axis, first), abs(offset), text)
        yield Item(Layer.DIMENSION, angle, "first hole angle")


def _call_outs(view: FaceView, holes: tuple[Hole, ...]) -> Iterator[Item]:
    """Leaders stacked above the plate on the right; the topmost leads to the hole nearest the top."""
    shown = view.flange.bolt_circles[:MAX_CALL_OUTS]
    texts = [_named_call_out(view, group) for group in range(len(shown))]
    heights = [len(text) * TEXT_HEIGHT * LINE_PITCH + 2.0 for text in texts]
    tip_angles = _LEADER_ANGLES if len(shown) > 1 else _ONE_LEADER_ANGLE
    x = view.radius * 0.42
    for group, text in enumerate(texts):
        below = sum(heights[group + 1 :])
        y = view.radius + view.paper(_CALL_OUT_FIRST + below + heights[group] / 2)
        hole = _hole_near([hole for hole in holes if hole.group == group], tip_angles[group])
        elbow = Point(x, y)
        tip = polar(hole.diameter / 2, hole.center.direction_to(elbow), hole.center)
        yield Item(Layer.DIMENSION, Leader(tip, elbow, text), view.flange.group_name(group))


def _named_call_out(view: FaceView, group: int) -> tuple[str, ...]:
    letter = view.flange.group_letter(group)
    first, *rest = call_out(view.flange.bolt_circles[group], view.unit)
    return (f"{letter}: {first}" if letter else first, *rest)


def _hole_near(holes: list[Hole], angle: float) -> Hole:
    return min(holes, key=lambda hole: abs((hole.angle - angle + 180.0) % 360.0 - 180.0))


def _overall(view: FaceView) -> Iterator[Item]:
    radius, y = view.radius, -view.radius - view.paper(_OVERALL)
    text = diameter_text(2 * radius, view.unit)
    overall = LinearDimension(Point(-radius, 0.0), Point(radius, 0.0), Point(0.0, y), 0.0, text)
    yield Item(Layer.DIMENSION, overall, "outside diameter")
    bore = view.flange.bore
    if bore is not None and view.flange.thickness is None:
        size = DiameterDimension(ORIGIN, bore / 2, 35.0, f"{diameter_text(bore, view.unit)} BORE")
        yield Item(Layer.DIMENSION, size, "bore")


def _top(view: FaceView) -> Item:
    angles = bool(_first_hole_offsets(view.flange))
    y = view.radius + view.paper(_top_of_angles(view.flange) + (_ANGLE_TEXT if angles else 1.5))
    return Item(Layer.TEXT, Label(Point(0.0, y), "TOP", 3.0, 0.0, Anchor.CENTER), "top")


def leader_room(flange: Flange, unit: Unit, scale: float) -> float:
    """Printed mm from the center of the plate to the right end of the longest call-out."""
    view = FaceView(flange, unit, scale)
    texts = [line for group in range(len(flange.bolt_circles[:MAX_CALL_OUTS])) for line in _named_call_out(view, group)]
    widest = max((text_width(text, TEXT_HEIGHT) for text in texts), default=0.0)
    return view.radius * 0.42 * scale + SHELF + 1.0 + widest
