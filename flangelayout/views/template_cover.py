"""The first page of a template: which page goes where, how to print and join them, and what decides."""

from collections.abc import Iterator

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Paper, Sheet, Stamp, Table, View
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Point, box_around, rectangle
from flangelayout.units import Unit, decimal_text
from flangelayout.views.page_text import identity_line, line_item, paragraph, text_item
from flangelayout.views.table_layout import lay_table, table_items
from flangelayout.views.template_furniture import PRINT_WORDS, allowed_difference, bar_length, bar_text
from flangelayout.views.tiling import Tiling
from flangelayout.views.wording import LAYOUT_AID, PLATE_RULES, TAPE, named_call_out, seen_from

_STEPS = (
    "1. Print all pages in one run, at 100 %, on the same paper. Let them settle before measuring.",
    "2. Measure both bars on every tile and write them in the box. Outside the allowed difference: do not use it.",
    "3. Trim along the dashed lines and join neighbors on their registration marks, rows first.",
    "4. Lay the centerlines on the plate's own, TOP up, and tape down flat. Measure the bars again.",
    "5. Punch through the open crosses. Measure the chords below on the plate, from punch mark to punch mark.",
    "6. Drill two opposite holes, pin them to the mate, then drill the rest.",
)
_GAP = 6.0


def cover_sheet(
    flange: Flange,
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    page: Paper,
    margin: float,
    tiling: Tiling,
    window: Box,
) -> Sheet:
    """The cover: words and tables on the upper (sideways: left) part, the page map on the rest."""
    whole = Box(margin, margin, page.width - margin, page.height - margin)
    sideways = page.width > page.height
    text_right = whole.left + whole.width * 0.56 if sideways else whole.right
    items, below = _words(flange, info, stamp, unit, Box(whole.left, whole.bottom, text_right, whole.top), window)
    room = (
        Box(text_right + _GAP, whole.bottom, whole.right, whole.top)
        if sideways
        else Box(whole.left, whole.bottom, whole.right, below - _GAP)
    )
    caption = text_item(
        Point(room.left, room.top - 2.5), f"PAGE MAP: {len(tiling.tiles)} tiles, number = tile of the set", 2.5
    )
    map_room = Box(room.left, room.bottom, room.right, room.top - 5.0)
    views = (_page_map(flange, tiling, map_room),) if min(map_room.width, map_room.height) > 15 else ()
    return Sheet(page, views, (*items, caption), "cover")


def _words(flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, room: Box, window: Box) -> tuple[list[Item], float]:
    """The words and tables from the top of the room down, and where they end."""
    left, width = room.left, room.width
    items = [
        text_item(Point(left, room.top - 5.0), "DRILLING TEMPLATE, FULL SCALE", 4.5),
        line_item(Point(left, room.top - 11.0), identity_line(info, stamp), 3.0, width),
    ]
    drilled = [named_call_out(flange, group, unit) for group in range(len(flange.bolt_circles))]
    lines, below = paragraph(left, room.top - 14.5, width, (*drilled, seen_from(flange), PRINT_WORDS), 2.3)
    items += lines
    lines, below = paragraph(left, below - 1.5, width, _STEPS, 2.3)
    items += lines
    across = left
    lowest = below
    for table in (_verdict(flange, window, unit), _plate_chords(flange, unit)):
        laid = lay_table(table)
        if across > left and across + laid.width > room.right:
            across, below = left, lowest - 2.0
        items += table_items(laid, across, below)
        across += laid.width + _GAP
        lowest = min(lowest, below - laid.height)
    lines, below = paragraph(left, lowest - 3.0, width, (PLATE_RULES, TAPE, LAYOUT_AID), 2.3)
    return items + lines, below


def _verdict(flange: Flange, window: Box, unit: Unit) -> Table:
    rows = tuple(
        (axis, bar_text(length), f"±{decimal_text(allowed_difference(flange, length), unit)} {unit.value}", "")
        for axis, length in (("X", bar_length(window.width)), ("Y", bar_length(window.height)))
    )
    return Table("SCALE BARS", ("BAR", "NOMINAL", "ALLOWED", "MEASURED"), rows)


def _plate_chords(flange: Flange, unit: Unit) -> Table:
    """Next and farthest chord of the first bolt circles, to be measured on the plate."""
    rows: list[tuple[str, ...]] = []
    for group, circle in enumerate(flange.bolt_circles[:6]):
        if circle.equally_spaced and circle.hole_count > 1:
            spans = dict.fromkeys((1, circle.hole_count // 2))
            chords = ((span, decimal_text(circle.chord_across(span), unit)) for span in spans)
            name = flange.group_letter(group) or "all"
            rows += ((name, "next" if span == 1 else f"{span} pitches", chord, "") for span, chord in chords)
    return Table(f"CHORDS ON THE PLATE ({unit.value})", ("CIRCLE", "SPAN", "CHORD", "MEASURED"), tuple(rows))


def _page_map(flange: Flange, tiling: Tiling, room: Box) -> View:
    """The plate with the outlines of the tiles, as large as the room allows."""
    corners = [Point(t.window.left, t.window.bottom) for t in tiling.tiles]
    corners += [Point(t.window.right, t.window.top) for t in tiling.tiles]
    box = box_around(corners)
    scale = min(room.width / box.width, room.height / box.height)
    at = Point(room.left - box.left * scale, room.top - box.top * scale)
    return View(Drawing("page map", tuple(_map_items(flange, tiling))), scale, at)


def _map_items(flange: Flange, tiling: Tiling) -> Iterator[Item]:
    yield Item(Layer.HATCH, flange.outline.shape, "outline")
    if flange.bore is not None:
        yield Item(Layer.HATCH, Circle(ORIGIN, flange.bore / 2), "bore")
    for hole in flange.holes():
        yield Item(Layer.HATCH, Circle(hole.center, hole.diameter / 2), hole.source)
    for number, tile in enumerate(tiling.tiles, 1):
        yield Item(Layer.TRIM, rectangle(tile.window), f"tile {number}")
        yield Item(Layer.TEXT, Label(tile.window.center, str(number), 3.0, 0.0, Anchor.MIDDLE), f"tile {number}")
