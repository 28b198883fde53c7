"""Sections of single holes beside the views: a profile of each kind of hole that the section's plane does not show.

Each is cut through the axis of one hole, along the ray to it from the middle of the plate, as far as nothing but that
hole stands there, and lies with the named face up. Plain, reamed and long holes have none: their profile is told by
their diameter.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, View
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import Counterbored, Countersunk, Flange, Hole, HoleKind, Jack, Spotfaced, Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.measure import distance_to_edge
from flangelayout.geometry.shapes import ORIGIN, Contour, Line, Point
from flangelayout.value import replace
from flangelayout.views.page.blocks import Block, PlacedBlock, side_by_side, stacked, text_block
from flangelayout.views.page.scales import DRAWING_SCALES, scale_text
from flangelayout.views.page.text import text_item
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.section.cut import PlaneCut
from flangelayout.views.sheet.section.drawn import Section, seat_depth, section_items
from flangelayout.views.sheet.section.holes import turned_in
from flangelayout.views.words.plate import some_labels

SECTIONS = "HOLE SECTIONS"
"""What the block tells of."""
_PRINTED = 34.0, 18.0
"""Printed mm that the plate is high, and the widest hole wide, at the most; where less room is left."""
_BESIDE, _OF_ROOM = 5.0, 0.8
"""Printed mm of metal beside a hole, and the most of what stands there that is shown."""
_BREAK = 1.2
"""Printed mm by which the zigzag of a break line leaves it, and by which its ends leave the metal."""
_CAPTION = 1.8
"""Heights of a capital from a profile to the foot of what is written under it."""
_NARROW = 30.0
"""Printed mm that what is written under a profile is wide at the most."""
_TRIED = 24
"""Holes of a kind among which the first with metal all round it is looked for."""
_MOST_NAMES = 6
"""Names that are written under a profile one by one."""
_SAME = 1e-6


class Unshown(Struct, frozen=True):
    """Holes of one kind that the section does not show.

    Attributes:
        hole: The one of them that is cut: the first with metal all round it.
        names: What they are called: letters of groups, labels of single holes.
        room: Mm from its edge at the face to whatever is next.
    """

    hole: Hole
    names: tuple[str, ...]
    room: float


def unshown_holes(section: Section) -> tuple[Unshown, ...]:
    """One of each kind of hole with a profile of its own that the plane does not cut along the axis."""
    flange = section.look.flange
    drillings = (each.drilling for each in (*flange.groups(), *flange.single_holes))
    if not any(_has_profile(each.kind) for each in drillings):
        return ()
    holes = {hole.label: hole for hole in flange.holes() if _has_profile(hole.kind)}
    cuts = (cut for cut in section.cuts if cut.label in holes)
    on_axis = (holes[cut.label] for cut in cuts if cut.is_turned_in or _is_on(section, holes[cut.label]))
    shown = {_made(flange, hole) for hole in on_axis}
    alike: dict[tuple[object, ...], list[Hole]] = {}
    for hole in holes.values():
        if (made := _made(flange, hole)) not in shown:
            alike.setdefault(made, []).append(hole)
    found = (_unshown(flange, each) for each in alike.values())
    return tuple(each for each in found if each.room > _SAME)


def hole_sections(look: Look, unshown: Sequence[Unshown]) -> Block:
    """The profiles beside each other under their title; in fewer columns, then smaller, where there is less room."""
    sizes = (look.flange.thickness or 0.0, *(each.hole.face_diameter for each in unshown))
    scales = dict.fromkeys(_scale(max(sizes), printed) for printed in _PRINTED)
    first, *others = (shape for scale in scales for shape in _shapes(replace(look, scale=scale), unshown))
    return replace(first, topic=SECTIONS, narrower=tuple(others))


def _scale(size: float, printed: float) -> float:
    """The largest at which a size takes no more printed mm."""
    return next((scale for scale in DRAWING_SCALES if size * scale <= printed), DRAWING_SCALES[-1])


def _shapes(look: Look, unshown: Sequence[Unshown]) -> Iterator[Block]:
    """All profiles at one scale, from all in a row to all under each other."""
    cells = [_cell(look, each) for each in unshown]
    title = f"SECTION{'S' if len(cells) > 1 else ''} OF HOLES ({scale_text(look.scale)})"
    face = f"{look.flange.face.upper()} UP"
    least = max(text_width(line, look.letter) for line in (title, face)) + _SAME
    for columns in range(len(cells), 0, -1):
        rows = [side_by_side(cells[at : at + columns]) for at in range(0, len(cells), columns)]
        rows[:-1] = [replace(row, height=row.height + look.letter) for row in rows[:-1]]
        width = max(least, *(row.width for row in rows))
        yield stacked([text_block(title, (face,), width, look.letter), *rows])


def _has_profile(kind: HoleKind) -> bool:
    return isinstance(kind, Tapped | Jack | Counterbored | Countersunk | Spotfaced)


def _is_on(section: Section, hole: Hole) -> bool:
    return abs(hole.center.x - section.plane) < _SAME


def _made(flange: Flange, hole: Hole) -> tuple[object, ...]:
    """What two holes have alike whose profiles are the same."""
    radius = ORIGIN.distance_to(hole.center)
    surfaces = (flange.profile.of(face).depth_at(radius) for face in PlateFace)
    return hole.kind, hole.diameter, hole.made_from, *surfaces


def _unshown(flange: Flange, alike: Sequence[Hole]) -> Unshown:
    rooms = ((_room(flange, hole), hole) for hole in alike[:_TRIED])
    room, hole = next((each for each in rooms if each[0] > _SAME), (0.0, alike[0]))
    letters = (flange.group_letter(each.group) if each.group >= 0 else "" for each in alike)
    names = dict.fromkeys(letter or each.label for letter, each in zip(letters, alike, strict=True))
    return Unshown(hole, tuple(names), room)


def _room(flange: Flange, hole: Hole) -> float:
    """How far in mm it is from the edge of a hole at the face to the next hole, opening or edge."""
    center = hole.center
    to_holes = (center.distance_to(each.center) - each.reach for each in flange.holes() if each is not hole)
    to_openings = (-distance_to_edge(each.shape, center) for each in flange.cutouts())
    return min((flange.edge_distance(center), *to_holes, *to_openings)) - hole.face_diameter / 2


def _cell(look: Look, unshown: Unshown) -> Block:
    """A profile over the names of the holes that have it."""
    section = _lying(look, unshown)
    drawn = tuple(_with_broken_ends(section))
    box, letter = items_box(drawn, look.scale).scaled(look.scale), look.letter
    names = some_labels(unshown.names, _MOST_NAMES)
    many = len(unshown.names) > 1 or not names[-1].isdigit()
    caption = wrapped(f"HOLE{'S' if many else ''} {names}", _NARROW, letter)
    width = max(box.width, *(text_width(line, letter) for line in caption))
    pitch = letter * _CAPTION

    def draw(at: Point) -> PlacedBlock:
        middle = at.x + width / 2
        origin = Point(middle - box.center.x, at.y - box.top)
        lines = (Point(middle, at.y - box.height - pitch * row) for row in range(1, len(caption) + 1))
        items = tuple(text_item(*each, letter, Anchor.CENTER) for each in zip(lines, caption, strict=True))
        return PlacedBlock(items, (View(Drawing("hole section", drawn), look.scale, origin),))

    return Block(width, box.height + pitch * len(caption), draw)


def _lying(look: Look, unshown: Unshown) -> Section:
    """A hole with the metal beside it."""
    hole, radius = unshown.hole, ORIGIN.distance_to(unshown.hole.center)
    cut = turned_in(look.flange, hole, radius, seat_depth(look))
    reach = hole.face_diameter / 2 + min(look.real(_BESIDE), unshown.room * _OF_ROOM)
    return Section(look, -radius, PlaneCut(0.0, ((radius - reach, radius + reach),), (), (cut,)), is_lying=True)


def _with_broken_ends(section: Section) -> Iterator[Item]:
    """The section without edges where its metal goes on, break lines in their places."""
    ((low, high),) = section.metal
    ends = [section.place(0.0, y).x for y in (low, high)]
    for item in section_items(section):
        if not isinstance(item.what, Contour):
            yield item
            continue
        for part in item.what.parts:
            if not any(abs(part.start.x - x) + abs(part.end.x - x) < _SAME for x in ends if isinstance(part, Line)):
                yield replace(item, what=part)
    for y in (low, high):
        yield from _break_line(section, y)


def _break_line(section: Section, y: float) -> Iterator[Item]:
    """A thin line with a zigzag across the metal at a height (ISO 128-2, line 01.1; from memory)."""
    out = section.look.real(_BREAK)
    front, back = (section.below(face, section.surface(face, y)) for face in PlateFace)
    middle = (front + back) / 2
    depths = front - out, middle - out, middle - out / 2, middle + out / 2, middle + out, back + out
    asides = 0.0, 0.0, out, -out, 0.0, 0.0
    corners = [section.place(depth, y + aside) for depth, aside in zip(depths, asides, strict=True)]
    for start, end in pairwise(corners):
        yield Item(Layer.DIMENSION, Line(start, end), Furniture("section"))
