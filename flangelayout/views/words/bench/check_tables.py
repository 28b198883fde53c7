"""Tables for laying out by hand: the step-off plan, distances from a bore already cut."""

from collections.abc import Iterator
from itertools import pairwise

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.flange.bolt_circle import chord_across
from flangelayout.views.words.lengths import Lengths


def step_off_tables(flange: Flange, lengths: Lengths) -> Iterator[TextTable]:
    """How to step off every equally spaced circle with dividers: quarters first, then halves.

    A wrong setting of the dividers puts the last mark of a stage off by so many times the error, and shows in the gap
    where the steps meet: with few steps between checks it is seen before it has spread.
    """
    for group, circle in enumerate(flange.bolt_circles):
        if circle.equally_spaced and circle.hole_count >= 3:
            rows = tuple(_steps(circle, lengths))
            title = _title(flange, group, "STEP-OFF PLAN", lengths).replace(")", "; error: of the dividers' setting)")
            yield TextTable(title, _STEP_COLUMNS, rows)


def bore_tables(flange: Flange, lengths: Lengths) -> Iterator[TextTable]:
    """From the edge of a bore that is already cut, and from the rim, to the holes: there is no center to swing from."""
    if flange.bore is None or not flange.bore_cut:
        return
    rim = flange.outline.outside_diameter if isinstance(flange.outline, RoundOutline) else None
    columns = ["HOLES", "BORE EDGE TO CENTER", "BORE EDGE TO HOLE", "MEASURED"]
    if rim:
        columns += ["RIM TO CENTER", "RIM STEP", "MEASURED"]
    rows = tuple(_bore_rows(flange, flange.bore / 2, rim, lengths))
    if rows:
        yield TextTable(f"FROM THE CUT BORE ({lengths.words()})", tuple(columns), rows)


_STEP_COLUMNS = ("STEP", "DIVIDERS", "FROM AND TO PLACES", "LAST MARK OFF BY", "GAP AT THE END", "GAP FOUND")


def _title(flange: Flange, group: int, what: str, lengths: Lengths) -> str:
    return f"{what} {flange.group_letter(group)}".strip() + f" ({lengths.words()})"


def _steps(circle: BoltCircle, lengths: Lengths) -> Iterator[tuple[str, ...]]:
    """Stages from coarse to fine; each place is reached from marks that the stage before has checked."""
    count = circle.hole_count
    parts = next(parts for parts in (4, 2, 1) if count % parts == 0)
    span = count // parts
    if parts > 1:
        marks = [1 + index * span for index in range(parts)]
        walk = " → ".join(str(mark) for mark in (*marks, 1))
        name = "quarters" if parts == 4 else "halves"
        yield name, _chord(circle, span, lengths), walk, *_errors(parts - 1, parts), ""
    while span > 1 and span % 2 == 0:
        span //= 2
        places = range(1 + span, count + 1, 2 * span)
        name = "then halves" if parts > 1 else "halves"
        yield name, _chord(circle, span, lengths), f"from both sides to {_listed(list(places))}", *_errors(1, 2), ""
    if span > 1:
        ahead, back = span - 1 - (span - 1) // 2, (span - 1) // 2
        start = "each mark" if parts > 1 else "place 1"
        walk = f"from {start}: {ahead} on" + (f", {back} back" if back else "") + "; one step is left"
        yield "single", _chord(circle, 1, lengths), walk, *_errors(ahead, span), ""
    if count > 4:
        yield "do not", _chord(circle, 1, lengths), f"go all round in {count} steps", *_errors(count - 1, count), "—"


def _errors(last: int, gap: int) -> tuple[str, str]:
    """How far off the last mark is and how wide the gap, in errors of a setting."""
    return "1 error" if last == 1 else f"{last} × error", f"{gap} × error"


def _chord(circle: BoltCircle, span: int, lengths: Lengths) -> str:
    return lengths.decimal(chord_across(circle.diameter, circle.hole_count, span))


def _listed(places: list[int]) -> str:
    """A short list whole, a long one by its beginning and end."""
    if len(places) <= 5:
        return ", ".join(str(place) for place in places)
    assert len({after - before for before, after in pairwise(places)}) == 1
    return f"{places[0]}, {places[1]}, {places[2]} ... {places[-1]}"


def _bore_rows(flange: Flange, bore: float, rim: float | None, lengths: Lengths) -> Iterator[tuple[str, ...]]:
    for group, circle in enumerate(flange.bolt_circles):
        radius = circle.diameter / 2
        row = [f"all of {flange.group_letter(group) or 'the circle'}", lengths.decimal(radius - bore)]
        row += [lengths.decimal(radius - bore - circle.hole_diameter / 2), ""]
        if rim:
            step = chord_across(rim, circle.hole_count) if circle.equally_spaced and circle.hole_count > 1 else None
            row += [lengths.decimal(rim / 2 - radius), lengths.decimal(step) if step else "—", ""]
        yield tuple(row)
    for hole in flange.holes():
        if hole.group >= len(flange.bolt_circles) or hole.group < 0:
            radius = hole.center.distance_to(type(hole.center)(0.0, 0.0))
            row = [hole.label, lengths.decimal(radius - bore), lengths.decimal(radius - bore - hole.diameter / 2), ""]
            yield tuple([*row, lengths.decimal(rim / 2 - radius), "—", ""] if rim else row)
