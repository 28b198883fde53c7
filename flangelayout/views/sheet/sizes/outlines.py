"""The sizes that each kind of outline is made from, and in brackets those that follow from them (ISO 129-1)."""

from collections.abc import Iterable, Iterator
from typing import assert_never

from flangelayout.drawing.model import MeasuredText
from flangelayout.drawing.references import Feature, FeatureRef
from flangelayout.flange import (
    FigureEightOutline,
    Flange,
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PaddleOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    SplitOutline,
)
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.shapes import ORIGIN, Arc, Line, Point, polar
from flangelayout.units import DEGREES
from flangelayout.views.sheet.face import CENTERLINE_PAST
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.sizes.bores import allowed_behind
from flangelayout.views.sheet.sizes.places import corner_sizes
from flangelayout.views.sheet.sizes.placing import convex_first
from flangelayout.views.sheet.sizes.wishes import (
    AcrossSize,
    AngleSize,
    RimSize,
    SaidSize,
    SideSize,
    SlantSize,
    Wish,
    WishSide,
)
from flangelayout.views.words.call_outs import seen_among
from flangelayout.views.words.lengths import DIAMETER_SIGN

_SAME = 1e-6
_LOWER, _PARTS = 70.0, 4
"""Degrees of a round plate's rim on either side below that may bear its diameter, and parts in which that is tried."""


def outline_sizes(look: Look, *, at_rim: bool = False) -> Iterator[Wish]:
    """What the outline of the plate is made from, then what follows over all.

    Args:
        look: What is drawn.
        at_rim: Whether the diameter of a round plate is told at its rim, not below it.
    """
    outline = look.flange.outline
    match outline:
        case RoundOutline():
            width = _width(look, outline.outside_diameter, Feature.OUTSIDE, DIAMETER_SIGN)
            yield _at_lower_rim(look, width) if at_rim else width
        case RectangleOutline():
            yield from _rectangle(look, outline)
        case OvalOutline():
            yield from _oval(look, outline)
        case LozengeOutline():
            yield from _lozenge(look, outline)
        case LuggedOutline():
            yield from _lugged(look, outline)
        case PathOutline():
            corners = tuple(corner_sizes(look, outline.contour))
            yield from (*corners, *_over_all(look, corners))
        case PaddleOutline():
            yield from _paddle(look, outline)
        case FigureEightOutline():
            yield from _figure_eight(look, outline)
        case SegmentOutline() | SplitOutline():
            yield from _parts(look, outline)
        case _:
            assert_never(outline)


def _said(look: Look, length: float, before: str = "", count: int = 1, after: str = "") -> MeasuredText:
    """A size, with how often it is there: ``4 × R15``."""
    times = f"{count}{look.lengths.times}" if count > 1 else ""
    return look.lengths.measured(length, times + before, after)


def _reference(look: Look, length: float, before: str = "") -> MeasuredText:
    """A size that follows from the others, in brackets."""
    return look.lengths.reckoned(length, f"({before}", ")")


def _width(look: Look, width: float, feature: Feature, before: str = "") -> SideSize:
    """A size along x about the middle, between the ends of the plate."""
    ends = Point(-width / 2, 0.0), Point(width / 2, 0.0)
    said = _said(look, width, before, after=_off(look, feature))
    return SideSize(WishSide.BELOW, *ends, said, FeatureRef(feature))


def _off(look: Look, feature: Feature, *, of_radius: bool = False) -> str:
    """The limits of a diameter behind its size, where the job states them."""
    stated = look.flange.tolerances
    off = {Feature.OUTSIDE: stated.outside, Feature.BODY: stated.outside, Feature.INSIDE: stated.bore}.get(feature)
    return allowed_behind(look, off, of_radius=of_radius)


def _at_lower_rim(look: Look, width: SideSize) -> RimSize:
    """The diameter of a round plate at an arrow to its rim, lower right or left."""
    starts = [first + part * _LOWER / _PARTS for first in (-80.0, 260.0 - _LOWER) for part in range(_PARTS)]
    arcs = tuple(Arc(ORIGIN, width.length / 2, start, _LOWER / _PARTS) for start in starts)
    return RimSize(arcs, width.said, width.source, is_diameter=True)


