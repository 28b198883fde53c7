"""Dimensioned sheets as DXF: the drawing at real size in model space, one page of paper space per sheet."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Sheet, SheetSet, View
from flangelayout.geometry.shapes import ORIGIN, Box, Point, box_of_all
from flangelayout.units import Unit
from flangelayout.writers.dxf.document import add_layers, finished, new_document, set_extents
from flangelayout.writers.dxf.items import Space, add_items, add_text_style
from flangelayout.writers.dxf.options import DxfOptions
from flangelayout.writers.dxf.shapes import FilePlacing
from flangelayout.writers.dxf.text import layout_name
from flangelayout.writers.dxf.title import add_title, is_of_title

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.layouts.layout import Paperspace

_WINDOW_LAYER = "VIEWPORTS"
_MARGIN_PAPER = 3.0
_NO_PRINTER = "None"

_Key = tuple[int, float]


class _Stand(Struct, frozen=True):
    """A drawing in model space: its box, how far it is moved, and the room its windows show, in mm after the move."""

    drawing: Drawing
    scale: float
    box: Box
    shift: Point
    room: Box


def sheet_file(sheets: SheetSet, options: DxfOptions) -> bytes:
    """Sheets as a DXF file of R2000 or later.

    Every drawing stands in model space once for each scale it is shown at (texts and arrows have one size
    there), the first at its own coordinates, further ones to the right of it. Pages are in mm whatever the
    unit of the model. R12 knows a single page without a size, so a sheet asked for in R12 comes in R2000.
    """
    if options.version is DxfVersion.R12:
        options = DxfOptions(options.unit, DxfVersion.R2000, options.layer_names)
    document = new_document(options)
    _set_up(document)
    names = add_layers(document, _layers(sheets), options, sheets.pen)
    stands = _arrange(sheets)
    for stand in stands.values():
        placing = FilePlacing(options.unit, options.version, stand.shift)
        add_items(Space(document, document.modelspace(), placing, stand.scale, names), stand.drawing.items)
    _add_pages(document, sheets, stands, options, names)
    boxes = [stand.box.moved(stand.shift) for stand in stands.values()]
    if boxes:
        set_extents(document, box_of_all(boxes), FilePlacing(options.unit, options.version))
    return finished(document, sheets.stamp, options)


def _set_up(document: "DxfDocument") -> None:
    """Header and tables of a sheet: opens on its first page, line widths shown, dashes by entity factor."""
    document.header["$TILEMODE"] = 0
    document.header["$LWDISPLAY"] = 1
    document.header["$LTSCALE"] = 1.0
    document.header["$PSLTSCALE"] = 0
    document.layers.add(_WINDOW_LAYER, color=8, plot=False)
    add_text_style(document)


def _layers(sheets: SheetSet) -> Iterator[Layer]:
    for sheet in sheets.sheets:
        for view in sheet.views:
            yield from (item.layer for item in view.drawing.items)
        yield from (item.layer for item in sheet.furniture)


def _arrange(sheets: SheetSet) -> dict[_Key, _Stand]:
    """Room in model space for every drawing and scale, from left to right, so that no window shows a neighbor."""
    rooms: dict[_Key, tuple[View, list[Box]]] = {}
    whole: dict[_Key, Box] = {}
    for view in (view for sheet in sheets.sheets for view in sheet.views if view.drawing.items):
        key = _key(view)
        if key not in whole:
            whole[key] = items_box(view.drawing.items, view.scale)
        window = _window(view, whole[key]).moved(view.at_paper.scaled(-1))
        room = Box(*(edge / view.scale for edge in (window.left, window.bottom, window.right, window.top)))
        rooms.setdefault(key, (view, []))[1].append(room)
    stands: dict[_Key, _Stand] = {}
    right = None
    for key, (view, boxes) in rooms.items():
        room = box_of_all(boxes)
        shift = ORIGIN if right is None else Point(right + 2 * _MARGIN_PAPER / view.scale - room.left, 0.0)
        stands[key] = _Stand(view.drawing, view.scale, whole[key], shift, room.moved(shift))
        right = stands[key].room.right
    return stands


def _key(view: View) -> _Key:
    return id(view.drawing), view.scale


def _window(view: View, box: Box) -> Box:
    """What of the paper a view prints on: its clip, or all of its drawing's box with a little room."""
    if view.clip_paper:
        return view.clip_paper
    return box.scaled(view.scale).moved(view.at_paper).grown(_MARGIN_PAPER)


def _add_pages(
    document: "DxfDocument",
    sheets: SheetSet,
    stands: dict[_Key, _Stand],
    options: DxfOptions,
    names: Mapping[Layer, str],
) -> None:
    taken: set[str] = {"model"}
    paper = FilePlacing(Unit.MM, options.version)
    for number, sheet in enumerate(sheets.sheets, 1):
        name = layout_name(sheet.name or f"Sheet {number}", taken, options.version)
        taken.add(name.lower())
        page = _new_page(document, name, sheet, first=number == 1)
        for view in sheet.views:
            if view.drawing.items:
                _add_window(page, view, stands[_key(view)], FilePlacing(options.unit, options.version))
        space = Space(document, page, paper, 1.0, names)
        add_title(space, [item for item in sheet.furniture if is_of_title(item)])
        add_items(space, [item for item in sheet.furniture if not is_of_title(item)])


def _new_page(document: "DxfDocument", name: str, sheet: Sheet, *, first: bool) -> "Paperspace":
    """A page of the paper's size in mm, its own window on the paper kept off the print."""
    if first:
        document.layouts.rename("Layout1", name)
        page = document.paperspace(name)
    else:
        page = document.layouts.new(name)
    size = sheet.paper.width, sheet.paper.height
    page.page_setup(size=size, margins=(0, 0, 0, 0), units="mm", scale=(1, 1), name="Sheet", device=_NO_PRINTER)
    page.reset_extents((0.0, 0.0, 0.0), (*size, 0.0))
    page.dxf_layout.dxf.layout_flags = 0
    for viewport in page.viewports():
        viewport.dxf.layer = _WINDOW_LAYER
    return page


def _add_window(page: "Paperspace", view: View, stand: _Stand, model: FilePlacing) -> None:
    """A viewport that shows the model at the scale and place of the view."""
    window = _window(view, stand.box)
    center = window.center
    seen = (center - view.at_paper).scaled(1 / view.scale) + stand.shift
    paper = FilePlacing(Unit.MM, model.version)
    page.add_viewport(
        center=paper.point(center),
        size=(paper.length(window.width), paper.length(window.height)),
        view_center_point=model.point(seen),
        view_height=model.length(window.height / view.scale),
        dxfattribs={"layer": _WINDOW_LAYER},
    )
