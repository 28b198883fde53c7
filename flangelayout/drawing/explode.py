"""What a writer draws: every dimension, leader and center mark as lines, arrows and text.

The one function all formats share, so that a dimension looks the same in each. Proportions follow
ISO 129-1 (closed filled arrow, text above the line and parallel to it, extension lines that pass the
dimension line a little) or, in the level style, ASME Y14.5 (text level in a gap of the line); the
lengths in mm are this drawing office's choice within them.
"""

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import assert_never

from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.hatching import hatch_lines
from flangelayout.drawing.model import (
    Anchor,
    AngularDimension,
    CenterMark,
    Content,
    CutPath,
    DiameterDimension,
    Hatching,
    Item,
    Label,
    Leader,
    LinearDimension,
    Measuring,
    Mosaic,
    RadiusDimension,
    Solid,
)
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, box_around, box_of_all, extent, polar
from flangelayout.value import replace

Primitive = Line | Circle | Arc | Contour | Solid | Mosaic | Label
_PRIMITIVES = (Label, Line, Circle, Arc, Contour, Solid, Mosaic)

_ALIGNED, _LEVEL = (style.text_height for style in DimensionStyle)
"""Printed mm that the capitals of texts are high: along their lines, level in a gap of them."""
ARROW_LENGTH = 2.5
_ARROW_HALF_WIDTH = 0.4
_TEXT_GAP = 0.9
_LEVEL_GAP = 1.0
_DESCENDER = 0.8
_ARC_GAP = 0.6
_REST = ARROW_LENGTH + 4.5
"""Printed mm of a broken arc that are left beside its text at the least: a shorter rest looks like a check mark."""
_EXTENSION_GAP = 1.0
_EXTENSION_PAST = 1.8
SHELF = 3.0
LINE_PITCH = 1.55
_OUTSIDE_TAIL = 5.0


def explode(what: Content, scale: float) -> tuple[Primitive, ...]:
    """The lines, filled shapes and texts of one thing, in the thing's own space.

    Args:
        what: Anything a drawing holds; shapes, solids and labels come back as they are.
        scale: Printed mm for a mm of that space, greater than 0: sizes on paper are divided by it.
    """
    if isinstance(what, _PRIMITIVES):  # most things are, and are asked for a hundred times
        return (what,)
    match what:
        case CutPath():
            return what.ways
        case Hatching():
            return tuple(hatch_lines(what, scale))
        case CenterMark():
            return _center_mark(what, scale)
        case LinearDimension() | DiameterDimension() | RadiusDimension() | AngularDimension():
            return _dimension(what, scale)
        case Leader():
            return _leader(what, scale)
        case _:
            assert_never(what)


@lru_cache(maxsize=512)
def _dimension(dimension: Measuring, scale: float) -> tuple[Primitive, ...]:
    """Kept, for a dimension is asked for as often as it is tried, measured and written."""
    match dimension:
        case LinearDimension():
            return _linear(dimension, scale)
        case DiameterDimension():
            return _diameter(dimension, scale)
        case RadiusDimension():
            return _radius(dimension, scale)
        case AngularDimension():
            return _angular(dimension, scale)
        case _:
            assert_never(dimension)


def exploded(items: Iterable[Item], scale: float) -> Iterator[tuple[Item, Primitive]]:
    """Every primitive of every item, with its item, in the order of drawing."""
    for item in items:
        for primitive in explode(item.what, scale):
            yield item, primitive


def items_box(items: Iterable[Item], scale: float = 1.0) -> Box:
    """The least upright box round all items, text and arrows included (at least one item)."""
    return box_of_all([box for item in items for box in _boxes(item.what, scale)])


def _boxes(what: Content, scale: float) -> Iterable[Box]:
    if isinstance(what, CenterMark):  # thousands of them, each as far to every side
        reach, at = what.reach_paper / scale, what.at
        return (Box(at.x - reach, at.y - reach, at.x + reach, at.y + reach),)
    return [primitive_box(primitive, scale) for primitive in explode(what, scale)]


