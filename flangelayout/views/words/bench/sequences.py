"""In what order holes are drilled and bolts tightened: numbers of their own, told apart from the holes' numbers."""

from collections.abc import Iterator

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Drilled, Flange, SegmentOutline
from flangelayout.standards.bolting import cross_pattern

_IN_A_ROW = 4
_MOST = 64
"""Circles of more holes are drilled and tightened in groups; a list would not be followed."""


def drilling_tables(flange: Flange) -> Iterator[TextTable]:
    """D1, D2 ...: two holes far apart first, which are pinned, then the rest crosswise; none for a part of a ring."""
    for group, circle in enumerate(flange.bolt_circles):
        holes, _ = _crosswise(flange, circle)
        if len(holes) >= 3:
            pinned = [("D1 - D2", _listed(holes[:2]), "pin both before D3")]
            rest = [(name, places, "") for name, places in _rows("D", holes[2:], 3)]
            yield TextTable(_title(flange, group, "DRILLING SEQUENCE"), ("ORDER", "HOLES", "THEN"), (*pinned, *rest))


def tightening_tables(flange: Flange) -> Iterator[TextTable]:
    """T1, T2 ...: the cross pattern in which the bolts of every circle of through holes are tightened."""
    for group, circle in enumerate(flange.bolt_circles):
        holes, source = _crosswise(flange, circle)
        if len(holes) >= 3 and circle.bolt and isinstance(circle.kind, Drilled):
            title = _title(flange, group, "TIGHTENING SEQUENCE")
            yield TextTable(title, ("ORDER", "BOLTS IN HOLES"), (*_rows("T", holes, 1), ("source", source)))


def _title(flange: Flange, group: int, what: str) -> str:
    return f"{what} {flange.group_letter(group)}".strip()


def _crosswise(flange: Flange, circle: BoltCircle) -> tuple[list[int], str]:
    """Numbers of the drilled holes in crosswise order, skipped places left out, and the pattern's source."""
    if circle.hole_count > _MOST or isinstance(flange.outline, SegmentOutline):
        return [], ""
    places = circle.hole_order()
    numbers = circle.hole_numbers()
    if circle.skipped and circle.equally_spaced:
        order, source = cross_pattern(circle.hole_count)
        drilled = set(numbers)
        return [number for number in order if number in drilled], source
    order, source = cross_pattern(len(numbers))
    if circle.equally_spaced:
        return [numbers[place - 1] for place in order], source
    return [numbers[places[place - 1]] for place in order], source


def _rows(letter: str, holes: list[int], first: int) -> Iterator[tuple[str, str]]:
    for index in range(0, len(holes), _IN_A_ROW):
        part = holes[index : index + _IN_A_ROW]
        start, end = first + index, first + index + len(part) - 1
        yield f"{letter}{start}" + (f" - {letter}{end}" if end > start else ""), _listed(part)


def _listed(holes: list[int]) -> str:
    return ", ".join(str(hole) for hole in holes)
