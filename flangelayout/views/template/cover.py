"""The first page of a template: which page goes where, how to print and join them, and what decides."""

from collections.abc import Iterator, Sequence
from itertools import combinations, groupby

from msgspec import Struct

from flangelayout.checks.dimensioned import alike_single_holes
from flangelayout.checks.inspection.stated import held_in_general
from flangelayout.checks.inspection.tolerances import allowed_spans
from flangelayout.checks.measuring import MeasuredSpan
from flangelayout.drawing.model import Item, Sheet, TextTable, View
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Drilled, Flange, Hole, SegmentOutline, Slot
from flangelayout.geometry.shapes import Box, Point, box_around
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit, counted, decimal_text
from flangelayout.value import replace
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.text import identity_line, paragraph, text_item
from flangelayout.views.template.edges.lone_cuts import lone_cuts
from flangelayout.views.template.edges.sides import is_upright
from flangelayout.views.template.furniture import (
    PRINT_WORDS,
    Subject,
    shares_in_words,
    use_lines,
    way_round,
)
from flangelayout.views.template.measured.across import PaperCheck, paper_check
from flangelayout.views.template.measured.bars import (
    accept_text,
    bar_length,
    bar_text,
    caliper_margin,
    rule_margin,
    short_length,
)
from flangelayout.views.template.page_map import has_small_numbers, page_map, plate_map, plate_top, tile_items
from flangelayout.views.template.paper import TemplatePage
from flangelayout.views.template.tiling import Tile, Tiling
from flangelayout.views.words.bench.measuring import accepted
from flangelayout.views.words.call_outs import (
    LAYOUT_AID,
    PLATE_RULES,
    TAPE,
    behind_call_out,
    named_call_out,
    seen_from,
)
from flangelayout.views.words.joint.turned import machining_lines
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.numbering import holes_in_words
from flangelayout.views.words.plate import single_holes_made

PRINT_STEP = "Print all pages in one run, one side only, at 100 %, on the same paper. Let them settle before measuring."
MEASURE_STEP = "Measure both bars on every page, by rule or by caliper. Outside of what is accepted: do not use it."
_MARK_TO_MARK, _OF_SLOTS = "from punch mark to punch mark", ", of a slot from halfway between its two"
_SLOT_STEP = "Of a slot halfway between its two crosses is the middle: mark it, and measure from there."
SLOT_CENTER = ", THAT OF A SLOT HALFWAY BETWEEN ITS TWO CROSSES"
JOIN_STEPS = (
    "Cut a page only along its dashed lines, at the left and the top, edge to edge with a knife along a rule. Keep "
    "the right and the lower edges. For short: OVER 1 is cut and lay over tile 1, GLUE 2 keep and glue tile 2.",
    "In the order of their numbers, lay every tile over those before it: its cut edge to their line, the halves of "
    "every diamond closed, J1 to J1. Glue on the dots. Never punch a diamond.",
)
EDGE_RULE = (
    "EVERY TILE: cut and lay over at the left and the top where it is dashed; keep and glue at the right and below."
)
MAP_PAGE = "page map"
_MAP_OVERLEAF = "PAGE MAP: on the next page"
_TOO_SMALL = 50.0
"""Width and height in mm of a room that a map does not go into."""
_GAP = 6.0
_TITLE = 4.5
_TEXT = 2.5
_TEXT_SHARES = (0.56, 0.68, 0.8, 1.0)
"""Of the width of a sideways page that its words take: the least in which they end on it, the map has the rest."""
_MOST_IN_TABLE = 16
_LEAST_MAP = 60.0
"""Width in mm that the table of edges leaves the map at least."""
_SAME, _MOST_WAYS, _ENOUGH = 1e-6, 2, 6
_ONCE = "HOLES THAT GO RIGHT THROUGH STAND HERE AND ON THE TEMPLATE OF THE FACE: DRILL THEM ONCE"
_ALL_FROM_BEHIND = "EVERY HOLE IS BLIND FROM THIS SIDE: THE OTHER FACE HAS NO TEMPLATE"


