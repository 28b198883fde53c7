"""Where exactly the rim of a hole is: gray along rays in the plane, and the circle through the steps on them.

The circle is fitted in the plane, so that the middle of an ellipse is never taken for the middle of a hole.
"""

from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct

from flangelayout.vision.sample import Array

RAYS = 90
_INNER, _OUTER = 0.70, 1.30
MOST_OFF = 0.13
"""Share of the caliper's diameter by which a rim may differ; beyond lies the seat of a nut (1.4 or more)."""
_NARROWING = (0.10, 0.06, 0.035, 0.025)
_INNER_STEP = 0.6
_SETTLED = 1e-4
"""Mm that a circle still moves by when it is found."""
_TOGETHER = 6.0
"""Neighboring rays that err alike, as one shadow or burr falls on them (judgement)."""

Look = Callable[[Array], Array]
"""Gray values of one picture at (n, 2) places of the plane; NaN outside of it."""


class Rim(Struct, frozen=True):
    """A rim in one picture.

    Attributes:
        center: (2,) mm, in the plane it was looked for in.
        radius: Mm.
        share: Share of the rays that have a step on it.
        scatter: Root mean square of the steps about the circle, mm.
        strength: Mean of the steps, gray levels per mm.
        sigma: Standard deviation of the center along its worse axis, mm, as far as the steps' scatter tells.
    """

    center: Array
    radius: float
    share: float
    scatter: float
    strength: float
    sigma: float


class _Steps(Struct, frozen=True):
    """Steps on the rays about a center: (rays, radii) strength of the change outward, gray levels per mm."""

    radii: Array
    change: Array


def common_radius(looks: Sequence[Look], centers: Array, diameter: float, pixel: float) -> float:
    """The radius in mm at which the holes of all pictures together have their strongest steps.

    A chamfer makes two: the inner one is taken, if it is not much the weaker.

    Args:
        looks: The pictures.
        centers: (h, 2) where holes are, to a tenth of their size.
        diameter: The caliper's.
        pixel: Mm a pixel takes up.
    """
    total: Array | None = None
    radii = np.zeros(0)
    for look in looks:
        for center in centers:
            steps = _steps(look, center, diameter, pixel)
            radii = steps.radii
            strength = np.nan_to_num(np.abs(steps.change)).mean(axis=0)
            size = float(strength.max())
            if size > 0:
                total = strength / size + (0 if total is None else total)
    if total is None:
        return diameter / 2
    total = np.where(np.abs(radii / (diameter / 2) - 1) <= MOST_OFF, total, 0.0)
    peaks = np.flatnonzero((total[1:-1] >= total[:-2]) & (total[1:-1] > total[2:])) + 1
    high = peaks[total[peaks] >= _INNER_STEP * float(total[peaks].max())] if len(peaks) else np.array([total.argmax()])
    return float(radii[high[0]])


def find_rim(look: Look, center: Array, radius: float, diameter: float, pixel: float) -> Rim | None:
    """The rim near a center, or ``None`` where rays find none.

    Args:
        look: The picture.
        center: (2,) where it should be, to a tenth of its size.
        radius: What its radius should be, by all holes together.
        diameter: The caliper's.
        pixel: Mm a pixel takes up.
    """
    at, size, rim = np.asarray(center, dtype=float), radius, None
    slack = 0.4 * pixel + 0.004 * radius
    for narrow in _NARROWING:
        steps = _steps(look, at, diameter, pixel)
        reach = max(narrow * radius, 1.5 * pixel)
        points, strengths = _nearest_steps(steps, at, size, reach)
        if len(points) < RAYS // 5:
            return None
        rim = _circle(points, strengths, (at, radius), slack, max(0.25 * reach, 0.6 * pixel))
        at, size = rim.center, rim.radius
        if float(np.hypot(*(at - center))) > 0.25 * diameter:
            return None
    return rim


