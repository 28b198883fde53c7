"""Items of a sheet as DXF entities: shapes, texts, filled shapes, dimensions that stay dimensions, leaders."""

import hashlib
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, assert_never

from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import ARROW_LENGTH, TEXT_HEIGHT, Primitive, explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    AngularDimension,
    CenterMark,
    CutPath,
    DiameterDimension,
    Item,
    Label,
    Leader,
    LinearDimension,
    Measuring,
    Mosaic,
    RadiusDimension,
    Solid,
)
from flangelayout.drawing.textwidth import FONT_FILE
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, polar
from flangelayout.writers.dxf.shapes import Attributes, FilePlacing, add_shape
from flangelayout.writers.dxf.text import dimension_string, text_string
from flangelayout.writers.numbers import fixed, rounded
from flangelayout.writers.placing import text_start

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.graphicsfactory import CreatorInterface

_BY_BLOCK = 0
TEXT_STYLE = "SHEET"
_ACROSS = {"left": 0, "center": 1, "right": 2}
_MIDDLE = 2
_LINEAR, _DIAMETER, _RADIUS, _ANGULAR = 0, 3, 4, 5
_OWN_BLOCK = 32
_TEXT_PLACED = 128


@dataclass(frozen=True, slots=True)
class Space:
    """A space of the file that items go into.

    Attributes:
        document: The file under way.
        entities: Model space or a page.
        placing: From mm to its coordinates.
        scale: Printed mm for a real mm of the items; 1 on a page.
        names: Layer names in the file.
    """

    document: "DxfDocument"
    entities: "CreatorInterface"
    placing: FilePlacing
    scale: float
    names: Mapping[Layer, str]

    def paper(self, length: float) -> float:
        """A printed length as a length of this space."""
        return self.placing.length(length / self.scale)


def add_text_style(document: "DxfDocument") -> None:
    """Define the text style: the font every other output of the job shows too."""
    document.styles.add(TEXT_STYLE, font=FONT_FILE.name, dxfattribs={"width": 1.0})


def add_items(space: Space, items: Iterable[Item]) -> None:
    """Put items into a space, each as the entity closest to what it is."""
    for item in items:
        attributes = _attributes(space, item.layer)
        match item.what:
            case LinearDimension() | DiameterDimension() | RadiusDimension() | AngularDimension():
                _add_dimension(space, item.what, attributes)
            case Leader():
                _add_leader(space, item.what, attributes)
            case Line() | Circle() | Arc() | Contour() | CutPath() | Solid() | Mosaic() | Label() | CenterMark():
                for primitive in explode(item.what, space.scale):
                    _add_primitive(space, space.entities, primitive, attributes)
            case _:
                assert_never(item.what)


def _attributes(space: Space, layer: Layer) -> Attributes:
    """Layer, and for dashed lines the factor that prints the dashes at their own length."""
    attributes: Attributes = {"layer": space.names[layer]}
    return attributes | {"ltscale": space.paper(1.0)} if layer.pen.dashes_paper else attributes


def _add_primitive(
    space: Space, into: "CreatorInterface", primitive: Primitive, attributes: Attributes
) -> "list[DXFGraphic]":
    match primitive:
        case Line() | Circle() | Arc() | Contour():
            return [add_shape(into, primitive, attributes, space.placing)]
        case Solid():
            return _add_solid(space, into, primitive, attributes)
        case Mosaic():
            return [_add_mosaic(space, into, primitive, attributes)]
        case Label():
            return _add_text(space, into, primitive, attributes)
        case _:
            assert_never(primitive)


def _add_solid(space: Space, into: "CreatorInterface", solid: Solid, attributes: Attributes) -> "list[DXFGraphic]":
    """SOLID entities: one up to four corners, whose last two it wants crossed over, a fan of triangles beyond."""
    corners = [space.placing.point(corner) for corner in solid.corners]
    if len(corners) == 4:
        corners[2], corners[3] = corners[3], corners[2]
    if len(corners) <= 4:
        return [into.add_solid(corners, attributes)]
    return [into.add_solid((corners[0], *pair), attributes) for pair in pairwise(corners[1:])]


def _add_mosaic(space: Space, into: "CreatorInterface", mosaic: Mosaic, attributes: Attributes) -> "DXFGraphic":
    """One insert of a block that holds one filled hatch; a mosaic that stands on every page has one block."""
    outlines = [[space.placing.point(corner) for corner in outline] for outline in mosaic.outlines]
    name = "CODE_" + hashlib.sha256(repr(outlines).encode()).hexdigest()[:12].upper()
    if name not in space.document.blocks:
        hatch = space.document.blocks.new(name).add_hatch(color=_BY_BLOCK, dxfattribs={"layer": "0"})
        for outline in outlines:
            hatch.paths.add_polyline_path(outline, is_closed=True)
    return into.add_blockref(name, (0, 0), attributes)