class Cover(Struct, frozen=True):
    """What a cover says and shows.

    Attributes:
        title: In large letters.
        lead: Lines about what the template is.
        steps: What to do, in order; they are numbered.
        tables: To measure and to write in, beside the one for the scale bars.
        map_title: Over the page map.
        map_items: The page map at real size.
        map_box: What of it is shown.
        map_top: Where it says TOP; ``None`` where it does not.
        edges: What is done at each edge of each tile; ``None`` where there are none or too many.
        many: Whether the map is of too many tiles for that table: :data:`EDGE_RULE` stands for it.
    """

    title: str
    lead: tuple[str, ...]
    steps: tuple[str, ...]
    tables: tuple[TextTable, ...]
    map_title: str
    map_items: tuple[Item, ...]
    map_box: Box
    map_top: Point | None = None
    edges: TextTable | None = None
    many: bool = False


def plate_cover(subject: Subject, tiling: Tiling) -> Cover:
    """The cover of a template that shows the whole plate."""
    flange = subject.flange
    turned = "part over left to right" if subject.part else "plate over left to right, TOP up"
    over = f"Turn the {turned}. " if subject.is_back else ""
    is_segment = isinstance(flange.outline, SegmentOutline)
    lay = "both joints and the rim on the part's own" if is_segment else "the centerlines on the plate's own, TOP up"
    are_joined = len(tiling.tiles) > 1
    check, chords = paper_check(flange, subject.unit, tiling.seams, subject.is_back), plate_chords(flange, subject.unit)
    steps = (
        PRINT_STEP,
        MEASURE_STEP,
        *(JOIN_STEPS if are_joined else ()),
        *slot_steps(flange),
        _read_step(check, len(tiling.seams), are_joined, has_chords=bool(chords.rows)),
        f"{over}Lay {lay}, and tape down flat. Measure again every bar still in sight.",
        *hole_steps(flange),
    )
    return Cover(
        "DRILLING TEMPLATE OF THE BACK, FULL SCALE" if subject.is_back else "DRILLING TEMPLATE, FULL SCALE",
        (*use_lines(subject), *call_outs(subject)),
        steps,
        (_paper_table(check, subject.unit, are_joined), chords, *share_tables(subject)),
        f"PAGE MAP: {counted(len(tiling.tiles), 'tile')}, number = tile of the set",
        (*tile_items(tiling.tiles), *plate_map(subject)),
        box_around([corner for tile in tiling.tiles for corner in tile.cell.corners]),
        plate_top(subject),
        _edges(tiling),
        len(tiling.tiles) > _MOST_IN_TABLE,
    )


def _read_step(check: PaperCheck, seams: int, are_joined: bool, *, has_chords: bool) -> str:
    """When the paper may be used, and how far that goes where what is read does not cross every seam."""
    again = "Read the joined paper. Out: lay the last joint again. Still out" if are_joined else "Read the paper. Out"
    step = f"{again}: do not use it, {'step the chords on the plate' if has_chords else 'lay it out by the sheet'}."
    if check.crossed == seams:
        return step
    return f"{step} What is read crosses {check.crossed} of {seams} seams; at the others go by the diamonds."


def slot_steps(flange: Flange) -> tuple[str, ...]:
    """From where slots are measured, which bear no mark there; nothing where there are none."""
    return (_SLOT_STEP,) if has_slots(flange) else ()


def has_slots(flange: Flange) -> bool:
    """Whether any hole that is shown is one, which has two crosses."""
    return any(isinstance(hole.kind, Slot) for hole in flange.shown_holes())


def mark_to_mark(flange: Flange) -> str:
    """Between what on the plate chords are measured."""
    return _MARK_TO_MARK + (_OF_SLOTS if has_slots(flange) else "")


def punch_step(flange: Flange) -> str:
    """That holes are punched, and how the plate tells whether they are right."""
    return f"Punch through the open crosses. Measure the chords below on the plate, {mark_to_mark(flange)}."


