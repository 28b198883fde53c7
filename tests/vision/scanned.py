"""Scans made by hand: each dot asks where on the glass it is, by a scanner that is long, short, leaning and rippled.

Gasket, rubbing and plate are supposed; no real scan was at hand.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from vision.rendered import Floats, card_pictures


@dataclass(frozen=True)
class Glass:
    """How the scanner errs: dots a true mm takes along x and y beside what it claims, lean in degrees, ripple in mm."""

    dpi: float = 300.0
    across: float = 1.0
    along: float = 1.0
    lean: float = 0.0
    ripple: float = 0.0
    size: tuple[float, float] = (210.0, 297.0)


SCANNER, PRINTED = Glass(dpi=120, across=1.0021, along=0.9987, lean=0.04), (0.997, 1.002)
"""The scanner of the page of cards, and printed mm for a mm of it."""


def _places(glass: Glass, shift: tuple[float, float]) -> tuple[Floats, Floats]:
    """Where on the glass every dot looks: mm to the right of and below its corner, true mm."""
    dots = glass.dpi / 25.4
    columns, rows = round(glass.size[0] * dots), round(glass.size[1] * dots)
    v, u = np.mgrid[:rows, :columns].astype(np.float32)
    y = (v + shift[1]) / dots * glass.along
    y = y + glass.ripple * np.sin(y / 17)
    return (u + shift[0]) / dots * glass.across - y * np.tan(np.radians(glass.lean)), y


def _dots(light: Floats, rng: np.random.Generator) -> NDArray[np.uint8]:
    soft = ndimage.gaussian_filter(light, 0.7)
    return np.asarray(np.clip(soft + rng.normal(0, 2.0, soft.shape), 0, 255) + 0.5, dtype=np.uint8)


def scan_of_holes(
    glass: Glass,
    holes: NDArray[np.float64],
    sizes: NDArray[np.float64],
    rubbing: bool,
    rng: np.random.Generator,
) -> NDArray[np.uint8]:
    """A dark ring with light holes under a white lid, or crayon, dark at the edges of holes; y up from the middle.

    Args:
        glass: The scanner.
        holes: (h, 2) true centers from the middle of the glass, mm.
        sizes: (h, 3) diameter of each, and how oval it is: mm along cosine and sine of twice the angle.
        rubbing: Crayon on paper instead of a gasket.
        rng: Of noise.
    """
    total: Floats | None = None
    outside, bore = np.hypot(*holes.T).max() + 20, max(np.hypot(*holes.T).min() - 25, 5)
    grain = ndimage.gaussian_filter(rng.normal(size=(400, 400)), 1.2) * 90
    for shift in ((-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)):
        x, y = _places(glass, shift)
        x, y = x - glass.size[0] / 2, glass.size[1] / 2 - y
        radius = np.hypot(x, y)
        own = grain[(np.floor(y * 2).astype(int) % 400), (np.floor(x * 2).astype(int) % 400)]
        light = np.where((radius < outside) & (radius > bore), (110 if rubbing else 70) + own, 235.0)
        for (center_x, center_y), (size, oval_c, oval_s) in zip(holes, sizes, strict=True):
            a, b = x - center_x, y - center_y
            away = np.hypot(a, b)
            near = away < size
            twice = 2 * np.arctan2(b[near], a[near])
            rim = (size + oval_c * np.cos(twice) + oval_s * np.sin(twice)) / 2
            inside = away[near] < rim
            within = 205 + own[near] * 0.3 if rubbing else np.where(rim - away[near] < 0.4, 190.0, 235.0)
            pressed = rubbing & (np.abs(away[near] - rim - 0.4) < 0.5)
            light[near] = np.where(inside, within, np.where(pressed, 50.0, light[near]))
        total = light if total is None else total + light
    assert total is not None
    return _dots(total / 4, rng)


def scan_of_cards(
    glass: Glass, names: list[str], printed: tuple[float, float], turn: float, rng: np.random.Generator
) -> NDArray[np.uint8]:
    """Twelve cards on the glass as on their page, turned a little."""
    steps = (-1 / 3, 0.0, 1 / 3)
    shots = [
        _cards_under(_places(glass, (right, down)), glass, names, printed, turn) for right in steps for down in steps
    ]
    return _dots(np.mean(shots, axis=0), rng)


@cache
def page_scanned() -> NDArray[np.uint8]:
    """Twelve large cards at 120 dots per inch, their print 0.3 % short and 0.2 % long, under a scanner of its own."""
    names = [f"52-{number:02d}" for number in range(1, 13)]
    return scan_of_cards(SCANNER, names, PRINTED, np.radians(1.3), np.random.default_rng(3))


def _cards_under(
    at: tuple[Floats, Floats], glass: Glass, names: list[str], printed: tuple[float, float], turn: float
) -> Floats:
    x, y = at[0] - glass.size[0] / 2, glass.size[1] / 2 - at[1]
    light = np.full(x.shape, 235.0)
    for index, name in enumerate(names):
        side = float(name.split("-")[0])
        center = ((index % 3 - 1) * (side + 2), (1.5 - index // 3) * (side + 2))
        own_x = (x * np.cos(turn) + y * np.sin(turn)) / printed[0] - center[0] + side / 2
        own_y = (y * np.cos(turn) - x * np.sin(turn)) / printed[1] - center[1] + side / 2
        on = (own_x > 0) & (own_x < side) & (own_y > 0) & (own_y < side)
        picture = card_pictures()[name]
        scale = len(picture) / side
        rows, columns = ((side - own_y[on]) * scale).astype(int), (own_x[on] * scale).astype(int)
        light[on] = np.where(picture[np.clip(rows, 0, 831), np.clip(columns, 0, 831)], 25.0, 235.0)
    return light
