"""What of a plate is said in words beside its dimensions: openings, single holes, corners of a path, joints."""

from collections.abc import Iterator, Sequence
from typing import assert_never

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange, Hole, Opening, PathOutline, SegmentOutline, SplitOutline
from flangelayout.flange.path import corners_stand_in_table, path_corners
from flangelayout.flange.plate import OpeningForm, RectangleForm, RoundForm, SlotForm, WindowForm
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.units import angle_text
from flangelayout.views.words.call_outs import face_word, seen_among
from flangelayout.views.words.holes import clean_up, hole_text, is_worked_from_one_face
from flangelayout.views.words.lengths import DIAMETER_SIGN, Lengths

_NEAR = 1e-6

_MOST_LABELS = 24
"""Labels of single holes alike that are told one by one."""


def plate_notes(flange: Flange) -> Iterator[str]:
    """How the joints of a ring in parts are made, as a line for the notes."""
    outline = flange.outline
    if isinstance(outline, SegmentOutline | SplitOutline) and outline.joint:
        yield f"Joints: {outline.joint}"


def opening_call_out(copies: Sequence[Opening], lengths: Lengths) -> tuple[str, ...]:
    """What an opening and its copies are, their sizes, where they stand; empty where only their edges are known.

    Example: ``OPENING (VENT)``, ``⌀20``, ``ON HORIZONTAL CENTERLINE, 40 RIGHT OF CENTER``.
    """
    first = copies[0]
    if first.form is None:
        return ()
    count = f"{len(copies)}{lengths.times}" if len(copies) > 1 else ""
    sizes = _form_sizes(first.form, lengths)
    return (f"{count}{first.called.upper()}", sizes, *_opening_place(copies, first.form, lengths))


def _form_sizes(form: OpeningForm, lengths: Lengths) -> str:
    match form:
        case RoundForm():
            return lengths.named_diameter(form.diameter)
        case RectangleForm():
            return f"{lengths.named(form.width)}{lengths.by}{lengths.named(form.height)}{_corners(form, lengths)}"
        case SlotForm():
            return f"SLOT {lengths.named(form.width)}{lengths.by}{lengths.named(form.length)}"
        case WindowForm():
            inner, outer = (lengths.named_diameter(size) for size in (form.inner_diameter, form.outer_diameter))
            return f"FROM {inner} TO {outer}, {angle_text(form.sweep)} WIDE{_corners(form, lengths)}"
        case _:
            assert_never(form)


def _corners(form: RectangleForm | WindowForm, lengths: Lengths) -> str:
    return f", CORNERS R{lengths.named(form.corner_radius)}" if form.corner_radius else ""


def _opening_place(copies: Sequence[Opening], form: OpeningForm, lengths: Lengths) -> Iterator[str]:
    """Where copies stand round the middle, or where the only one stands; and which way it is turned."""
    first = copies[0]
    reach = ORIGIN.distance_to(first.middle)
    if isinstance(form, WindowForm):
        yield seen_among([copy.turned_by for copy in copies])
        return
    if len(copies) > 1:
        on = f"PCD {lengths.named(2 * reach)}" if lengths.is_iso else f"{DIAMETER_SIGN}{lengths.named(2 * reach)} BC"
        yield f"EQUALLY SPACED ON {on}"
        yield seen_among([ORIGIN.direction_to(copy.middle) % 360.0 for copy in copies])
    else:
        yield from _place_lines(first.middle, lengths)
    if first.turned_by % 180.0 > _NEAR and not isinstance(form, RoundForm):
        yield "WIDTH ALONG RADIUS" if isinstance(form, RectangleForm) else "ALONG RADIUS"


def place_words(at: Point, lengths: Lengths) -> str:
    """Where something stands, measured from the centerlines of the plate."""
    return ", ".join(_place_lines(at, lengths))


def _place_lines(at: Point, lengths: Lengths) -> tuple[str, ...]:
    across = f"{lengths.size(abs(at.x))} {'RIGHT' if at.x > 0 else 'LEFT'} OF CENTER"
    up = f"{lengths.size(abs(at.y))} {'ABOVE' if at.y > 0 else 'BELOW'} CENTER"
    if abs(at.x) < _NEAR and abs(at.y) < _NEAR:
        return ("IN THE CENTER",)
    if abs(at.x) < _NEAR:
        return ("ON VERTICAL CENTERLINE", up)
    return ("ON HORIZONTAL CENTERLINE" if abs(at.y) < _NEAR else up, across)


def single_hole_call_out(holes: Sequence[Hole], flange: Flange, lengths: Lengths, *, in_table: bool) -> tuple[str, ...]:
    """The call-out of single holes alike on a sheet: what they are and what else is told of them there.

    Args:
        holes: Alike in all but their place.
        flange: The plate they are in.
        lengths: How lengths are written.
        in_table: Whether their places stand in the hole table alone.
    """
    lifting = {hole.label for hole in flange.lifting_holes()}
    made, *face = single_holes_made(holes, flange, lengths)
    lines = [f"{made}{clean_up(holes[0].kind)}", *face]
    lines += ["FOR LIFTING, SEE NOTE"] if not lifting.isdisjoint(hole.label for hole in holes) else []
    lines += [f"PLACE{'S' if len(holes) > 1 else ''} PER HOLE TABLE"] if in_table else []
    return tuple(lines)


def single_holes_made(holes: Sequence[Hole], flange: Flange, lengths: Lengths) -> tuple[str, ...]:
    """What single holes alike are: their numbers and names, their size, their face."""
    first = holes[0]
    names = dict.fromkeys(flange.single_holes[hole.number - 1].drilling.name.upper() for hole in holes)
    name = ", ".join(name for name in names if name)
    count = f"{len(holes)}{lengths.times}" if len(holes) > 1 else ""
    labels = some_labels([hole.label for hole in holes]) + (f" ({name})" if name else "")
    made = f"{labels}: {count}{hole_text(first.kind, first.diameter, lengths)}"
    face = f"FROM {face_word(flange, first.worked_from).upper()}"
    return (made, face) if is_worked_from_one_face(first.kind) else (made,)


def some_labels(labels: Sequence[str], most: int = _MOST_LABELS) -> str:
    """Labels in one line; the first and how many more where there are more than ``most``."""
    return ", ".join(labels) if len(labels) <= most else f"{labels[0]} AND {len(labels) - 1} MORE"


def corner_tables(flange: Flange, lengths: Lengths) -> tuple[TextTable, ...]:
    """The corners of a path that has too many to dimension, from the middle of the plate, with what rounds each."""
    outline = flange.outline
    if not isinstance(outline, PathOutline) or not corners_stand_in_table(outline.contour):
        return ()
    rows = tuple(
        (str(number), lengths.decimal(at.x), lengths.decimal(at.y), f"R{lengths.size(radius)}" if radius else "sharp")
        for number, (at, radius) in enumerate(path_corners(outline.contour), 1)
    )
    return (TextTable(f"CORNERS ({lengths.words()})", ("CORNER", "X CENTER", "Y CENTER", "ROUNDED"), rows),)
