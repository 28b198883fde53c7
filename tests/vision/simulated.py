"""Photos as numbers: where a camera of its own equations shows crossings and holes, with all that the program ignores.

Same as ``rendered`` without pictures: lens terms of sixth order and decentering, focal length and middle that wander
from photo to photo, bent, lifted and leaning cards, print that is long or short along x and y, rims at a depth.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flangelayout.packet.photo import SCALE_MEASURED, readings_found
from flangelayout.survey import Allowances, Kind, Reading, Survey, measure
from flangelayout.value import replace
from flangelayout.vision.adjust import CameraBeliefs, Marks, Solution, datum_free, solve, solve_holes
from flangelayout.vision.cards import PhotoCard
from flangelayout.vision.finds import Finds, HoleFound
from flangelayout.vision.holes import RIM_SIGMA
from flangelayout.vision.start import Seen, crossing_marks, first_scene, joined

Floats = NDArray[np.float64]
SOUND = Allowances()
"""What the holes of the worst part that is still well made are out of place, as the survey takes it."""
FOCAL, MIDDLE = 3004.0, np.array([1999.5, 1499.5])


@dataclass(frozen=True)
class Setup:
    """A row of the table: what is laid out and how wrong things are, mm, pixels and degrees.

    ``noise`` moves a crossing along each axis in every photo, ``rim_noise`` the middle of a rim in all photos alike
    (burrs, chamfer) and ``rim_blur`` in each by itself. Noise and blur are what rendered photos show.
    """

    circle: float = 295.0
    photos: int = 3
    cards: int = 8
    side: int = 52
    holes: int = 8
    tilts: tuple[float, float] = (0.0, 30.0)
    apart: float = 10.0
    print_scale: float = 0.0004
    bend: float = 0.5
    noise: float = 0.08
    rim_noise: float = 0.04
    rim_blur: float = 0.03
    depth: tuple[float, float] = (-0.8, 0.3)
    lifted: float = 0.0
    nearest: float = 500.0


@dataclass(frozen=True)
class Drawn:
    """What the photos show, and the holes as they are."""

    seen: tuple[Seen, ...]
    rims: tuple[Floats, ...]
    holes: Floats
    depth: float


def drawn(setup: Setup, rng: np.random.Generator) -> Drawn:
    """One draw of a setup."""
    focal = FOCAL * (1 + rng.uniform(-0.03, 0.03))
    bend = rng.uniform(-0.05, 0.05), rng.uniform(-0.04, 0.04), rng.uniform(-0.01, 0.01)
    cards = dict(_cards(setup, rng))
    if setup.lifted:
        first = next(iter(cards))
        cards[first] = cards[first] + (0, 0, setup.lifted)
    angles = 2 * np.pi * np.arange(setup.holes) / setup.holes + rng.uniform(0, 6)
    out = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    across, along = rng.normal(0, (SOUND.across, SOUND.along), (setup.holes, 2)).T
    holes = (setup.circle / 2 + across)[:, None] * out + along[:, None] * np.stack([-out[:, 1], out[:, 0]], axis=1)
    burred = holes + rng.normal(0, setup.rim_noise, holes.shape)
    depth = rng.uniform(*setup.depth)
    seen, rims = [], []
    for axis in _axes(setup, rng):
        turn, shift = _pose(axis, max(setup.nearest, 1.5 * (setup.circle + 50)) * rng.uniform(0.9, 1.15), rng)
        own, middle = focal * (1 + rng.normal(0, 0.003)), MIDDLE + rng.normal(0, 15, 2)
        skew = rng.normal(0, 2e-4, 2)

        def shown(points: Floats, turn: Floats = turn, shift: Floats = shift, own: float = own) -> Floats:
            at = points @ turn.T + shift
            return middle + own * _bent(at[:, :2] / at[:, 2:], bend, skew)  # noqa: B023 - used at once

        seen.append(Seen({card: shown(at) + rng.normal(0, setup.noise, (4, 2)) for card, at in cards.items()}))
        rim = burred + rng.normal(0, setup.rim_blur, holes.shape)
        rims.append(shown(np.column_stack([rim, np.full(setup.holes, depth)])))
    return Drawn(tuple(seen), tuple(rims), holes, depth)


def _cards(setup: Setup, rng: np.random.Generator) -> Mapping[PhotoCard, Floats]:
    x, y = 1 + rng.normal(0, setup.print_scale, 2)
    room = max(setup.circle / 2, setup.cards * setup.side * 1.45 / (2 * np.pi))
    cards = {}
    for index in range(setup.cards):
        angle = 2 * np.pi * (index + 0.5) / setup.cards + rng.normal(0, 0.05)
        reach, turn, half = room + rng.normal(0, 3), rng.uniform(0, 6.28), 10.5 / 26 * setup.side
        half_side = setup.side / 2
        flat = np.array([(-half, -half), (half, -half), (half, half), (-half, half)]) * (x, y)
        lean = rng.normal(0, 0.005, 2)
        rise = rng.uniform(0, 0.2) + flat @ lean
        roll = rng.uniform(0, np.pi)
        toward = np.array([np.cos(roll), np.sin(roll)])
        rise = rise + rng.uniform(-setup.bend, setup.bend) * (flat @ toward / (half_side * np.abs(toward).sum())) ** 2
        spin = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
        place = flat @ spin.T + reach * np.array([np.cos(angle), np.sin(angle)])
        cards[PhotoCard(setup.side, index + 1)] = np.column_stack([place, rise])
    return cards


def _axes(setup: Setup, rng: np.random.Generator) -> Floats:
    """Lines of sight, no two of them nearer than asked."""
    while True:
        tilt, way = np.radians(rng.uniform(*setup.tilts, setup.photos)), rng.uniform(0, 6.28, setup.photos)
        axes = np.stack([np.sin(tilt) * np.cos(way), np.sin(tilt) * np.sin(way), np.cos(tilt)], axis=1)
        cosines = (axes @ axes.T)[np.triu_indices(setup.photos, 1)]
        if setup.tilts[1] < setup.apart or not (cosines > np.cos(np.radians(setup.apart))).any():
            return np.asarray(axes)


def _pose(axis: Floats, distance: float, rng: np.random.Generator) -> tuple[Floats, Floats]:
    right = np.cross(rng.normal(size=3), -axis)
    right = right / np.linalg.norm(right)
    turn = np.array([right, np.cross(-axis, right), -axis])
    return turn, -turn @ (axis * distance) + np.append(rng.normal(0, 10, 2), 0)


def _bent(at: Floats, bend: tuple[float, float, float], skew: Floats) -> Floats:
    square = (at * at).sum(axis=1, keepdims=True)
    swell = 1 + square * (bend[0] + square * (bend[1] + square * bend[2]))
    a, b = at[:, :1], at[:, 1:]
    off_a = 2 * skew[0] * a * b + skew[1] * (square + 2 * a * a)
    off_b = skew[0] * (square + 2 * b * b) + 2 * skew[1] * a * b
    return np.asarray(at * swell + np.hstack([off_a, off_b]))


def solved(draw: Drawn, rim_sigma: float = RIM_SIGMA) -> Solution:
    """What the program makes of a draw: cameras and cards first, then with the holes."""
    cards = joined(draw.seen)
    beliefs = CameraBeliefs(FOCAL, (float(MIDDLE[0]), float(MIDDLE[1])))
    start = first_scene(draw.seen, cards, FOCAL, MIDDLE)
    marks = crossing_marks(draw.seen, cards)
    scene = solve(start, marks, beliefs).scene
    views = [scene.view(index) for index in range(len(draw.seen))]
    places = np.mean([view.on_plane(rims) for view, rims in zip(views, draw.rims, strict=True)], axis=0)
    count, photos = len(draw.holes), len(draw.seen)
    sigma = np.repeat([rim_sigma * view.pixels_per_mm(np.zeros(3)) for view in views], count)
    whole = Marks(
        np.concatenate([marks.view, np.repeat(np.arange(photos), count)]),
        np.concatenate([marks.card, np.full(photos * count, -1)]),
        np.concatenate([marks.hole, np.tile(np.arange(count), photos)]),
        np.vstack([marks.place, np.zeros((photos * count, 2))]),
        np.vstack([marks.pixel, *draw.rims]),
        np.concatenate([marks.sigma, sigma]),
    )
    return solve_holes(replace(scene, holes=places), whole, beliefs)


HOLE = 22.0
CALIPER = 0.05
"""What a caliper tells the distance of two opposite holes' centers to in all, mm, one standard deviation."""


