"""A plate rebuilt from the dimensions of its sheet: what they say in words, by arithmetic and shapely alone.

The picture gives what a reader takes from it: which kind of plate it is, what lies beside what, which numbers holes
have. Every size comes from the text of a dimension. A size that is wanted and not there, one that stands twice, and one
that nothing needs are faults; one in brackets must follow from the others.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import shapely
from shapely import affinity

from as_shapely import polygon
from flangelayout.drawing.model import (
    AngularDimension,
    DiameterDimension,
    Dimension,
    Item,
    Label,
    Leader,
    LinearDimension,
    RadiusDimension,
)
from flangelayout.drawing.references import Feature, FeatureRef, GroupRef, HoleRef, OpeningRef
from flangelayout.flange import (
    FigureEightOutline,
    Flange,
    Hole,
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PaddleOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    Slot,
    SplitOutline,
)
from flangelayout.geometry.shapes import Arc, Contour, Line, Point
from flangelayout.job import Job
from flangelayout.packet.job import layout_pages
from flangelayout.units import Unit

NEAR = 0.01
"""How far in mm a rebuilt edge may be from the cut one."""
_FINE = 160
_SIZE = re.compile(r"(?P<bracket>\()?(?:(?P<count>\d+)(?: × |X ))?(?P<sign>⌀|R)?(?P<value>[\d.]+)(?P<degrees>°)?")
_TIMES = r"(\d+)(?: × |X )"
_NUMBER = r"([\d.]+)(?: \([^)]*\))?"
_ENDS = {"RIGHT": 0.0, "TOP": 90.0, "LEFT": 180.0, "BOTTOM": 270.0}
_LAYOUT_ONLY = frozenset({Feature.THICKNESS, Feature.BORE_CHAMFER, Feature.RAISED_FACE, Feature.RAISED_FACE_HEIGHT})
"""Sizes that no outline and no hole hangs on."""


class AuditError(Exception):
    """The dimensions do not make the plate."""


@dataclass(frozen=True, slots=True)
class Told:
    """A dimension: what it says, in mm or degrees, and where it stands."""

    feature: Feature
    text: str
    value: float
    is_reference: bool
    what: LinearDimension | DiameterDimension | RadiusDimension | AngularDimension


@dataclass(slots=True)
class Dimensions:
    """What a sheet says, and what of it has been used."""

    unit: Unit
    told: list[Told]
    leaders: dict[object, str]
    notes: str
    used: set[int] = field(default_factory=set)

    def take(self, feature: Feature) -> float:
        """The one size of a feature, used by this.

        Raises:
            AuditError: If there is none, or more than one.
        """
        found = [each for each in self.told if each.feature is feature and not each.is_reference]
        if len(found) != 1:
            raise AuditError(f"{feature.value}: {'missing' if not found else 'given twice'}")
        self.used.add(id(found[0]))
        return found[0].value

    def maybe(self, feature: Feature) -> float | None:
        """As :meth:`take`, ``None`` where there is none."""
        return (
            self.take(feature) if any(each.feature is feature and not each.is_reference for each in self.told) else None
        )

    def say(self, ref: object) -> str:
        """What a leader says of a feature, a group, a hole or an opening."""
        if ref not in self.leaders:
            raise AuditError(f"{ref}: no call-out")
        return self.leaders.pop(ref)

    def call_out(self, group: int, letter: str) -> str:
        """What a leader says of a group of holes, or else a note that begins with its letter."""
        if GroupRef(group) in self.leaders or not letter:
            return self.say(GroupRef(group)).removeprefix(f"{letter}: ")
        found = re.search(rf"\b{letter}: (\d+(?: × |X ).*?)(?:\. |$|(?= [A-Z]: \d))", self.notes)
        if not found:
            raise AuditError(f"{letter}: no call-out")
        return found[1]

    def length(self, text: str) -> float:
        """A written length in mm."""
        return float(text) * (25.4 if self.unit is Unit.IN else 1.0)

    def leftover(self) -> list[str]:
        """What nothing needed."""
        idle = [each for each in self.told if not each.is_reference and id(each) not in self.used]
        idle = [each for each in idle if each.feature not in _LAYOUT_ONLY]
        return [f"{each.feature.value} {each.text}" for each in idle]


def dimension_items(job: Job) -> tuple[tuple[Item, ...], str]:
    """The items of a job's layout that say something of it, and every word that stands beside it."""
    sheets = layout_pages(job).sheets
    views = [view for sheet in sheets for view in sheet.views if view.drawing.title == "layout"]
    words = [item.what.text for sheet in sheets for item in sheet.furniture if isinstance(item.what, Label)]
    items = (item for view in views for item in view.drawing.items)
    return tuple(item for item in items if isinstance(item.what, Dimension)), " ".join(words)


