"""The picture on the page of the checks: the plate, and beside it the number of each check with a line to its place."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.checks.cut_facts import CutHoles
from flangelayout.checks.finding import Finding, HoleIndex
from flangelayout.checks.rule import Rule
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.pieces import point_at
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, extent, polar, rectangle
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale, scale_text
from flangelayout.views.reports.check_table import NumberedCheck
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_PICTURE = 78.0
_TEXT = 2.5
_MOST_TOGETHER = 6
"""Numbers that stand side by side on one line to a place."""
_LINE, _ASIDE, _ROOM = 5.6, 8.0, 4.0
_SPOT = 0.6
_AT_RIM = (Rule.HOLE_ON_PLATE, Rule.EDGE_METAL, Rule.SEAT_ON_PLATE, Rule.MATE_RIM)
"""Checks that look from a hole to the edge of the plate."""


class _Flag(Struct, frozen=True):
    """Numbers of checks and the place on the plate that they looked at."""

    numbers: tuple[int, ...]
    spot: Point
    failed: bool


def check_figure(flange: Flange, checks: Sequence[NumberedCheck], width: float) -> FlowFigure:
    """The plate seen from its face, ``width`` printed mm of page for it.

    Args:
        flange: What was checked.
        checks: What was run, in the order of the list.
        width: Of the page between its margins.
    """
    box = flange.box()
    scale = fitting_scale(max(box.width, box.height), _PICTURE)
    left, right = _sides(_flags(flange, checks))
    height = max(box.height * scale, _LINE * max(len(left), len(right))) + 2 * _ROOM
    middle = Point(width / 2 - box.center.x * scale, -height / 2 - box.center.y * scale)
    out = box.width * scale / 2 + _ASIDE
    items = (*metal_edges(flange, Layer.OUTLINE), *_holes(flange))
    sides = ((left, width / 2 - out), (right, width / 2 + out))
    flags = tuple(item for side, x in sides for item in _column(side, middle, scale, x, height))
    told = f"{scale_text(scale)}, seen from {flange.face}; numbers are those of the list, failed ones boxed"
    caption = _item(Layer.TEXT, Label(Point(width / 2, -height - 2.0), told, _TEXT, 0.0, Anchor.CENTER))
    return FlowFigure(
        height + 4.0,
        (
            FlowedItems(Drawing("checked plate", items), scale, middle),
            FlowedItems(Drawing("flags", (*flags, caption)), 1.0, ORIGIN),
        ),
    )


def _holes(flange: Flange) -> Iterator[Item]:
    for hole in flange.holes():
        yield Item(Layer.DIMENSION, hole.shape, HoleRef(hole.label))


def _flags(flange: Flange, checks: Sequence[NumberedCheck]) -> list[_Flag]:
    """The numbers of every place together; failed ones apart, so that their box holds nothing else."""
    found: dict[tuple[bool, float, float], list[int]] = {}
    for check in checks:
        spot = _spot(flange, check.finding)
        found.setdefault((check.finding.failed, round(spot.x, 3), round(spot.y, 3)), []).append(check.number)
    return [
        _Flag(tuple(numbers[first : first + _MOST_TOGETHER]), Point(x, y), failed)
        for (failed, x, y), numbers in found.items()
        for first in range(0, len(numbers), _MOST_TOGETHER)
    ]


def _sides(flags: Sequence[_Flag]) -> tuple[list[_Flag], list[_Flag]]:
    """Those to the left and to the right of the plate, from the top down: each place to its own side, evenly many."""
    across = sorted(flags, key=lambda flag: (flag.spot.x, flag.spot.y))
    half = len(across) // 2
    return _downward(across[:half]), _downward(across[half:])


def _downward(flags: Sequence[_Flag]) -> list[_Flag]:
    return sorted(flags, key=lambda flag: -flag.spot.y)


def _column(flags: Sequence[_Flag], middle: Point, scale: float, x: float, height: float) -> Iterator[Item]:
    """Numbers one below the other, each as near to the height of its place as the others let it, and their lines."""
    to_left = x < middle.x
    levels = _levels([middle.y + flag.spot.y * scale for flag in flags], -height + _ROOM, -_ROOM)
    for flag, y in zip(flags, levels, strict=True):
        text = ", ".join(map(str, flag.numbers))
        wide = text_width(text, _TEXT)
        spot = middle + flag.spot.scaled(scale)
        anchor = Anchor.MIDDLE_RIGHT if to_left else Anchor.MIDDLE_LEFT
        yield _item(Layer.TEXT, Label(Point(x, y), text, _TEXT, 0.0, anchor))
        yield _item(Layer.TEXT, Line(Point(x + (1.5 if to_left else -1.5), y), spot))
        yield _item(Layer.TEXT, Circle(spot, _SPOT))
        if flag.failed:
            low, high = (x - wide - 1.2, x + 1.2) if to_left else (x - 1.2, x + wide + 1.2)
            yield _item(Layer.OUTLINE, rectangle(Box(low, y - 2.2, high, y + 2.2)))


def _levels(wanted: Sequence[float], low: float, high: float) -> list[float]:
    """Heights from the top down, a line apart at least, within bounds, near to those wanted."""
    levels: list[float] = []
    for index, y in enumerate(wanted):
        most = levels[-1] - _LINE if levels else high
        least = low + _LINE * (len(wanted) - 1 - index)
        levels.append(max(min(y, most), least))
    return levels


def _spot(flange: Flange, finding: Finding) -> Point:
    """Where on the plate a check looked: between two holes, from a hole to edge or opening, an opening, the plate.

    Of a whole group any hole will do; checks are spread over it so that their lines come apart.
    """
    place = finding.place
    found = [hole for index in place.holes if (hole := _hole(flange, index)) is not None]
    if not found and place.group is not None:
        alike = [hole for hole in flange.holes() if hole.group == place.group]
        found = [alike[list(Rule).index(finding.rule) * 3 % len(alike)]] if alike else []
    if len(found) > 1 and not isinstance(finding.facts, CutHoles):
        return _between(found[0].center, found[1].center, 0.5)
    if found:
        return _beside(flange, finding, found[0])
    if place.opening is not None:
        edge = extent(flange.cutouts()[place.opening].shape)
        return Point(edge.center.x, edge.top)
    return point_at(pieces(flange.pieces()[0])[0], 0.375)


def _beside(flange: Flange, finding: Finding, hole: Hole) -> Point:
    """A place at the side of a hole that a check looked to; its middle where it looked at the hole itself."""
    if finding.place.opening is not None:
        toward = extent(flange.cutouts()[finding.place.opening].shape).center
        return polar(hole.face_diameter * 0.7, hole.center.direction_to(toward), hole.center)
    if finding.rule in _AT_RIM:
        return polar(hole.face_diameter * 0.7, flange.box().center.direction_to(hole.center), hole.center)
    return hole.center


def _hole(flange: Flange, wanted: HoleIndex) -> Hole | None:
    return next((hole for hole in flange.holes() if (hole.group, hole.number) == (wanted.group, wanted.number)), None)


def _between(one: Point, other: Point, share: float) -> Point:
    return one + (other - one).scaled(share)


def _item(layer: Layer, what: Content) -> Item:
    return Item(layer, what, Furniture("check"))
