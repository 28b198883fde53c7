"""What is written on the picture of the flange: its sizes, each where it is on the steel, and who says so."""

import math

from msgspec import Struct

from flangelayout.value import replace
from flangelayout.web.content.picture.scene import Scene, on_rim, unit_text
from flangelayout.web.content.picture.sizes import CircleSizes, PictureSizes, Size, Source

BELOW = 25.0
"""From the edge down to the line that the outside is written on."""
_CORNERS = ((132.0, -113.0), (-132.0, -113.0), (-132.0, 98.0), (132.0, 98.0))
_ROOM_INSIDE = 52.0
_HALF_PICTURE = 178.0
"""From the middle to the edge of the picture, where a phone draws it pixel for unit."""
_DIAMETER = "\u2300"


class Stroke(Struct, frozen=True):
    """A line of the picture: its path and how it is drawn."""

    d: str
    css: str


class Tag(Struct, frozen=True):
    """A label: where it is, its lines, how it looks, what pressing it does and what it is called."""

    x: float
    y: float
    lines: tuple[tuple[str, str], ...]
    css: str
    do: str = ""
    said: str = ""

    @property
    def width(self) -> float:
        """As wide as its longest line, in pixels."""
        return 18.0 + 8.4 * max(len(text) for text, _ in self.lines)

    @property
    def height(self) -> float:
        """In pixels."""
        return 8.0 + 21.0 * len(self.lines)

    @property
    def baselines(self) -> tuple[tuple[str, str, str], ...]:
        """Its lines, each with how it looks and how far below the middle it stands."""
        first = -10.5 * (len(self.lines) - 1)
        return tuple((text, css, unit_text(first + 21.0 * at)) for at, (text, css) in enumerate(self.lines))


def size_labels(scene: Scene, sizes: PictureSizes, editing: str, deed: str = "edit") -> tuple[list[Tag], list[Stroke]]:
    """The sizes of the plate and of its circles, with the lines that lead to them.

    Args:
        scene: The flange as drawn.
        sizes: What is known.
        editing: Key of the size being written.
        deed: What pressing one does.
    """
    tags, lines = [], []
    for labels, drawn in (
        _outside(scene, sizes.outside, editing, deed),
        _bore(scene, sizes.bore, editing, deed),
        _thickness(scene, sizes.thickness, editing, deed),
    ):
        tags += labels
        lines += drawn
    for circle in sizes.circles[: len(_CORNERS)]:
        tag, lead = _circle(scene, circle, len(sizes.circles) > 1, editing, deed)
        tags.append(tag)
        lines.append(lead)
    return tags, lines


def _outside(scene: Scene, size: Size, editing: str, deed: str) -> tuple[list[Tag], list[Stroke]]:
    w, h = scene.half_width, scene.half_height
    y = h + BELOW
    css = _look(size, editing)
    tag = Tag(0.0, y, ((_text(size, "outside"), ""),), css, f"{deed}:{size.key}", _said("Outside diameter", size))
    return [tag], [Stroke(across(-w, w, y, -h * 0.1, 7.0), f"dim {css}")]


def _bore(scene: Scene, size: Size, editing: str, deed: str) -> tuple[list[Tag], list[Stroke]]:
    css, text = _look(size, editing), _text(size, "bore", "bore ")
    does, said = f"{deed}:{size.key}", _said("Bore", size)
    r = scene.bore
    if r >= _ROOM_INSIDE:
        y = -0.2 * r
        reach = math.sqrt(r * r - y * y)
        return [Tag(0.0, y, ((text, ""),), css, does, said)], [Stroke(across(-reach, reach, y), f"dim {css}")]
    at = (-124.0, 140.0)
    x, y = on_rim(225.0, max(r, 4.0))
    return [Tag(*at, ((text, ""),), css, does, said)], [Stroke(leader(at, (x, y)), f"dim {css}")]