def _height(look: Look, height: float, feature: Feature, before: str = "") -> SideSize:
    ends = Point(0.0, -height / 2), Point(0.0, height / 2)
    said = _said(look, height, before, after=_off(look, feature))
    return SideSize(WishSide.LEFT, *ends, said, FeatureRef(feature))


def _arcs(flange: Flange, radius: float, *, hollow: bool = False) -> tuple[Arc, ...]:
    """The arcs of the outline of a radius, bending outward or, if ``hollow``, inward; best places first."""
    parts = (part for piece in flange.pieces() for part in pieces(piece))
    alike = (part for part in parts if isinstance(part, Arc) and abs(part.radius - radius) < _SAME)
    return convex_first(arc for arc in alike if (arc.sweep_deg < 0) == hollow)


def _radius(look: Look, radius: float, feature: Feature, *, hollow: bool = False) -> Iterator[RimSize]:
    """The radius of all arcs alike; nothing where it is 0."""
    arcs = _arcs(look.flange, radius, hollow=hollow) if radius else ()
    if arcs:
        yield RimSize(arcs, _said(look, radius, "R", len(arcs)), FeatureRef(feature))


def _rectangle(look: Look, outline: RectangleOutline) -> Iterator[Wish]:
    x, y, corner = outline.width / 2, outline.height / 2, outline.corner_radius
    low = Point(-x, corner - y), Point(x, corner - y)
    yield SideSize(WishSide.BELOW, *low, _said(look, outline.width), FeatureRef(Feature.WIDTH))
    left = Point(corner - x, -y), Point(corner - x, y)
    yield SideSize(WishSide.LEFT, *left, _said(look, outline.height), FeatureRef(Feature.HEIGHT))
    yield from _radius(look, corner, Feature.CORNER_RADIUS)


def _oval(look: Look, outline: OvalOutline) -> Iterator[Wish]:
    yield _width(look, outline.length, Feature.LENGTH)
    yield _height(look, outline.width, Feature.WIDTH)
    yield from _radius(look, outline.end_radius, Feature.END_RADIUS)
    sides = [part for part in outline.shape.parts if isinstance(part, Arc) and part.radius > outline.width / 2]
    if sides:
        text = _reference(look, sides[0].radius, f"{len(sides)}{look.lengths.times}R")
        yield RimSize(convex_first(sides), text, FeatureRef(Feature.SIDE_RADIUS))


def _lozenge(look: Look, outline: LozengeOutline) -> Iterator[Wish]:
    yield _width(look, outline.length, Feature.LENGTH)
    middle, reach = outline.middle_diameter / 2, outline.length / 2 - outline.end_radius
    about = [part for part in outline.shape.parts if isinstance(part, Arc) and part.center == ORIGIN]
    text = _said(look, outline.middle_diameter, DIAMETER_SIGN)
    yield RimSize(convex_first(about), text, FeatureRef(Feature.MIDDLE), is_diameter=True)
    ends = [part for part in outline.shape.parts if isinstance(part, Arc) and abs(part.center.x) > reach / 2]
    end = _said(look, outline.end_radius, "R", len(ends))
    yield RimSize(convex_first(ends), end, FeatureRef(Feature.END_RADIUS))
    if abs(look.box.height - 2 * middle) > _SAME:
        yield from _over_all(look)


def _lugged(look: Look, outline: LuggedOutline) -> Iterator[Wish]:
    body = [part for part in outline.shape.parts if isinstance(part, Arc) and part.center == ORIGIN]
    text = _said(look, outline.body_diameter, DIAMETER_SIGN, after=_off(look, Feature.BODY))
    yield RimSize(convex_first(body), text, FeatureRef(Feature.BODY), is_diameter=True)
    holes = _holes_at_lugs(look.flange, outline)
    ends = [part for part in outline.shape.parts if isinstance(part, Arc) and part.sweep_deg > 0 and part not in body]
    after = "" if holes is None else f" ABOUT {holes or 'HOLES'}"
    end = _said(look, outline.lug_radius, "R", len(ends), after)
    yield RimSize(convex_first(ends), end, FeatureRef(Feature.END_RADIUS))
    yield from _radius(look, outline.root_radius, Feature.ROOT_RADIUS, hollow=True)
    lines = []
    if holes is None:
        circle = look.lengths.named(outline.lug_circle)
        on = f"PCD {circle}" if look.lengths.is_iso else f"{DIAMETER_SIGN}{circle} BC"
        lines += [f"ENDS EQUALLY SPACED ON {on}", seen_among(_lug_angles(outline))]
        yield SaidSize(_tips(ends), tuple(lines), FeatureRef(Feature.LUG_PLACES))
    if outline.width_at_middle is not None:
        taper = look.lengths.named_diameter(outline.width_at_middle)
        sides = [part for part in outline.shape.parts if isinstance(part, Line)]
        yield SaidSize(_side_tips(sides), ("SIDES TANGENT TO", f"{taper} ABOUT CENTER"), FeatureRef(Feature.TAPER))
    yield from _over_all(look)