def primitive_box(primitive: Primitive, scale: float = 1.0) -> Box:
    """The least upright box round one primitive."""
    match primitive:
        case Label():
            return label_box(primitive, scale)
        case Solid() | Mosaic():
            return box_around([corner for outline in primitive.outlines for corner in outline])
        case _:
            return extent(primitive)


def arrow_head(tip: Point, direction: float, scale: float) -> Solid:
    """A filled arrow head at ``tip`` that points along ``direction`` degrees."""
    back = polar(ARROW_LENGTH / scale, direction + 180, tip)
    half = _ARROW_HALF_WIDTH / scale
    return Solid((tip, polar(half, direction + 90, back), polar(half, direction - 90, back)))


def _readable(angle: float) -> float:
    """The angle at which text along ``angle`` reads from below or from the right (ISO 129-1)."""
    turned = (angle + 90) % 180 - 90
    return 90.0 if math.isclose(turned, -90) else turned


def _center_mark(mark: CenterMark, scale: float) -> tuple[Line, ...]:
    reach, gap, x, y = mark.reach_paper / scale, mark.gap_paper / scale, mark.at.x, mark.at.y
    return (
        Line(Point(x + gap, y), Point(x + reach, y)),
        Line(Point(x, y + gap), Point(x, y + reach)),
        Line(Point(x - gap, y), Point(x - reach, y)),
        Line(Point(x, y - gap), Point(x, y - reach)),
    )


def _linear(dimension: LinearDimension, scale: float) -> tuple[Primitive, ...]:
    angle = dimension.angle_deg
    first = _foot(dimension.start, dimension.line_at, angle)
    last = _foot(dimension.end, dimension.line_at, angle)
    extensions = [
        _extension(point, foot, scale)
        for point, foot in ((dimension.start, first), (dimension.end, last))
        if point.distance_to(foot) * scale > _EXTENSION_GAP
    ]
    line = _dimension_line if dimension.style is DimensionStyle.ALIGNED else _broken_line
    return (*extensions, *line(first, last, dimension.text, scale, outside=dimension.outside))


def without_extensions(item: Item) -> Item:
    """A distance without the lines that lead to it from what is measured; anything else as it is."""
    size = item.what
    if not isinstance(size, LinearDimension):
        return item
    start, end = (_foot(point, size.line_at, size.angle_deg) for point in (size.start, size.end))
    return replace(item, what=replace(size, start=start, end=end))


def _dimension_line(first: Point, last: Point, text: str, scale: float, *, outside: bool) -> tuple[Primitive, ...]:
    """The line between two feet with arrows and text; both go outside where there is no room."""
    angle = first.direction_to(last)
    room = first.distance_to(last) * scale
    width = text_width(text, _ALIGNED)
    if not outside and room >= width + 2 * ARROW_LENGTH + 1:
        middle = Point((first.x + last.x) / 2, (first.y + last.y) / 2)
        arrows = (arrow_head(first, angle + 180, scale), arrow_head(last, angle, scale))
        return (Line(first, last), *arrows, _text_over(middle, angle, text, scale))
    before = polar(-_OUTSIDE_TAIL / scale, angle, first)
    beyond = polar((_OUTSIDE_TAIL + width + 1) / scale, angle, last)
    at = polar((_OUTSIDE_TAIL + width / 2) / scale, angle, last)
    arrows = (arrow_head(first, angle, scale), arrow_head(last, angle + 180, scale))
    return (Line(before, beyond), *arrows, _text_over(at, angle, text, scale))


