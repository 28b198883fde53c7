"""The picture on the page of the checks: the plate, and beside it the number of each check with a line to its place."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from msgspec import Struct

from flangelayout.checks.cut_facts import CutHoles
from flangelayout.checks.finding import Finding, HoleIndex
from flangelayout.checks.joint_facts import TurnedOnPlate
from flangelayout.checks.rule import Rule
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.pieces import meet, point_at
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, extent, polar, rectangle
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale, scale_text
from flangelayout.views.reports.check_table import NumberedCheck
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_TEXT, _PITCH = 2.5, 3.6
_TOGETHER = 3.5
"""Places nearer to each other in printed mm share one line; a failed check has its own."""
_BETWEEN, _ASIDE, _ROOM = 2.0, 8.0, 4.0
_SPOT = 0.6
_TURNED_AT = 225.0
"""Degrees: where the wall of a thing turned is pointed at."""
_AT_RIM = (Rule.HOLE_ON_PLATE, Rule.EDGE_METAL, Rule.SEAT_ON_PLATE, Rule.MATE_RIM)
"""Checks that look from a hole to the edge of the plate."""


class _Flag(Struct, frozen=True):
    """Numbers of checks in lines one below the other, and the place in the picture that they looked at."""

    lines: tuple[str, ...]
    spot: Point
    failed: bool

    @property
    def height(self) -> float:
        """With the gap to the next."""
        return _PITCH * len(self.lines) + _BETWEEN


def check_figure(flange: Flange, checks: Sequence[NumberedCheck], width: float, size: float) -> FlowFigure:
    """The plate seen from its face, ``width`` printed mm of page for it.

    Args:
        flange: What was checked.
        checks: What was run, in the order of the list.
        width: Of the page between its margins.
        size: Printed mm of the longer side of the plate at most.
    """
    box, places = flange.box(), _places(flange, checks)
    scale = fitting_scale(max(box.width, box.height), size)
    out = box.width * scale / 2 + _ASIDE
    flags = _flags(places, scale, width / 2 - out)
    left, right = _sides(flags)
    height = max(box.height * scale, *(sum(flag.height for flag in side) for side in (left, right))) + 2 * _ROOM
    middle = Point(width / 2 - box.center.x * scale, -height / 2 - box.center.y * scale)
    items = (*metal_edges(flange, Layer.OUTLINE), *_holes(flange))
    sides = ((left, width / 2 - out), (right, width / 2 + out))
    drawn = tuple(item for side, x in sides for item in _column(side, middle, x, height))
    told = f"{scale_text(scale)}, seen from {flange.face}; numbers are those of the list, failed ones boxed"
    caption = _item(Layer.TEXT, Label(Point(width / 2, -height - 2.0), told, _TEXT, 0.0, Anchor.CENTER))
    return FlowFigure(
        height + 4.0,
        (
            FlowedItems(Drawing("checked plate", items), scale, middle),
            FlowedItems(Drawing("flags", (*drawn, caption)), 1.0, ORIGIN),
        ),
    )


def _holes(flange: Flange) -> Iterator[Item]:
    for hole in flange.holes():
        yield Item(Layer.DIMENSION, hole.shape, HoleRef(hole.label))


def _places(flange: Flange, checks: Sequence[NumberedCheck]) -> dict[tuple[Point, bool], list[int]]:
    """The numbers of the checks of every place on the plate, failed ones apart."""
    found: dict[tuple[Point, bool], list[int]] = {}
    for check in checks:
        spot = _spot(flange, check.finding)
        found.setdefault((Point(round(spot.x, 3), round(spot.y, 3)), check.finding.failed), []).append(check.number)
    return found


def _flags(places: dict[tuple[Point, bool], list[int]], scale: float, room: float) -> list[_Flag]:
    """What stands beside the picture: places near each other share a line, but a failed check has its own."""
    shared: list[tuple[Point, bool, list[int]]] = []
    for (place, failed), numbers in places.items():
        spot = place.scaled(scale)
        near = (each for each in shared if not failed and not each[1] and spot.distance_to(each[0]) < _TOGETHER)
        if found := next(near, None):
            found[2].extend(numbers)
        else:
            shared.append((spot, failed, [*numbers]))
    told = ((", ".join(map(str, sorted(numbers))), spot, failed) for spot, failed, numbers in shared)
    return [_Flag(tuple(wrapped(text, room, _TEXT)), spot, failed) for text, spot, failed in told]


def _sides(flags: Sequence[_Flag]) -> tuple[list[_Flag], list[_Flag]]:
    """Those to the left and to the right of the plate: each place to its own side, evenly many."""
    across = sorted(flags, key=lambda flag: (flag.spot.x, flag.spot.y))
    half = len(across) // 2
    return across[:half], across[half:]


def _column(flags: Sequence[_Flag], middle: Point, x: float, height: float) -> Iterator[Item]:
    """Numbers one below the other, each as near to the height of its place as the others let it, and their lines."""
    to_left = x < middle.x
    inner = x + (1.5 if to_left else -1.5)
    for flag, y in _uncrossed(flags, middle, inner, height):
        wide = max(text_width(line, _TEXT) for line in flag.lines)
        anchor = Anchor.MIDDLE_RIGHT if to_left else Anchor.MIDDLE_LEFT
        for rank, line in enumerate(flag.lines):
            at = Point(x, y + _PITCH * ((len(flag.lines) - 1) / 2 - rank))
            yield _item(Layer.TEXT, Label(at, line, _TEXT, 0.0, anchor))
        yield _item(Layer.TEXT, Line(Point(inner, y), middle + flag.spot))
        yield _item(Layer.TEXT, Circle(middle + flag.spot, _SPOT))
        if flag.failed:
            half = (flag.height - _BETWEEN) / 2 + 0.4
            low, high = (x - wide - 1.2, x + 1.2) if to_left else (x - 1.2, x + wide + 1.2)
            yield _item(Layer.OUTLINE, rectangle(Box(low, y - half, high, y + half)))


def _uncrossed(flags: Sequence[_Flag], middle: Point, x: float, height: float) -> list[tuple[_Flag, float]]:
    """Flags from the top down with their heights, no line across another: two that cross change places.

    Each change makes the lines shorter in all, so it comes to an end; a bound keeps odd cases from going round.
    """
    order = sorted(flags, key=lambda flag: -flag.spot.y)
    placed: list[tuple[_Flag, float]] = []
    for _ in range(len(order) ** 2 + 1):
        levels = _levels([(middle.y + flag.spot.y, flag.height) for flag in order], -height + _ROOM, -_ROOM)
        placed = list(zip(order, levels, strict=True))
        lines = [Line(Point(x, y), middle + flag.spot) for flag, y in placed]
        pairs = combinations(range(len(lines)), 2)
        crossing = next(((a, b) for a, b in pairs if meet(lines[a], lines[b])), None)
        if crossing is None:
            break
        a, b = crossing
        order[a], order[b] = order[b], order[a]
    return placed


def _levels(wanted: Sequence[tuple[float, float]], low: float, high: float) -> list[float]:
    """Middles from the top down of what is so high and would stand so, within bounds, near to where they would."""
    levels: list[float] = []
    left = sum(height for _, height in wanted)
    for y, height in wanted:
        middle = max(min(y, high - height / 2), low + left - height / 2)
        levels.append(middle)
        high, left = middle - height / 2, left - height
    return levels


def _spot(flange: Flange, finding: Finding) -> Point:
    """Where on the plate a check looked: between two holes, from a hole to edge or opening, an opening, the plate.

    Of a whole group any hole will do: the one across from hole 1, which stands for others alike.
    """
    place = finding.place
    found = [hole for index in place.holes if (hole := _hole(flange, index)) is not None]
    if not found and place.group is not None:
        alike = [hole for hole in flange.holes() if hole.group == place.group]
        found = alike[len(alike) // 2 :][:1]
    if len(found) > 1 and not isinstance(finding.facts, CutHoles):
        return _between(found[0].center, found[1].center, 0.5)
    if found:
        return _beside(flange, finding, found[0])
    if place.opening is not None:
        edge = extent(flange.cutouts()[place.opening].shape)
        return Point(edge.center.x, edge.top)
    if isinstance(finding.facts, TurnedOnPlate):
        return polar(flange.turned[finding.facts.turned].diameter / 2, _TURNED_AT)
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
