"""The layout sheet: face view and section to a standard scale, tables, notes and title block, on few pages."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.papers import paper
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Point
from flangelayout.units import Unit
from flangelayout.views.face_view import BELOW, BESIDE, MAX_CALL_OUTS, FaceView, face_view, height_above, leader_room
from flangelayout.views.page_text import paragraph
from flangelayout.views.section_view import section_view, width_needed
from flangelayout.views.table_layout import ROW_HEIGHT, LaidTable, lay_table, table_items
from flangelayout.views.tables import chord_tables, hole_table
from flangelayout.views.title_block import HEIGHT, WIDTH, SheetFacts, border_items, frame, title_block
from flangelayout.views.wording import cautions, circle_note, named_call_out, seen_from, tolerance_lines

SCALES = (10.0, 5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100, 1 / 200, 1 / 500)
"""The scales of ISO 5455 that a flange can need, printed mm for a real mm, from the largest."""
_GAP = 5.0
_NOTE_HEIGHT = 2.0
_LEAST_FACE = 85.0
"""A face view this wide on paper is not made larger at the price of a second sheet."""


@dataclass(frozen=True, slots=True)
class _Plan:
    """The first sheet: page, scale and the rooms for the views, the tables and the notes."""

    page: Paper
    scale: float
    views: Box
    tables: Box
    notes: Box


def layout_sheets(
    flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, paper_name: str, remarks: Sequence[str] = ()
) -> SheetSet:
    """The sheets of a job.

    Args:
        flange: What is made.
        info: Title block.
        stamp: Identity.
        unit: Unit of the numbers shown.
        paper_name: One of ``papers.PAPER_NAMES``; upright or sideways, whichever serves better.
        remarks: What the checks found, printed among the notes.

    Returns:
        One sheet, or several where the tables run long; all of one size and direction.
    """
    notes = _notes(flange, info, unit, remarks)
    laid = [lay_table(table) for table in (hole_table(flange, unit), *chord_tables(flange, unit)) if table.rows]
    plan = _best_plan(flange, unit, paper_name, notes, laid)
    first, rest, room = _settled(laid, plan)
    further = list(_further_pages(rest, plan.page))
    scale = scale_text(plan.scale)
    count = 1 + len(further)

    def furniture(number: int, shown_scale: str) -> tuple[Item, ...]:
        facts = SheetFacts(shown_scale, number, count, plan.page.name)
        return (*border_items(plan.page), *title_block(plan.page, info, stamp, flange, unit, facts))

    note_items, _ = paragraph(plan.notes.left, plan.notes.top, plan.notes.width, notes, _NOTE_HEIGHT)
    view = _view(flange, unit, plan.scale, room)
    sheets = [Sheet(plan.page, (view,), (*furniture(1, scale), *note_items, *first), "sheet 1")]
    for number, items in enumerate(further, 2):
        sheets.append(Sheet(plan.page, (), (*furniture(number, "—"), *items), f"sheet {number}"))
    return SheetSet(tuple(sheets), stamp)


def scale_text(scale: float) -> str:
    """A scale as ISO 5455 writes it: ``1:5``, ``1:1``, ``2:1``."""
    return f"{scale:.0f}:1" if scale >= 1 else f"1:{1 / scale:.0f}"


def _notes(flange: Flange, info: JobInfo, unit: Unit, remarks: Sequence[str]) -> list[str]:
    """Everything said in words, in the order of reading."""
    circles = range(len(flange.bolt_circles))
    further = [named_call_out(flange, group, unit) for group in circles[MAX_CALL_OUTS:]]
    thickness = () if flange.thickness is not None else ("THICKNESS: NOT STATED; MEASURE AND WRITE IT HERE: ________",)
    return [
        seen_from(flange),
        *tolerance_lines(flange, unit),
        *thickness,
        *further,
        *(line for group in circles if (line := circle_note(flange, group))),
        *info.notes,
        *remarks,
        *cautions(flange),
    ]


def _best_plan(flange: Flange, unit: Unit, paper_name: str, notes: list[str], laid: list[LaidTable]) -> _Plan:
    """The plan with the largest scale; one sheet rather than two as soon as the face is large enough."""
    pages = (paper(paper_name), paper(paper_name, landscape=True))
    plans = [plan for scale in SCALES for page in pages if (plan := _plan(flange, unit, page, scale, notes))]
    whole = [plan for plan in plans if not _place_tables(laid, plan.tables)[1]]
    large = [plan for plan in whole if flange.outline.outside_diameter * plan.scale >= _LEAST_FACE]
    return next(iter(large or plans or whole))


def _plan(flange: Flange, unit: Unit, page: Paper, scale: float, notes: list[str]) -> _Plan | None:
    """The rooms of a page at a scale, or ``None`` where the views do not fit."""
    inside = frame(page)
    sideways = page.width > page.height
    note_width = (inside.width - WIDTH if sideways else WIDTH) - 2 * _GAP
    note_height = HEIGHT
    if notes:
        _, below = paragraph(0.0, 0.0, note_width, notes, _NOTE_HEIGHT)
        note_height = -below + 2.0
    width, height = _views_size(flange, unit, scale)
    if sideways:
        floor = inside.bottom + max(HEIGHT, note_height) + 2.0
        views = Box(inside.left + 2.0, inside.top - height - 2.0, inside.left + 2.0 + width, inside.top - 2.0)
        tables = Box(views.right + _GAP, floor, inside.right - 2.0, inside.top - 2.0)
        note_box = Box(inside.left + _GAP, inside.bottom, inside.right - WIDTH - _GAP, floor - 3.0)
    else:
        note_top = inside.bottom + HEIGHT + note_height
        floor = note_top + 3.0
        views = Box(inside.left + 2.0, inside.top - height - 2.0, inside.right - 2.0, inside.top - 2.0)
        tables = Box(inside.left + 3.0, floor, inside.right - 3.0, views.bottom - 2.0)
        note_box = Box(inside.right - WIDTH + _GAP, inside.bottom + HEIGHT, inside.right - _GAP, note_top)
    fits = views.bottom >= floor and width <= inside.width - 4.0 and tables.width > 0
    return _Plan(page, scale, views, tables, note_box) if fits else None


def _views_size(flange: Flange, unit: Unit, scale: float) -> tuple[float, float]:
    """Printed width and height that face view and section take together."""
    radius = flange.outline.outside_diameter / 2 * scale
    right = max(radius + max(BESIDE, width_needed(flange, unit, scale)), leader_room(flange, unit, scale))
    return radius + BESIDE + right, 2 * radius + height_above(flange, unit) + BELOW


def _view(flange: Flange, unit: Unit, scale: float, room: Box) -> View:
    items = (*face_view(FaceView(flange, unit, scale)), *section_view(flange, unit, scale))
    width, _ = _views_size(flange, unit, scale)
    radius = flange.outline.outside_diameter / 2 * scale
    spare = max(room.width - width, 0.0) / 2
    at = Point(room.left + spare + BESIDE + radius, room.bottom + BELOW + radius)
    return View(Drawing("layout", items), scale, at)


def _settled(laid: list[LaidTable], plan: _Plan) -> tuple[list[Item], list[LaidTable], Box]:
    """The tables of the first sheet and those that did not fit, and the views' room in the middle of what is left.

    Below the views, tables are set down on the notes; beside them, they stay level with their top.
    """
    items, rest = _place_tables(laid, plan.tables)
    if plan.page.width > plan.page.height:
        return items, rest, plan.views.moved(Point(0.0, -(plan.views.bottom - plan.tables.bottom) / 2))
    spare = (items_box(items).bottom if items else plan.tables.top) - plan.tables.bottom
    low = replace(plan.tables, top=plan.tables.top - spare)
    return _place_tables(laid, low)[0], rest, plan.views.moved(Point(0.0, -spare / 2))


def _place_tables(laid: list[LaidTable], room: Box) -> tuple[list[Item], list[LaidTable]]:
    """The tables that fit whole into a room, each at the highest and then leftmost free place; and the others."""
    items: list[Item] = []
    rest: list[LaidTable] = []
    taken: list[Box] = []
    for table in laid:
        box = _free_place(table, room, taken)
        if box is None:
            rest.append(table)
        else:
            taken.append(box)
            items += table_items(table, box.left, box.top)
    return items, rest


def _free_place(table: LaidTable, room: Box, taken: list[Box]) -> Box | None:
    """Where a table can stand: in the upper left corner, right of a placed table or below one."""
    corners = [(room.left, room.top)]
    corners += [(box.right + _GAP, box.top) for box in taken]
    corners += [(box.left, box.bottom - 2.0) for box in taken]
    for left, top in sorted(corners, key=lambda corner: (-corner[1], corner[0])):
        box = Box(left, top - table.height, left + table.width, top)
        inside = box.right <= room.right + 1e-6 and box.bottom >= room.bottom - 1e-6
        if inside and not any(box.grown(0.9).overlaps(other) for other in taken):
            return box
    return None


def _further_pages(laid: list[LaidTable], page: Paper) -> Iterator[list[Item]]:
    """Pages with the remaining tables, long ones parted between rows."""
    inside = frame(page)
    room = Box(inside.left + _GAP, inside.bottom + HEIGHT + _GAP, inside.right - _GAP, inside.top - _GAP)
    items: list[Item] = []
    x, top = room.left, room.top
    for table in laid:
        at = 0
        while at < len(table.table.rows):
            rows = int((top - room.bottom) / ROW_HEIGHT + 1e-9) - 2
            if rows < min(3, len(table.table.rows) - at) or x + table.width > room.right:
                if top < room.top or x == room.left:
                    x, top = x + table.width + _GAP, room.top
                if x + table.width > room.right:
                    yield items
                    items, x, top = [], room.left, room.top
                continue
            part = table.part(at, rows)
            items += table_items(part, x, top)
            at += rows
            top -= part.height + 3.0
    if items:
        yield items