def _broken_line(first: Point, last: Point, text: str, scale: float, *, outside: bool) -> tuple[Primitive, ...]:
    """As :func:`_dimension_line` with the text level, in lines where it has some: in a gap, or beyond the end."""
    angle = first.direction_to(last)
    room, half, along = first.distance_to(last) * scale, _half_gap(text, angle), _half_along(text, angle)
    if not outside and room >= 2 * max(half + ARROW_LENGTH, along) + 1:
        middle = Point((first.x + last.x) / 2, (first.y + last.y) / 2)
        near, far = (polar(half / scale, angle + turn, middle) for turn in (180, 0))
        arrows = (arrow_head(first, angle + 180, scale), arrow_head(last, angle, scale))
        return (Line(first, near), Line(far, last), *arrows, *_level_lines(middle, text, scale))
    before, beyond = (polar(_OUTSIDE_TAIL / scale, angle + turn, end) for turn, end in ((180, first), (0, last)))
    out = max(half, along - _OUTSIDE_TAIL + 1)
    labels = _level_lines(polar(out / scale, angle, beyond), text, scale)
    return (Line(before, beyond), arrow_head(first, angle, scale), arrow_head(last, angle + 180, scale), *labels)


def _level_lines(middle: Point, text: str, scale: float) -> Iterator[Label]:
    """A level text about its middle, each of its lines by itself."""
    lines = text.split("\n")
    for number, line in enumerate(lines):
        up = ((len(lines) - 1) / 2 - number) * LINE_PITCH * _LEVEL / scale
        yield Label(Point(middle.x, middle.y + up), line, _LEVEL, 0.0, Anchor.MIDDLE)


def _level_size(text: str) -> tuple[float, float]:
    """Width and height of a level text in printed mm, from its first line to its last."""
    lines = text.split("\n")
    return max(text_width(line, _LEVEL) for line in lines), _LEVEL * (1 + (len(lines) - 1) * LINE_PITCH)


def _half_gap(text: str, angle: float) -> float:
    """Printed mm from the middle of a level text to where a line at ``angle`` through it comes clear of it."""
    across, up = abs(math.cos(math.radians(angle))), abs(math.sin(math.radians(angle)))
    width, height = _level_size(text)
    beside, above = width / 2 + _LEVEL_GAP, height / 2 + _LEVEL_GAP + 0.3
    return min(beside / across if across > 1e-9 else math.inf, above / up if up > 1e-9 else math.inf)


def _half_gap_of_arc(text: str, middle: float, radius: float) -> float:
    """Degrees from the middle of a level text to where an arc of ``radius`` printed mm through it comes clear of it."""
    half_width, half_height = text_width(text, _LEVEL) / 2 + _LEVEL_GAP, _LEVEL / 2 + _LEVEL_GAP + 0.3
    at, turn, step = polar(radius, middle), math.radians(middle), 0.1 / radius
    half = step * math.floor(min(half_width, half_height) / 0.1)  # an end is no farther off than along the arc
    while half < math.pi / 2:
        ends = (turn - half, turn + half)
        if all(
            abs(radius * math.cos(end) - at.x) >= half_width or abs(radius * math.sin(end) - at.y) >= half_height
            for end in ends
        ):
            break
        half += step
    return math.degrees(half)


def _half_along(text: str, angle: float) -> float:
    """How far a level text reaches from its middle along a line at ``angle``, in printed mm."""
    across, up = abs(math.cos(math.radians(angle))), abs(math.sin(math.radians(angle)))
    width, height = _level_size(text)
    return across * (width / 2) + up * (height / 2 + 0.9)


def _text_over(at: Point, angle: float, text: str, scale: float) -> Label:
    turn = _readable(angle)
    return Label(polar(_TEXT_GAP / scale, turn + 90, at), text, _ALIGNED, turn, Anchor.CENTER)