def _lug_angles(outline: LuggedOutline) -> tuple[float, ...]:
    pitch = 360.0 / outline.lug_count
    return tuple((outline.first_lug_angle + index * pitch) % 360.0 for index in range(outline.lug_count))


def _holes_at_lugs(flange: Flange, outline: LuggedOutline) -> str | None:
    """The letter of the circle whose every hole is the middle of a lug's end; ``None`` where there is none."""
    wanted = [polar(outline.lug_circle / 2, angle) for angle in _lug_angles(outline)]
    for group, circle in enumerate(flange.bolt_circles):
        centers = circle.hole_centers()
        if all(any(end.distance_to(center) < _SAME for center in centers) for end in wanted):
            return flange.group_letter(group)
    return None


def _paddle(look: Look, outline: PaddleOutline) -> Iterator[Wish]:
    turn, body, length = outline.handle_angle, outline.outside_diameter / 2, outline.handle_length
    half, corner = outline.handle_width / 2, outline.end_radius
    yield from _disc(look, outline)
    end = polar(length, turn) + polar(half - corner, turn + 90.0)
    text, source = _said(look, length), FeatureRef(Feature.HANDLE_LENGTH)
    side = _side_of(turn)
    if side is None:
        yield SlantSize(ORIGIN, polar(length, turn), body, text, source)
        yield from _turn(look, turn, Feature.HANDLE_ANGLE)
    else:
        yield SideSize(side, _beyond(look, side), end, text, source)
        opposite = polar(body, turn + 180.0)
        source = FeatureRef(Feature.OVERALL_WIDTH if side is WishSide.BELOW else Feature.OVERALL_HEIGHT)
        yield SideSize(side, opposite, end, _reference(look, length + body), source)
    sides = [part for part in outline.shape.parts if isinstance(part, Line) and _along(part, turn)]
    reach = sorted(point.x for part in sides for point in (_turned(part.start, -turn), _turned(part.end, -turn)))
    places = tuple(
        (polar(half, turn - 90.0, polar(at, turn)), polar(half, turn + 90.0, polar(at, turn)))
        for share in (0.5, 0.3, 0.7, 0.15, 0.85)
        for at in [reach[0] + (reach[-1] - reach[0]) * share]
    )
    yield AcrossSize(places, _said(look, outline.handle_width), FeatureRef(Feature.HANDLE_WIDTH))
    if abs(corner - half) < _SAME:
        arcs = _arcs(look.flange, corner)
        yield RimSize(arcs, _reference(look, corner, "R"), FeatureRef(Feature.END_RADIUS))
    else:
        yield from _radius(look, corner, Feature.END_RADIUS)
    yield from _radius(look, outline.root_radius, Feature.ROOT_RADIUS, hollow=True)


def _disc(look: Look, outline: PaddleOutline) -> Iterator[Wish]:
    """The diameter of a paddle's disc: across the handle where that runs along x or y, else at its rim."""
    side = _side_of(outline.handle_angle)
    if side is None:
        text = _said(look, outline.outside_diameter, DIAMETER_SIGN, after=_off(look, Feature.OUTSIDE))
        arcs = _arcs(look.flange, outline.outside_diameter / 2)
        yield RimSize(arcs, text, FeatureRef(Feature.OUTSIDE), is_diameter=True)
    else:
        size = _height if side is WishSide.BELOW else _width
        yield size(look, outline.outside_diameter, Feature.OUTSIDE, DIAMETER_SIGN)


