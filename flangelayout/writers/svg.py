"""One sheet as SVG: millimetres throughout, arcs and circles true, no transform on geometry, no style sheet."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from operator import attrgetter
from typing import TYPE_CHECKING, assert_never, cast

from msgspec import Struct

from flangelayout.drawing.explode import Primitive, explode
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
    quarter_arcs,
)

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    import svgwrite
    from svgwrite.base import BaseElement
    from svgwrite.container import Group

_FONTS = f"'{FONT_NAME}', 'DejaVu Sans', 'Liberation Sans Narrow', Arial, sans-serif"
_BLACK_ON_WHITE = 7
"""The color index that is white on a dark screen and black on paper."""
_ANCHORS = {"left": "start", "center": "middle", "right": "end"}
_NOT_IN_A_NAME = re.compile(r"[^A-Za-z0-9_.-]")
_BEGINS_A_NAME = re.compile(r"[A-Za-z_]")

_Element = tuple[str, dict[str, str], str | None]
"""Its name, its attributes in their order in the file, and its text."""


class _WrittenElement:
    """An element that is made; the document asks no more of it than this: to check and copy each costs ten times."""

    __slots__ = ("_xml",)

    def __init__(self, xml: "Element") -> None:
        self._xml = xml

    def get_xml(self) -> "Element":
        return self._xml


class _Frame(Struct, frozen=True):
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


class _Page(Struct, frozen=True):
    """The file under way: its document, the shop's layer names and how often each id was given."""

    document: "svgwrite.Drawing"
    names: Mapping[Layer, str] | None
    given: Counter[str]
    colors: Mapping[Layer, int]


class SvgOptions(Struct, frozen=True):
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
    from xml.etree import ElementTree

    import svgwrite

    sheet = sheets.sheets[options.page]
    width, height = fixed(sheet.paper.width), fixed(sheet.paper.height)
    document = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"),
        viewBox=f"0 0 {width} {height}",
        profile="full",
        debug=False,
        font_family=_FONTS,
    )
    document.set_desc(title=heading(sheets.stamp), desc="; ".join(identity_lines(sheets.stamp)))
    page = _Page(document, options.layer_names, Counter(), options.colors or {})
    for view in sheet.views:
        frame = _Frame(view.scale, view.at_paper.x, sheet.paper.height - view.at_paper.y)
        into = _clipped_group(page, view.clip_paper, sheet) if view.clip_paper else document
        _draw_items(page, into, view.drawing.items, frame)
    _draw_items(page, document, sheet.furniture, _Frame(1.0, ORIGIN.x, sheet.paper.height))
    pieces = ElementTree.tostringlist(document.get_xml(), "utf-8", xml_declaration=False)
    return b"".join((b'<?xml version="1.0" encoding="utf-8"?>\n', *pieces, b"\n"))


def _clipped_group(page: _Page, box: Box, sheet: Sheet) -> "Group":
    """A group that shows only what lies in ``box``."""
    document = page.document
    name = _unique_id(page, "window")
    corner = (fixed(box.left), fixed(sheet.paper.height - box.top))
    path = document.clipPath(id=name)
    path.add(document.rect(insert=corner, size=(fixed(box.width), fixed(box.height))))
    document.defs.add(path)
    group = document.g(clip_path=f"url(#{name})")
    document.add(group)
    return group


def _draw_items(page: _Page, into: "Group | svgwrite.Drawing", items: Iterable[Item], frame: _Frame) -> None:
    from xml.etree.ElementTree import Element

    for layer, run in groupby(items, key=attrgetter("layer")):
        name, color = _unique_id(page, layer_name(layer, page.names)), _color(layer, page.colors)
        group = Element("g", _pen_attributes(layer.pen, name, color))
        for item in run:
            for kind, attributes, text in _elements(explode(item.what, frame.scale), frame, color):
                element = Element(kind, attributes)
                element.text = text
                group.append(element)
        into.add(cast("BaseElement", _WrittenElement(group)))


def _elements(primitives: tuple[Primitive, ...], frame: _Frame, color: str) -> Iterator[_Element]:
    """The elements of one thing; the strokes of a mark or a hatching are one path, to be picked up as one."""
    if len(primitives) > 1:
        strokes = [primitive for primitive in primitives if isinstance(primitive, Line)]
        if len(strokes) == len(primitives):
            ways = [f"M {frame.pair(line.start)} L {frame.pair(line.end)}" for line in strokes]
            yield "path", {"d": " ".join(ways)}, None
            return
    for primitive in primitives:
        element = _element(primitive, frame, color)
        if element is not None:
            yield element


def _unique_id(page: _Page, wanted: str) -> str:
    """An XML name made of ``wanted`` that no other element of the file has."""
    name = _NOT_IN_A_NAME.sub("_", wanted)
    name = name if _BEGINS_A_NAME.match(name) else "_" + name
    page.given[name] += 1
    count = page.given[name]
    return name if count == 1 else _unique_id(page, f"{name}-{count}")


def _pen_attributes(pen: Pen, name: str, color: str) -> dict[str, str]:
    attributes, ends, corners = {"fill": "none", "id": name, "stroke": color}, "round", "round"
    if pen.dashes_paper:
        attributes["stroke-dasharray"] = spaced(*pen.dashes_paper)
        ends, corners = "butt", "miter"
    ways = {"stroke-linecap": ends, "stroke-linejoin": corners}
    return attributes | ways | {"stroke-width": fixed(pen.width_paper)}


def _color(layer: Layer, colors: Mapping[Layer, int]) -> str:
    if layer in colors and colors[layer] != _BLACK_ON_WHITE:
        from ezdxf.colors import aci2rgb

        red, green, blue = aci2rgb(colors[layer])
        return f"#{red:02x}{green:02x}{blue:02x}"
    return "#" + f"{round(layer.pen.gray * 255):02x}" * 3


def _element(primitive: Primitive, frame: _Frame, color: str) -> _Element | None:
    """The SVG element of one primitive; ``None`` for a text without a character."""
    match primitive:
        case Circle():
            x, y = frame.x(primitive.center), frame.y(primitive.center)
            return "circle", {"cx": x, "cy": y, "r": fixed(frame.scale * primitive.radius)}, None
        case Line():
            start, end = primitive.start, primitive.end
            return "line", {"x1": frame.x(start), "x2": frame.x(end), "y1": frame.y(start), "y2": frame.y(end)}, None
        case Arc():
            return "path", {"d": f"M {frame.pair(primitive.start)} {_arcs(primitive, frame)}"}, None
        case Contour():
            return "path", {"d": _contour(primitive, frame)}, None
        case Solid() | Mosaic():
            outlines = (" L ".join(frame.pair(corner) for corner in outline) for outline in primitive.outlines)
            return "path", {"d": " ".join(f"M {each} Z" for each in outlines), "fill": color, "stroke": "none"}, None
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


def _text(label: Label, frame: _Frame, color: str) -> _Element | None:
    """One line of text, held to the width of the drawing's font whichever font the viewer has."""
    line = plain_line(label.text)
    if not line:
        return None
    at = baseline_anchor(label, frame.scale)
    x, y = frame.x(at), frame.y(at)
    attributes = {
        "fill": color,
        "font-size": fixed(font_size(label.height_paper)),
        "lengthAdjust": "spacingAndGlyphs",
        "stroke": "none",
        "text-anchor": _ANCHORS[label.anchor.across],
        "textLength": fixed(text_width(line, label.height_paper)),
    }
    if label.rotation_deg:
        attributes["transform"] = f"rotate({fixed(-label.rotation_deg)} {x} {y})"
    return "text", attributes | {"x": x, "y": y}, line
