"""Items of a sheet as DXF entities, each as the one closest to what it is: a dimension, a leader, a hatch, a block."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import assert_never

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
from flangelayout.units import Unit
from flangelayout.writers.dxf.document import Block, DxfDocument
from flangelayout.writers.dxf.shapes import FilePlacing
from flangelayout.writers.dxf.tags import (
    Group,
    Owner,
    add_filled,
    add_hatch,
    add_shape_tags,
    add_solid_tags,
    at,
    box_path,
    outline_path,
)
from flangelayout.writers.dxf.text import text_string
from flangelayout.writers.numbers import rounded
from flangelayout.writers.placing import text_start

_BY_BLOCK, _BLACK = 0, 7
TEXT_STYLE = "SHEET"
TEXT_FONT = "arial.ttf"
"""Of all texts: the font of a drawing's other outputs is on few stations, this one or one of its metrics on all."""
TEXT_NARROWED = 0.85
"""Its letters are narrowed by this much, so that no text is wider than the room it was given."""
_ACROSS = {"left": 0, "center": 1, "right": 2}
_MIDDLE = 2
_HATCH_PATTERN = "ANSI31"
_HATCH_SPACING = {Unit.IN: 0.125, Unit.MM: 3.175}
"""Between two lines of that pattern at scale 1, in inch and in metric files."""


@dataclass(frozen=True, slots=True)
class Space:
    """A space of the file that items go into.

    Attributes:
        document: The file under way.
        owner: Model space, a page or a block.
        placing: From mm to its coordinates.
        scale: Printed mm for a real mm of the items; 1 on a page.
        names: Layer names in the file.
    """

    document: DxfDocument
    owner: Owner
    placing: FilePlacing
    scale: float
    names: Mapping[Layer, str]

    def paper(self, length: float) -> float:
        """A printed length as a length of this space."""
        return self.placing.length(length / self.scale)

    def block(self, block: Block) -> "Space":
        """A block whose content stands where it stands in this space."""
        return replace(self, owner=block.entities)

    def shared(self, layer: Layer) -> dict[int, object]:
        """Layer, and for dashed lines the factor that prints the dashes at their own length."""
        groups: dict[int, object] = {8: self.names[layer]}
        return groups | {48: self.paper(1.0)} if layer.pen.dashes_paper else groups


def add_text_style(document: DxfDocument) -> None:
    """Define the text style."""
    groups = ((2, TEXT_STYLE), (70, 0), (40, 0.0), (41, TEXT_NARROWED), (50, 0.0), (71, 0), (42, 2.5))
    files = ((3, TEXT_FONT), (4, ""))
    document.styles[TEXT_STYLE] = document.entry("STYLE", 5, "AcDbTextStyleTableRecord", (*groups, *files))
    document.text_style = document.handles.now


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
        add_filled(space.document.new_block(name).entities, paths, len(paths), _BY_BLOCK)
    insert = ((100, "AcDbBlockReference"), (2, name), *at(10, (0.0, 0.0)))
    space.owner.add("INSERT", space.shared(layer), insert)


def _add_hatch(space: Space, hatching: Hatching, layer: Layer) -> None:
    """One HATCH over all bodies, its lines where every other format has them."""
    pitch = space.paper(hatching.pitch_paper)
    aside = pitch * 0.5**0.5
    x, y = space.placing.point(ORIGIN)
    line = ((53, 45.0), (43, x), (44, y), (45, -aside), (46, aside), (79, 0))
    scale = pitch / _HATCH_SPACING[space.placing.unit]
    pattern = ((52, 0.0), (41, scale), (77, 0), (78, 1), *line, (98, 0))
    bodies = [[space.placing.point(corner) for corner in body] for body in hatching.bodies]
    paths = [group for body in bodies for group in outline_path(body)], len(bodies)
    add_hatch(space.owner, space.shared(layer) | {62: _BLACK}, paths, ((2, _HATCH_PATTERN), (70, 0)), pattern)
