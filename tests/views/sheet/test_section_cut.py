"""The section of random plates is the cut through the solid that their hole tables make, by shapely alone."""

import math
import random
import re
from collections.abc import Iterator
from typing import Any

import pytest
import shapely
import shapely.affinity

from as_shapely import polygon
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label
from flangelayout.errors import InputError
from flangelayout.flange import Counterbored, Countersunk, Flange, Hole, Slot, SlotDirection, Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Contour
from flangelayout.job import Job
from flangelayout.packet.job import layout_pages
from jobs import make_job
from rows import first_of

DRILL_POINT = math.tan(math.radians(59.0))
KINDS: tuple[dict[str, Any], ...] = (
    {"hole_diameter": 18},
    {"kind": "tapped", "thread": "M16"},
    {"kind": "tapped", "thread": "M16", "depth": 14},
    {"kind": "tapped", "thread": "M12", "depth": 16, "worked_from": "back"},
    {"kind": "counterbored", "hole_diameter": 14, "seat_diameter": 24, "seat_depth": 9},
    {"kind": "countersunk", "hole_diameter": 12, "seat_diameter": 24},
    {"kind": "slot", "hole_diameter": 12, "slot_length": 30, "slot_along": "radius"},
    {"kind": "slot", "hole_diameter": 12, "slot_length": 30},
)


def random_plate(seed: int, **sheet: str | bool) -> Job:
    """A sound plate of the kind below, on A3 by the rules of ISO unless ``sheet`` says otherwise."""
    for attempt in range(50):
        try:
            return _any_plate(random.Random(f"{seed} {attempt}"), {"convention": "ISO", "paper": "A3"} | sheet)
        except InputError:
            continue
    raise AssertionError(f"no sound plate from seed {seed}")


def _any_plate(dice: random.Random, sheet: dict[str, Any]) -> Job:
    """A round plate with circles of any kind, a vent on or beside the plane, a window, sometimes a raised face."""
    plate: dict[str, Any] = {"outside_diameter": 400, "thickness": dice.choice((30, 42.5))}
    if dice.random() < 0.7:
        plate |= {"bore": 60, "bore_chamfer": dice.choice((0.5, 3))}
    if dice.random() < 0.4:
        plate |= {"raised_face_diameter": 250, "raised_face_height": 4}
    circles = []
    for diameter in dice.sample((340, 340, 290, 215, 150), dice.choice((1, 2, 3))):
        turned = {"start_angle": dice.choice((0, 0, 17.5, 45))}
        placement = {"placement": dice.choice(("straddle", "on-centerline"))}
        count = {"hole_count": dice.choice((1, 2, 4, 6, 8, 12))}
        circles.append({"diameter": diameter, **dice.choice(KINDS), **count, **placement, **turned})
    tables: dict[str, Any] = {"plate": plate, "bolt_circle": circles}
    if dice.random() < 0.6:
        tables["hole"] = [{"diameter": 10, "x": dice.choice((0, 2, -4, 30)), "y": dice.choice((-105, 95, 180))}]
    if dice.random() < 0.4:
        window = {"shape": "window", "inner_diameter": 90, "outer_diameter": 130, "sweep": 40, "count": 2}
        tables["opening"] = [window | {"angle": dice.choice((90, 100, 20))}]
    return make_job(**tables, sheet=sheet)


def _halves(hole: Hole, thickness: float) -> Iterator[tuple[float, float]]:
    """Depth below the worked face and radius of a hole's wall there, from the face down."""
    radius = hole.kind.length / 2 if _is_long(hole) and isinstance(hole.kind, Slot) else hole.diameter / 2
    match hole.kind:
        case Tapped(depth=float() as depth):
            point = depth + radius / DRILL_POINT
            yield from ((0.0, radius), (depth, radius), (point, 0.0))
        case Counterbored(bore_diameter=wide, depth=depth):
            yield from ((0.0, wide / 2), (depth, wide / 2), (depth, radius), (thickness, radius))
        case Countersunk(head_diameter=wide):
            yield from ((0.0, wide / 2), (wide / 2 - radius, radius), (thickness, radius))
        case _:
            yield from ((0.0, radius), (thickness, radius))


def _is_long(hole: Hole) -> bool:
    return isinstance(hole.kind, Slot) and hole.kind.along is SlotDirection.RADIUS


def _profile(hole: Hole, y: float, aside: float, flange: Flange) -> shapely.Geometry:
    """What a hole takes out of a plane ``aside`` of its axis: depth below the named face by height."""
    thickness, step = flange.thickness or 0.0, 0.0
    if flange.raised_face_diameter and math.hypot(y, aside) > flange.raised_face_diameter / 2:
        step = flange.raised_face_height
    if hole.worked_from is PlateFace.BACK:
        step = 0.0
    wall = [(step + depth, math.sqrt(max(radius**2 - aside**2, 0.0))) for depth, radius in _halves(hole, thickness)]
    shape = shapely.Polygon([*((x, y + half) for x, half in wall), *((x, y - half) for x, half in reversed(wall))])
    if hole.worked_from is PlateFace.BACK:
        shape = shapely.affinity.scale(shape, -1.0, 1.0, origin=(thickness / 2, 0.0))
    return shape.buffer(0)