def hole_steps(flange: Flange) -> tuple[str, ...]:
    """What is done once the paper lies: by how many holes there are."""
    match len(flange.shown_holes()):
        case 0:
            return ("Scribe along the edges. Measure the plate's own sizes against the sheet.",)
        case 1:
            return ("Punch through the open cross. Measure its place on the plate against the sheet, then drill.",)
        case _:
            return punch_step(flange), drill_step(flange)


def drill_step(flange: Flange) -> str:
    """How the holes are made so that the first two still tell of an error; only plain ones can be pinned to a mate."""
    is_gasket, two = is_gasket_material(flange.material), "two holes as far apart as they come"
    if len(flange.shown_holes()) == 2:
        return "Cut both." if is_gasket else "Drill both."
    if is_gasket:
        return f"Cut {two}, lay the gasket on the mate, then cut the rest."
    if all(isinstance(hole.kind, Drilled) for hole in flange.holes()):
        return f"Drill {two}, pin them to the mate, then drill the rest."
    return f"Drill {two}, measure them on the plate against the chords, then drill the rest."


def cover_sheets(subject: Subject, page: TemplatePage, margin: float, cover: Cover) -> tuple[Sheet, ...]:
    """The cover: words and tables on the upper (sideways: left) part, the page map on the rest.

    A map of many tiles, whose numbers would have no room in them there, has a page of its own.
    """
    sheet = page.paper
    whole = Box(margin, margin, sheet.width - margin, sheet.height - margin)
    sideways = sheet.width > sheet.height
    for share in _TEXT_SHARES if sideways else (1.0,):
        text_right = whole.left + whole.width * share
        items, below = _words(subject, page, cover, Box(whole.left, whole.bottom, text_right, whole.top))
        if below >= whole.bottom:
            break
    room = (
        Box(text_right + _GAP, whole.bottom, whole.right, whole.top)
        if sideways
        else Box(whole.left, whole.bottom, whole.right, below - _GAP)
    )
    caption, map_top = paragraph(room.left, room.top, room.width, (cover.map_title,), _TEXT)
    map_room = Box(room.left, room.bottom, room.right, map_top + _TEXT / 2)
    is_small = min(map_room.width, map_room.height) <= _TOO_SMALL
    if is_small or (cover.many and has_small_numbers(cover.map_items, cover.map_box, map_room)):
        told, below = paragraph(room.left, room.top, room.width, (_MAP_OVERLEAF,), _TEXT)
        first = Sheet(sheet, (), (*items, *(told if below >= room.bottom else ())), "cover")
        return first, _map_sheet(subject, page, whole, cover)
    view, beside = _map_and_edges(cover, map_room)
    return (Sheet(sheet, (view,), (*items, *caption, *beside), "cover"),)


def _map_and_edges(cover: Cover, room: Box) -> tuple[View, Sequence[Item]]:
    """The page map and, at the right of it or else below, the table of edges where there is room for both."""
    edges = lay_table(cover.edges, _TEXT) if cover.edges else None
    if edges and edges.height <= room.height and room.width - edges.width - _GAP >= _LEAST_MAP:
        view = _map_in(cover, replace(room, right=room.right - edges.width - _GAP))
        return view, table_items(edges, room.right - edges.width, room.top)
    if edges and edges.width <= room.width and room.height - edges.height - _GAP >= _LEAST_MAP:
        view = _map_in(cover, replace(room, bottom=room.bottom + edges.height + _GAP))
        return view, table_items(edges, room.left, view.at_paper.y + cover.map_box.bottom * view.scale - _GAP)
    return _map_in(cover, room), ()


def _map_in(cover: Cover, room: Box) -> View:
    return page_map(cover.map_items, cover.map_top, cover.map_box, room)