def dimensions_of(unit: Unit, items: Iterable[Item], notes: str) -> Dimensions:
    """What dimensions say."""
    found = Dimensions(unit, [], {}, notes)
    for item in items:
        what = item.what
        if isinstance(what, LinearDimension | DiameterDimension | RadiusDimension | AngularDimension):
            if isinstance(item.source, FeatureRef):
                found.told.append(_told(found, item.source.feature, what))
        elif isinstance(what, Leader):
            key: object = item.source.feature if isinstance(item.source, FeatureRef) else item.source
            if key in found.leaders:
                raise AuditError(f"{key}: called out twice")
            found.leaders[key] = re.sub(",,", ",", ", ".join(what.text))
    return found


def _told(
    found: Dimensions, feature: Feature, what: LinearDimension | DiameterDimension | RadiusDimension | AngularDimension
) -> Told:
    match = _SIZE.match(what.text)
    if not match:
        raise AuditError(f"{what.text}: no size")
    value = float(match["value"]) if match["degrees"] else found.length(match["value"])
    drawn = what.measure
    if abs(drawn - value) > (0.0006 if match["degrees"] else 0.013):
        raise AuditError(f"{what.text} measures {drawn}")
    return Told(feature, what.text, value, bool(match["bracket"]), what)


def audit(job: Job, said: tuple[Iterable[Item], str] | None = None) -> list[str]:
    """What is wrong with the dimensions of a job's sheet, or with others in their place; nothing if they make it."""
    try:
        sizes = dimensions_of(job.unit, *(said or dimension_items(job)))
        flange = job.flange
        holes = dict(_holes(sizes, flange))
        pieces = _outline(sizes, flange, holes)
        wrong = [*_unlike("outline", pieces, [polygon(piece) for piece in flange.pieces()])]
        wrong += _wrong_holes(flange, holes)
        wrong += _wrong_openings(sizes, flange)
        wrong += _wrong_references(sizes, pieces)
        wrong += [f"{text}: nothing needs it" for text in sizes.leftover()]
        return wrong
    except AuditError as missing:
        return [str(missing)]


def _unlike(name: str, made: Sequence[shapely.Geometry], cut: Sequence[shapely.Geometry]) -> Iterator[str]:
    if len(made) != len(cut):
        yield f"{name}: {len(made)} for {len(cut)}"
        return
    for one in made:
        apart = min(shapely.hausdorff_distance(one.boundary, other.boundary) for other in cut)
        if apart > NEAR:
            yield f"{name} is {apart:.3f} mm from what is cut"


def _disc(radius: float, x: float = 0.0, y: float = 0.0) -> shapely.Geometry:
    return shapely.Point(x, y).buffer(radius, quad_segs=_FINE)


def _at(radius: float, degrees: float) -> tuple[float, float]:
    return radius * math.cos(math.radians(degrees)), radius * math.sin(math.radians(degrees))