def surveyed(solution: Solution, draw: Drawn, rng: np.random.Generator, within: float = SCALE_MEASURED) -> list[Survey]:
    """What the survey makes of the holes: by the cards' scale alone, and with one caliper reading across the circle."""
    places, count = solution.scene.holes, len(draw.holes)
    holes = tuple(HoleFound(at + 1, float(x), float(y), HOLE, len(draw.seen)) for at, (x, y) in enumerate(places))
    covariance = datum_free(solution.hole_covariance, places)
    readings = readings_found(Finds(holes, covariance, None, None, (), (), ()), "photos", within)
    return [measure(taken, count, HOLE) for taken in (readings, (*readings, caliper(draw.holes, rng)))]


def caliper(holes: Floats, rng: np.random.Generator) -> Reading:
    """The distance of the first hole from the one across; the survey adds to it a zero and a skew, each as large."""
    far = len(holes) // 2
    apart = float(np.hypot(*(holes[0] - holes[far]))) + rng.normal(0, CALIPER)
    return Reading(Kind.CENTERS, apart, 1, far + 1, within=2 * CALIPER / np.sqrt(3))


def circle(places: Floats) -> float:
    """Diameter of the best circle through places all round, by linear least squares of its own (Kasa 1976)."""
    columns = np.column_stack([2 * places, np.ones(len(places))])
    x, y, rest = np.linalg.lstsq(columns, (places**2).sum(axis=1), rcond=None)[0]
    return 2 * float(np.sqrt(rest + x * x + y * y))


