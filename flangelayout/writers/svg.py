"""One sheet as SVG: millimetres throughout, arcs and circles true, no transform on geometry, no style sheet."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from colorsys import hsv_to_rgb
from dataclasses import dataclass, field
from typing import assert_never

from flangelayout.drawing.explode import Primitive
from flangelayout.drawing.layers import Layer, Pen
from flangelayout.drawing.model import Item, Label, Mosaic, Sheet, SheetSet, Solid
from flangelayout.drawing.textwidth import FONT_NAME, font_size, plain_line, text_width
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point
from flangelayout.writers.numbers import fixed, spaced
from flangelayout.writers.placing import (
    baseline_anchor,
    heading,
    identity_lines,
    layer_name,
    layer_runs,
    quarter_arcs,
)

_FONTS = f"'{FONT_NAME}', 'DejaVu Sans', 'Liberation Sans Narrow', Arial, sans-serif"
_BLACK_ON_WHITE = 7
"""The color index that is white on a dark screen and black on paper."""
_NAMED_COLORS = ("#ff0000", "#ffff00", "#00ff00", "#00ffff", "#0000ff", "#ff00ff", "#ffffff", "#808080", "#c0c0c0")
_FIRST_HUE, _FIRST_GRAY = 10, 250
_VALUES = (1.0, 0.65, 0.5, 0.3, 0.15)
_GRAYS = ("#000000", "#656565", "#666666", "#999999", "#cccccc", "#ffffff")
_SPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:ev="http://www.w3.org/2001/xml-events" '
    'xmlns:xlink="http://www.w3.org/1999/xlink"'
)
_ANCHORS = {"left": "start", "center": "middle", "right": "end"}


@dataclass(frozen=True, slots=True)
class _Frame:
    """From the space of some items to the page: mm from its upper left corner, y down."""

    scale: float
    left: float
    down: float

    def x(self, point: Point) -> str:
        return fixed(self.left + self.scale * point.x)

    def y(self, point: Point) -> str:
        return fixed(self.down - self.scale * point.y)

    def pair(self, point: Point) -> str:
        return f"{self.x(point)} {self.y(point)}"


@dataclass(frozen=True, slots=True)
class _Page:
    """The file under way: the shop's layer names and colors, how often each id was given, and what clips."""

    names: Mapping[Layer, str] | None
    colors: Mapping[Layer, int]
    given: Counter[str] = field(default_factory=Counter)
    clips: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class SvgOptions:
    """How to write an SVG file.

    Attributes:
        layer_names: The shop's names for layers, used as ids; the drawing's own where absent.
        page: Which page of the sheets, from 0; an SVG file holds one.
        colors: DXF color indexes of layers that are not drawn in their own gray: drivers of cutters sort by color
            (common practice, no source).
    """

    layer_names: Mapping[Layer, str] | None = None
    page: int = 0
    colors: Mapping[Layer, int] | None = None


def write_svg(sheets: SheetSet, options: SvgOptions = SvgOptions()) -> bytes:
    """One page as an SVG document whose user unit is the printed mm; its views keep their scale."""
    sheet = sheets.sheets[options.page]
    width, height = fixed(sheet.paper.width), fixed(sheet.paper.height)
    page, drawn = _Page(options.layer_names, options.colors or {}), list[str]()
    for view in sheet.views:
        frame = _Frame(view.scale, view.at_paper.x, sheet.paper.height - view.at_paper.y)
        items = "".join(_drawn(page, view.drawing.items, frame))
        drawn.append(_clipped(page, view.clip_paper, sheet, items) if view.clip_paper else items)
    drawn += _drawn(page, sheet.furniture, _Frame(1.0, ORIGIN.x, sheet.paper.height))
    size = f'height="{height}mm" version="1.1" viewBox="0 0 {width} {height}" width="{width}mm"'
    about = f"<title>{_escaped(heading(sheets.stamp))}</title><desc>{_escaped('; '.join(identity_lines(sheets.stamp)))}"
    clips = f"<defs>{''.join(page.clips)}</defs>" if page.clips else "<defs />"
    parts = (f'<svg baseProfile="full" {size} {_SPACES}>', about, "</desc>", clips, *drawn, "</svg>\n")
    return f'<?xml version="1.0" encoding="utf-8"?>\n{"".join(parts)}'.encode()


