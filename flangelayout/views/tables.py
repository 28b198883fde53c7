"""The tables of a job: every hole with its coordinates, every chord with room for what was measured."""

from flangelayout.drawing.model import Table
from flangelayout.flange import BoltCircle, Flange, Hole
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.wording import diameter_text

MAX_SPANS = 16


def hole_table(flange: Flange, unit: Unit) -> Table:
    """Every hole for the sheet: number, angle, X and Y from the center and from the corner datum, size.

    The corner datum is the lower left corner of the square that encloses the plate.
    """
    box = flange.box()
    rows = tuple(
        (
            hole.label,
            angle_text(hole.angle),
            decimal_text(hole.center.x, unit),
            decimal_text(hole.center.y, unit),
            decimal_text(hole.center.x - box.left, unit),
            decimal_text(hole.center.y - box.bottom, unit),
            diameter_text(hole.diameter, unit),
        )
        for hole in flange.holes()
    )
    columns = ("HOLE", "ANGLE", "X CENTER", "Y CENTER", "X CORNER", "Y CORNER", "SIZE")
    return Table(f"HOLES ({unit.value}, degrees)", columns, rows)


def hole_list(flange: Flange, unit: Unit) -> Table:
    """Every hole for a CSV file: as :func:`hole_table` with more decimals, plain numbers and the group named."""
    box = flange.box()
    places = 4 if unit is Unit.MM else 5

    def number(length: float) -> str:
        return decimal_text(length, unit, places)

    rows = tuple(
        (
            hole.label,
            _group(flange, hole),
            f"{hole.angle:.5f}",
            number(hole.center.x),
            number(hole.center.y),
            number(hole.center.x - box.left),
            number(hole.center.y - box.bottom),
            number(hole.diameter),
        )
        for hole in flange.holes()
    )
    lengths = ("x_center", "y_center", "x_corner", "y_corner", "hole_diameter")
    columns = ("hole", "group", "angle_deg", *(f"{name}_{unit.value}" for name in lengths))
    return Table("holes", columns, rows)


def chord_tables(flange: Flange, unit: Unit) -> tuple[Table, ...]:
    """One table for each bolt circle with two holes or more: what a caliper should find from center to center."""
    return tuple(
        Table(f"CHORDS {flange.group_letter(group)} ({unit.value})".replace("  ", " "), _CHORD_COLUMNS, rows)
        for group, circle in enumerate(flange.bolt_circles)
        if (rows := _chord_rows(circle, unit))
    )


_CHORD_COLUMNS = ("SPAN", "HOLES", "CHORD", "MEASURED")


def _chord_rows(circle: BoltCircle, unit: Unit) -> tuple[tuple[str, ...], ...]:
    return _equal_rows(circle, unit) if circle.equally_spaced else _neighbor_rows(circle, unit)


def _equal_rows(circle: BoltCircle, unit: Unit) -> tuple[tuple[str, ...], ...]:
    """Each span from neighbors to opposite holes, with the first drilled pair that shows it."""
    drilled, count = set(circle.hole_numbers()), circle.hole_count
    rows = []
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
            rows.append((_span_text(span), f"{pair[0]} - {pair[1]}", decimal_text(circle.chord_across(span), unit), ""))
    return tuple(rows)


def _spans(most: int) -> list[int]:
    """1 to ``most``; of a long list the first ones and the longest, evenly thinned between."""
    if most <= MAX_SPANS:
        return list(range(1, most + 1))
    return sorted({round(1 + index * (most - 1) / (MAX_SPANS - 1)) for index in range(MAX_SPANS)})


def _span_text(span: int) -> str:
    return "next" if span == 1 else f"{span} pitches"


def _neighbor_rows(circle: BoltCircle, unit: Unit) -> tuple[tuple[str, ...], ...]:
    """Each hole to the next one round an unequally spaced circle."""
    numbers, centers = circle.hole_numbers(), circle.hole_centers()
    if len(numbers) < 2:
        return ()
    order = circle.hole_angles().argsort().tolist()
    pairs = list(zip(order, [*order[1:], order[0]], strict=True))
    distances = [float(((centers[a] - centers[b]) ** 2).sum() ** 0.5) for a, b in pairs]
    return tuple(
        ("next", f"{numbers[a]} - {numbers[b]}", decimal_text(apart, unit), "")
        for (a, b), apart in zip(pairs, distances, strict=True)
    )


def _group(flange: Flange, hole: Hole) -> str:
    if hole.group >= 0:
        return flange.group_name(hole.group)
    return flange.single_holes[hole.number - 1].name or "single hole"