def _figure_eight(look: Look, outline: FigureEightOutline) -> Iterator[Wish]:
    apart, radius = outline.center_distance, outline.outside_diameter / 2
    left, right = outline.blind_center, outline.ring_center
    low = -radius - look.real(CENTERLINE_PAST)
    ends = Point(left.x, low), Point(right.x, low)
    yield SideSize(WishSide.BELOW, *ends, _said(look, apart), FeatureRef(Feature.CENTER_DISTANCE))
    text = _said(look, 2 * radius, DIAMETER_SIGN, 2, _off(look, Feature.OUTSIDE))
    yield RimSize(_arcs(look.flange, radius), text, FeatureRef(Feature.OUTSIDE), is_diameter=True)
    over = look.box.left, look.box.right
    yield SideSize(
        WishSide.BELOW,
        Point(over[0], 0.0),
        Point(over[1], 0.0),
        _reference(look, over[1] - over[0]),
        FeatureRef(Feature.OVERALL_WIDTH),
    )
    half = outline.web_width / 2
    straight = max(part.end.x for part in outline.shape.parts if isinstance(part, Line))
    places = tuple(
        (Point(straight * share, -half), Point(straight * share, half)) for share in (-0.8, 0.8, -0.5, 0.5, -0.95, 0.95)
    )
    yield AcrossSize(places, _said(look, outline.web_width), FeatureRef(Feature.WEB_WIDTH))
    yield from _radius(look, outline.root_radius, Feature.ROOT_RADIUS, hollow=True)


def _parts(look: Look, outline: SegmentOutline | SplitOutline) -> Iterator[Wish]:
    """A ring in parts: the whole one by its diameters, a segment by its radii and the angle it takes."""
    yield from _turn(look, outline.first_joint_angle, Feature.JOINT_PLACE)
    if isinstance(outline, SplitOutline):
        yield _width(look, outline.outside_diameter, Feature.OUTSIDE, DIAMETER_SIGN)
        yield from _gap(look, outline, f"{outline.part_count} EQUAL PARTS")
        return
    rims = [part for part in outline.shape.parts if isinstance(part, Arc)]
    for diameter, feature in ((outline.outside_diameter, Feature.OUTSIDE), (outline.inside_diameter, Feature.INSIDE)):
        arcs = tuple(arc for arc in rims if abs(arc.radius - diameter / 2) < _SAME)
        said = _said(look, diameter / 2, "R", after=_off(look, feature, of_radius=True))
        yield RimSize(arcs, said, FeatureRef(feature))
    pitch, outside = 360.0 / outline.part_count, outline.outside_diameter / 2
    span = MeasuredText(DEGREES, "(", ")")
    inside = outline.inside_diameter / 2
    yield AngleSize(outline.first_joint_angle, pitch, outside, span, FeatureRef(Feature.JOINT_SPAN), inside)
    yield from _gap(look, outline, f"1 OF {outline.part_count} EQUAL PARTS")
    yield from _over_all(look)


def _gap(look: Look, outline: SegmentOutline | SplitOutline, name: str) -> Iterator[Wish]:
    """The gap at a joint: of a whole ring at a lower one, if that can be, as angles of holes stand over the plate."""
    gap = f"GAP {look.lengths.named(outline.gap)}" if outline.gap else "NO GAP"
    middle = (outline.outside_diameter + outline.inside_diameter) / 4
    pitch = 360.0 / outline.part_count
    count = 2 if isinstance(outline, SegmentOutline) else outline.part_count
    angles = [outline.first_joint_angle + pitch * index for index in range(count)]
    places = [(angle, side) for angle in angles for side in (90.0, -90.0, 45.0, -45.0)]
    tips = [(polar(middle, angle), angle + side) for angle, side in places]
    upper = [tip for tip in tips if isinstance(outline, SplitOutline) and tip[0].y > _SAME]
    lower = [tip for tip in tips if tip not in upper]
    yield SaidSize(tuple(lower), (f"{name},", gap), FeatureRef(Feature.JOINT_GAP), tuple(upper))


