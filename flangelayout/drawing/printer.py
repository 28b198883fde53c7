"""What a printer makes of a millimetre: two factors from two measured bars, kept within bounds.

A printer's error goes with the sides of its paper, not with the page: a page printed sideways has its
x along the long side. The factors are therefore kept by side.
"""

import math
from dataclasses import dataclass

from flangelayout.errors import InputError, Problem

NOMINAL = 200.0
"""Side in mm of the square on the calibration page, which both bars are part of."""
LEAST_FACTOR, MOST_FACTOR = 0.97, 1.03
_INCHES_TYPED = (7.0, 9.0)
_DIAGONAL_DOUBT = 0.005
"""A square's sides fix the mean square of its diagonals; readings that miss it by this share contradict."""


@dataclass(frozen=True, slots=True)
class Printer:
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
    problems = [
        Problem(f"--{axis}", text) for axis, bar in zip("xy", bars, strict=True) if (text := _beyond(bar, NOMINAL))
    ]
    if diagonals and not problems:
        doubt = _contradiction(bars, diagonals)
        problems += [Problem("--diagonals", doubt)] if doubt else []
    if problems:
        raise InputError(*problems)
    skew = skew_deg(bars, diagonals) if diagonals else None
    return Printer(name, bars[0] / NOMINAL, bars[1] / NOMINAL, paper, date, skew)


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


def factor_problem(factor: float) -> str:
    """Why a factor cannot be a printer's, or nothing."""
    if LEAST_FACTOR <= factor <= MOST_FACTOR:
        return ""
    return f"{factor:.4f} is beyond {LEAST_FACTOR} to {MOST_FACTOR}, which no printer at 100 % needs"


def _beyond(bar: float, nominal: float) -> str:
    """Why a measured bar is not taken, or nothing."""
    factor = bar / nominal
    if LEAST_FACTOR <= factor <= MOST_FACTOR:
        return ""
    if _INCHES_TYPED[0] <= bar <= _INCHES_TYPED[1]:
        return f'{bar:g} mm is far from the bar\'s {nominal:g} mm; if these are inches, write "{bar:g} in"'
    return (
        f"{bar:g} mm is {factor:.3f} of the bar's {nominal:g} mm, and a printer at 100 % stays within {LEAST_FACTOR} "
        f'to {MOST_FACTOR}; most likely the page was printed with "fit to page": print it again at 100 % / actual '
        "size and measure again"
    )


def _contradiction(bars: tuple[float, float], diagonals: tuple[float, float]) -> str:
    """Why two diagonals cannot belong to a figure with these sides, or nothing (parallelogram law)."""
    expected = math.hypot(*bars)
    found = math.sqrt((diagonals[0] ** 2 + diagonals[1] ** 2) / 2)
    if abs(found / expected - 1) <= _DIAGONAL_DOUBT and abs(diagonals[0] - diagonals[1]) < 0.1 * expected:
        return ""
    return (
        f"{diagonals[0]:g} and {diagonals[1]:g} mm do not fit bars of {bars[0]:g} and {bars[1]:g} mm, whose diagonals "
        f"are near {expected:.1f} mm; measure all four again"
    )