def circle_sigma(covariance: Floats, places: Floats, print_scale: float, burr: float = 0.04) -> float:
    """Standard deviation of that diameter, by the law of propagation, with what print leaves over and burrs add."""
    off = places - places.mean(axis=0)
    gains = (off / np.hypot(*off.T)[:, None]).reshape(-1) * 2 / len(places)
    own = float(gains @ datum_free(covariance, places) @ gains)
    alike = 2 * burr / np.sqrt(len(places))
    return float(np.hypot(np.hypot(np.sqrt(own), alike), print_scale * circle(places)))


def laid_over(found: Floats, true: Floats) -> tuple[Floats, Floats]:
    """True places in the order of the found ones, and the (h,) mm by which these leave them at their best."""
    best: tuple[Floats, Floats] | None = None
    for first in range(len(true)):
        other = np.roll(true, first, axis=0)
        a, b = found - found.mean(axis=0), other - other.mean(axis=0)
        left, _, right = np.linalg.svd(b.T @ a)
        spin = left @ np.diag([1.0, np.linalg.det(left @ right)]) @ right
        off = np.hypot(*(b - a @ spin.T).T)
        if best is None or (off**2).sum() < (best[1] ** 2).sum():
            best = other, off
    assert best is not None
    return best


def off_after_turn(found: Floats, true: Floats) -> Floats:
    """(h,) mm by which found places leave the true ones, laid over each other at their best, in whatever order."""
    return laid_over(found, true)[1]