def _over_all(look: Look, said: Iterable[Wish] = ()) -> Iterator[SideSize]:
    """Width and height of the whole plate, for reference, unless a size says them: from its outermost points."""
    box, ends = look.box, _extremes(look.flange)
    lengths = {(wish.side, round(wish.length, 6)) for wish in said if isinstance(wish, SideSize)}
    for side, length, first, last, feature in (
        (WishSide.BELOW, box.width, ends[0], ends[1], Feature.OVERALL_WIDTH),
        (WishSide.LEFT, box.height, ends[2], ends[3], Feature.OVERALL_HEIGHT),
    ):
        if (side, round(length, 6)) not in lengths:
            yield SideSize(side, first, last, _reference(look, length), FeatureRef(feature))


def _extremes(flange: Flange) -> tuple[Point, Point, Point, Point]:
    """The points farthest left and right, the lower ones of several, and farthest down and up, the left ones."""
    found: list[Point] = []
    for piece in flange.pieces():
        for part in pieces(piece):
            found += [part.start, part.end] if isinstance(part, Line) else [part.start, part.end, *_quarters(part)]
    rounded = [Point(round(each.x, 6), round(each.y, 6)) for each in found]
    return (
        min(rounded, key=lambda each: (each.x, each.y)),
        min(rounded, key=lambda each: (-each.x, each.y)),
        min(rounded, key=lambda each: (each.y, each.x)),
        min(rounded, key=lambda each: (-each.y, each.x)),
    )


def _quarters(arc: Arc) -> Iterator[Point]:
    """The points of an arc straight right, above, left and below its middle."""
    low = min(arc.start_deg, arc.start_deg + arc.sweep_deg)
    for quarter in range(4):
        if (90.0 * quarter - low) % 360.0 <= abs(arc.sweep_deg):
            yield polar(arc.radius, 90.0 * quarter, arc.center)


def _turn(look: Look, direction: float, feature: Feature) -> Iterator[Wish]:
    """The angle from the nearest end of a centerline to a direction; nothing where they are the same."""
    axis = 90.0 * round(direction / 90.0)
    off = direction - axis
    if abs(off) > _SAME:
        rim = max(look.box.top, look.box.right, -look.box.left, -look.box.bottom)
        text = MeasuredText(DEGREES)
        yield AngleSize(min(axis, direction), abs(off), rim, text, FeatureRef(feature))


def _side_of(turn: float) -> WishSide | None:
    """Beside what a length in a direction is shown; ``None`` where it is neither along x nor along y."""
    if abs(_off_axis(turn, 0.0)) < _SAME:
        return WishSide.BELOW
    return WishSide.LEFT if abs(_off_axis(turn, 90.0)) < _SAME else None


def _off_axis(turn: float, axis: float) -> float:
    """How far a direction is from an axis in degrees, either way along it."""
    return (turn - axis + 90.0) % 180.0 - 90.0


def _beyond(look: Look, side: WishSide) -> Point:
    """The end of the centerline from which sizes beside the plate begin."""
    past = look.real(CENTERLINE_PAST)
    return Point(0.0, look.box.bottom - past) if side is WishSide.BELOW else Point(look.box.left - past, 0.0)


def _along(line: Line, turn: float) -> bool:
    return abs(_off_axis(line.start.direction_to(line.end), turn)) < 1e-3


def _turned(point: Point, degrees: float) -> Point:
    return polar(ORIGIN.distance_to(point), ORIGIN.direction_to(point) + degrees)


def _tips(arcs: list[Arc]) -> tuple[tuple[Point, float], ...]:
    """The middles of arcs, with the direction away from their centers."""
    turns = [(arc, arc.start_deg + arc.sweep_deg / 2) for arc in convex_first(arcs)]
    return tuple((polar(arc.radius, turn, arc.center), turn) for arc, turn in turns)


def _side_tips(lines: list[Line]) -> tuple[tuple[Point, float], ...]:
    """The middles of straight sides, with the direction out of the plate; the lower right ones first."""
    middles = [(Point((each.start.x + each.end.x) / 2, (each.start.y + each.end.y) / 2), each) for each in lines]
    middles.sort(key=lambda pair: (pair[0].x < 0, pair[0].y > 0))
    return tuple((middle, line.start.direction_to(line.end) - 90.0) for middle, line in middles)