def _foot(point: Point, on_line: Point, angle: float) -> Point:
    """The point of the line through ``on_line`` at ``angle`` that is nearest to ``point``."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    along = (point.x - on_line.x) * cos + (point.y - on_line.y) * sin
    return Point(on_line.x + along * cos, on_line.y + along * sin)


def _extension(point: Point, foot: Point, scale: float) -> Line:
    direction = point.direction_to(foot)
    return Line(polar(_EXTENSION_GAP / scale, direction, point), polar(_EXTENSION_PAST / scale, direction, foot))


def _diameter(dimension: DiameterDimension, scale: float) -> tuple[Primitive, ...]:
    angle, radius = dimension.angle_deg, dimension.radius
    near, far = (polar(radius, turn, dimension.center) for turn in (angle + 180, angle))
    width = text_width(dimension.text, _ALIGNED)
    half, across = _half_gap(dimension.text, angle), dimension.tail_paper is None
    if across and dimension.style is DimensionStyle.LEVEL and radius * scale >= 2 * half + ARROW_LENGTH + 3:
        at = polar((radius - ARROW_LENGTH / scale) / 2, angle, dimension.center)
        ends = (polar(half / scale, angle + 180, at), polar(half / scale, angle, at))
        arrows = (arrow_head(near, angle + 180, scale), arrow_head(far, angle, scale))
        label = Label(at, dimension.text, _LEVEL, 0.0, Anchor.MIDDLE)
        return (Line(near, ends[0]), Line(ends[1], far), *arrows, label)
    if across and dimension.style is DimensionStyle.ALIGNED and radius * scale >= width + ARROW_LENGTH + 3:
        at = polar((radius - ARROW_LENGTH / scale) / 2, angle, dimension.center)
        arrows = (arrow_head(near, angle + 180, scale), arrow_head(far, angle, scale))
        return (Line(near, far), *arrows, _text_over(at, angle, dimension.text, scale))
    elbow = polar(radius + (dimension.tail_paper or 2 * ARROW_LENGTH) / scale, angle, dimension.center)
    to_right = math.cos(math.radians(angle)) >= 0
    return _leader(Leader(far, elbow, (dimension.text,), to_right, dimension.style), scale)


def _radius(dimension: RadiusDimension, scale: float) -> tuple[Primitive, ...]:
    angle, center = dimension.angle_deg, dimension.center
    tail = dimension.tail_paper / scale * (-1 if dimension.from_inside else 1)
    elbow = polar(dimension.radius + tail, angle, center)
    to_right = (math.cos(math.radians(angle)) >= 0) is not dimension.from_inside
    tip = polar(dimension.radius, angle, center)
    return _leader(Leader(tip, elbow, (dimension.text,), to_right, dimension.style), scale)


def _angular(dimension: AngularDimension, scale: float) -> tuple[Primitive, ...]:
    center, radius = dimension.center, dimension.radius
    start, sweep = dimension.start_deg, dimension.sweep_deg
    room = radius * math.radians(sweep) * scale
    inside = room >= 2 * ARROW_LENGTH + 2
    lean = math.degrees(ARROW_LENGTH / scale / (2 * radius))
    tail = 0.0 if inside else math.degrees(2 * ARROW_LENGTH / scale / radius)
    first, last = polar(radius, start, center), polar(radius, start + sweep, center)
    turn = 0.0 if inside else 180.0
    arrows = (
        arrow_head(first, start - 90 + (lean if inside else -lean) + turn, scale),
        arrow_head(last, start + sweep + 90 - (lean if inside else -lean) + turn, scale),
    )
    half = _half_gap_of_arc(dimension.text, start + sweep / 2, radius * scale)
    fits = inside and sweep >= 2 * half + math.degrees(2 * _REST / scale / radius)
    if dimension.style is DimensionStyle.LEVEL and fits and not (dimension.other_end or dimension.over_paper):
        aside = _angle_text_aside(dimension, sweep / 2 - half - math.degrees(_REST / scale / radius), scale)
        before, after = sweep / 2 + aside - half, sweep / 2 - aside - half
        parts = (Arc(center, radius, start, before), Arc(center, radius, start + sweep, -after))
        at = polar(radius, start + sweep / 2 + aside, center)
        return (*parts, *arrows, Label(at, dimension.text, _LEVEL, 0.0, Anchor.MIDDLE))
    turn, height = _angle_text_turn(dimension, tail, scale), dimension.style.text_height
    out = (_clear_of_arc(dimension.text, height, turn, radius * scale) + dimension.over_paper) / scale
    label = Label(polar(radius + out, turn, center), dimension.text, height, 0.0, Anchor.MIDDLE)
    return (Arc(center, radius, start - tail, sweep + 2 * tail), *arrows, label)


def _angle_text_turn(dimension: AngularDimension, tail: float, scale: float) -> float:
    """Direction of an angle's text: over the middle of the arc, or beyond one end where it is too wide.

    That end is the one farther from a centerline direction, where a line would run through the text, or the other one
    if that is asked for.
    """
    start, end = dimension.start_deg, dimension.start_deg + dimension.sweep_deg
    if dimension.over_paper:
        return (start + end) / 2 + math.degrees(dimension.aside_paper / scale / dimension.radius)
    width = text_width(dimension.text, dimension.style.text_height)
    spare = dimension.radius * math.radians(dimension.sweep_deg) * scale - width - 2
    if spare >= 0 and not dimension.other_end:
        return (start + end) / 2 + _angle_text_aside(
            dimension, math.degrees(spare / 2 / scale / dimension.radius), scale
        )
    beyond = tail + math.degrees((width / 2 + 1.5) / scale / dimension.radius)
    is_at_end = (_off_axis(end) >= _off_axis(start)) is not dimension.other_end
    return end + beyond if is_at_end else start - beyond


def _angle_text_aside(dimension: AngularDimension, most: float, scale: float) -> float:
    """Degrees that an angle's text stands counter-clockwise of the middle of its arc, ``most`` either way."""
    aside = math.degrees(dimension.aside_paper / scale / dimension.radius)
    return max(-most, min(aside, most))


