"""Cut drawings of single plates taken apart into parts to nest, and put together again where they lie."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, CutPath, Drawing, Item
from flangelayout.drawing.references import PlacedRef
from flangelayout.errors import InputError
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.measure import Edge, area, is_inside
from flangelayout.geometry.pieces import point_at
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point
from flangelayout.nest import Nest, NestPart, PlacedPiece, moved_shape
from flangelayout.problems.output import OutputProblem
from flangelayout.value import replace
from flangelayout.views.words.references import ref_words

_INSIDE = (Layer.CUT_HOLES, Layer.CUT_BORE)


class NestPiece(Struct, frozen=True):
    """What is cut for one part of a plate: the part as the nest sees it, and its items in the order of cutting.

    Attributes:
        part: Outline, openings, quantity.
        items: Marks, then what is cut, all about the origin of the plate.
        job: Index of the job it belongs to.
    """

    part: NestPart
    items: tuple[Item, ...]
    job: int


def nest_pieces(drawing: Drawing, name: str, quantity: int, job: int) -> Iterator[NestPiece]:
    """The parts of a finished cut drawing: one, or several where the plate is made in parts.

    Args:
        drawing: What is cut, with kerf, leads and marks.
        name: Of the plate.
        quantity: How many of it.
        job: Index of the job.

    Raises:
        InputError: If an opening belongs to none of the parts.
    """
    outlines = [item for item in drawing.items if item.layer is Layer.CUT_OUTLINE]
    owners = {item.source: index for index, item in enumerate(outlines)}
    owned: list[list[Item]] = [[] for _ in outlines]
    for item in drawing.items:
        owner = owners.get(item.source)
        if owner is None:
            place = _place_on(item)
            owner = next((index for index, each in enumerate(outlines) if is_inside(_edge(each), place)), None)
        if owner is None:
            raise InputError.of(OutputProblem.OUTSIDE_EVERY_PART, name, item=ref_words(item.source))
        owned[owner].append(item)
    for index, items in enumerate(owned):
        title = name if len(outlines) == 1 else f"{name}, part {index + 1}"
        yield NestPiece(_part(_edge(outlines[index]), items, title, quantity), tuple(items), job)


def nest_drawing(nest: Nest, pieces: Sequence[NestPiece], plate: int) -> Drawing:
    """Everything cut from one plate: all marks first, then piece by piece, inside first and drops before their host."""
    marks: list[Item] = []
    cuts: list[Item] = []
    for mark, placed in marked(nest):
        if placed.plate != plate:
            continue
        for item in pieces[placed.part].items:
            laid = replace(item, what=_moved(item, placed), source=PlacedRef(mark, item.source))
            (marks if item.layer is Layer.CUT_MARKS else cuts).append(laid)
    return Drawing(f"nest, plate {plate + 1}", (*marks, *cuts))


def marked(nest: Nest) -> Iterator[tuple[str, PlacedPiece]]:
    """Every piece with its mark: a letter for the kind, a number for the piece, in the order of cutting."""
    counts = [0] * len(nest.parts)
    for placed in nest.placed:
        counts[placed.part] += 1
        yield f"{kind_letter(placed.part)}{counts[placed.part]}", placed


def kind_letter(index: int) -> str:
    """A to Z, then AA, AB, ..., without I and O, which read as figures."""
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    more, last = divmod(index, len(letters))
    return (kind_letter(more - 1) if more else "") + letters[last]


def _part(outline: Edge, items: Sequence[Item], name: str, quantity: int) -> NestPart:
    openings = tuple(_edge(item) for item in items if item.layer in _INSIDE)
    leads = tuple(lead for item in items if isinstance(item.what, CutPath) for lead in item.what.leads)
    metal = area(outline) - sum(area(opening) for opening in openings)
    return NestPart(name, outline, openings, metal, quantity, leads)


def _place_on(item: Item) -> Point:
    what = item.what.path if isinstance(item.what, CutPath) else item.what
    match what:
        case Circle() | CenterMark():
            return what.center if isinstance(what, Circle) else what.at
        case Contour():
            return point_at(what.parts[0], 0.5)
        case Line() | Arc():
            return point_at(what, 1.0)
        case _:
            raise InputError.of(OutputProblem.NOT_FOR_A_NEST, ref_words(item.source), shape=type(what).__name__)


def _moved(item: Item, placed: PlacedPiece) -> Line | Circle | Arc | Contour | CutPath | CenterMark:
    what = item.what
    if isinstance(what, CenterMark):
        return replace(what, at=turned_point(what.at, placed.turn_deg) + placed.at)
    if isinstance(what, CutPath):
        ways = tuple(moved_shape(way, placed.turn_deg, placed.at) for way in what.ways)
        leads = tuple(moved_shape(lead, placed.turn_deg, placed.at) for lead in what.leads)
        path = moved_shape(what.path, placed.turn_deg, placed.at)
        assert not isinstance(path, Arc)
        return CutPath(path, ways, leads)
    assert isinstance(what, Line | Circle | Arc | Contour)
    return moved_shape(what, placed.turn_deg, placed.at)


def _edge(item: Item) -> Edge:
    what = item.what.path if isinstance(item.what, CutPath) else item.what
    assert isinstance(what, Circle | Contour), f"{item} is no closed shape"
    return what
