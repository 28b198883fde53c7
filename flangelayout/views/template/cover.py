"""The first page of a template: which page goes where, how to print and join them, and what decides."""

from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Sheet, TextTable, View
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Box, Point, box_around, rectangle
from flangelayout.units import Unit, decimal_text
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.tables import lay_table, table_items
from flangelayout.views.page.text import identity_line, line_item, paragraph, text_item
from flangelayout.views.template.furniture import PRINT_WORDS, Subject, allowed_difference, bar_length, bar_text
from flangelayout.views.template.paper import TemplatePage
from flangelayout.views.template.tiling import Tile, Tiling
from flangelayout.views.words.call_outs import LAYOUT_AID, PLATE_RULES, TAPE, named_call_out, seen_from
from flangelayout.views.words.joint.turned import machining_lines
from flangelayout.views.words.lengths import Lengths

PRINT_STEP = "Print all pages in one run, at 100 %, on the same paper. Let them settle before measuring."
MEASURE_STEP = (
    "Measure both bars on every page and write them in the box. Outside the allowed difference: do not use it."
)
JOIN_STEPS = (
    "Cut a page only along its dashed lines, at the left and the top, edge to edge with a knife along a rule. Keep "
    "the right and the lower edges.",
    "In the order of their numbers, lay every tile over those before it: its cut edge to their line, the halves of "
    "every diamond closed, J1 to J1. Glue on the dots. Never punch a diamond.",
)
DRILL_STEP = "Drill two holes as far apart as they come, pin them to the mate, then drill the rest."
_GAP = 6.0
_TITLE = 4.5


@dataclass(frozen=True, slots=True)
class Cover:
    """What a cover says and shows.

    Attributes:
        title: In large letters.
        lead: Lines about what the template is.
        steps: What to do, in order; they are numbered.
        tables: To measure and to write in, beside the one for the scale bars.
        map_title: Over the page map.
        map_items: The page map at real size.
        map_box: What of it is shown.
    """

    title: str
    lead: tuple[str, ...]
    steps: tuple[str, ...]
    tables: tuple[TextTable, ...]
    map_title: str
    map_items: tuple[Item, ...]
    map_box: Box


def plate_cover(subject: Subject, tiling: Tiling) -> Cover:
    """The cover of a template that shows the whole plate."""
    flange = subject.flange
    steps = (
        PRINT_STEP,
        MEASURE_STEP,
        *(JOIN_STEPS if len(tiling.tiles) > 1 else ()),
        "Lay the centerlines on the plate's own, TOP up, and tape down flat. Measure the bars again.",
        "Punch through the open crosses. Measure the chords below on the plate, from punch mark to punch mark.",
        DRILL_STEP,
    )
    corners = [Point(t.window.left, t.window.bottom) for t in tiling.tiles]
    corners += [Point(t.window.right, t.window.top) for t in tiling.tiles]
    return Cover(
        "DRILLING TEMPLATE, FULL SCALE",
        call_outs(subject),
        steps,
        (plate_chords(flange, subject.unit),),
        f"PAGE MAP: {len(tiling.tiles)} tiles, number = tile of the set",
        (*plate_items(flange), *tile_items(tiling.tiles)),
        box_around(corners),
    )


def cover_sheet(subject: Subject, page: TemplatePage, margin: float, cover: Cover) -> Sheet:
    """The cover: words and tables on the upper (sideways: left) part, the page map on the rest."""
    sheet = page.paper
    whole = Box(margin, margin, sheet.width - margin, sheet.height - margin)
    sideways = sheet.width > sheet.height
    text_right = whole.left + whole.width * 0.56 if sideways else whole.right
    items, below = _words(subject, page, cover, Box(whole.left, whole.bottom, text_right, whole.top))
    room = (
        Box(text_right + _GAP, whole.bottom, whole.right, whole.top)
        if sideways
        else Box(whole.left, whole.bottom, whole.right, below - _GAP)
    )
    caption = line_item(Point(room.left, room.top - 2.5), cover.map_title, 2.5, room.width)
    map_room = Box(room.left, room.bottom, room.right, room.top - 5.0)
    views = (_page_map(cover, map_room),) if min(map_room.width, map_room.height) > 15 else ()
    return Sheet(sheet, views, (*items, caption) if views else tuple(items), "cover")