def _map_sheet(subject: Subject, page: TemplatePage, whole: Box, cover: Cover) -> Sheet:
    """A page for the map alone, with what holds for the edges of every tile."""
    rule = (EDGE_RULE,) if cover.many else ()
    told = (identity_line(subject.info, subject.stamp), *page.notes, cover.map_title, *rule)
    lines, below = paragraph(whole.left, whole.top - _TEXT, whole.width, told, _TEXT)
    view, beside = _map_and_edges(cover, replace(whole, top=below - _GAP))
    return Sheet(page.paper, (view,), (*lines, *beside), MAP_PAGE)


def call_outs(subject: Subject) -> tuple[str, ...]:
    """Every group of holes in a line, single ones in one together, and from where the plate is seen."""
    flange, lengths, seen = subject.flange, Lengths(subject.unit), subject.drawn or subject.flange
    shown = {hole.label for hole in flange.shown_holes()}
    alike = ([hole for hole in holes if hole.label in shown] for holes in alike_single_holes(seen))
    alone = "; ".join(", ".join(single_holes_made(holes, seen, lengths)) for holes in alike if holes)
    singles = (alone,) if alone else ()
    if subject.drawn is not None:
        told = (behind_call_out(subject.drawn, group, lengths) for group, _ in flange.shown_groups())
        once = (_ONCE,) if any(hole.is_through for hole in flange.holes()) else ()
        unseen = () if subject.drawn.shown_holes() else (_ALL_FROM_BEHIND,)
        return (*told, *singles, seen_from(flange, turned_over=True), *once, *unseen)
    drilled = (named_call_out(flange, group, lengths) for group, _ in flange.shown_groups())
    machined = (f"MACHINED, NOT BY THIS TEMPLATE: {line}" for line in machining_lines(flange, lengths))
    return (*drilled, *singles, seen_from(flange), *machined, *_from_the_back(flange))


def _from_the_back(flange: Flange) -> tuple[str, ...]:
    """Blind holes of the face that the template does not lie on."""
    hidden = flange.hidden_holes()
    if not hidden:
        return ()
    holes = holes_in_words(hidden)
    return (f"NOT ON THIS TEMPLATE, BLIND FROM THE BACK: {holes}. THEY ARE ON THE TEMPLATE OF THE BACK",)


def share_tables(subject: Subject) -> Iterator[TextTable]:
    """Which holes of every part of a ring the template shows, in its order; many parts in several tables."""
    shares = enumerate(shares_in_words(subject), 1)
    rows = [(f"{part}{', as printed' if part == 1 else ''}", holes) for part, holes in shares]
    for first in range(0, len(rows), _MOST_IN_TABLE):
        yield TextTable(
            f"EVERY PART, {way_round(subject)}", ("PART", "ITS HOLES"), tuple(rows[first : first + _MOST_IN_TABLE])
        )


def _paper_table(check: PaperCheck, unit: Unit, are_joined: bool) -> TextTable:
    """What is read on the paper, or on the joined pages, before it is used."""
    paper = "JOINED PAPER" if are_joined else "PAPER"
    rows = tuple((length.between, length.wanted, length.accept, "") for length in check.lengths)
    return TextTable(f"ON THE {paper} ({unit.value})", ("FROM - TO", "WANTED", "ACCEPT", "READ"), rows)


def _edges(tiling: Tiling) -> TextTable | None:
    """For every tile and side over which tiles it is cut and laid, or to which it is kept and glued, in short."""
    sides = ("LEFT", "RIGHT", "TOP", "BOTTOM")
    numbers = {tile: number for number, tile in enumerate(tiling.tiles, 1)}
    met: dict[tuple[Tile, str, str], list[str]] = {}
    for joint in tiling.joints:
        upright = is_upright(joint)
        over, under = joint.over.cell.center, joint.under.cell.center
        first = (over.x > under.x) if upright else (over.y < under.y)
        pair = ("LEFT", "RIGHT") if upright else ("TOP", "BOTTOM")
        over_side, under_side = pair if first else pair[::-1]
        met.setdefault((joint.over, over_side, "OVER"), []).append(str(numbers[joint.under]))
        met.setdefault((joint.under, under_side, "GLUE"), []).append(str(numbers[joint.over]))
    done = {(tile, side): f"{what} {', '.join(others)}" for (tile, side, what), others in met.items()}
    for cut in lone_cuts(tiling):
        done.setdefault((cut.over, "LEFT" if is_upright(cut) else "TOP"), "CUT")
    if not done or len(numbers) > _MOST_IN_TABLE:
        return None
    rows = tuple((str(number), *(done.get((tile, side), "-") for side in sides)) for tile, number in numbers.items())
    return TextTable("EDGES", ("TILE", *sides), rows)


