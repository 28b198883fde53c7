"""A DXF document under way: its tables, blocks and entities as the tags they are written with, and its bytes.

What the cut file and the sheet share. Groups as the DXF reference (2010) lists them.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.layers import Layer, Pen
from flangelayout.drawing.model import Stamp
from flangelayout.geometry.shapes import Box, Point
from flangelayout.units import Unit
from flangelayout.writers.dxf.blank import filled
from flangelayout.writers.dxf.options import DxfOptions, checked_layer_name
from flangelayout.writers.dxf.shapes import FilePlacing
from flangelayout.writers.dxf.tags import Group, Handles, Owner, tagged
from flangelayout.writers.dxf.text import comment_string, encoded
from flangelayout.writers.placing import heading, identity_lines

_INSUNITS = {Unit.IN: 1, Unit.MM: 4}
_FIRST_HANDLE = {DxfVersion.R12: 0x2D, DxfVersion.R2000: 0x2F, DxfVersion.R2010: 0x2F}
"""The first that is free in an empty drawing."""
_LINE_WEIGHTS = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211)
BY_DEFAULT = -3
_MODEL_SPACE, _FIRST_PAGE = "17", "1B"
_OWN_LINE_TYPES, _OWN_BLOCKS = 3, 2
_NO_PAGE = {
    **{f"paper_low_{axis}": "1e+20" for axis in "xyz"},
    **{f"paper_high_{axis}": "-1e+20" for axis in "xyz"},
    "paper_width": 420.0,
    "paper_height": 297.0,
}


@dataclass(frozen=True, slots=True)
class Block:
    """A block: the handles of its record, its begin and its end, and its entities; a page has a layout too."""

    name: str
    handles: tuple[str, str, str]
    entities: Owner
    layout: str = "0"

    def record(self) -> str:
        """Its entry in the table of blocks."""
        groups = ((100, "AcDbBlockTableRecord"), (2, self.name), (340, self.layout), (70, 0), (280, 1), (281, 0))
        return tagged(((0, "BLOCK_RECORD"), (5, self.handles[0]), (330, 9), (100, "AcDbSymbolTableRecord"), *groups))

    def written(self) -> str:
        """All of it."""
        record, begin, end = self.handles
        own = ((330, record), (100, "AcDbEntity"), (8, 0))
        place = ((10, 0.0), (20, 0.0), (30, 0.0), (3, self.name), (1, ""))
        head = ((100, "AcDbBlockBegin"), (2, self.name), (70, int(self.name.startswith("*D"))), *place)
        closing = tagged(((0, "ENDBLK"), (5, end), *own, (100, "AcDbBlockEnd")))
        return "".join((tagged(((0, "BLOCK"), (5, begin), *own, *head)), *self.entities.written, closing))


@dataclass(slots=True)
class DxfDocument:
    """A file under way.

    Attributes:
        options: Unit and version.
        padded: Whether the codes of what is in model space take three places each, as in the oldest files.
        handles: Those still free.
        line_types: By their names, as they are written; so are layers, text styles and dimension styles.
        blocks: By their names, pages after the first among them.
        model: What stands in model space.
        page: What stands on the first page.
        text_style: The handle of the style of its texts.
        gaps: What else is said of the file, by the gaps of an empty drawing.
    """

    options: DxfOptions
    padded: bool = False
    handles: Handles = field(init=False)
    line_types: dict[str, str] = field(default_factory=dict)
    layers: dict[str, str] = field(default_factory=dict)
    styles: dict[str, str] = field(default_factory=dict)
    dimension_styles: dict[str, str] = field(default_factory=dict)
    blocks: dict[str, Block] = field(default_factory=dict)
    model: Owner = field(init=False)
    page: Owner = field(init=False)
    text_style: str = ""
    gaps: dict[str, object] = field(init=False)

    def __post_init__(self) -> None:
        """Nothing stands in it yet."""
        version = self.options.version
        self.handles = Handles(_FIRST_HANDLE[version] - 1)
        self.model = Owner(self.handles, _MODEL_SPACE, padded=self.padded, owned=version is not DxfVersion.R12)
        self.page = Owner(self.handles, _FIRST_PAGE, is_paper=True)
        self.gaps = {**_NO_PAGE, "page_names": "", "further_pages": "", "properties": ""}
        self.gaps |= {"opens_on_model": 1, "shows_widths": 0, "scales_dashes": 1}

    def new_block(self, name: str, *, is_page: bool = False) -> Block:
        """A block that holds nothing yet."""
        handles = self.handles.next(), self.handles.next(), self.handles.next()
        layout = self.handles.next() if is_page else "0"
        self.blocks[name] = Block(name, handles, Owner(self.handles, handles[0], is_paper=is_page), layout)
        return self.blocks[name]

    def add_layer(self, name: str, color: int, line_type: str, more: Iterable[Group] = ()) -> None:
        """A layer, unless there is one of that name: a DXF tells no case apart.

        Args:
            name: Of the layer.
            color: Of the color index.
            line_type: Its name.
            more: Groups 290, whether it is printed, and 370, the width of its lines, which R12 does not have.
        """
        version = self.options.version
        if name.lower() in self.layers:
            return
        material = ((347, 21),) if version is DxfVersion.R2010 else ()
        beside = () if version is DxfVersion.R12 else (*more, (390, 13), *material)
        groups = ((2, name), (70, 0), (62, color), (6, line_type), *beside)
        self.layers[name.lower()] = self.entry("LAYER", 1, "AcDbLayerTableRecord", groups)

    def add_line_type(self, pen: Pen) -> None:
        """The line type of a pen in printed mm: dashes are positive, gaps negative."""
        if not pen.dashes_paper or pen.line_type in self.line_types:
            return
        signed = [length if index % 2 == 0 else -length for index, length in enumerate(pen.dashes_paper)]
        kind = () if self.options.version is DxfVersion.R12 else ((74, 0),)
        dashes = [group for length in signed for group in ((49, length), *kind)]
        about = ((2, pen.line_type), (70, 0), (3, pen.line_type.lower()), (72, 65), (73, len(signed)))
        groups = (*about, (40, float(sum(pen.dashes_paper))), *dashes)
        self.line_types[pen.line_type] = self.entry("LTYPE", 2, "AcDbLinetypeTableRecord", groups)

    def entry(self, kind: str, table: int, marker: str, groups: Iterable[Group], code: int = 5) -> str:
        """An entry of a table, whose own handle is ``table``; ``code`` is the group of the entry's handle."""
        if self.options.version is DxfVersion.R12:
            return tagged(((0, kind), (code, self.handles.next()), *groups))
        head = ((0, kind), (code, self.handles.next()), (330, table), (100, "AcDbSymbolTableRecord"), (100, marker))
        return tagged((*head, *groups))