def call_outs(subject: Subject) -> tuple[str, ...]:
    """Every group of holes in a line, and from where the plate is seen."""
    flange = subject.flange
    lengths = Lengths(subject.unit)
    drilled = (named_call_out(flange, group, lengths) for group in range(len(flange.groups())))
    machined = (f"MACHINED, NOT BY THIS TEMPLATE: {line}" for line in machining_lines(flange, lengths))
    return (*drilled, seen_from(flange), *machined, *_from_the_back(flange))


def _from_the_back(flange: Flange) -> tuple[str, ...]:
    """Blind holes of the face that the template does not lie on."""
    hidden = [hole.label for hole in flange.holes() if not hole.is_through and hole.worked_from is PlateFace.BACK]
    if not hidden:
        return ()
    return (f"NOT ON THIS TEMPLATE, BLIND FROM THE BACK: HOLES {hidden[0]} TO {hidden[-1]}, SEE THE SHEET",)


def plate_items(flange: Flange) -> Iterator[Item]:
    """The plate, grayed, for a page map."""
    yield from metal_edges(flange, Layer.HATCH)
    for hole in flange.holes():
        yield Item(Layer.HATCH, hole.shape, HoleRef(hole.label))


def tile_items(tiles: tuple[Tile, ...]) -> Iterator[Item]:
    """What each tile shows, with its number, for a page map."""
    for number, tile in enumerate(tiles, 1):
        yield Item(Layer.TRIM, rectangle(tile.window), Furniture(f"tile {number}"))
        yield Item(
            Layer.TEXT, Label(tile.cell.center, str(number), 3.0, 0.0, Anchor.MIDDLE), Furniture(f"tile {number}")
        )


def plate_chords(flange: Flange, unit: Unit) -> TextTable:
    """Next and farthest chord of the first bolt circles, to be measured on the plate."""
    rows: list[tuple[str, ...]] = []
    for group, circle in enumerate(flange.bolt_circles[:6]):
        if circle.equally_spaced and circle.hole_count > 1:
            spans = dict.fromkeys((1, circle.hole_count // 2))
            chords = ((span, decimal_text(circle.chord_across(span), unit)) for span in spans)
            name = flange.group_letter(group) or "all"
            rows += ((name, "next" if span == 1 else f"{span} pitches", chord, "") for span, chord in chords)
    return TextTable(f"CHORDS ON THE PLATE ({unit.value})", ("CIRCLE", "SPAN", "CHORD", "MEASURED"), tuple(rows))


def _words(subject: Subject, page: TemplatePage, cover: Cover, room: Box) -> tuple[list[Item], float]:
    """The words and tables from the top of the room down, and where they end."""
    left, width = room.left, room.width
    height = _TITLE * min(1.0, width / text_width(cover.title, _TITLE))
    items = [
        text_item(Point(left, room.top - 5.0), cover.title, height),
        line_item(Point(left, room.top - 11.0), identity_line(subject.info, subject.stamp), 3.0, width),
    ]
    lines, below = paragraph(left, room.top - 14.5, width, (*cover.lead, *page.notes, PRINT_WORDS), 2.3)
    items += lines
    numbered = [f"{number}. {step}" for number, step in enumerate(cover.steps, 1)]
    lines, below = paragraph(left, below - 1.5, width, numbered, 2.3)
    items += lines
    across = left
    lowest = below
    for table in (_verdict(subject.flange, page.window, subject.unit), *cover.tables):
        if not table.rows:
            continue
        laid = lay_table(table)
        if across > left and across + laid.width > room.right:
            across, below = left, lowest - 2.0
        items += table_items(laid, across, below)
        across += laid.width + _GAP
        lowest = min(lowest, below - laid.height)
    lines, below = paragraph(left, lowest - 3.0, width, (PLATE_RULES, TAPE, LAYOUT_AID), 2.3)
    return items + lines, below


def _verdict(flange: Flange, window: Box, unit: Unit) -> TextTable:
    rows = tuple(
        (axis, bar_text(length), f"±{decimal_text(allowed_difference(flange, length), unit)} {unit.value}", "")
        for axis, length in (("X", bar_length(window.width)), ("Y", bar_length(window.height)))
    )
    return TextTable("SCALE BARS", ("BAR", "NOMINAL", "ALLOWED", "MEASURED"), rows)


def _page_map(cover: Cover, room: Box) -> View:
    """The plate with the outlines of the pages, as large as the room allows."""
    box = cover.map_box
    scale = min(room.width / box.width, room.height / box.height)
    at = Point(room.left - box.left * scale, room.top - box.top * scale)
    return View(Drawing("page map", cover.map_items), scale, at)