def plate_chords(flange: Flange, unit: Unit) -> TextTable:
    """Next and farthest chord of the first bolt circles, to be measured on the plate, and ways to other holes."""
    rows: list[tuple[str, str, str, str]] = []
    lengths, is_gasket = Lengths(unit), is_gasket_material(flange.material)
    for group, circle in flange.shown_circles()[:6]:
        name = flange.group_letter(group) or "all"
        if circle.equally_spaced:
            spans = [(span, "next" if span == 1 else f"{span} pitches") for span in _spans(circle)]
            ways = [(told, circle.chord_across(span), span == 1) for span, told in spans]
        else:
            holes = [hole for hole in flange.shown_holes() if hole.group == group]
            pairs = _from_hole_to_hole(holes)[:_MOST_WAYS]
            ways = [(*_way(*pair), not rank) for rank, pair in enumerate(pairs)]
        rows += (
            (name, told, decimal_text(chord, unit), accepted_chord(flange, group, chord, is_next, unit))
            for told, chord, is_next in ways
        )
    limits = {frozenset((one.label, other.label)): allowed for one, other, allowed in held_in_general(flange)}
    for one, other in _off_circles(flange) if len(rows) < _ENOUGH else ():
        told, chord = _way(one, other)
        allowed = accepted(limits.get(frozenset((one.label, other.label))), chord, lengths, is_gasket)
        rows.append(("-", told, decimal_text(chord, unit), allowed))
    heads, held = ("CIRCLE", "SPAN", "CHORD"), any(limits for *_, limits in rows)
    written = tuple((*row, "") if held else (*row[:3], "") for row in rows)
    title = f"CHORDS ON THE PLATE ({unit.value})"
    return TextTable(title, (*heads, *(("ACCEPT",) if held else ()), "MEASURED"), written)


def accepted_chord(flange: Flange, group: int, chord: float, is_next: bool, unit: Unit) -> str:
    """The limits of a chord of a circle as its drawing states them; empty where it has none."""
    span = MeasuredSpan(0, 1, chord, is_across=not is_next)
    (allowed,) = allowed_spans(flange, group, (span,), unit)
    return accepted(allowed, chord, Lengths(unit), is_gasket_material(flange.material))


def _off_circles(flange: Flange) -> Iterator[tuple[Hole, Hole]]:
    """From hole to hole where there is no circle; else the longest way of other patterns and one to their first.

    Holes for tubes bear no numbers to be found by.
    """
    holes, circles = flange.shown_holes(), {group for group, _ in flange.shown_circles()}
    if not circles:
        yield from _from_hole_to_hole(holes)
        return
    others = (hole for hole in holes if hole.group not in circles)
    named = (hole for hole in others if hole.group < 0 or not flange.groups()[hole.group].tubes)
    for _, some in groupby(named, key=lambda hole: hole.group):
        first, *rest = some
        yield from _farthest((first, *rest))[:1] if rest else ()
        yield holes[0], first


def _way(one: Hole, other: Hole) -> tuple[str, float]:
    """From hole to hole, and how far that is."""
    return f"{one.label} to {other.label}", one.center.distance_to(other.center)


def _from_hole_to_hole(holes: Sequence[Hole]) -> list[tuple[Hole, Hole]]:
    """From the first hole to the nearest, then the longest ways; nothing of a single hole."""
    if len(holes) < 2:
        return []
    near = min(holes[1:], key=lambda hole: hole.center.distance_to(holes[0].center))
    return list(dict.fromkeys(((holes[0], near), *_farthest(holes))))


