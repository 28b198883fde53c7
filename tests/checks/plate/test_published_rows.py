"""No crying wolf: every published row, drawn as a blind and as a ring, against every check."""

import re
from collections.abc import Iterator
from fractions import Fraction

import pytest

from checking import drilling, said, shop
from flangelayout.checks import Finding
from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.standards import Family, Pattern, all_patterns
from flangelayout.standards.comparing import row_angles
from flangelayout.standards.holes import clearance_hole

# Outside diameters of steel pipe in mm: ISO 4200 series 1 by DN, ASME B36.10M by NPS (both from memory).
PIPE_BY_DN = {
    **{10: 17.2, 15: 21.3, 20: 26.9, 25: 33.7, 32: 42.4, 40: 48.3, 50: 60.3, 65: 76.1, 80: 88.9, 100: 114.3},
    **{125: 139.7, 150: 168.3, 200: 219.1, 250: 273.0, 300: 323.9, 350: 355.6, 400: 406.4, 450: 457.0, 500: 508.0},
    **{600: 610.0, 700: 711.0, 800: 813.0, 900: 914.0, 1000: 1016.0, 1200: 1219.0},
}
PIPE_BY_NPS = {
    **{0.5: 21.3, 0.75: 26.7, 1.0: 33.4, 1.25: 42.2, 1.5: 48.3, 2.0: 60.3, 2.5: 73.0, 3.0: 88.9, 3.5: 101.6},
    **{4.0: 114.3, 5.0: 141.3, 6.0: 168.3, 8.0: 219.1, 10.0: 273.0, 12.0: 323.8, 14.0: 355.6, 16.0: 406.4},
    **{18.0: 457.0, 20.0: 508.0, 24.0: 610.0, 30.0: 762.0, 36.0: 914.0, 42.0: 1067.0, 48.0: 1219.0},
}
ROOM_FOR_THE_PIPE = 2.0
MOST_FAILED = 0.01


def pipe_bore(row: Pattern) -> float | None:
    """The usual bore of a ring: the row's own register, else the outside of a pipe flange's pipe and 2 mm."""
    if row.bore is not None or row.family is not Family.PIPE_FLANGE:
        return row.bore
    metric = re.fullmatch(r"DN\s*(\d+)|(\d+)A", row.size)
    inch = re.fullmatch(r"NPS ([\d /]+)", row.size)
    pipe = None
    if metric:
        pipe = PIPE_BY_DN.get(int(metric[1] or metric[2]))
    elif inch:
        pipe = PIPE_BY_NPS.get(float(sum(Fraction(part) for part in inch[1].split())))
    return None if pipe is None else pipe + ROOM_FOR_THE_PIPE


def drawn(row: Pattern, bore: float | None) -> Flange:
    """The row as a plate; where it lists no outside or hole, what its circle and bolt ask for."""
    clearance = clearance_hole(row.bolt) if row.bolt else None
    hole = row.hole_diameter or (clearance.value if clearance else 10.0)
    circle = BoltCircle(
        row.bolt_circle,
        row.hole_count,
        hole,
        angles=() if row.equally_spaced else row_angles(row),
        bolt=row.bolt or "",
    )
    outside = row.outside_diameter or row.bolt_circle + 3 * hole + 10
    return Flange(RoundOutline(outside), (circle,), bore=bore, thickness=row.thickness)


def failures(row: Pattern, bore: float | None) -> Iterator[Finding]:
    plate = drawn(row, bore)
    yield from (each for each in (*drilling(plate), *shop(plate, named=(row,))) if each.failed)


def alarms(rings: bool, step: int = 1) -> tuple[int, list[str]]:
    """How many plates were drawn, and what failed."""
    count, told = 0, []
    for row in all_patterns()[::step]:
        bore = pipe_bore(row) if rings else None
        if rings and bore is None:
            continue
        count += 1
        failed = list(failures(row, bore))
        told += [f"{row.designation}: {said(drawn(row, bore), failed[0])}"] if failed else []
    return count, told


SOME_OR_ALL = pytest.mark.parametrize("step", [pytest.param(1, marks=pytest.mark.slow), 8])


@SOME_OR_ALL
def test_of_all_published_rows_drawn_as_blinds_not_one_in_a_hundred_fails(step: int) -> None:
    count, told = alarms(rings=False, step=step)
    assert count > 1100 / step
    assert len(told) <= MOST_FAILED * count, "\n".join(told)


@SOME_OR_ALL
def test_of_all_published_rows_drawn_as_rings_round_their_pipe_not_one_in_a_hundred_fails(step: int) -> None:
    count, told = alarms(rings=True, step=step)
    assert count > 750 / step
    assert len(told) <= MOST_FAILED * count, "\n".join(told)