def _escaped(text: str) -> str:
    """Text as it stands in XML."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _clipped(page: _Page, box: Box, sheet: Sheet, items: str) -> str:
    """A group that shows only what lies in ``box``."""
    name = _unique_id(page, "window")
    size = f'height="{fixed(box.height)}" width="{fixed(box.width)}"'
    place = f'x="{fixed(box.left)}" y="{fixed(sheet.paper.height - box.top)}"'
    page.clips.append(f'<clipPath id="{name}"><rect {size} {place} /></clipPath>')
    return f'<g clip-path="url(#{name})">{items}</g>'


def _drawn(page: _Page, items: Iterable[Item], frame: _Frame) -> Iterator[str]:
    """A group for every run of items of one layer."""
    for layer, run in layer_runs(items, frame.scale):
        name = _unique_id(page, layer_name(layer, page.names))
        color = _color(layer, page.colors)
        inside = "".join([_element(primitive, frame, color) for primitive in run])
        group = f'g fill="none" id="{name}" {_pen_attributes(layer.pen, color)}'
        yield f"<{group}>{inside}</g>" if inside else f"<{group} />"


def _unique_id(page: _Page, wanted: str) -> str:
    """An XML name made of ``wanted`` that no other element of the file has."""
    name = re.sub(r"[^A-Za-z0-9_.-]", "_", wanted)
    name = name if re.match(r"[A-Za-z_]", name) else "_" + name
    page.given[name] += 1
    count = page.given[name]
    return name if count == 1 else _unique_id(page, f"{name}-{count}")


def _pen_attributes(pen: Pen, color: str) -> str:
    dashes = f'stroke-dasharray="{spaced(*pen.dashes_paper)}" ' if pen.dashes_paper else ""
    cap, join = ("butt", "miter") if pen.dashes_paper else ("round", "round")
    ends = f'stroke-linecap="{cap}" stroke-linejoin="{join}"'
    return f'stroke="{color}" {dashes}{ends} stroke-width="{fixed(pen.width_paper)}"'


def _color(layer: Layer, colors: Mapping[Layer, int]) -> str:
    if layer in colors and colors[layer] != _BLACK_ON_WHITE:
        return index_color(colors[layer])
    return "#" + f"{round(layer.pen.gray * 255):02x}" * 3


def index_color(number: int) -> str:
    """A color of the DXF color index, 1 to 255, as screens show it.

    Nine named colors, 24 hues of 15 degrees in five values, each pure and half mixed with white, and six grays (common
    practice of viewers; the DXF reference gives the numbers alone).
    """
    if number < _FIRST_HUE:
        return _NAMED_COLORS[number - 1]
    if number >= _FIRST_GRAY:
        return _GRAYS[number - _FIRST_GRAY]
    hue, shade = divmod(number - _FIRST_HUE, 10)
    parts = hsv_to_rgb(hue / 24, 0.5 if shade % 2 else 1.0, _VALUES[shade // 2])
    return "#" + "".join(f"{int(255 * part):02x}" for part in parts)


def _element(primitive: Primitive, frame: _Frame, color: str) -> str:
    """The SVG element of one primitive; nothing for a text without a character."""
    match primitive:
        case Circle(center, radius):
            return f'<circle cx="{frame.x(center)}" cy="{frame.y(center)}" r="{fixed(frame.scale * radius)}" />'
        case Line(start, end):
            across = f'x1="{frame.x(start)}" x2="{frame.x(end)}"'
            return f'<line {across} y1="{frame.y(start)}" y2="{frame.y(end)}" />'
        case Arc():
            return f'<path d="M {frame.pair(primitive.start)} {_arcs(primitive, frame)}" />'
        case Contour():
            return f'<path d="{_contour(primitive, frame)}" />'
        case Solid() | Mosaic():
            outlines = (" L ".join([frame.pair(corner) for corner in outline]) for outline in primitive.outlines)
            return f'<path d="{" ".join([f"M {each} Z" for each in outlines])}" fill="{color}" stroke="none" />'
        case Label():
            return _text(primitive, frame, color)
        case _:
            assert_never(primitive)


def _contour(contour: Contour, frame: _Frame) -> str:
    steps = [f"M {frame.pair(contour.parts[0].start)}"]
    for part in contour.parts:
        steps.append(f"L {frame.pair(part.end)}" if isinstance(part, Line) else _arcs(part, frame))
    return " ".join([*steps, "Z"] if contour.closed else steps)


def _arcs(arc: Arc, frame: _Frame) -> str:
    """The arc from the current point on; counter-clockwise is sweep flag 0 where y points down."""
    radius = fixed(frame.scale * arc.radius)
    flag = 0 if arc.sweep_deg > 0 else 1
    return " ".join(f"A {radius} {radius} 0 0 {flag} {frame.pair(piece.end)}" for piece in quarter_arcs(arc))


def _text(label: Label, frame: _Frame, color: str) -> str:
    """One line of text, held to the width of the drawing's font whichever font the viewer has."""
    line = plain_line(label.text)
    if not line:
        return ""
    at = baseline_anchor(label, frame.scale)
    x, y = frame.x(at), frame.y(at)
    font = f'fill="{color}" font-family="{_FONTS}" font-size="{fixed(font_size(label.height_paper))}"'
    width = fixed(text_width(line, label.height_paper))
    held = f'lengthAdjust="spacingAndGlyphs" stroke="none" text-anchor="{_ANCHORS[label.anchor.across]}"'
    turn = f' transform="rotate({fixed(-label.rotation_deg)} {x} {y})"' if label.rotation_deg else ""
    return f'<text {font} {held} textLength="{width}"{turn} x="{x}" y="{y}">{_escaped(line)}</text>'