def _farthest(holes: Sequence[Hole]) -> list[tuple[Hole, Hole]]:
    """The one or two longest ways from hole to hole among those that stand out most, level, upright and square."""
    ways = (Point(1.0, 0.0), Point(0.0, 1.0), Point(1.0, 1.0), Point(1.0, -1.0))
    outer = {
        pick(holes, key=lambda hole: hole.center.x * way.x + hole.center.y * way.y).label
        for way in ways
        for pick in (min, max)
    }
    pairs = list(combinations((hole for hole in holes if hole.label in outer), 2))
    most = max(one.center.distance_to(other.center) for one, other in pairs)
    return [(one, other) for one, other in pairs if one.center.distance_to(other.center) > most - _SAME][:_MOST_WAYS]


def _spans(circle: BoltCircle) -> tuple[int, ...]:
    """The least and the greatest number of pitches from one drilled hole to another, round the shorter way."""
    drilled, count = {number - 1 for number in circle.hole_numbers()}, circle.hole_count
    pitches = range(1, count // 2 + 1)
    ends = (
        next((span for span in way if any((at + span) % count in drilled for at in drilled)), None)
        for way in (pitches, pitches[::-1])
    )
    return tuple(dict.fromkeys(span for span in ends if span is not None))


def _words(subject: Subject, page: TemplatePage, cover: Cover, room: Box) -> tuple[list[Item], float]:
    """The words and tables from the top of the room down, and where they end."""
    left, width = room.left, room.width
    height = _TITLE * min(1.0, width / text_width(cover.title, _TITLE))
    told = (identity_line(subject.info, subject.stamp),)
    identity, below = paragraph(left, room.top - 8.0, width, told, 3.0, between=0.0)
    items = [
        text_item(Point(left, room.top - 5.0), cover.title, height),
        *identity,
    ]
    lines, below = paragraph(left, below - 0.5, width, (*cover.lead, *page.notes, PRINT_WORDS), _TEXT)
    items += lines
    numbered = [f"{number}. {step}" for number, step in enumerate(cover.steps, 1)]
    lines, below = paragraph(left, below - 1.5, width, numbered, _TEXT)
    items += lines
    tables = (_verdict(subject.flange, page.window, subject.unit), *cover.tables)
    placed, lowest = _in_columns([lay_table(table, _TEXT) for table in tables if table.rows], replace(room, top=below))
    items += placed
    lines, below = paragraph(left, lowest - 3.0, width, (PLATE_RULES, TAPE, LAYOUT_AID), _TEXT)
    return items + lines, below


def _in_columns(tables: Sequence[LaidTable], room: Box) -> tuple[list[Item], float]:
    """Tables in two columns, each where it stands highest; what is too wide for the second stands in the first.

    Returns:
        The items and the y of the lowest one.
    """
    items: list[Item] = []
    tops = {room.left: room.top, room.left + max(laid.width for laid in tables) + _GAP: room.top}
    for laid in tables:
        x = max((x for x in tops if x == room.left or x + laid.width <= room.right), key=lambda x: tops[x])
        items += table_items(laid, x, tops[x])
        tops[x] -= laid.height + 2.0
    return items, min(tops.values()) + 2.0


def _verdict(flange: Flange, window: Box, unit: Unit) -> TextTable:
    """What each bar is, and what may be read on it."""
    rows = []
    for axis, room in (("X", window.width), ("Y", window.height)):
        long, short = bar_length(room, unit), short_length(room, unit)
        ruled = accept_text(long, rule_margin(flange, long, unit), unit)
        read = accept_text(short, caliper_margin(flange, short, unit), unit, caliper=True)
        rows += [(axis, bar_text(long, unit), "rule", ruled, ""), (axis, bar_text(short, unit), "caliper", read, "")]
    return TextTable("SCALE BARS", ("BAR", "NOMINAL", "BY", "ACCEPT", "READ"), tuple(rows))