def _add_text(space: Space, into: "CreatorInterface", label: Label, attributes: Attributes) -> "list[DXFGraphic]":
    """A TEXT with its true start as well as its anchor, for readers that heed only one of them."""
    string = text_string(label.text, space.placing.version)
    if not string:
        return []
    start = space.placing.point(text_start(label, space.scale))
    own: Attributes = {"style": TEXT_STYLE, "insert": start}
    across = _ACROSS[label.anchor.across]
    if across or label.anchor.on_middle:
        middle = _MIDDLE if label.anchor.on_middle else 0
        own |= {"halign": across, "valign": middle, "align_point": space.placing.point(label.at)}
    height, rotation = space.paper(label.height_paper), rounded(label.rotation_deg)
    return [into.add_text(string, height=height, rotation=rotation, dxfattribs=attributes | own)]


def _add_leader(space: Space, leader: Leader, attributes: Attributes) -> None:
    """Lines, arrow and texts of a leader, kept together as a group."""
    entities: list[DXFGraphic] = []
    for primitive in explode(leader, space.scale):
        entities += _add_primitive(space, space.entities, primitive, attributes)
    space.document.groups.new(description="leader").extend(entities)


def _add_dimension(space: Space, dimension: Measuring, attributes: Attributes) -> None:
    """A DIMENSION that measures the true points, its picture the one all other formats show."""
    primitives = explode(dimension, space.scale)
    picture = space.document.blocks.new_anonymous_block("D")
    for primitive in primitives:
        _add_primitive(space, picture, primitive, attributes)
    own: Attributes = _definition(space, dimension) | {
        "geometry": picture.name,
        "dimstyle": _dimension_style(space, dimension.style),
        "text": dimension_string(dimension.text, space.placing.version),
        "text_midpoint": space.placing.point(_text_middle(primitives, space.scale)),
    }
    own["dimtype"] |= _OWN_BLOCK | _TEXT_PLACED
    space.entities.new_entity("DIMENSION", attributes | own)


def _definition(space: Space, dimension: Measuring) -> Attributes:
    """Type, definition points and measured value (DXF reference, DIMENSION: groups 70, 10, 13 to 15, 42, 50)."""
    point = space.placing.point
    match dimension:
        case LinearDimension():
            return {
                "dimtype": _LINEAR,
                "defpoint": point(_foot(dimension)),
                "defpoint2": point(dimension.start),
                "defpoint3": point(dimension.end),
                "angle": rounded(dimension.angle_deg),
                "actual_measurement": space.placing.length(dimension.measure),
            }
        case DiameterDimension():
            return {
                "dimtype": _DIAMETER,
                "defpoint": point(polar(dimension.radius, dimension.angle_deg + 180, dimension.center)),
                "defpoint4": point(polar(dimension.radius, dimension.angle_deg, dimension.center)),
                "actual_measurement": space.placing.length(dimension.measure),
            }
        case RadiusDimension():
            return {
                "dimtype": _RADIUS,
                "defpoint": point(dimension.center),
                "defpoint4": point(polar(dimension.radius, dimension.angle_deg, dimension.center)),
                "leader_length": space.paper(dimension.tail_paper),
                "actual_measurement": space.placing.length(dimension.measure),
            }
        case AngularDimension():
            start, sweep = dimension.start_deg, dimension.sweep_deg
            return {
                "dimtype": _ANGULAR,
                "defpoint": point(polar(dimension.radius, start + sweep / 2, dimension.center)),
                "defpoint2": point(polar(dimension.radius, start, dimension.center)),
                "defpoint3": point(polar(dimension.radius, start + sweep, dimension.center)),
                "defpoint4": point(dimension.center),
                "actual_measurement": rounded(math.radians(sweep), 9),
            }
        case _:
            assert_never(dimension)


def _foot(dimension: LinearDimension) -> Point:
    """Where the second extension line meets the dimension line."""
    angle = math.radians(dimension.angle_deg)
    step = dimension.end - dimension.line_at
    along = step.x * math.cos(angle) + step.y * math.sin(angle)
    return polar(along, dimension.angle_deg, dimension.line_at)


def _text_middle(primitives: tuple[Primitive, ...], scale: float) -> Point:
    """The middle of the text of an exploded dimension, half the height of its capitals above the baseline."""
    label = next(primitive for primitive in primitives if isinstance(primitive, Label))
    if label.anchor.on_middle:
        return label.at
    return polar(label.height_paper / scale / 2, label.rotation_deg + 90, label.at)


def _dimension_style(space: Space, text: DimensionStyle) -> str:
    """The dimension style of a scale: printed sizes, and one factor that brings them into the space."""
    factor, level = space.paper(1.0), text is DimensionStyle.LEVEL
    name = f"{'LEVEL' if level else 'SHEET'}_{fixed(factor)}"
    if name not in space.document.dimstyles:
        style = space.document.dimstyles.add(
            name,
            dxfattribs={
                "dimscale": factor,
                "dimtxt": TEXT_HEIGHT,
                "dimasz": ARROW_LENGTH,
                "dimexo": 0.8,
                "dimexe": 1.8,
                "dimgap": 0.9,
                "dimtad": 0 if level else 1,
                "dimtih": int(level),
                "dimtoh": int(level),
                "dimtofl": 1,
                "dimdsep": ord("."),
            },
        )
        style.dxf.dimtxsty = TEXT_STYLE
    return name