def _rounded(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    """Outer corners rounded."""
    if not radius:
        return shape
    return shape.buffer(-radius, join_style="mitre").buffer(radius, quad_segs=_FINE)


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
        (nx, ny), (tx, ty) = _at(1.0, axis + sign * normal), _at(1.0, axis + sign * (normal - 90.0))
        along = math.sqrt((body + radius) ** 2 - (offset + radius) ** 2)
        fx, fy = nx * (offset + radius) + tx * along, ny * (offset + radius) + ty * along
        deep, low = body / (body + radius) * 0.98, radius + 0.02 * offset
        wedge = shapely.Polygon([(0.0, 0.0), (fx * deep, fy * deep), (fx, fy), (fx - nx * low, fy - ny * low)])
        found.append(affinity.translate(wedge.difference(_disc(radius, fx, fy)), x, 0.0))
    return found


def _outline(  # noqa: C901, PLR0911 - as many as there are outlines
    sizes: Dimensions, flange: Flange, holes: dict[str, tuple[float, float, float]]
) -> list[shapely.Geometry]:
    """The metal as the dimensions make it."""
    take, maybe = sizes.take, sizes.maybe
    match flange.outline:
        case RoundOutline():
            return [_disc(take(Feature.OUTSIDE) / 2)]
        case RectangleOutline():
            x, y = take(Feature.WIDTH) / 2, take(Feature.HEIGHT) / 2
            return [_rounded(shapely.box(-x, -y, x, y), maybe(Feature.CORNER_RADIUS) or 0.0)]
        case OvalOutline():
            return [_oval(take(Feature.LENGTH), take(Feature.WIDTH), take(Feature.END_RADIUS))]
        case LozengeOutline():
            end = take(Feature.END_RADIUS)
            reach = take(Feature.LENGTH) / 2 - end
            discs = [_disc(take(Feature.MIDDLE) / 2), _disc(end, reach), _disc(end, -reach)]
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
            parts = [_disc(radius, half), _disc(radius, -half), shapely.box(-half, -web, half, web)]
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
    ends = [_disc(end, reach), _disc(end, -reach)]
    if bulge < 1e-6:
        return shapely.unary_union(ends).convex_hull
    beyond = (reach**2 - bulge**2) / (2 * bulge)
    side = width / 2 + beyond
    touch = reach * side / (side - end)
    big = [shapely.Point(0.0, y).buffer(side, quad_segs=4 * _FINE) for y in (beyond, -beyond)]
    lens = big[0].intersection(big[1]).intersection(shapely.box(-touch, -width, touch, width))
    return shapely.unary_union([lens, *ends])


def _lugged(sizes: Dimensions, holes: dict[str, tuple[float, float, float]]) -> shapely.Geometry:
    end = next((each for each in sizes.told if each.feature is Feature.END_RADIUS), None)
    radius, body = sizes.take(Feature.END_RADIUS), sizes.take(Feature.BODY) / 2
    assert end is not None
    if Feature.LUG_PLACES in sizes.leaders:
        text = sizes.say(Feature.LUG_PLACES)
        count = int(re.match(_TIMES, end.text)[1])  # type: ignore[index]
        reach = _circle_of(sizes, text) / 2
        first = _among(text, count)
        middles = [_at(reach, first + 360.0 * index / count) for index in range(count)]
    else:
        letter = re.search(r"ABOUT (?:HOLES|([A-Z]+))", end.text)
        if not letter:
            raise AuditError("lugs: no place")
        middles = [(x, y) for label, (x, y, _) in holes.items() if label.rstrip("0123456789") == (letter[1] or "")]
    taper = radius
    if Feature.TAPER in sizes.leaders:
        found = re.search(f"TANGENT TO, ⌀{_NUMBER} ABOUT CENTER", sizes.say(Feature.TAPER))
        assert found
        taper = sizes.length(found[1]) / 2
    lugs = [shapely.unary_union([_disc(radius, *at), _disc(taper)]).convex_hull for at in middles]
    root = sizes.maybe(Feature.ROOT_RADIUS) or 0.0
    for x, y in middles:
        normal = math.degrees(math.acos((taper - radius) / math.hypot(x, y)))
        lugs += _roots(body, root, math.degrees(math.atan2(y, x)), normal, taper)
    return shapely.unary_union([_disc(body), *lugs])


def _paddle(sizes: Dimensions) -> shapely.Geometry:
    length, half = sizes.take(Feature.HANDLE_LENGTH), sizes.take(Feature.HANDLE_WIDTH) / 2
    drawn = next(each.what for each in sizes.told if each.feature is Feature.HANDLE_LENGTH)
    assert isinstance(drawn, LinearDimension)
    corner = sizes.maybe(Feature.END_RADIUS)
    if corner is None:
        corner = half if any(each.feature is Feature.END_RADIUS for each in sizes.told) else 0.0
    ends = [_disc(corner, length - corner, side * (half - corner)) for side in (-1, 1)] if corner else []
    handle = shapely.unary_union([shapely.box(0.0, -half, length - corner, half), *ends]).convex_hull
    turn = _nearest_axis(drawn, Feature.HANDLE_ANGLE, sizes)
    body, root = sizes.take(Feature.OUTSIDE) / 2, sizes.maybe(Feature.ROOT_RADIUS) or 0.0
    return shapely.unary_union(
        [_disc(body), affinity.rotate(handle, turn, (0, 0)), *_roots(body, root, turn, 90.0, half)]
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
    gap = re.search(f"GAP {_NUMBER}", text)
    half = sizes.length(gap[1]) / 2 if gap else 0.0
    axis = 90.0 * round(seen / 90.0)
    off = sizes.maybe(Feature.JOINT_PLACE)
    first = axis if off is None else axis + math.copysign(off, seen - axis)
    ring = _disc(outer).difference(_disc(inner))
    found = []
    for index in range(round(360.0 / pitch)):
        start = first + index * pitch
        far = 4 * outer
        wedge = shapely.Polygon([(0, 0), *(_at(far, start + pitch * share / 16) for share in range(17))])
        rays = [shapely.LineString([(0, 0), _at(far, turn)]) for turn in (start, start + pitch)]
        cut = [ray.buffer(half, cap_style="flat") for ray in rays] if half else []
        found.append(ring.intersection(wedge).difference(shapely.unary_union(cut)) if cut else ring.intersection(wedge))
    return found


def _path(sizes: Dimensions, drawn: Contour) -> shapely.Geometry:
    """The corners by their dimensions, joined as the picture joins them, by arcs of the radii given."""
    radii = [each for each in sizes.told if each.feature is Feature.ARC_RADIUS]
    points: list[tuple[float, float]] = []
    parts = drawn.parts
    vertices = list(_vertices(parts))
    made = [_placed(sizes, seen, Feature.CORNER_PLACE) for _, seen in vertices]
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


def _placed(sizes: Dimensions, seen: Point, feature: Feature) -> tuple[float, float]:
    """Where dimensions from the centerlines, or across them, put a point that is seen about there."""
    return _along(sizes, seen.x, feature, 0.0), _along(sizes, seen.y, feature, 90.0)


def _along(sizes: Dimensions, seen: float, feature: Feature, angle: float) -> float:
    if abs(seen) < 1e-6:
        return 0.0
    for each in sizes.told:
        what = each.what
        if each.feature is not feature or not isinstance(what, LinearDimension) or what.angle_deg != angle:
            continue
        ends = sorted((what.start.x, what.end.x) if angle == 0.0 else (what.start.y, what.end.y))
        if not any(abs(end - seen) < 0.05 for end in ends):
            continue
        across = ends[0] < -0.05 and ends[1] > 0.05
        sizes.used.add(id(each))
        return math.copysign(each.value / 2 if across else each.value, seen)
    raise AuditError(f"{feature.value} at {seen:.2f}: missing")


def _circle_of(sizes: Dimensions, text: str) -> float:
    found = re.search(f"PCD {_NUMBER}", text) or re.search(f"⌀{_NUMBER} BC", text)
    if not found:
        raise AuditError(f"{text}: no circle")
    return sizes.length(found[1])


def _among(text: str, count: int) -> float:
    """The direction of one of equally spaced things without numbers."""
    if found := re.search(r"ONE AT (\w+)", text):
        return _ENDS[found[1]]
    if found := re.search(r"TWO EITHER SIDE OF (\w+)", text):
        return _ENDS[found[1]] + 180.0 / count
    found = re.search(r"ONE ([\d.]+)° (CCW|CW) OF TOP", text)
    if not found:
        raise AuditError(f"{text}: no direction")
    return 90.0 + float(found[1]) * (1 if found[2] == "CCW" else -1)


def _holes(sizes: Dimensions, flange: Flange) -> Iterator[tuple[str, tuple[float, float, float]]]:
    """Every hole by its label: x, y and what is drilled, by the call-outs alone."""
    for group in range(len(flange.groups())):
        letter = flange.group_letter(group)
        text = sizes.call_out(group, letter)
        size = _hole_size(sizes, text)
        for number, (x, y) in _group_places(sizes, text, letter):
            yield f"{letter}{number}", (x, y, size)
    singles = {hole.label: hole for hole in flange.holes() if hole.group < 0}
    for ref in [ref for ref in sizes.leaders if isinstance(ref, HoleRef)]:
        text = sizes.say(ref)
        labels = re.findall(r"X\d+", text.split(":")[0])
        for label in labels:
            if "PLACES PER HOLE TABLE" in text:
                at = singles[label].center
                yield label, (round(at.x, 2), round(at.y, 2), _hole_size(sizes, text.split(": ", 1)[1]))
            else:
                yield (
                    label,
                    (
                        *_placed(sizes, singles[label].center, Feature.HOLE_PLACE),
                        _hole_size(sizes, text.split(": ", 1)[1]),
                    ),
                )


def _hole_size(sizes: Dimensions, text: str) -> float:
    """What is drilled: the tap drill of a thread, the width of a slot."""
    found = re.search(f"DRILL ⌀{_NUMBER}", text) or re.search(f"SLOT {_NUMBER}", text) or re.search(f"⌀{_NUMBER}", text)
    if not found:
        raise AuditError(f"{text}: no size")
    return sizes.length(found[1])


def _group_places(sizes: Dimensions, text: str, letter: str) -> Iterator[tuple[int, tuple[float, float]]]:
    if "RECTANGLE" in text:
        yield from enumerate(_rectangle(sizes, text), 1)
    elif "GRID" in text:
        yield from enumerate(_grid(sizes, text), 1)
    elif "RING" in text:
        yield from enumerate(_rings(sizes, text), 1)
    elif "PCD" not in text and " BC" not in text:
        yield from _pair(sizes, text)
    else:
        yield from _circle(sizes, text, letter)


def _pair(sizes: Dimensions, text: str) -> Iterator[tuple[int, tuple[float, float]]]:
    half = sizes.take(Feature.CENTER_DISTANCE) / 2
    found = re.search(r"(\d) AT (\w+)", text)
    if not found:
        raise AuditError(f"{text}: no direction")
    turn = _ENDS[found[2]]
    yield int(found[1]), _at(half, turn)
    yield 3 - int(found[1]), _at(half, turn + 180.0)


def _circle(sizes: Dimensions, text: str, letter: str) -> Iterator[tuple[int, tuple[float, float]]]:
    radius = _circle_of(sizes, text) / 2
    count_of = re.match(_TIMES, text)
    assert count_of
    count = int(count_of[1])
    within = re.search(r"IN (\d+) (?:EQUAL|EQ SP) PLACES", text)
    places = int(within[1]) if within else count
    pairs = re.search(r"IN (\d+) PAIRS ([\d.]+)° APART", text)
    steps = _pair_steps(int(pairs[1]), float(pairs[2]), text) if pairs else [360.0 * k / places for k in range(places)]
    first = _first_angle(steps, places, text, letter)
    numbers = set(range(1, places + 1))
    if left := re.search(r"NO HOLE AT ([\d, ]+)", text):
        numbers -= {int(each) for each in re.findall(r"\d+", left[1])}
    if only := re.search(r"ONLY PLACES (\d+) TO (\d+) DRILLED", text):
        numbers &= set(range(int(only[1]), int(only[2]) + 1))
    for number in sorted(numbers):
        yield number, _at(radius, first + steps[number - 1])


def _pair_steps(pairs: int, apart: float, text: str) -> list[float]:
    """Angles from hole 1 of a circle of pairs: hole 1 and 2 are a pair, or 1 and the last one are."""
    between = 360.0 / pairs - apart
    found = re.search(r"(\d+) AND [A-Z]*(\d+) ([\d.]+)° EITHER SIDE", text)
    together = True
    if found:
        off, high, low = 2 * float(found[3]), int(found[1]), int(found[2])
        is_pair = abs(off - apart) < 1e-2
        together = is_pair == (high % 2 == 0 and low == high - 1)
    gaps = (apart, between) if together else (between, apart)
    return [sum(gaps[k % 2] for k in range(number)) for number in range(2 * pairs)]


def _first_angle(steps: list[float], places: int, text: str, letter: str) -> float:
    name = letter or "HOLES? "
    if found := re.search(rf"{name}(\d+) AND {letter}(\d+)(?: [\d.]+°)? EITHER SIDE OF (\w+)", text):
        one, other = (steps[int(each) - 1] for each in (found[1], found[2]))
        return _ENDS[found[3]] + (one - other) % 360.0 / 2 - one
    if found := re.search(rf"{name}(\d+) AT (\w+)", text):
        return _ENDS[found[2]] - steps[int(found[1]) - 1]
    if found := re.search(rf"{name}(\d+) ([\d.]+)° (CCW|CW) OF TOP", text):
        off = float(found[2]) * (1 if found[3] == "CCW" else -1)
        return 90.0 + off - steps[int(found[1]) - 1]
    raise AuditError(f"{text}: no direction")


def _rectangle(sizes: Dimensions, text: str) -> list[tuple[float, float]]:
    found = re.search(rf"RECTANGLE {_NUMBER}(?: × | X ){_NUMBER}", text)
    assert found
    width, height = (sizes.length(each) for each in found.groups())
    along = re.search(r"(\d+) ALONG X, (\d+) ALONG Y", text)
    columns, rows = (int(along[1]), int(along[2])) if along else (2, 2)
    places = [
        (width * (column / (columns - 1) - 0.5), height * (row / (rows - 1) - 0.5))
        for column in range(columns)
        for row in range(rows)
        if column in (0, columns - 1) or row in (0, rows - 1)
    ]
    places.sort(key=lambda at: round((math.degrees(math.atan2(at[1], at[0])) - 90) % 360, 6))
    turned = re.search(r"TURNED ([\d.]+)° (CCW|CW)", text)
    turn = math.radians(float(turned[1]) * (1 if turned[2] == "CCW" else -1)) if turned else 0.0
    x, y = _middle(sizes, text)
    cos, sin = math.cos(turn), math.sin(turn)
    return [(x + a * cos - b * sin, y + a * sin + b * cos) for a, b in places]


def _middle(sizes: Dimensions, text: str) -> tuple[float, float]:
    found = re.search(r"ITS MIDDLE AT X (-?[\d.]+), Y (-?[\d.]+)", text)
    return (sizes.length(found[1]), sizes.length(found[2])) if found else (0.0, 0.0)


def _grid(sizes: Dimensions, text: str) -> list[tuple[float, float]]:
    layout = re.search(r"(STAGGERED )?GRID, (\d+) COLUMNS, (\d+) ROWS", text)
    pitch = re.search(r"PITCH ([\d.]+)(?: × | X )([\d.]+)", text)
    assert layout
    assert pitch
    columns, rows, (across, up) = int(layout[2]), int(layout[3]), (sizes.length(each) for each in pitch.groups())
    within = re.search(f"WITHIN ⌀{_NUMBER}", text)
    beyond = re.search(f"OUTSIDE ⌀{_NUMBER}", text)
    radius = _hole_size(sizes, text) / 2
    x, y = _middle(sizes, text)
    found = []
    for row in range(rows):
        many = columns - 1 if layout[1] and row % 2 else columns
        for column in range(many):
            at = x + across * (column - (many - 1) / 2), y + up * ((rows - 1) / 2 - row)
            away = math.hypot(*at)
            inside = within is None or away + radius <= sizes.length(within[1]) / 2 + 1e-6
            if inside and (beyond is None or away - radius >= sizes.length(beyond[1]) / 2 - 1e-6):
                found.append(at)
    return found


def _rings(sizes: Dimensions, text: str) -> list[tuple[float, float]]:
    first = re.search(f"FIRST ⌀{_NUMBER}", text)
    apart = re.search(f"{_NUMBER} APART", text)
    listed = re.search(r"FROM INSIDE OUT: ((?:(?:\d+ OF )?\d+(?:, )?)+)", text)
    assert listed
    counts: list[int] = []
    for part in listed[1].strip(", ").split(", "):
        many, _, count = part.rpartition(" OF ")
        counts += [int(count)] * int(many or 1)
    radius = sizes.length(first[1]) / 2 if first else 0.0
    step = sizes.length(apart[1]) if apart else 0.0
    return [
        _at(radius + step * ring, 90.0 + 360.0 * k / count) for ring, count in enumerate(counts) for k in range(count)
    ]


def _wrong_holes(flange: Flange, made: dict[str, tuple[float, float, float]]) -> Iterator[str]:
    drilled: dict[str, Hole] = {hole.label: hole for hole in flange.holes()}
    if set(made) != set(drilled):
        yield f"holes {sorted(set(made) ^ set(drilled))[:5]} are called out or drilled, not both"
        return
    for label, (x, y, size) in made.items():
        hole = drilled[label]
        apart = math.hypot(x - hole.center.x, y - hole.center.y)
        if apart > NEAR or abs(size - hole.diameter) > NEAR:
            yield f"hole {label} is {apart:.3f} mm off, {size} for {hole.diameter}"
        if isinstance(hole.kind, Slot) and hole.kind.length <= 0:
            yield f"slot {label} has no length"


def _wrong_openings(sizes: Dimensions, flange: Flange) -> Iterator[str]:
    cut = [polygon(opening.shape) for opening in flange.cutouts()]
    made: list[shapely.Geometry] = []
    bores = [each for each in sizes.told if each.feature is Feature.BORE]
    if bores:
        bore = sizes.take(Feature.BORE) / 2
        ring = isinstance(flange.outline, FigureEightOutline)
        distance = next((each.value for each in sizes.told if each.feature is Feature.CENTER_DISTANCE), 0.0)
        made.append(_disc(bore, distance / 2 if ring else 0.0))
    for ref in [ref for ref in sizes.leaders if isinstance(ref, OpeningRef)]:
        made += _opening(sizes, sizes.say(ref))
    yield from _unlike("opening", made, cut)


def _opening(sizes: Dimensions, text: str) -> list[shapely.Geometry]:
    count_of = re.match(_TIMES, text)
    count = int(count_of[1]) if count_of else 1
    radius = re.search(f"CORNERS R{_NUMBER}", text)
    corner = sizes.length(radius[1]) if radius else 0.0
    if found := re.search(f"FROM ⌀{_NUMBER} TO ⌀{_NUMBER}, ([\\d.]+)° WIDE", text):
        inner, outer = (sizes.length(each) / 2 for each in found.groups()[:2])
        half, first = float(found[3]) / 2, _among(text, count)
        wedge = [(0.0, 0.0), *(_at(3 * outer, -half + 2 * half * k / 60) for k in range(61))]
        ring = _disc(outer).difference(_disc(inner)).intersection(shapely.Polygon(wedge))
        window = _rounded(ring, corner)
        return [affinity.rotate(window, first + 360.0 * k / count, (0, 0)) for k in range(count)]
    if found := re.search(rf"SLOT {_NUMBER}(?: × | X ){_NUMBER}", text):
        width, length = (sizes.length(each) for each in found.groups())
        half = (length - width) / 2
        shape = shapely.LineString([(-half, 0), (half, 0)]).buffer(width / 2, quad_segs=_FINE)
    elif found := re.search(
        rf"{_NUMBER}(?: × | X ){_NUMBER}(?:,|$)",
        text.rsplit(")", maxsplit=1)[-1] if ")" in text else text[len(count_of[0]) if count_of else 0 :],
    ):
        width, height = (sizes.length(each) for each in found.groups())
        shape = _rounded(shapely.box(-width / 2, -height / 2, width / 2, height / 2), corner)
    else:
        found = re.search(f"⌀{_NUMBER}", text)
        assert found
        shape = _disc(sizes.length(found[1]) / 2)
    return list(_stood(sizes, text, shape, count))


def _stood(sizes: Dimensions, text: str, shape: shapely.Geometry, count: int) -> Iterator[shapely.Geometry]:
    if count > 1:
        reach, first = _circle_of(sizes, text) / 2, _among(text, count)
        turned = affinity.rotate(shape, first, (0, 0)) if "ALONG RADIUS" in text else shape
        x, y = _at(reach, first)
        one = affinity.translate(turned, x, y)
        yield from (affinity.rotate(one, 360.0 * k / count, (0, 0)) for k in range(count))
        return
    across = re.search(r"([\d.]+) (RIGHT|LEFT) OF CENTER", text)
    up = re.search(r"([\d.]+) (ABOVE|BELOW) CENTER", text)
    at = (
        sizes.length(across[1]) * (1 if across[2] == "RIGHT" else -1) if across else 0.0,
        sizes.length(up[1]) * (1 if up[2] == "ABOVE" else -1) if up else 0.0,
    )
    turn = math.degrees(math.atan2(at[1], at[0])) if "ALONG RADIUS" in text else 0.0
    yield affinity.translate(affinity.rotate(shape, turn, (0, 0)), *at)


def _wrong_references(sizes: Dimensions, pieces: list[shapely.Geometry]) -> Iterator[str]:
    """Sizes in brackets that do not follow: over all, and the sides of an oval."""
    left, bottom, right, top = shapely.unary_union(pieces).bounds
    follows = {Feature.OVERALL_WIDTH: right - left, Feature.OVERALL_HEIGHT: top - bottom}
    for each in sizes.told:
        if each.is_reference and each.feature in follows and abs(each.value - follows[each.feature]) > 2 * NEAR:
            yield f"{each.feature.value} {each.text} does not follow"
