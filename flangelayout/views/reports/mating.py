"""The overlay drawing of two flanges: one pattern on the other at the best turn, the tightest bolt enlarged."""

import math
from collections.abc import Iterator, Mapping, Sequence

from flangelayout.checks.mating.mating import TOUCH, MatedBolt, Mating, Side, SideHole
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Drawing, Item, Label, SheetSet, Stamp, TextTable
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, box_about, polar
from flangelayout.units import Unit, decimal_text
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.scales import fitting_scale, scale_text
from flangelayout.views.reports.flow import Block, FlowedItems, FlowFigure, Tables, Words, page_width, report_sheets
from flangelayout.views.reports.pictures.hole_numbers import NumberedHole, hole_numbers, number_reach
from flangelayout.views.words.mating import (
    DRILLING_ALONE,
    bolt_verdict,
    joined_text,
    limiting_text,
    may_be_turned,
    opening_text,
    seen_text,
    side_text,
    step_text,
    turn_text,
    unmatched_lines,
)

_PICTURE, _DETAIL = 96.0, 62.0
_CAPTIONS = 11.0
_PAST = 4.0
"""How far centerlines stand out over the plates, in printed mm."""
_TEXT = 2.5


def overlay_sheets(mating: Mating, info: JobInfo, stamp: Stamp, unit: Unit, paper_name: str) -> SheetSet:
    """Pictures, verdict and the table of the bolts, on one upright page or more."""
    blocks: list[Block] = [
        Words((bolt_verdict(mating, unit),), height_paper=3.2),
        _figure(mating, page_width(paper_name), unit),
        Words(tuple(_words(mating, unit))),
        Tables((_bolt_table(mating, unit),)),
    ]
    return report_sheets("MATING: ONE PATTERN ON THE OTHER", blocks, info, stamp, paper_name)


def _words(mating: Mating, unit: Unit) -> Iterator[str]:
    shift = ", ".join(decimal_text(step, unit) for step in (mating.placing.shift_x, mating.placing.shift_y))
    yield f"A, full lines: {side_text(mating, 'a', unit)}, {seen_text(mating.a)}."
    yield f"B, dashed lines: {side_text(mating, 'b', unit)}{joined_text(mating.b)}, seen through A; {DRILLING_ALONE}."
    placed = f"Best turn of B {turn_text(mating)}, shift {shift} {unit.value}"
    is_screwed = not mating.hindrances
    limiting = f" Limiting: {limiting_text(mating)}." if is_screwed else ""
    yield f"{placed}; worst offset {decimal_text(mating.worst_offset, unit)} {unit.value}.{limiting}"
    yield from (f"{line}." for line in unmatched_lines(mating))
    yield f"Enlarged: the tightest hole of both, and the {mating.bolt} bolt as the thin circle."
    if mating.opening:
        yield f"{opening_text(mating, unit)}."
    if may_be_turned(mating):
        yield f"Mirror check: B {mating.handed.value}."
    for what, step in (("Outside", mating.outside), ("Bore", mating.bore)):
        if step:
            yield f"{step_text(what, step, unit)}."


def _figure(mating: Mating, width: float, unit: Unit) -> FlowFigure:
    """Both plates on the left, the tightest bolt on the right, their scales below."""
    reach = max(_reach(mating.a), _reach(mating.b))
    scale = fitting_scale(2 * reach, _PICTURE - 2 * _PAST)
    tight = mating.limiting[0]
    hole_a = next(hole for hole in mating.a.holes if hole.label == tight.a)
    hole_b = next(hole for hole in _placed_holes(mating) if hole.label == tight.b)
    widest = max(hole_a.diameter, hole_b.diameter, mating.bolt_diameter) + tight.offset
    large = fitting_scale(widest, _DETAIL - 8.0)
    height = max(2 * reach * scale + 2 * _PAST, _DETAIL) + _CAPTIONS
    middle = -(height - _CAPTIONS) / 2
    detail_x = width - _DETAIL / 2
    names = (
        _caption(f"A and B, {scale_text(scale)}", Point(_PICTURE / 2, -height + 6.0)),
        _caption(
            f"Hole {tight.a} of A, hole {tight.b} of B and the bolt, {scale_text(large)}",
            Point(detail_x, -height + 6.0),
        ),
        _caption(_room_text(tight, unit), Point(detail_x, -height + 2.0)),
    )
    detail = Drawing("tightest bolt", tuple(_detail(hole_a, hole_b, mating, large)))
    return FlowFigure(
        height,
        (
            FlowedItems(Drawing("overlay", tuple(_plates(mating, scale))), scale, Point(_PICTURE / 2, middle)),
            FlowedItems(detail, large, Point(detail_x, middle)),
            FlowedItems(Drawing("captions", names), 1.0, ORIGIN),
        ),
    )


def _room_text(tight: MatedBolt, unit: Unit) -> str:
    """What the enlarged picture shows, in figures."""
    room, apart = decimal_text(tight.clearance, unit), decimal_text(tight.offset, unit)
    return f"room left {room}, centers {apart} {unit.value} apart"


