"""The cut file: cut geometry as DXF and nothing else, the way table controllers like it."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.explode import explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, CutPath, Drawing, Item, Stamp
from flangelayout.errors import OutputError
from flangelayout.facts import Length, Unit
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, Shape, box_around, extent
from flangelayout.problems.output import OutputProblem
from flangelayout.writers.dxf.document import add_layers, finished, new_document, set_extents
from flangelayout.writers.dxf.options import DxfOptions
from flangelayout.writers.dxf.shapes import FilePlacing, add_shape, shape_key
from flangelayout.writers.dxf.tags import Owner, shape_tags

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument


def cut_file(drawing: Drawing, stamp: Stamp, options: DxfOptions) -> bytes:
    """A drawing of cut geometry as a DXF file.

    Circles, lines and arcs stay what they are, contours become polylines closed by flag and by equal
    ends, the ways of a cutter open ones, and open crosses become four lines. The layers are those of the items, in
    their order, which is the order of cutting.

    Args:
        drawing: Cut geometry in mm; it must not be empty.
        stamp: The identity, written as comments, never as geometry.
        options: Unit, version and layer names.

    Raises:
        OutputError: If the drawing holds a text, filled shape or dimension, the same thing twice, nothing
            at all, or a layer name the version cannot hold.
    """
    placed = list(_cut_shapes(drawing))
    if not placed:
        raise OutputError.of(OutputProblem.NOTHING_TO_CUT, title=drawing.title)
    _refuse_duplicates(placed)
    document = new_document(options)
    names = add_layers(document, (item.layer for item, _ in placed), options)
    placing = FilePlacing(options.unit, options.version)
    _add_shapes(document, placed, names, placing)
    boxes = [extent(shape) for _, shape in placed]
    corners = [Point(box.left, box.bottom) for box in boxes] + [Point(box.right, box.top) for box in boxes]
    set_extents(document, box_around(corners), placing)
    return finished(document, stamp, options)


def _add_shapes(
    document: "DxfDocument", placed: list[tuple[Item, Shape]], names: Mapping[Layer, str], placing: FilePlacing
) -> None:
    """All shapes in their order; only what R12 and the old polyline ask for is left to general entities."""
    space = document.modelspace()
    owner = Owner(document, space)
    for item, shape in placed:
        if placing.version is DxfVersion.R12 or isinstance(shape, Contour):
            add_shape(space, shape, {"layer": names[item.layer]}, placing)
        else:
            owner.add(f"8\n{names[item.layer]}\n", shape_tags(shape, placing))


def _cut_shapes(drawing: Drawing) -> Iterator[tuple[Item, Shape]]:
    """Each item with the shapes to cut or mark for it."""
    for item in drawing.items:
        match item.what:
            case Line() | Circle() | Arc() | Contour():
                yield item, item.what
            case CutPath():
                for way in item.what.ways:
                    yield item, way
            case CenterMark():
                for stroke in explode(item.what, 1.0):
                    if isinstance(stroke, Line):
                        yield item, stroke
            case _:
                shape = type(item.what).__name__
                raise OutputError.of(OutputProblem.NOT_FOR_A_CUT_FILE, shape=shape, layer=item.layer.name)


def _refuse_duplicates(placed: list[tuple[Item, Shape]]) -> None:
    """A path that stands twice would be cut twice."""
    met: dict[tuple[object, ...], Item] = {}
    for item, shape in placed:
        count = len(met)
        other = met.setdefault(shape_key(shape), item)
        if len(met) == count:
            raise _cut_twice(shape, item, other)


def _cut_twice(shape: Shape, item: Item, other: Item) -> OutputError:
    name, middle = type(shape).__name__.lower(), extent(shape).center
    x, y = Length(middle.x, Unit.MM), Length(middle.y, Unit.MM)
    return OutputError.of(OutputProblem.CUT_TWICE, shape=name, layer=item.layer.name, other=other.layer.name, x=x, y=y)
