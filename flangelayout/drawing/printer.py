"""What a printer makes of a millimetre: two factors from two measured bars, kept within bounds.

A printer's error goes with the sides of its paper, not with the page: a page printed sideways has its
x along the long side. The factors are therefore kept by side.
"""

import math

from msgspec import Struct

from flangelayout.errors import InputError, Problem
from flangelayout.facts import Length, Unit
from flangelayout.problems.output import OutputProblem

NOMINAL = 200.0
"""Side in mm of the square on the calibration page, which both bars are part of."""
BARS = (140.0, NOMINAL)
"""What a caliper reads on the bars beside cards for photos, mm: to the inner mark, and to the last."""
LEAST_FACTOR, MOST_FACTOR = 0.97, 1.03
_INCHES_TYPED = (7.0, 9.0)
_DIAGONAL_DOUBT = 0.005
"""A square's sides fix the mean square of its diagonals; readings that miss it by this share contradict."""


class Printer(Struct, frozen=True):
    """A printer as measured.

    Attributes:
        name: What the shop calls it.
        across: Printed mm for a mm in the file along the short side of the paper, 0.97 to 1.03.
        along: Likewise along the long side.
        paper: What was measured on.
        date: When, as ISO 8601.
        skew_deg: How far the corner between the sides is from 90 degrees; ``None`` where no diagonals were measured.
    """

    name: str
    across: float
    along: float
    paper: str
    date: str
    skew_deg: float | None = None

    def factors(self, sideways: bool) -> tuple[float, float]:
        """Printed mm for a mm in the file along x and along y of a page, upright or sideways."""
        return (self.along, self.across) if sideways else (self.across, self.along)


def measured_printer(
    name: str,
    bars: tuple[float, float],
    paper: str,
    date: str,
    diagonals: tuple[float, float] | None = None,
) -> Printer:
    """The printer behind the bars of its calibration page.

    Args:
        name: What the shop calls it.
        bars: Measured lengths of bar X (short side) and bar Y in mm; both are 200 mm nominally.
        paper: What the page was printed on.
        date: When, as ISO 8601.
        diagonals: Both diagonals of the square in mm, the one that rises to the right first.

    Raises:
        InputError: If a bar is beyond 0.97 to 1.03 of its nominal length, which is most likely a page
            fitted to its paper, or the diagonals contradict the bars.
    """
    problems = [found for axis, bar in zip("xy", bars, strict=True) if (found := _beyond(axis, bar))]
    if diagonals and not problems:
        doubt = _contradiction(bars, diagonals)
        problems += [doubt] if doubt else []
    if problems:
        raise InputError(*problems)
    skew = skew_deg(bars, diagonals) if diagonals else None
    return Printer(name, bars[0] / NOMINAL, bars[1] / NOMINAL, paper, date, skew)


def bar_factor(bar: float, problems: list[Problem], where: str) -> float:
    """Printed mm for a mm in the file from a bar that was read to its nearer mark.

    Args:
        bar: What was read, mm.
        problems: Where it is told that no printer is that far off.
        where: Option or field it was written in.
    """
    nominal = min(BARS, key=lambda mark: abs(bar - mark))
    factor = bar / nominal
    if not LEAST_FACTOR <= factor <= MOST_FACTOR:
        kind, read, mark = OutputProblem.BAR_FITTED_TO_PAGE, Length(bar, Unit.MM), Length(nominal, Unit.MM)
        least, most = LEAST_FACTOR, MOST_FACTOR
        problems.append(Problem(where, kind, bar=read, nominal=mark, factor=factor, least=least, most=most))
    return factor


def skew_deg(bars: tuple[float, float], diagonals: tuple[float, float]) -> float:
    """How far the corner between two sides is short of (above 0) or beyond (below 0) 90 degrees.

    By the law of cosines the squares of a parallelogram's diagonals differ by 4 x y sin(skew); the one
    that rises to the right is the longer where the corner at the lower left is sharp.
    """
    rising, falling = diagonals
    return math.degrees(math.asin((rising**2 - falling**2) / (4 * bars[0] * bars[1])))


def out_of_square(skew: float) -> float:
    """How far in mm a side of 200 mm leans over its length."""
    return NOMINAL * math.sin(math.radians(skew))


def _beyond(axis: str, bar: float) -> Problem | None:
    """Why a measured bar is not taken, or ``None``."""
    factor, told, nominal = bar / NOMINAL, Length(bar, Unit.MM), Length(NOMINAL, Unit.MM)
    if LEAST_FACTOR <= factor <= MOST_FACTOR:
        return None
    if _INCHES_TYPED[0] <= bar <= _INCHES_TYPED[1]:
        return Problem(axis, OutputProblem.BAR_IN_INCHES, bar=told, nominal=nominal)
    return Problem(
        axis,
        OutputProblem.BAR_FITTED_TO_PAGE,
        bar=told,
        nominal=nominal,
        factor=factor,
        least=LEAST_FACTOR,
        most=MOST_FACTOR,
    )


def _contradiction(bars: tuple[float, float], diagonals: tuple[float, float]) -> Problem | None:
    """Why two diagonals cannot belong to a figure with these sides, or ``None`` (parallelogram law)."""
    expected = math.hypot(*bars)
    found = math.sqrt((diagonals[0] ** 2 + diagonals[1] ** 2) / 2)
    if abs(found / expected - 1) <= _DIAGONAL_DOUBT and abs(diagonals[0] - diagonals[1]) < 0.1 * expected:
        return None
    first, second, bar_x, bar_y, near = (Length(each, Unit.MM) for each in (*diagonals, *bars, expected))
    contradict = OutputProblem.DIAGONALS_CONTRADICT
    return Problem("diagonals", contradict, first=first, second=second, bar_x=bar_x, bar_y=bar_y, expected=near)