def _caption(text: str, at: Point) -> Item:
    return Item(Layer.TEXT, Label(at, text, _TEXT, 0.0, Anchor.CENTER), Furniture("caption"))


def _reach(side: Side) -> float:
    holes = max(math.hypot(hole.center.x, hole.center.y) + hole.diameter / 2 for hole in side.holes)
    return max(holes, (side.outside_diameter or 0.0) / 2)


def _placed_holes(mating: Mating) -> list[SideHole]:
    """The holes of B where they lie at the best turn and shift."""
    moved = mating.placing.moved(mating.b.centers()).tolist()
    return [
        SideHole(hole.label, Point(x, y), hole.diameter) for hole, (x, y) in zip(mating.b.holes, moved, strict=True)
    ]


def _plates(mating: Mating, scale: float) -> Iterator[Item]:
    """Edges, bores and holes of both, and the labels of those of A's holes that have room for one."""
    edges = list(_edges(mating))
    yield from (Item(layer, circle, Furniture(what)) for layer, what, circle in edges)
    placed = _placed_holes(mating)
    for layer, holes in ((Layer.OUTLINE, mating.a.holes), (Layer.HIDDEN, placed)):
        yield from (Item(layer, Circle(hole.center, hole.diameter / 2), HoleRef(hole.label)) for hole in holes)
    numbers = _numbers(mating, placed, [circle for _, _, circle in edges], scale)
    rooms = [box_about(at, number_reach(label, _TEXT) / scale) for label, at in numbers.items()]
    reach = max(_reach(mating.a), _reach(mating.b)) + _PAST / scale
    for angle in (0.0, 90.0):
        line = Line(polar(-reach, angle), polar(reach, angle))
        yield from (Item(Layer.CENTERLINE, part, Furniture("centerline")) for part in broken(line, rooms))
    for label, at in numbers.items():
        yield Item(Layer.TEXT, Label(at, label, _TEXT, 0.0, Anchor.MIDDLE), HoleRef(label))


def _edges(mating: Mating) -> Iterator[tuple[Layer, str, Circle]]:
    """The outer edge and the bore of either plate, where they are known."""
    shift = Point(mating.placing.shift_x, mating.placing.shift_y)
    for side, layer, center in ((mating.a, Layer.OUTLINE, ORIGIN), (mating.b, Layer.HIDDEN, shift)):
        for what, diameter in (("outside", side.outside_diameter), ("bore", side.bore)):
            if diameter:
                yield layer, what, Circle(center, diameter / 2)


def _numbers(mating: Mating, placed: Sequence[SideHole], edges: Sequence[Circle], scale: float) -> Mapping[str, Point]:
    """Where the labels of A's holes stand, clear of every edge and hole; inward of their own if they can."""
    lines = [*edges, *(Circle(hole.center, hole.diameter / 2) for hole in placed)]
    spots = [NumberedHole(hole.label, hole.center, hole.diameter / 2) for hole in mating.a.holes]

    def clears(at: Point, half: float) -> bool:
        return all(abs(at.distance_to(line.center) - line.radius) >= half for line in lines)

    return hole_numbers(spots, _TEXT, scale, clears, turned=180.0)


def _detail(hole_a: SideHole, hole_b: SideHole, mating: Mating, scale: float) -> Iterator[Item]:
    """Two holes and the bolt between them, about the middle of their centers."""
    middle = (hole_a.center + hole_b.center).scaled(0.5)
    a, b = hole_a.center - middle, hole_b.center - middle
    yield Item(Layer.OUTLINE, Circle(a, hole_a.diameter / 2), Furniture("hole of A"))
    yield Item(Layer.HIDDEN, Circle(b, hole_b.diameter / 2), Furniture("hole of B"))
    yield Item(
        Layer.DIMENSION, Circle(_bolt_center(a, b, hole_a, hole_b, mating), mating.bolt_diameter / 2), Furniture("bolt")
    )
    for center in (a, b):
        yield Item(Layer.CENTERLINE, CenterMark(center, 3.0), Furniture("center"))


def _bolt_center(a: Point, b: Point, hole_a: SideHole, hole_b: SideHole, mating: Mating) -> Point:
    """Between the centers, with the same share of the room left in both holes."""
    room_a = (hole_a.diameter - mating.bolt_diameter) / 2
    room_b = (hole_b.diameter - mating.bolt_diameter) / 2
    total = room_a + room_b
    share = room_a / total if total > 0 and min(room_a, room_b) >= 0 else 0.5
    return a + (b - a).scaled(share)


def _bolt_table(mating: Mating, unit: Unit) -> TextTable:
    screws_in = not mating.hindrances
    rows = tuple(
        (
            bolt.a,
            bolt.b,
            decimal_text(bolt.offset, unit),
            decimal_text(bolt.clearance, unit),
            "pass" if screws_in and bolt.clearance >= -TOUCH else "does not pass",
        )
        for bolt in mating.bolts
    )
    return TextTable(f"BOLTS ({unit.value})", ("HOLE OF A", "HOLE OF B", "OFFSET", "ROOM LEFT", "BOLT"), rows)
