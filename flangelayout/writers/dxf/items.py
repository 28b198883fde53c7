"""Items of a sheet as DXF entities, each as the one closest to what it is: a dimension, a leader, a hatch, a block."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING, assert_never

from flangelayout.drawing.explode import Primitive, explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    AngularDimension,
    CenterMark,
    CutPath,
    DiameterDimension,
    Hatching,
    Item,
    Label,
    Leader,
    LinearDimension,
    Mosaic,
    RadiusDimension,
    Solid,
)
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line
from flangelayout.writers.dxf.shapes import Attributes, FilePlacing
from flangelayout.writers.dxf.tags import Group, Owner, add_filled_boxes, add_shape_tags, add_solid_tags, at, box_path
from flangelayout.writers.dxf.text import text_string
from flangelayout.writers.numbers import rounded
from flangelayout.writers.placing import text_start

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.layouts.base import BaseLayout

_BY_BLOCK = 0
TEXT_STYLE = "SHEET"
TEXT_FONT = "arial.ttf"
"""Of all texts: the font of a drawing's other outputs is on few stations, this one or one of its metrics on all."""
TEXT_NARROWED = 0.85
"""Its letters are narrowed by this much, so that no text is wider than the room it was given."""
_ACROSS = {"left": 0, "center": 1, "right": 2}
_MIDDLE = 2
_HATCH_PATTERN = "ANSI31"
_HATCH_SPACING = {0: 0.125, 1: 3.175}
"""Between two lines of that pattern at scale 1, in inch and in metric files ($MEASUREMENT 0 and 1)."""


@dataclass(frozen=True, slots=True)
class Space:
    """A space of the file that items go into.

    Attributes:
        document: The file under way.
        layout: Model space, a page or a block.
        placing: From mm to its coordinates.
        scale: Printed mm for a real mm of the items; 1 on a page.
        names: Layer names in the file.
        owner: What entities that are added belong to.
    """

    document: "DxfDocument"
    layout: "BaseLayout"
    placing: FilePlacing
    scale: float
    names: Mapping[Layer, str]
    owner: Owner = field(init=False)

    def __post_init__(self) -> None:
        """What entities that are added belong to is asked once."""
        object.__setattr__(self, "owner", Owner(self.document, self.layout))

    def paper(self, length: float) -> float:
        """A printed length as a length of this space."""
        return self.placing.length(length / self.scale)

    def block(self, layout: "BaseLayout") -> "Space":
        """A block whose content stands where it stands in this space."""
        return replace(self, layout=layout)

    def attributes(self, layer: Layer) -> Attributes:
        """Layer, and for dashed lines the factor that prints the dashes at their own length."""
        attributes: Attributes = {"layer": self.names[layer]}
        return attributes | {"ltscale": self.paper(1.0)} if layer.pen.dashes_paper else attributes

    def shared(self, layer: Layer) -> dict[int, object]:
        """The same as groups of an entity."""
        groups: dict[int, object] = {8: self.names[layer]}
        return groups | {48: self.paper(1.0)} if layer.pen.dashes_paper else groups


def add_text_style(document: "DxfDocument") -> None:
    """Define the text style."""
    document.styles.add(TEXT_STYLE, font=TEXT_FONT, dxfattribs={"width": TEXT_NARROWED})


def add_items(space: Space, items: Iterable[Item]) -> None:
    """Put items into a space."""
    from flangelayout.writers.dxf.dimensions import add_dimension, add_leader

    for item in items:
        match item.what:
            case LinearDimension() | DiameterDimension() | RadiusDimension() | AngularDimension():
                add_dimension(space, item.what, item.layer)
            case Leader():
                add_leader(space, item.what, item.layer)
            case Hatching():
                _add_hatch(space, item.what, item.layer)
            case Line() | Circle() | Arc() | Contour() | CutPath() | Solid() | Mosaic() | Label() | CenterMark():
                for primitive in explode(item.what, space.scale):
                    add_primitive(space, primitive, item.layer)
            case _:
                assert_never(item.what)


def add_primitive(space: Space, primitive: Primitive, layer: Layer) -> None:
    """Put one primitive into a space."""
    match primitive:
        case Line() | Circle() | Arc() | Contour():
            add_shape_tags(space.owner, primitive, space.shared(layer), space.placing)
        case Solid():
            _add_solid(space, primitive, layer)
        case Mosaic():
            _add_mosaic(space, primitive, layer)
        case Label():
            string = text_string(primitive.text, space.placing.version)
            if string:
                own = ((100, "AcDbText"), *text_groups(space, primitive, string), (100, "AcDbText"))
                space.owner.add("TEXT", space.shared(layer), (*own, (73, _upright(primitive))))
        case _:
            assert_never(primitive)


def text_groups(space: Space, label: Label, string: str) -> tuple[Group, ...]:
    """The groups of a text but its upright alignment: its true start too, for readers that heed no other place."""
    start, height = space.placing.point(text_start(label, space.scale)), space.paper(label.height_paper)
    groups = (*at(10, start), (40, height), (1, string), (50, rounded(label.rotation_deg)), (41, TEXT_NARROWED))
    across = _ACROSS[label.anchor.across]
    aligned = at(11, space.placing.point(label.at)) if across or label.anchor.on_middle else ()
    return (*groups, (7, TEXT_STYLE), (72, across), *aligned)


def _upright(label: Label) -> int:
    return _MIDDLE if label.anchor.on_middle else 0


def _add_solid(space: Space, solid: Solid, layer: Layer) -> None:
    """SOLID entities: one up to four corners, a fan of triangles beyond."""
    corners, shared = [space.placing.point(corner) for corner in solid.corners], space.shared(layer)
    fan = [corners] if len(corners) <= 4 else [[corners[0], *pair] for pair in pairwise(corners[1:])]
    for part in fan:
        add_solid_tags(space.owner, part, shared)


def _add_mosaic(space: Space, mosaic: Mosaic, layer: Layer) -> None:
    """One insert of a block that holds one filled hatch; a mosaic that stands on every page has one block."""
    paths = [box_path(box, space.placing) for box in mosaic.boxes]
    name = "CODE_" + hashlib.sha256(repr(paths).encode()).hexdigest()[:12].upper()
    if name not in space.document.blocks:
        add_filled_boxes(Owner(space.document, space.document.blocks.new(name)), paths, _BY_BLOCK)
    insert = ((100, "AcDbBlockReference"), (2, name), *at(10, (0.0, 0.0)))
    space.owner.add("INSERT", space.shared(layer), insert)


def _add_hatch(space: Space, hatching: Hatching, layer: Layer) -> None:
    """One HATCH over all bodies, its lines where every other format has them."""
    hatch = space.layout.add_hatch(dxfattribs=space.attributes(layer))
    pitch = space.paper(hatching.pitch_paper)
    aside = pitch * 0.5**0.5
    lines = [[45.0, space.placing.point(ORIGIN), (-aside, aside), []]]
    hatch.set_pattern_fill(_HATCH_PATTERN, definition=lines)
    hatch.dxf.pattern_scale = pitch / _HATCH_SPACING[int(space.document.header["$MEASUREMENT"])]
    for body in hatching.bodies:
        hatch.paths.add_polyline_path([space.placing.point(corner) for corner in body], is_closed=True)
