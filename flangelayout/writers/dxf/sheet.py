"""Dimensioned sheets as DXF: the drawing at real size in model space, one page of paper space per sheet."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Sheet, SheetSet, View
from flangelayout.geometry.shapes import ORIGIN, Box, Point, box_around
from flangelayout.units import Unit
from flangelayout.writers.dxf.blank import filled
from flangelayout.writers.dxf.document import BY_DEFAULT, DxfDocument, add_layers, finished
from flangelayout.writers.dxf.items import Space, add_items, add_text_style
from flangelayout.writers.dxf.options import DxfOptions
from flangelayout.writers.dxf.shapes import FilePlacing
from flangelayout.writers.dxf.tags import Owner, Pair, tagged
from flangelayout.writers.dxf.text import layout_name
from flangelayout.writers.dxf.title import add_title, is_of_title
from flangelayout.writers.numbers import rounded

_WINDOW_LAYER = "VIEWPORTS"
_MARGIN_PAPER = 3.0
_FIRST_LAYOUT, _FIRST_WINDOW = "1E", 3
_PAGE_ITSELF = 557088
"""Flags of the window that is the page itself."""

_Key = tuple[int, float]


@dataclass(frozen=True, slots=True)
class _Stand:
    """A drawing in model space: its box, how far it is moved, and the room its windows show, in mm after the move."""

    drawing: Drawing
    scale: float
    box: Box
    shift: Point
    room: Box


def sheet_file(sheets: SheetSet, options: DxfOptions) -> bytes:
    """Sheets as a DXF file of R2010, which holds any letter, whatever version is asked for.

    Every drawing stands in model space once for each scale it is shown at (texts and arrows have one size
    there), the first at its own coordinates, further ones to the right of it. Pages are in mm whatever the
    unit of the model.
    """
    options = replace(options, version=DxfVersion.R2010)
    document = DxfDocument(options)
    document.gaps.update(opens_on_model=0, shows_widths=1, scales_dashes=0)
    document.add_layer(_WINDOW_LAYER, 8, "Continuous", ((290, 0), (370, BY_DEFAULT)))
    add_text_style(document)
    names = add_layers(document, _layers(sheets), sheets.pen)
    stands = _arrange(sheets)
    for stand in stands.values():
        placing = FilePlacing(options.unit, options.version, stand.shift)
        add_items(Space(document, document.model, placing, stand.scale, names), stand.drawing.items)
    _add_pages(document, sheets, stands, names)
    boxes = [stand.box.moved(stand.shift) for stand in stands.values()]
    return finished(document, _union(boxes) if boxes else Box(0.0, 0.0, 0.0, 0.0), sheets.stamp)


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
        room = _union(boxes)
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
    edges = (edge * view.scale for edge in (box.left, box.bottom, box.right, box.top))
    return Box(*edges).moved(view.at_paper).grown(_MARGIN_PAPER)


def _union(boxes: list[Box]) -> Box:
    corners = [Point(box.left, box.bottom) for box in boxes] + [Point(box.right, box.top) for box in boxes]
    return box_around(corners)


def _add_pages(document: DxfDocument, sheets: SheetSet, stands: dict[_Key, _Stand], names: Mapping[Layer, str]) -> None:
    taken: set[str] = {"model"}
    unit, version = document.options.unit, document.options.version
    paper, model = FilePlacing(Unit.MM, version), FilePlacing(unit, version)
    for number, sheet in enumerate(sheets.sheets, 1):
        name = layout_name(sheet.name or f"Sheet {number}", taken, version)
        taken.add(name.lower())
        page = _new_page(document, name, sheet, number)
        shown = [view for view in sheet.views if view.drawing.items]
        for count, view in enumerate(shown, _FIRST_WINDOW):
            _add_window(page, view, stands[_key(view)], model, count)
        space = Space(document, page, paper, 1.0, names)
        add_title(space, [item for item in sheet.furniture if is_of_title(item)])
        add_items(space, [item for item in sheet.furniture if not is_of_title(item)])


def _new_page(document: DxfDocument, name: str, sheet: Sheet, number: int) -> Owner:
    """A page of the paper's size in mm, its own window on the paper kept off the print."""
    gaps, width, height = document.gaps, sheet.paper.width, sheet.paper.height
    page, layout, order, gap = document.page, _FIRST_LAYOUT, 1, "first_page"
    if number == 1:
        gaps.update(paper_width=width, paper_height=height, paper_high_x=width, paper_high_y=height, first_page="")
        gaps.update(paper_low_x=0.0, paper_low_y=0.0, paper_low_z=0.0, paper_high_z=0.0)
    else:
        block = document.new_block(f"*Paper_Space{number - 2}", is_page=True)
        page, layout, order, gap = block.entities, block.layout, number + 1, "further_pages"
    window = page.reserved()
    about = {"handle": layout, "name": name, "order": order, "block": page.handle, "viewport": window}
    size = {"paper": f"Sheet_({width:.2f}_x_{height:.2f}_MM)", "width": width, "height": height}
    gaps[gap] = f"{gaps[gap]}{filled('page', about | size)}"
    gaps["page_names"] = f"{gaps['page_names']}{tagged(((3, name), (350, layout)))}"
    middle, reach = (width / 2, height / 2), (rounded(1.1 * width), rounded(1.1 * height))
    page.written.append(_window_tags(page, window, (middle, reach), (middle, reach[1]), None))
    return page


def _add_window(page: Owner, view: View, stand: _Stand, model: FilePlacing, number: int) -> None:
    """A viewport that shows the model at the scale and place of the view."""
    window = _window(view, stand.box)
    seen = (window.center - view.at_paper).scaled(1 / view.scale) + stand.shift
    paper = FilePlacing(Unit.MM, model.version)
    room = paper.point(window.center), (paper.length(window.width), paper.length(window.height))
    shown = model.point(seen), model.length(window.height / view.scale)
    page.written.append(_window_tags(page, page.reserved(), room, shown, number))


def _window_tags(
    page: Owner, handle: str, room: tuple[Pair, Pair], shown: tuple[Pair, float], number: int | None
) -> str:
    """A VIEWPORT: its middle and size on the page, middle and height of what it shows, none of the page itself."""
    ((at_x, at_y), (width, height)), ((seen_x, seen_y), seen_height) = room, shown
    place = {"at_x": at_x, "at_y": at_y, "width": width, "height": height}
    seen = {"seen_x": seen_x, "seen_y": seen_y, "seen_height": seen_height}
    own = (
        {"rank": 1, "number": 1, "flags": _PAGE_ITSELF} if number is None else {"rank": 2, "number": number, "flags": 0}
    )
    return filled("viewport", {"handle": handle, "block": page.handle, **place, **seen, **own})
