"""The tables of a job: every hole with its coordinates, every chord with room for what was measured."""

from collections.abc import Iterator

from flangelayout.drawing.model import TextTable
from flangelayout.flange import DRILLED, BoltCircle, Drilled, Flange, Hole, HoleGrid, HoleRings
from flangelayout.flange.pattern import row_ends
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.joint.turned import side_text
from flangelayout.views.words.lengths import Lengths

MAX_SPANS = 16
MOST_LISTED = 60
"""Holes of a grid or of rings beyond which only the ends of the rows stand in the sheet's table."""


def hole_table(flange: Flange, lengths: Lengths) -> TextTable:
    """Every hole for the sheet: number, angle, X and Y from the center and from the corner datum, size and kind.

    The corner datum is the lower left corner of the rectangle that encloses the plate. Of a grid or of rings of
    more than :data:`MOST_LISTED` holes the ends of the rows are listed, and the title says so; the hole list
    has them all.
    """
    box, ends = flange.box(), _row_ends(flange)
    lifting = {hole.label for hole in flange.lifting_holes()}
    rows = tuple(
        (
            hole.label,
            angle_text(hole.angle),
            lengths.decimal(hole.center.x),
            lengths.decimal(hole.center.y),
            lengths.decimal(hole.center.x - box.left),
            lengths.decimal(hole.center.y - box.bottom),
            *_size_and_kind(hole, lengths, hole.label in lifting),
        )
        for hole in flange.holes()
        if hole.group not in ends or hole.number in ends[hole.group]
    )
    words = ", ".join(("degrees", *(("ends of rows; every hole in the hole list",) if ends else ())))
    columns = ("HOLE", "ANGLE", "X CENTER", "Y CENTER", "X CORNER", "Y CORNER", "SIZE", "KIND")
    return TextTable(f"HOLES ({lengths.words()}, {words})", columns, rows)


def _row_ends(flange: Flange) -> dict[int, frozenset[int]]:
    """For each group with too many holes for a table, the numbers of those that are listed."""
    return {
        group: frozenset(row_ends(pattern))
        for group, pattern in enumerate(flange.patterns, len(flange.bolt_circles))
        if isinstance(pattern, HoleGrid | HoleRings) and len(pattern.hole_centers()) > MOST_LISTED
    }


def _size_and_kind(hole: Hole, lengths: Lengths, is_lifting: bool) -> tuple[str, str]:
    lifting = ", for lifting" if is_lifting else ""
    if isinstance(hole.kind, Drilled):
        return lengths.diameter(hole.diameter), f"thru{lifting}"
    side = ", far side" if hole.has_face and hole.worked_from is PlateFace.BACK else ""
    through = "thru" if hole.is_through else "blind"
    return hole_text(hole.kind, hole.diameter, lengths), f"{through}{side}{lifting}"


def hole_list(flange: Flange, unit: Unit) -> TextTable:
    """Every hole for a CSV file: as :func:`hole_table` with more decimals, plain numbers and the group named.

    A column says what each hole is where not all are plain drilled ones.
    """
    box = flange.box()
    places = 4 if unit is Unit.MM else 5

    def number(length: float) -> str:
        return decimal_text(length, unit, places)

    holes = flange.holes()
    told = any(hole.kind != DRILLED for hole in holes)
    lifting = {hole.label for hole in flange.lifting_holes()}
    rows = tuple(
        (
            hole.label,
            _group(flange, hole) + (" (lifting)" if hole.label in lifting else ""),
            f"{hole.angle:.5f}",
            number(hole.center.x),
            number(hole.center.y),
            number(hole.center.x - box.left),
            number(hole.center.y - box.bottom),
            number(hole.diameter),
            *((hole_text(hole.kind, hole.diameter, Lengths(unit)),) if told else ()),
            *((side_text(hole.worked_from).lower() if hole.has_face else "",) if told else ()),
        )
        for hole in holes
    )
    lengths = ("x_center", "y_center", "x_corner", "y_corner", "hole_diameter")
    columns = (
        "hole",
        "group",
        "angle_deg",
        *(f"{name}_{unit.value}" for name in lengths),
        *(("made", "worked_from") if told else ()),
    )
    return TextTable("holes", columns, rows)


def chord_tables(flange: Flange, lengths: Lengths) -> tuple[TextTable, ...]:
    """One table for each bolt circle with two holes or more: what a caliper should find from center to center.

    A column with the tolerance stands beside the chords where the job states one.
    """
    tolerance = flange.tolerances.chord
    stated = "" if tolerance is None else f"±{lengths.size(tolerance)}"
    columns = ("SPAN", "HOLES", "CHORD", *(("TOLERANCE",) if stated else ()), "MEASURED")
    tables = []
    for group, circle in enumerate(flange.bolt_circles):
        rows = _equal_rows(circle, lengths) if circle.equally_spaced else _neighbor_rows(circle, lengths)
        filled = tuple((*row, *((stated,) if stated else ()), "") for row in rows)
        title = f"CHORDS {flange.group_letter(group)}".strip() + f" ({lengths.words()})"
        tables += [TextTable(title, columns, filled)] if filled else []
    return tuple(tables)


def _equal_rows(circle: BoltCircle, lengths: Lengths) -> Iterator[tuple[str, ...]]:
    """Each span from neighbors to opposite holes, with the first drilled pair that shows it."""
    drilled, count = set(circle.hole_numbers()), circle.hole_count
    for span in _spans(count // 2):
        pair = next(
            (
                (number, far)
                for number in circle.hole_numbers()
                if (far := (number + span - 1) % count + 1) in drilled and far != number
            ),
            None,
        )
        if pair:
            yield _span_text(span), f"{pair[0]} - {pair[1]}", lengths.decimal(circle.chord_across(span))


def _spans(most: int) -> list[int]:
    """1 to ``most``; of a long list the first ones and the longest, evenly thinned between."""
    if most <= MAX_SPANS:
        return list(range(1, most + 1))
    return sorted({round(1 + index * (most - 1) / (MAX_SPANS - 1)) for index in range(MAX_SPANS)})


def _span_text(span: int) -> str:
    return "next" if span == 1 else f"{span} pitches"


def _neighbor_rows(circle: BoltCircle, lengths: Lengths) -> Iterator[tuple[str, ...]]:
    """Each hole to the next one round an unequally spaced circle."""
    numbers, centers = circle.hole_numbers(), circle.hole_centers()
    if len(numbers) < 2:
        return
    order = circle.hole_order()
    for a, b in zip(order, [*order[1:], order[0]], strict=True):
        apart = centers[a].distance_to(centers[b])
        yield "next", f"{numbers[a]} - {numbers[b]}", lengths.decimal(apart)


def _group(flange: Flange, hole: Hole) -> str:
    if hole.group >= 0:
        return flange.group_name(hole.group)
    return flange.single_holes[hole.number - 1].drilling.name or "single hole"