def _steps(look: Look, center: Array, diameter: float, pixel: float) -> _Steps:
    step = max(pixel / 2, diameter / 400)
    radii = np.arange(_INNER * diameter / 2, _OUTER * diameter / 2 + step, step)
    angles = 2 * np.pi * np.arange(RAYS) / RAYS
    rays = np.column_stack([np.cos(angles), np.sin(angles)])
    places = center + (rays[:, None, :] * radii[None, :, None]).reshape(-1, 2)
    gray = look(places).reshape(RAYS, len(radii))
    for _ in range(3):
        gray[:, 1:-1] = (gray[:, :-2] + 2 * gray[:, 1:-1] + gray[:, 2:]) / 4
    return _Steps(radii, np.asarray(np.gradient(gray, radii, axis=1), dtype=float))


def _nearest_steps(steps: _Steps, center: Array, radius: float, reach: float) -> tuple[Array, Array]:
    """On every ray the step that is strong and near the circle: (n, 2) places to a part of a pixel, (n,) strengths."""
    size = np.nan_to_num(np.abs(steps.change))
    peak = np.zeros(size.shape, dtype=bool)
    peak[:, 1:-1] = (size[:, 1:-1] >= size[:, :-2]) & (size[:, 1:-1] > size[:, 2:])
    peak &= np.abs(steps.radii - radius) <= reach
    favored = np.where(peak, size * np.exp(-0.5 * ((steps.radii - radius) / (0.6 * reach)) ** 2), 0.0)
    best = np.clip(favored.argmax(axis=1), 1, len(steps.radii) - 2)
    rays = np.arange(RAYS)
    before, own, after = size[rays, best - 1], size[rays, best], size[rays, best + 1]
    bend = before - 2 * own + after
    shift = np.where(bend < 0, 0.5 * (before - after) / np.where(bend < 0, bend, -1.0), 0.0)
    spacing = steps.radii[1] - steps.radii[0]
    at = steps.radii[best] + np.clip(shift, -1, 1) * spacing
    strong = peak[rays, best] & (own > 0.2 * float(np.median(size.max(axis=1))))
    angles = 2 * np.pi * rays / RAYS
    places = center + at[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    return places[strong], own[strong]


def _circle(points: Array, strengths: Array, start: tuple[Array, float], slack: float, tolerance: float) -> Rim:
    """The circle that most points agree with, its radius held near what it should be: Tukey's biweight.

    Args:
        points: (n, 2) places of steps.
        strengths: (n,) of the steps.
        start: Center and radius to begin with; the radius is what it should be.
        slack: Standard deviation of the radius about that, mm.
        tolerance: How far off a step may lie at least, mm.
    """
    (center, held), radius = start, start[1]
    scatter, covariance, weight = tolerance, np.eye(3), np.ones(len(points))
    for _ in range(10):
        away = points - center
        reach = np.hypot(*away.T)
        off = reach - radius
        scatter = max(1.48 * float(np.median(np.abs(off))), 1e-3)
        bound = max(4.0 * scatter, tolerance)
        weight = np.where(np.abs(off) < bound, (1 - (off / bound) ** 2) ** 2, 0.0)
        rows = np.column_stack([away / reach[:, None], np.ones(len(points))])
        normal = (rows * weight[:, None]).T @ rows
        normal[2, 2] += (scatter / slack) ** 2
        pull = rows.T @ (weight * off)
        pull[2] += (held - radius) * (scatter / slack) ** 2
        covariance = np.linalg.inv(normal + 1e-9 * np.eye(3))
        step = covariance @ pull
        center, radius = center + step[:2], radius + float(step[2])
        if float(np.abs(step).max()) < _SETTLED:
            break
    kept = weight > 0.1
    total = max(float(weight.sum()), 1e-9)
    spread = float(np.sqrt((weight * off**2).sum() / total))
    sigma = spread * float(np.sqrt(max(covariance[0, 0], covariance[1, 1]) * _TOGETHER))
    return Rim(center, radius, float(kept.sum()) / RAYS, spread, float((weight * strengths).sum() / total), sigma)