def _solid(flange: Flange) -> shapely.Geometry:
    """The plate without its holes, cut on the vertical centerline."""
    thickness, outside = flange.thickness or 0.0, flange.box().top
    metal = shapely.box(0.0, -outside, thickness, outside)
    if flange.raised_face_diameter:
        for low, high in ((flange.raised_face_diameter / 2, outside), (-outside, -flange.raised_face_diameter / 2)):
            metal = metal.difference(shapely.box(0.0, low, flange.raised_face_height, high))
    if flange.bore:
        bore, cut = flange.bore / 2, flange.bore_chamfer
        taken = [
            (0.0, bore + cut),
            (cut, bore),
            (thickness, bore),
            (thickness, -bore),
            (cut, -bore),
            (0.0, -bore - cut),
        ]
        metal = metal.difference(shapely.Polygon(taken))
    for opening in flange.openings:
        met = shapely.LineString([(0.0, -outside), (0.0, outside)]).intersection(polygon(opening.shape))
        for part in () if met.is_empty else shapely.get_parts(met):
            metal = metal.difference(shapely.box(0.0, part.bounds[1], thickness, part.bounds[3]))
    return metal


def _drawn(job: Job) -> tuple[shapely.Geometry, list[str], list[Item]]:
    """The cut metal as drawn, by depth below the named face and height; the labels turned in; the view's items."""
    view = layout_pages(job).sheets[0].views[0]
    edge, thickness = job.flange.box().right, job.flange.thickness or 0.0
    contours = [
        item.what
        for item in view.drawing.items
        if item.layer is Layer.OUTLINE and isinstance(item.what, Contour) and item.what.parts[0].start.x > edge
    ]
    shapes = [shapely.Polygon([(part.start.x, part.start.y) for part in each.parts]) for each in contours]
    left = min(shape.bounds[0] for shape in shapes)
    metal = shapely.affinity.affine_transform(shapely.unary_union(shapes), [-1, 0, 0, 1, left + thickness, 0])
    words = [item.what.text for item in view.drawing.items if isinstance(item.what, Label)]
    at = words.index("TURNED INTO THE PLANE") if "TURNED INTO THE PLANE" in words else None
    labels = re.findall(r"[A-Z]?\d+", words[at - 1]) if at is not None else []
    return metal, labels, list(view.drawing.items)


def wrong_section(job: Job) -> str:
    """What is wrong with a job's section; empty if it is the cut through the solid."""
    flange = job.flange
    drawn, labels, _ = _drawn(job)
    holes = {hole.label: hole for hole in flange.holes()}
    solid = _solid(flange)
    shown: dict[tuple[int, bool], str] = {}
    for hole in holes.values():
        on_circle = 0 <= hole.group < len(flange.bolt_circles)
        if on_circle and abs(hole.center.x) < 1e-6:
            solid = solid.difference(_profile(hole, hole.center.y, 0.0, flange))
            shown[hole.group, hole.center.y > 0] = hole.label
        elif not on_circle and abs(hole.center.x) < hole.diameter / 2:
            solid = solid.difference(_profile(hole, hole.center.y, abs(hole.center.x), flange))
    for label in labels:
        hole = holes[label]
        if abs(hole.center.x) < 1e-6:
            return f"{label} is on the plane and said to be turned into it"
        reach = math.copysign(math.hypot(hole.center.x, hole.center.y), hole.center.y)
        solid = solid.difference(_profile(hole, reach, 0.0, flange))
        shown[hole.group, reach > 0] = label
    apart = solid.symmetric_difference(drawn).area
    if apart > 0.5:
        return f"{apart:.1f} square mm are cut otherwise than the solid"
    return _left_out(flange, shown)


def _left_out(flange: Flange, shown: dict[tuple[int, bool], str]) -> str:
    """A circle that shows no hole above or below though it has one there and nothing else is in its place."""
    for group, circle in enumerate(flange.bolt_circles):
        for above in (True, False):
            near = [hole for hole in flange.holes() if hole.group == group and (hole.center.y > 1e-3) == above]
            near = [hole for hole in near if abs(hole.center.y) > 1e-3]
            if not near or (group, above) in shown:
                continue
            y = circle.diameter / 2 * (1 if above else -1)
            half = near[0].reach if _is_long(near[0]) else near[0].face_diameter / 2
            middle = (flange.thickness or 0.0) / 2
            place = shapely.box(middle - 0.1, y - half, middle + 0.1, y + half)
            if shapely.contains(_without_holes(flange, shown), place):
                return f"circle {group} shows no hole {'above' if above else 'below'}"
    return ""


def _without_holes(flange: Flange, shown: dict[tuple[int, bool], str]) -> shapely.Geometry:
    metal = _solid(flange)
    for hole in flange.holes():
        label = next((each for each in shown.values() if each == hole.label), None)
        y = math.copysign(math.hypot(hole.center.x, hole.center.y), hole.center.y) if label else hole.center.y
        if label or (hole.group < 0 and abs(hole.center.x) < hole.face_diameter / 2):
            half = hole.reach if _is_long(hole) else hole.face_diameter / 2
            metal = metal.difference(shapely.box(-1.0, y - half, 500.0, y + half))
    return metal


@pytest.mark.parametrize("seeds", first_of([range(1), range(1, 12)]))
def test_the_section_of_random_plates_is_the_cut_through_their_solid(seeds: range) -> None:
    assert not {seed: wrong for seed in seeds if (wrong := wrong_section(random_plate(seed)))}


@pytest.mark.property_deep
@pytest.mark.parametrize("block", range(10))
def test_the_section_of_a_thousand_random_plates_is_the_cut_through_their_solid(block: int, from_seed: int) -> None:
    first = from_seed + 100 * block + 100
    seeds = range(first, first + 100)
    found = {seed: wrong for seed in seeds if (wrong := wrong_section(random_plate(seed)))}
    assert not found
