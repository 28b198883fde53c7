"""Outlines rebuilt from the sizes of a sheet, by arithmetic and shapely alone."""

import math
import re
from collections.abc import Iterator, Sequence

import shapely
from shapely import affinity

from flangelayout.drawing.model import (
    LinearDimension,
)
from flangelayout.drawing.references import Feature
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
from flangelayout.geometry.shapes import Arc, Contour, Line, Point
from views.sheet_sizes import ENDS, FINE, NUMBER, TIMES, AuditError, Dimensions, Told, circle_of, place_at, placed


def disc(radius: float, x: float = 0.0, y: float = 0.0) -> shapely.Geometry:
    return shapely.Point(x, y).buffer(radius, quad_segs=FINE)


def rounded(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    """Outer corners rounded."""
    if not radius:
        return shape
    return shape.buffer(-radius, join_style="mitre").buffer(radius, quad_segs=FINE)


def _roots(
    body: float, radius: float, axis: float, normal: float, offset: float, x: float = 0.0
) -> list[shapely.Geometry]:
    """What a radius fills on either side of an arm along ``axis`` where it leaves a disc about (x, 0).

    The arm's sides are ``offset`` from the disc's middle, square to directions ``normal`` degrees from the axis. The
    radius touches the side and the disc: its middle is ``offset + radius`` from the one, ``body + radius`` from the
    middle of the other.
    """
    found = []
    for sign in (1, -1) if radius else ():
        (nx, ny), (tx, ty) = place_at(1.0, axis + sign * normal), place_at(1.0, axis + sign * (normal - 90.0))
        along = math.sqrt((body + radius) ** 2 - (offset + radius) ** 2)
        fx, fy = nx * (offset + radius) + tx * along, ny * (offset + radius) + ty * along
        deep, low = body / (body + radius) * 0.98, radius + 0.02 * offset
        wedge = shapely.Polygon([(0.0, 0.0), (fx * deep, fy * deep), (fx, fy), (fx - nx * low, fy - ny * low)])
        found.append(affinity.translate(wedge.difference(disc(radius, fx, fy)), x, 0.0))
    return found


def outline(  # noqa: C901, PLR0911 - as many as there are outlines
    sizes: Dimensions, flange: Flange, holes: dict[str, tuple[float, float, float]]
) -> list[shapely.Geometry]:
    """The metal as the dimensions make it."""
    take, maybe = sizes.take, sizes.maybe
    match flange.outline:
        case RoundOutline():
            return [disc(take(Feature.OUTSIDE) / 2)]
        case RectangleOutline():
            x, y = take(Feature.WIDTH) / 2, take(Feature.HEIGHT) / 2
            return [rounded(shapely.box(-x, -y, x, y), maybe(Feature.CORNER_RADIUS) or 0.0)]
        case OvalOutline():
            return [_oval(take(Feature.LENGTH), take(Feature.WIDTH), take(Feature.END_RADIUS))]
        case LozengeOutline():
            end = take(Feature.END_RADIUS)
            reach = take(Feature.LENGTH) / 2 - end
            discs = [disc(take(Feature.MIDDLE) / 2), disc(end, reach), disc(end, -reach)]
            return [shapely.unary_union(discs).convex_hull]
        case LuggedOutline():
            return [_lugged(sizes, holes)]
        case PathOutline(contour=contour):
            return [_path(sizes, contour)]
        case PaddleOutline():
            return [_paddle(sizes)]
        case FigureEightOutline():
            half, radius, web = (
                take(Feature.CENTER_DISTANCE) / 2,
                take(Feature.OUTSIDE) / 2,
                take(Feature.WEB_WIDTH) / 2,
            )
            root = maybe(Feature.ROOT_RADIUS) or 0.0
            parts = [disc(radius, half), disc(radius, -half), shapely.box(-half, -web, half, web)]
            parts += [*_roots(radius, root, 0.0, 90.0, web, -half), *_roots(radius, root, 180.0, 90.0, web, half)]
            return [shapely.unary_union(parts)]
        case SegmentOutline():
            radii = take(Feature.OUTSIDE), take(Feature.INSIDE)
            return [_segments(sizes, *radii, flange.outline.first_joint_angle)[0]]
        case SplitOutline():
            radii = take(Feature.OUTSIDE) / 2, take(Feature.INSIDE) / 2
            return _segments(sizes, *radii, flange.outline.first_joint_angle)


def _oval(length: float, width: float, end: float) -> shapely.Geometry:
    """Ends, and sides through the middle of the width that touch them: by Pythagoras on the centers."""
    reach, bulge = length / 2 - end, width / 2 - end
    ends = [disc(end, reach), disc(end, -reach)]
    if bulge < 1e-6:
        return shapely.unary_union(ends).convex_hull
    beyond = (reach**2 - bulge**2) / (2 * bulge)
    side = width / 2 + beyond
    touch = reach * side / (side - end)
    big = [shapely.Point(0.0, y).buffer(side, quad_segs=4 * FINE) for y in (beyond, -beyond)]
    lens = big[0].intersection(big[1]).intersection(shapely.box(-touch, -width, touch, width))
    return shapely.unary_union([lens, *ends])


def _lugged(sizes: Dimensions, holes: dict[str, tuple[float, float, float]]) -> shapely.Geometry:
    end = next((each for each in sizes.told if each.feature is Feature.END_RADIUS), None)
    radius, body = sizes.take(Feature.END_RADIUS), sizes.take(Feature.BODY) / 2
    assert end is not None
    if Feature.LUG_PLACES in sizes.leaders:
        text = sizes.say(Feature.LUG_PLACES)
        count = int(re.match(TIMES, end.text)[1])  # type: ignore[index]
        reach = circle_of(sizes, text) / 2
        first = among(text, count)
        middles = [place_at(reach, first + 360.0 * index / count) for index in range(count)]
    else:
        letter = re.search(r"ABOUT (?:HOLES|([A-Z]+))", end.text)
        if not letter:
            raise AuditError("lugs: no place")
        middles = [(x, y) for label, (x, y, _) in holes.items() if label.rstrip("0123456789") == (letter[1] or "")]
    taper = radius
    if Feature.TAPER in sizes.leaders:
        found = re.search(f"TANGENT TO, ⌀{NUMBER} ABOUT CENTER", sizes.say(Feature.TAPER))
        assert found
        taper = sizes.length(found[1]) / 2
    lugs = [shapely.unary_union([disc(radius, *at), disc(taper)]).convex_hull for at in middles]
    root = sizes.maybe(Feature.ROOT_RADIUS) or 0.0
    for x, y in middles:
        normal = math.degrees(math.acos((taper - radius) / math.hypot(x, y)))
        lugs += _roots(body, root, math.degrees(math.atan2(y, x)), normal, taper)
    return shapely.unary_union([disc(body), *lugs])


def _paddle(sizes: Dimensions) -> shapely.Geometry:
    length, half = sizes.take(Feature.HANDLE_LENGTH), sizes.take(Feature.HANDLE_WIDTH) / 2
    drawn = next(each.what for each in sizes.told if each.feature is Feature.HANDLE_LENGTH)
    assert isinstance(drawn, LinearDimension)
    corner = sizes.maybe(Feature.END_RADIUS)
    if corner is None:
        corner = half if any(each.feature is Feature.END_RADIUS for each in sizes.told) else 0.0
    ends = [disc(corner, length - corner, side * (half - corner)) for side in (-1, 1)] if corner else []
    handle = shapely.unary_union([shapely.box(0.0, -half, length - corner, half), *ends]).convex_hull
    turn = _nearest_axis(drawn, Feature.HANDLE_ANGLE, sizes)
    body, root = sizes.take(Feature.OUTSIDE) / 2, sizes.maybe(Feature.ROOT_RADIUS) or 0.0
    return shapely.unary_union(
        [disc(body), affinity.rotate(handle, turn, (0, 0)), *_roots(body, root, turn, 90.0, half)]
    )


def _nearest_axis(drawn: LinearDimension, feature: Feature, sizes: Dimensions) -> float:
    """The direction of what is drawn: along a centerline, or so many degrees from one as its dimension says."""
    angle = math.radians(drawn.angle_deg)
    step = drawn.end - drawn.start
    forward = step.x * math.cos(angle) + step.y * math.sin(angle) > 0
    seen = drawn.angle_deg if forward else drawn.angle_deg + 180.0
    axis = 90.0 * round(seen / 90.0)
    off = sizes.maybe(feature)
    return axis if off is None else axis + math.copysign(off, seen - axis)


def _segments(sizes: Dimensions, outer: float, inner: float, seen: float) -> list[shapely.Geometry]:
    """The parts of a ring, the first joint on the centerline where it is seen to be, or so many degrees from one."""
    text = sizes.say(Feature.JOINT_GAP)
    parts = re.search(r"(\d+) EQUAL PARTS", text)
    if not parts:
        raise AuditError(f"{text}: no number of parts")
    pitch = 360.0 / int(parts[1])
    gap = re.search(f"GAP {NUMBER}", text)
    half = sizes.length(gap[1]) / 2 if gap else 0.0
    axis = 90.0 * round(seen / 90.0)
    off = sizes.maybe(Feature.JOINT_PLACE)
    first = axis if off is None else axis + math.copysign(off, seen - axis)
    ring = disc(outer).difference(disc(inner))
    found = []
    for index in range(round(360.0 / pitch)):
        start = first + index * pitch
        far = 4 * outer
        wedge = shapely.Polygon([(0, 0), *(place_at(far, start + pitch * share / 16) for share in range(17))])
        rays = [shapely.LineString([(0, 0), place_at(far, turn)]) for turn in (start, start + pitch)]
        cut = [ray.buffer(half, cap_style="flat") for ray in rays] if half else []
        found.append(ring.intersection(wedge).difference(shapely.unary_union(cut)) if cut else ring.intersection(wedge))
    return found


def _path(sizes: Dimensions, drawn: Contour) -> shapely.Geometry:
    """The corners by their dimensions, joined as the picture joins them, by arcs of the radii given."""
    radii = [each for each in sizes.told if each.feature is Feature.ARC_RADIUS]
    points: list[tuple[float, float]] = []
    parts = drawn.parts
    vertices = list(_vertices(parts))
    made = [placed(sizes, seen, Feature.CORNER_PLACE) for _, seen in vertices]
    for index, (part, _) in enumerate(vertices):
        before, here, after = made[index - 1], made[index], made[(index + 1) % len(made)]
        if part is None:
            points.append(here)
        else:
            points += _fillet(before, here, after, _radius_of(radii, part, sizes))
        follower = next(
            (each for each in parts if isinstance(each, Arc) and _same(each.start, vertices[index][1])), None
        )
        if follower is not None:
            points += _bend(here, after, follower, _radius_of(radii, follower, sizes))
    return shapely.Polygon(points)


def _same(one: Point, other: Point) -> bool:
    return one.distance_to(other) < 1e-3


def _vertices(parts: Sequence[Line | Arc]) -> Iterator[tuple[Arc | None, Point]]:
    """Corners as seen: where straight sides meet, or would meet if no arc rounded them, and the ends of other arcs."""
    for index, part in enumerate(parts):
        before, after = parts[index - 1], parts[(index + 1) % len(parts)]
        if (corner := _rounds(before, part, after)) and isinstance(part, Arc):
            yield part, corner
        elif not _rounds(parts[index - 2], before, part):
            yield None, part.start


def _rounds(before: Line | Arc, part: Line | Arc, after: Line | Arc) -> Point | None:
    """The corner that an arc rounds between two straight sides it touches."""
    if not (isinstance(part, Arc) and isinstance(before, Line) and isinstance(after, Line)):
        return None
    touches = _is_tangent(before, part.start, part) and _is_tangent(after, part.end, part)
    return _crossing(before, after) if touches and abs(part.sweep_deg) < 170.0 else None


def _is_tangent(line: Line, at: Point, arc: Arc) -> bool:
    step, out = line.end - line.start, at - arc.center
    return abs(step.x * out.x + step.y * out.y) < 1e-6 * math.hypot(step.x, step.y) * arc.radius


def _crossing(one: Line, other: Line) -> Point:
    ring = shapely.LineString([(one.start.x, one.start.y), (one.end.x, one.end.y)])
    wide = [
        affinity.scale(each, 50, 50)
        for each in (ring, shapely.LineString([(other.start.x, other.start.y), (other.end.x, other.end.y)]))
    ]
    at = wide[0].intersection(wide[1])
    return Point(at.x, at.y)


def _radius_of(radii: Sequence[Told], part: Arc, sizes: Dimensions) -> float:
    """The radius given for arcs that look like one: nearest in size, within a tenth."""
    near = [each for each in radii if abs(each.value - part.radius) < 0.1 * part.radius]
    bent = [each for each in near if getattr(each.what, "from_inside", False) == (part.sweep_deg < 0)]
    if not bent:
        raise AuditError("arc radius: missing")
    best = min(bent, key=lambda each: abs(each.value - part.radius))
    sizes.used.add(id(best))
    return best.value


def _fillet(
    before: tuple[float, float], here: tuple[float, float], after: tuple[float, float], radius: float
) -> list[tuple[float, float]]:
    one = math.atan2(before[1] - here[1], before[0] - here[0])
    other = math.atan2(after[1] - here[1], after[0] - here[0])
    half = abs((other - one + math.pi) % (2 * math.pi) - math.pi) / 2
    reach, middle = radius / math.tan(half), radius / math.sin(half)
    bisector = math.atan2(math.sin(one) + math.sin(other), math.cos(one) + math.cos(other))
    center = here[0] + middle * math.cos(bisector), here[1] + middle * math.sin(bisector)
    ends = [(here[0] + reach * math.cos(turn), here[1] + reach * math.sin(turn)) for turn in (one, other)]
    start, stop = (math.atan2(y - center[1], x - center[0]) for x, y in ends)
    sweep = (stop - start + math.pi) % (2 * math.pi) - math.pi
    return [
        (center[0] + radius * math.cos(start + sweep * k / 200), center[1] + radius * math.sin(start + sweep * k / 200))
        for k in range(201)
    ]


def _bend(here: tuple[float, float], after: tuple[float, float], seen: Arc, radius: float) -> list[tuple[float, float]]:
    """Points of an arc of a radius between two corners, on the side and the way round that the picture shows."""
    chord = math.dist(here, after)
    radius = max(radius, chord / 2)
    aside = math.sqrt(radius**2 - chord**2 / 4)
    left = (seen.sweep_deg > 0) != (abs(seen.sweep_deg) > 180)
    turn = math.atan2(after[1] - here[1], after[0] - here[0]) + (math.pi / 2 if left else -math.pi / 2)
    x, y = (here[0] + after[0]) / 2 + aside * math.cos(turn), (here[1] + after[1]) / 2 + aside * math.sin(turn)
    start, stop = math.atan2(here[1] - y, here[0] - x), math.atan2(after[1] - y, after[0] - x)
    sweep = (stop - start) % (2 * math.pi) if seen.sweep_deg > 0 else -((start - stop) % (2 * math.pi))
    return [
        (x + radius * math.cos(start + sweep * k / 800), y + radius * math.sin(start + sweep * k / 800))
        for k in range(1, 800)
    ]


def among(text: str, count: int) -> float:
    """The direction of one of equally spaced things without numbers."""
    if found := re.search(r"ONE AT (\w+)", text):
        return ENDS[found[1]]
    if found := re.search(r"TWO EITHER SIDE OF (\w+)", text):
        return ENDS[found[1]] + 180.0 / count
    found = re.search(r"ONE ([\d.]+)° (CCW|CW) OF TOP", text)
    if not found:
        raise AuditError(f"{text}: no direction")
    return 90.0 + float(found[1]) * (1 if found[2] == "CCW" else -1)