def _thickness(scene: Scene, size: Size, editing: str, deed: str) -> tuple[list[Tag], list[Stroke]]:
    text = f"{size.text} thick" if size.text else "thick ?"
    at = (0.0, 0.28 * scene.bore) if scene.bore >= _ROOM_INSIDE else (124.0, 140.0)
    tag = Tag(*at, ((text, ""),), _look(size, editing), f"{deed}:{size.key}", f"Thickness: {text}")
    return [tag], []


def _circle(scene: Scene, circle: CircleSizes, lettered: bool, editing: str, deed: str) -> tuple[Tag, Stroke]:
    letter = f"{chr(64 + circle.number)} " if lettered else ""
    count = circle.hole_count.text or "?"
    made = "" if circle.threaded else _DIAMETER
    hole = f"{made}{circle.hole_diameter.text}" if circle.hole_diameter.text else "hole ?"
    hole += ", back" if circle.from_back else ""
    diameter = f"on {_DIAMETER}{circle.diameter.text}" if circle.diameter.text else "circle ?"
    parts = (circle.diameter, circle.hole_count, circle.hole_diameter)
    edited = any(part.key == editing for part in parts)
    css = "editing" if edited else "asks" if any(not part.text for part in parts) else "plain"
    lines = (
        (f"{letter}{count} × {hole}", _face(circle.hole_diameter)),
        (diameter, _face(circle.diameter)),
    )
    x, y = _CORNERS[circle.number - 1]
    wanted = next((part.key for part in parts if not part.text), circle.diameter.key)
    tag = Tag(x, y, lines, css, f"{deed}:{wanted}", f"Bolt circle {circle.number}: {lines[0][0]} {diameter}")
    corner = math.copysign(min(abs(x), _HALF_PICTURE - tag.width / 2), x), y
    tag = replace(tag, x=corner[0])
    own = [hole for hole in scene.holes if hole.circle == circle.number]
    if not own:
        return tag, Stroke("", "")
    near = min(own, key=lambda each: math.hypot(each.x - corner[0], each.y - corner[1]))
    away = math.hypot(corner[0] - near.x, corner[1] - near.y) or 1.0
    end = near.x + (corner[0] - near.x) / away * near.r, near.y + (corner[1] - near.y) / away * near.r
    return tag, Stroke(leader(corner, end), f"dim {css}")


def across(left: float, right: float, y: float, start: float | None = None, over: float = 0.0) -> str:
    """A dimension line with its arrows, and the lines down to it where it stands outside."""
    u = unit_text
    drawn = f"M{u(left)} {u(y)}H{u(right)}"
    for x, way in ((left, 1), (right, -1)):
        drawn += f"M{u(x + 7 * way)} {u(y - 2.4)}L{u(x)} {u(y)}L{u(x + 7 * way)} {u(y + 2.4)}"
        if start is not None:
            drawn += f"M{u(x)} {u(max(start, 0.0))}V{u(y + over)}"
    return drawn


def leader(start: tuple[float, float], end: tuple[float, float]) -> str:
    """A line from a label to what it is about, with an arrow there."""
    u = unit_text
    angle = math.atan2(start[1] - end[1], start[0] - end[0])
    sides = [(end[0] + 7 * math.cos(angle + turn), end[1] + 7 * math.sin(angle + turn)) for turn in (-0.35, 0.35)]
    arrow = f"M{u(sides[0][0])} {u(sides[0][1])}L{u(end[0])} {u(end[1])}L{u(sides[1][0])} {u(sides[1][1])}"
    return f"M{u(start[0])} {u(start[1])}L{u(end[0])} {u(end[1])}{arrow}"


def _text(size: Size, asked: str, lead: str = "") -> str:
    return f"{lead}{_DIAMETER}{size.text}" if size.text else f"{asked} ?"


def _look(size: Size, editing: str) -> str:
    if size.key == editing:
        return "editing"
    return size.source.value


def _face(size: Size) -> str:
    return size.source.value if size.text else Source.ASKS.value


def _said(name: str, size: Size) -> str:
    return f"{name} {size.text}" if size.text else f"{name}: not known yet"