def _off_axis(degrees: float) -> float:
    """How far a direction is from the nearest of 0, 90, 180 and 270 degrees."""
    return abs((degrees + 45.0) % 90.0 - 45.0)


def _clear_of_arc(text: str, height: float, angle: float, radius: float) -> float:
    """Printed mm from an arc of ``radius`` printed mm to the middle of a level text that stands outside it.

    The text is moved out until the corner or side nearest to the center, descenders included, is clear.
    """
    turn, half_width = math.radians(angle), text_width(text, height) / 2
    out = abs(math.cos(turn)) * half_width + abs(math.sin(turn)) * height / 2 + _TEXT_GAP
    while True:
        x, y = (radius + out) * math.cos(turn), (radius + out) * math.sin(turn)
        across = max(abs(x) - half_width, 0.0)
        up = max(y - height / 2 - _DESCENDER, -y - height / 2, 0.0)
        if math.hypot(across, up) >= radius + _ARC_GAP:
            return out
        out += 0.1


def _leader(leader: Leader, scale: float) -> tuple[Primitive, ...]:
    side = 1 if leader.to_right else -1
    shelf_end = Point(leader.elbow.x + side * SHELF / scale, leader.elbow.y)
    anchor = Anchor.MIDDLE_LEFT if leader.to_right else Anchor.MIDDLE_RIGHT
    height = leader.style.text_height
    pitch = height * LINE_PITCH / scale
    top = shelf_end.y + pitch * (len(leader.text) - 1) / 2
    x = shelf_end.x + side * 1.0 / scale
    texts = (Label(Point(x, top - row * pitch), line, height, 0.0, anchor) for row, line in enumerate(leader.text))
    arrow = arrow_head(leader.tip, leader.elbow.direction_to(leader.tip), scale)
    return (Line(leader.tip, leader.elbow), Line(leader.elbow, shelf_end), arrow, *texts)
