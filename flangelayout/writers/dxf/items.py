"""Items of a sheet as DXF entities, each as the one closest to what it is: a dimension, a leader, a hatch, a block."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
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
from flangelayout.value import replace
from flangelayout.writers.dxf.shapes import FilePlacing
from flangelayout.writers.dxf.tags import (
    Entity,
    Owner,
    body_path,
    box_paths,
    filled_boxes_tags,
    hatched_tags,
    insert_tags,
    shape_tags,
    solid_tags,
)
from flangelayout.writers.dxf.text import text_string
from flangelayout.writers.numbers import decimal
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
_LETTERS = f"41\n{TEXT_NARROWED}\n7\n{TEXT_STYLE}\n"
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
    _shared: dict[str, str] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """What entities that are added belong to is asked once."""
        object.__setattr__(self, "owner", Owner(self.document, self.layout))

    def paper(self, length: float) -> float:
        """A printed length as a length of this space."""
        return self.placing.length(length / self.scale)

    def paper_text(self, length: float) -> str:
        """The same as it stands in the file."""
        return self.placing.text(length / self.scale)

    def block(self, layout: "BaseLayout") -> "Space":
        """A block whose content stands where it stands in this space."""
        return replace(self, layout=layout)

    def shared(self, layer: Layer) -> str:
        """Groups of an entity: layer, and for dashed lines the factor that prints the dashes at their own length."""
        found = self._shared.get(layer.name)
        if found is None:
            dashes = f"48\n{self.paper_text(1.0)}\n" if layer.pen.dashes_paper else ""
            found = self._shared[layer.name] = f"8\n{self.names[layer]}\n{dashes}"
        return found

    def add(self, layer: Layer, entity: Entity) -> str:
        """Put an entity into it; its handle."""
        return self.owner.add(self.shared(layer), entity)


def add_text_style(document: "DxfDocument") -> None:
    """Define the text style."""
    document.styles.add(TEXT_STYLE, font=TEXT_FONT, dxfattribs={"width": TEXT_NARROWED})


def add_items(space: Space, items: Iterable[Item]) -> None:
    """Put items into a space."""
    from flangelayout.writers.dxf.dimensions import add_dimension, add_leader

    for item in items:
        match item.what:
            case Label() | Line() | Circle() | Arc() | Contour() | CutPath() | Solid() | Mosaic() | CenterMark():
                add_primitives(space, explode(item.what, space.scale), item.layer)
            case LinearDimension() | DiameterDimension() | RadiusDimension() | AngularDimension():
                add_dimension(space, item.what, item.layer)
            case Leader():
                add_leader(space, item.what, item.layer)
            case Hatching():
                _add_hatch(space, item.what, item.layer)
            case _:
                assert_never(item.what)


def add_primitives(space: Space, primitives: Iterable[Primitive], layer: Layer) -> None:
    """Put what one thing is drawn with into a space."""
    shared, owner = space.shared(layer), space.owner
    for primitive in primitives:
        for entity in entities(space, primitive):
            owner.add(shared, entity)


def entities(space: Space, primitive: Primitive) -> list[Entity]:
    """One primitive as entities of a space: one, but for a shape of many corners and a text that is empty."""
    match primitive:
        case Label():
            string = text_string(primitive.text, space.placing.version)
            if not string:
                return []
            return [("TEXT", f"{text_groups(space, primitive, string)}100\nAcDbText\n73\n{upright(primitive)}\n")]
        case Line() | Circle() | Arc() | Contour():
            return [shape_tags(primitive, space.placing)]
        case Solid():
            corners = primitive.corners
            fan = [corners] if len(corners) <= 4 else [(corners[0], *pair) for pair in pairwise(corners[1:])]
            return [solid_tags(each, space.placing) for each in fan]
        case Mosaic():
            return [insert_tags(_mosaic_block(space, primitive))]
        case _:
            assert_never(primitive)


def text_groups(space: Space, label: Label, string: str) -> str:
    """The groups of a text but its upright alignment: its true start too, for readers that heed no other place."""
    placing, across = space.placing, _ACROSS[label.anchor.across]
    start, height = placing.at(10, text_start(label, space.scale)), space.paper_text(label.height_paper)
    aligned = placing.at(11, label.at) if across or label.anchor.on_middle else ""
    drawn = f"{start}40\n{height}\n1\n{string}\n50\n{decimal(label.rotation_deg)}\n"
    return f"100\nAcDbText\n{drawn}{_LETTERS}72\n{across}\n{aligned}"


def upright(label: Label) -> int:
    """How a text stands on its place, as groups 73 and 74 say."""
    return _MIDDLE if label.anchor.on_middle else 0


def _mosaic_block(space: Space, mosaic: Mosaic) -> str:
    """The name of a block that holds one filled hatch; a mosaic that stands on every page has one block."""
    paths = box_paths(mosaic.boxes, space.placing)
    name = "CODE_" + hashlib.sha256("".join(paths).encode()).hexdigest()[:12].upper()
    if name not in space.document.blocks:
        block = Owner(space.document, space.document.blocks.new(name))
        block.add("8\n0\n", filled_boxes_tags(paths, _BY_BLOCK))
    return name


def _add_hatch(space: Space, hatching: Hatching, layer: Layer) -> None:
    """One HATCH over all bodies, its lines where every other format has them."""
    pitch = space.paper(hatching.pitch_paper)
    size = pitch / _HATCH_SPACING[int(space.document.header["$MEASUREMENT"])]
    paths = [body_path(body, space.placing) for body in hatching.bodies]
    space.add(layer, hatched_tags(paths, _HATCH_PATTERN, size, space.placing.point(ORIGIN), pitch * 0.5**0.5))