def add_layers(
    document: DxfDocument, layers: Iterable[Layer], pen_of: Callable[[Layer], Pen] = lambda layer: layer.pen
) -> dict[Layer, str]:
    """Create the layers met, each once, with color, line type and width, and return their names."""
    names: dict[Layer, str] = {}
    for layer in dict.fromkeys(layers):
        pen, name = pen_of(layer), checked_layer_name(layer, document.options)
        names[layer] = name
        document.add_line_type(pen)
        document.add_layer(name, document.options.color(layer), pen.line_type, ((370, nearest_lineweight(pen)),))
    return names


def nearest_lineweight(pen: Pen) -> int:
    """Line width in hundredths of a mm, from the steps the DXF reference lists for group 370."""
    wanted = round(pen.width_paper * 100)
    return min(_LINE_WEIGHTS, key=lambda step: (abs(step - wanted), step))


def finished(document: DxfDocument, box: Box, stamp: Stamp) -> bytes:
    """The bytes of a document, led by comments with the identity and free of clock and chance.

    Args:
        document: All that is in it.
        box: How far the model reaches, in mm; readers open on all of it.
        stamp: The identity.
    """
    options = document.options
    lines = (*identity_lines(stamp), f"units: {options.unit.value}")
    identity = "".join(f"999\n{comment_string(line, options.version)}\n" for line in lines)
    tables = {
        "ltype": document.line_types,
        "layer": document.layers,
        "style": document.styles,
        "dimstyle": document.dimension_styles,
        "block_record": {name: block.record() for name, block in document.blocks.items()},
    }
    own = {"ltype": _OWN_LINE_TYPES, "block_record": _OWN_BLOCKS}
    gaps = document.gaps | {name: "".join(table.values()) for name, table in tables.items()}
    gaps |= {f"{name}_count": len(table) + own.get(name, 1) for name, table in tables.items()}
    gaps |= _extents(box, FilePlacing(options.unit, options.version))
    gaps |= {"window": document.handles.next(), "hatchbackgroundcolor": document.handles.next()}
    gaps |= {"ezdxf": document.handles.next(), "next_handle": document.handles.next()}
    gaps |= {"unit": _INSUNITS[options.unit], "is_metric": int(options.unit is Unit.MM), "identity": identity}
    gaps["blocks"] = "".join(block.written() for block in document.blocks.values())
    gaps["entities"] = "".join((*document.model.written, *document.page.written))
    if "first_page" not in gaps:
        gaps |= {"first_page": filled("no_page", {}), "page_names": tagged(((3, "Layout1"), (350, "1E")))}
    if options.version is DxfVersion.R2010:
        gaps["properties"] = _properties((*lines[1:], f"heading: {heading(stamp)}"))
    return encoded(filled(options.version.value, gaps), options.version)


def _properties(lines: Iterable[str]) -> str:
    """Name and value of each line as a property of the file."""
    found = (line.partition(": ") for line in lines)
    pairs = [((9, "$CUSTOMPROPERTYTAG"), (1, name), (9, "$CUSTOMPROPERTY"), (1, value)) for name, _, value in found]
    return "".join(tagged((*head, (1, comment_string(str(value), DxfVersion.R2010)))) for *head, (_, value) in pairs)


def _extents(box: Box, placing: FilePlacing) -> dict[str, object]:
    low, high = placing.point(Point(box.left, box.bottom)), placing.point(Point(box.right, box.top))
    middle = placing.point(box.center)
    height = placing.length(max(box.height, box.width / 1.5, 1.0) * 1.1)
    ends = zip(("low", "high", "middle"), (low, high, middle), strict=True)
    places = {f"{end}_{axis}": value for end, pair in ends for axis, value in zip("xy", pair, strict=True)}
    return {**places, "window_height": height}
