"""The lines round a sheet: frame, zones with their letters, centering marks, fold marks."""

from collections.abc import Iterator

from flangelayout.drawing.border import Border, BorderSide, Zones, ZoneStart
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Paper
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Line, Point, rectangle

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Without I and O, which read as figures (ISO 5457)."""
_LETTER_HEIGHT = 3.0
_MARK = 5.0
_EDGE = 1.0


def border_items(border: Border, page: Paper) -> tuple[Item, ...]:
    """Frame and everything outside it, for a page as it is turned."""
    frame, rules = border.frame(page), border.rules(page)
    items = [Item(Layer.BORDER, rectangle(frame), Furniture("border"))]
    if rules.zones:
        items += _zones(rules.zones, frame, page)
    if rules.centering:
        items += _centering(frame, page, rules.zones)
    if page.width > page.height:
        for x in rules.folds:
            for start, end in ((_EDGE, _MARK), (page.height - _MARK, page.height - _EDGE)):
                items.append(Item(Layer.TABLE, Line(Point(x, start), Point(x, end)), Furniture("fold mark")))
    return tuple(items)


def _zones(zones: Zones, frame: Box, page: Paper) -> Iterator[Item]:
    for side in zones.sides:
        room = _strip(side, zones, frame)
        yield Item(Layer.TABLE, rectangle(room), Furniture("zone"))
        across = side in (BorderSide.TOP, BorderSide.BOTTOM)
        low, high = (room.left, room.right) if across else (room.bottom, room.top)
        sheet = page.width if across else page.height
        cuts = _cuts(zones, low, high, sheet, sheet == max(page.width, page.height))
        edges = [low, *cuts, high]
        for cut in cuts:
            ends = (
                (Point(cut, room.bottom), Point(cut, room.top))
                if across
                else (Point(room.left, cut), Point(room.right, cut))
            )
            yield Item(Layer.TABLE, Line(*ends), Furniture("zone"))
        names = _names(zones, across, len(edges) - 1)
        for name, start, end in zip(names, edges, edges[1:], strict=False):
            middle = (start + end) / 2
            at = Point(middle, room.center.y) if across else Point(room.center.x, middle)
            if end - start >= 4:
                yield Item(Layer.TEXT, Label(at, name, _LETTER_HEIGHT, 0.0, Anchor.MIDDLE), Furniture("zone"))


def _strip(side: BorderSide, zones: Zones, frame: Box) -> Box:
    """The strip outside one side of the frame; neighbors leave the corner to the upper and lower one."""
    out = zones.strip
    match side:
        case BorderSide.TOP:
            return Box(frame.left, frame.top, frame.right, frame.top + out)
        case BorderSide.BOTTOM:
            return Box(frame.left, frame.bottom - out, frame.right, frame.bottom)
        case BorderSide.LEFT:
            return Box(frame.left - out, frame.bottom, frame.left, frame.top)
        case BorderSide.RIGHT:
            return Box(frame.right, frame.bottom, frame.right + out, frame.top)


def _cuts(zones: Zones, low: float, high: float, sheet: float, is_long: bool) -> list[float]:
    """Where fields meet: a pitch apart from the middle of the sheet's side, or dividing the frame equally."""
    count = zones.long if is_long else zones.short
    if zones.pitch is None:
        return [low + (high - low) * index / count for index in range(1, count)]
    middle, pitch = sheet / 2, zones.pitch
    places = [middle + pitch * (index - count / 2) for index in range(1, count)]
    return [place for place in places if low + 1 < place < high - 1]


def _names(zones: Zones, across: bool, count: int) -> list[str]:
    """Names of the fields from the left or from below."""
    names = [str(number) for number in range(1, count + 1)] if across else list(_LETTERS[:count])
    from_left_below = zones.start is ZoneStart.UPPER_LEFT if across else zones.start is ZoneStart.LOWER_RIGHT
    return names if from_left_below else names[::-1]


def _centering(frame: Box, page: Paper, zones: Zones | None) -> Iterator[Item]:
    """Marks in the middle of the sides, from the outer edge of the strip to the frame."""
    reach = zones.strip if zones else _MARK
    x, y = page.width / 2, page.height / 2
    for start, end in (
        (Point(x, frame.top), Point(x, frame.top + reach)),
        (Point(x, frame.bottom), Point(x, frame.bottom - reach)),
        (Point(frame.left, y), Point(frame.left - reach, y)),
        (Point(frame.right, y), Point(frame.right + reach, y)),
    ):
        yield Item(Layer.BORDER, Line(start, end), Furniture("centering mark"))
