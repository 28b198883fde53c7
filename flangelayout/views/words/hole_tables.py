"""The tables of a job: every hole with its coordinates, on the sheet and as a file."""

from collections.abc import Iterator, Sequence

from flangelayout.drawing.model import TextTable
from flangelayout.flange import DRILLED, BoltCircle, Flange, Hole, HoleRings
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.joint.turned import side_text
from flangelayout.views.words.lengths import Lengths

_Row = tuple[str, ...]
MOST_LISTED = 64
"""Rows beyond which holes stand in the hole list only, unless all are asked for."""


def hole_tables(flange: Flange, lengths: Lengths, every: bool = False) -> Iterator[TextTable]:
    """The holes of each pattern for the sheet: number, X and Y from the middle of the plate.

    On a plate that is not round X and Y are told from the corner datum, too: the lower left corner of the
    rectangle that encloses it. Of a circle with an angle of its own for each hole, the angle from its first hole on is
    told. Single holes tell their size.

    Args:
        flange: What is made.
        lengths: How lengths are written.
        every: Whether all holes are listed however many they are; else nothing is where they are too many, and of
            a large grid only the ends of its rows.
    """
    if not are_listed(flange, every):
        return
    for group, holes in _by_group(flange, every):
        few = len(holes) < sum(hole.group == group for hole in flange.holes())
        rings = few and isinstance(flange.groups()[group], HoleRings)
        letter = flange.group_letter(group) if group >= 0 else ""
        listed = ", first of each ring" if rings else ", ends of rows" if few else ""
        columns, rows = _hole_rows(flange, holes, lengths)
        yield TextTable(f"{f'HOLES {letter}'.strip()} ({lengths.words()}{listed})", columns, rows)


def joined_tables(flange: Flange, lengths: Lengths, every: bool = False) -> Iterator[TextTable]:
    """Those of :func:`hole_tables` that have the same columns as one, where all holes stand in them."""
    tables = hole_tables(flange, lengths, every)
    if not every and _row_ends(flange):
        yield from tables
        return
    found: dict[_Row, list[TextTable]] = {}
    for table in tables:
        found.setdefault(table.columns, []).append(table)
    for columns, alike in found.items():
        rows = tuple(row for table in alike for row in table.rows)
        yield alike[0] if len(alike) == 1 else TextTable(f"HOLES ({lengths.words()})", columns, rows)


def are_listed(flange: Flange, every: bool = False) -> bool:
    """Whether the holes stand on the sheet at all; else in the hole list only."""
    return every or sum(len(holes) for _, holes in _by_group(flange)) <= MOST_LISTED


def _by_group(flange: Flange, every: bool = False) -> list[tuple[int, list[Hole]]]:
    """The holes of each pattern that are listed, single ones last."""
    ends = {} if every else _row_ends(flange)
    found: dict[int, list[Hole]] = {}
    for hole in flange.holes():
        if hole.group not in ends or hole.number in ends[hole.group]:
            found.setdefault(hole.group, []).append(hole)
    return list(found.items())


def _hole_rows(flange: Flange, holes: Sequence[Hole], lengths: Lengths) -> tuple[_Row, tuple[_Row, ...]]:
    """Heads and rows of one pattern."""
    box, alone = flange.box(), holes[0].group < 0
    corner, lifting = flange.round_diameter is None, {hole.label for hole in flange.lifting_holes()}
    circle = None if alone else flange.groups()[holes[0].group]
    uneven = isinstance(circle, BoltCircle) and bool(circle.angles)

    def row(hole: Hole) -> _Row:
        at = [hole.center.x, hole.center.y]
        at += [hole.center.x - box.left, hole.center.y - box.bottom] if corner else []
        size = (_size(hole, lengths, hole.label in lifting),) if alone else ()
        turn = (angle_text((hole.angle - holes[0].angle) % 360.0),) if uneven else ()
        return (hole.label, *map(lengths.decimal, at), *turn, *size)

    names = ("X CENTER", "Y CENTER", *(("FROM LEFT", "FROM BOTTOM") if corner else ()), *(("SIZE",) if alone else ()))
    turned = (f"FROM {holes[0].label}",) if uneven else ()
    return ("HOLE", *names, *turned), tuple(map(row, holes))


def _size(hole: Hole, lengths: Lengths, is_lifting: bool) -> str:
    side = f", {side_text(hole.worked_from)}" if hole.made_from is PlateFace.BACK else ""
    return f"{hole_text(hole.kind, hole.diameter, lengths)}{side}{', for lifting' if is_lifting else ''}"


def _row_ends(flange: Flange) -> dict[int, frozenset[int]]:
    """For each group with too many holes for a table, the numbers of those that are listed."""
    return {
        group: frozenset(pattern.ends())
        for group, pattern in enumerate(flange.patterns, len(flange.bolt_circles))
        if pattern.tubes and len(pattern.hole_centers()) > MOST_LISTED
    }


def hole_list(flange: Flange, unit: Unit) -> TextTable:
    """Every hole for a CSV file: as :func:`hole_tables` with more decimals, plain numbers and the group named.

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


def _group(flange: Flange, hole: Hole) -> str:
    if hole.group >= 0:
        return flange.group_name(hole.group)
    return flange.single_holes[hole.number - 1].drilling.name or "single hole"
