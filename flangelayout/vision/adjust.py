"""Camera, cards and holes solved together: Levenberg-Marquardt with analytic derivatives, and the covariance.

Unknown are, for each photo, where the camera stood, its focal length and principal point; for all photos, what those
wander about, the lens's bend and how cards were stretched; for each card its place, height, turn and twist; for each
hole its place; and one height of all rims. What is known beforehand stands as observations of its own (`Beliefs`).
"""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from flangelayout.value import replace
from flangelayout.vision.camera import CameraView, cross_matrices, turned
from flangelayout.vision.sample import Array

OF_VIEW, OF_ALL, OF_CARD = 9, 6, 7
_STEPS = 60
_CONVERGED = 1e-6
"""Share of the squared residuals that a step has to promise to take off to be taken."""
_STIFFEST = 1e9
RIM_BELOW, RIM_WITHIN = 0.35, 0.35
"""Mm by which rims lie lower than cards, by the card's paper and the chamfer, and what that is good to (judgement)."""
_RIM_ANYWHERE = 2.0
"""The same where photos from several sides show that it is not so: of thick cards, or on a raised face (judgement)."""
_RIM_ELSEWHERE = 2.0
"""Standard deviations from where rims usually are, beyond which they are believed to be elsewhere."""
_SAID = 4.0
"""Observations that count as much as what was said of a kind of mark: few, so that the photos themselves tell."""
_WEIGHINGS, _WEIGHED = 6, 0.03
"""Times at most that marks are weighed anew, and the share by which their weights then still change."""
_HELD = 1e-3
"""Standard deviation in mm of what holds the first card still: it fixes where the axes are, and nothing else."""


class CameraBeliefs(Struct, frozen=True):
    """What is believed before anything is seen, one standard deviation each (judgement, from rendered pictures).

    Attributes:
        focal: Focal length in pixels.
        focal_off: Share it may be off.
        focal_wander: Share by which it moves from photo to photo, as a camera focuses.
        middle: Principal point in pixels.
        middle_off: Pixels it may be off.
        middle_wander: Pixels by which it moves from photo to photo, as a stabilizer does.
        bend: Of the two terms of radial distortion.
        card_long: Share by which cards are printed longer along x than along y, halved.
        card_height: Mm by which a card lies higher or lower than others, by curl and dirt.
        card_tilt: Radians by which it lies tilted.
        card_twist: Mm by which its corners rise and sink in turn, as rolled paper's do (`CameraScene.twists`).
        rim_height: Mm by which the rims are higher or lower than they usually are.
    """

    focal: float
    middle: tuple[float, float]
    focal_off: float = 0.03
    focal_wander: float = 0.004
    middle_off: float = 30.0
    middle_wander: float = 12.0
    bend: tuple[float, float] = (0.08, 0.08)
    card_long: float = 0.0003
    card_height: float = 0.35
    card_tilt: float = 0.01
    card_twist: float = 0.1
    rim_height: float = RIM_WITHIN


class Marks(Struct, frozen=True):
    """What was seen, one row each: crossings of cards first or mixed with centers of holes.

    Attributes:
        view: (m,) photo.
        card: (m,) card, -1 for the center of a hole.
        hole: (m,) hole, -1 for a crossing.
        place: (m, 2) place on the card in mm; 0 for a hole.
        pixel: (m, 2) where it was seen.
        sigma: (m,) what that is good to in pixels, one standard deviation along each axis.
    """

    view: NDArray[np.int64]
    card: NDArray[np.int64]
    hole: NDArray[np.int64]
    place: Array
    pixel: Array
    sigma: Array

    def kept(self, keep: NDArray[np.bool_]) -> "Marks":
        """Those that are marked."""
        return Marks(
            self.view[keep], self.card[keep], self.hole[keep], self.place[keep], self.pixel[keep], self.sigma[keep]
        )


class CameraScene(Struct, frozen=True):
    """Values of all unknowns.

    Attributes:
        turns, shifts: (v, 3, 3) and (v, 3) of every photo, world to camera.
        focals: (v,) focal lengths in pixels.
        middles: (v, 2) principal points.
        common: (6,) of all photos the logarithm of the focal length, the principal point and two terms of bend; of all
            cards the share by which they are long along their x and short along their y.
        card_turns, card_places: (c, 3, 3) and (c, 3) of every card, card to world.
        twists: (c,) mm by which two opposite crossings of a card stand up from its plane, and the other two sink.
        holes: (h, 2) centers, mm.
        rim_height: Height of all rims over the face that the cards lie on, mm.
    """

    turns: Array
    shifts: Array
    focals: Array
    middles: Array
    common: Array
    card_turns: Array
    card_places: Array
    twists: Array
    holes: Array
    rim_height: float

    def view(self, index: int) -> CameraView:
        """The camera of one photo."""
        return CameraView(
            self.turns[index], self.shifts[index], float(self.focals[index]), self.middles[index], self.common[3:5]
        )

    @property
    def unknowns(self) -> int:
        """How many there are."""
        return self.hole_start + 2 * len(self.holes) + 1

    @property
    def card_start(self) -> int:
        """The first unknown of the cards."""
        return OF_VIEW * len(self.shifts) + OF_ALL

    @property
    def hole_start(self) -> int:
        """The first unknown of the holes; the last of all is the height of the rims."""
        return self.card_start + OF_CARD * len(self.card_places)


class Solution(Struct, frozen=True):
    """The scene that agrees best with what was seen.

    Attributes:
        scene: The values.
        covariance: (p, p) of the unknowns, in their order, by what marks turned out to be good to.
        residuals: (m, 2) seen less expected, pixels.
        redundancy: (m,) 0 to 2: how much of each mark the others and the beliefs would tell without it.
        scatter: (m,) how many times what was said of it each mark turns out to be good to.
    """

    scene: CameraScene
    covariance: Array
    residuals: Array
    redundancy: Array
    scatter: Array

    @property
    def hole_covariance(self) -> Array:
        """(2h, 2h) of the holes' X and Y in mm squared."""
        start = self.scene.hole_start
        return self.covariance[start:-1, start:-1]

    @property
    def rim_height_sigma(self) -> float:
        """Standard deviation of the height of the rims, mm."""
        return float(np.sqrt(self.covariance[-1, -1]))


def solve(start: CameraScene, marks: Marks, beliefs: CameraBeliefs, scatter: Array | None = None) -> Solution:
    """The best scene near a start, crossings and rims each weighed by what they turn out to be good to.

    What crossings are good to is learnt from the sum of their squared residuals over what is left of them beyond the
    unknowns they fix, their share of the redundancy, and so are rims (components of variance, Förstner 1979).

    Args:
        start: Values to begin with.
        marks: What was seen.
        beliefs: What is believed beforehand.
        scatter: What marks turned out to be good to before, to begin with (`Solution.scatter`).
    """
    scatter, scene = np.ones(len(marks.view)) if scatter is None else scatter, start
    for _ in range(_WEIGHINGS):
        found, before = _solved(scene, replace(marks, sigma=marks.sigma * scatter), beliefs), scatter
        scene, scatter = found.scene, _scatter(found, marks)
        if np.allclose(scatter, before, rtol=_WEIGHED):
            break
    return replace(found, scatter=scatter)


def _scatter(found: Solution, marks: Marks) -> Array:
    """(m,) how many times what was said of it each mark is good to, alike for all crossings and for all rims."""
    square, scatter = (found.residuals**2).sum(axis=1) / marks.sigma**2, np.ones(len(marks.view))
    for kind in (marks.card >= 0, marks.hole >= 0):
        left = float(found.redundancy[kind].sum())
        scatter[kind] = np.sqrt((_SAID + float(square[kind].sum())) / (_SAID + left))
    return scatter


def solve_holes(start: CameraScene, marks: Marks, beliefs: CameraBeliefs) -> Solution:
    """The best scene with holes: rims where they usually are, unless the photos show clearly that they are not."""
    anywhere = solve(start, marks, replace(beliefs, rim_height=_RIM_ANYWHERE))
    off = abs(anywhere.scene.rim_height + RIM_BELOW)
    if off > _RIM_ELSEWHERE * np.hypot(anywhere.rim_height_sigma, beliefs.rim_height):
        return anywhere
    return solve(anywhere.scene, marks, beliefs, anywhere.scatter)


def _solved(start: CameraScene, marks: Marks, beliefs: CameraBeliefs) -> Solution:
    scene, damping = start, 1e-6
    rows, jacobian, seen = _equations(scene, start, marks, beliefs)
    cost = float(rows @ rows)
    for _ in range(_STEPS):
        normal, pull = jacobian.T @ jacobian, jacobian.T @ rows
        step = np.asarray(np.linalg.solve(normal + np.diag(np.diag(normal) * damping), pull), dtype=float)
        if step @ pull <= _CONVERGED * cost or damping > _STIFFEST:
            break
        moved = _moved(scene, step)
        tried = _equations(moved, start, marks, beliefs)
        after = float(tried[0] @ tried[0])
        if np.isfinite(after) and after <= cost:
            scene, (rows, jacobian, seen), cost = moved, tried, after
            damping = max(damping / 10, 1e-12)
        else:
            damping *= 10
    covariance = np.asarray(np.linalg.inv(normal), dtype=float)
    of_marks = jacobian[: 2 * len(marks.view)]
    redundancy = 1 - ((of_marks @ covariance) * of_marks).sum(axis=1)
    return Solution(scene, covariance, seen, redundancy.reshape(-1, 2).sum(axis=1), np.ones(len(marks.view)))


def _moved(scene: CameraScene, step: Array) -> CameraScene:
    """The scene after a step of all unknowns; rotations turn by the step's vector."""
    views = len(scene.shifts)
    of_views = step[: OF_VIEW * views].reshape(views, OF_VIEW)
    of_cards = step[scene.card_start : scene.hole_start].reshape(-1, OF_CARD)
    return CameraScene(
        turns=turned(of_views[:, :3]) @ scene.turns,
        shifts=scene.shifts + of_views[:, 3:6],
        focals=scene.focals * np.exp(of_views[:, 6]),
        middles=scene.middles + of_views[:, 7:9],
        common=scene.common + step[OF_VIEW * views : scene.card_start],
        card_turns=turned(of_cards[:, :3]) @ scene.card_turns,
        card_places=scene.card_places + of_cards[:, 3:6],
        twists=scene.twists + of_cards[:, 6],
        holes=scene.holes + step[scene.hole_start : -1].reshape(-1, 2),
        rim_height=scene.rim_height + float(step[-1]),
    )


def world_points(scene: CameraScene, marks: Marks) -> Array:
    """(m, 3) where the marks are in the world, mm."""
    points = np.empty((len(marks.view), 3))
    on, at = marks.card >= 0, marks.hole >= 0
    points[on] = _arms(scene, marks, on) + scene.card_places[marks.card[on]]
    points[at, :2] = scene.holes[marks.hole[at]]
    points[at, 2] = scene.rim_height
    return points


def _arms(scene: CameraScene, marks: Marks, on: NDArray[np.bool_]) -> Array:
    """(n, 3) from the middles of cards to their crossings in the world."""
    card, place = marks.card[on], marks.place[on]
    long = 1 + scene.common[5]
    bent = np.column_stack([place[:, 0] * long, place[:, 1] / long, scene.twists[card] * np.sign(place.prod(axis=1))])
    return np.asarray(np.einsum("nij,nj->ni", scene.card_turns[card], bent))


def _equations(
    scene: CameraScene, start: CameraScene, marks: Marks, beliefs: CameraBeliefs
) -> tuple[Array, Array, Array]:
    """Weighted residuals (seen less expected), their derivatives by the unknowns, and residuals in pixels."""
    expected, by_point, by_view, by_bend = _projected(scene, marks)
    count, views = len(marks.view), len(scene.shifts)
    weight = 1 / marks.sigma[:, None]
    jacobian = np.zeros((count, 2, scene.unknowns))
    rows = np.arange(count)
    columns = OF_VIEW * marks.view[:, None] + np.arange(OF_VIEW)
    jacobian[rows[:, None], :, columns] = by_view.transpose(0, 2, 1)
    jacobian[:, :, OF_VIEW * views + 3 : OF_VIEW * views + 5] = by_bend
    _fill_points(scene, marks, by_point, jacobian)
    seen = marks.pixel - expected
    held, by_held = _held(scene, start, beliefs)
    whole = np.concatenate([(seen * weight).reshape(-1), held])
    return whole, np.vstack([(jacobian * weight[:, :, None]).reshape(2 * count, -1), by_held]), seen


def _projected(scene: CameraScene, marks: Marks) -> tuple[Array, Array, Array, Array]:
    """Pixels, and their derivatives by the world point, the nine of the photo, and the bend."""
    points = world_points(scene, marks)
    turn, focal = scene.turns[marks.view], scene.focals[marks.view]
    turned_points = np.einsum("nij,nj->ni", turn, points)
    seen = turned_points + scene.shifts[marks.view]
    a, b = seen[:, 0] / seen[:, 2], seen[:, 1] / seen[:, 2]
    square = a * a + b * b
    k1, k2 = scene.common[3:5]
    swell, slope = 1 + square * (k1 + square * k2), 2 * (k1 + 2 * square * k2)
    flat = np.stack([a, b], axis=1)
    off = focal[:, None] * flat * swell[:, None]
    by_flat = focal[:, None, None] * (
        swell[:, None, None] * np.eye(2) + slope[:, None, None] * flat[:, :, None] * flat[:, None, :]
    )
    by_seen = np.zeros((len(a), 2, 3))
    by_seen[:, 0, 0] = by_seen[:, 1, 1] = 1 / seen[:, 2]
    by_seen[:, 0, 2], by_seen[:, 1, 2] = -a / seen[:, 2], -b / seen[:, 2]
    by_seen = by_flat @ by_seen
    by_view = np.zeros((len(a), 2, OF_VIEW))
    by_view[:, :, :3] = -by_seen @ cross_matrices(turned_points)
    by_view[:, :, 3:6] = by_seen
    by_view[:, :, 6] = off
    by_view[:, 0, 7] = by_view[:, 1, 8] = 1
    by_bend = focal[:, None, None] * flat[:, :, None] * np.stack([square, square**2], axis=1)[:, None, :]
    return scene.middles[marks.view] + off, by_seen @ turn, by_view, by_bend


def _fill_points(scene: CameraScene, marks: Marks, by_point: Array, jacobian: Array) -> None:
    """Derivatives by cards, holes and the height of the rims."""
    rows = np.arange(len(marks.view))
    on, at = rows[marks.card >= 0], rows[marks.hole >= 0]
    arms = _arms(scene, marks, marks.card >= 0)
    columns = scene.card_start + OF_CARD * marks.card[on][:, None] + np.arange(OF_CARD)
    upright = scene.card_turns[marks.card[on]][:, :, 2] * np.sign(marks.place[on].prod(axis=1))[:, None]
    by_twist = by_point[on] @ upright[:, :, None]
    longer = np.column_stack([marks.place[on] * (1.0, -1.0), np.zeros(len(on))])
    along = np.einsum("nij,nj->ni", scene.card_turns[marks.card[on]], longer)
    jacobian[on, :, scene.card_start - 1] = np.einsum("nij,nj->ni", by_point[on], along)
    by_card = np.concatenate([-by_point[on] @ cross_matrices(arms), by_point[on], by_twist], axis=2)
    jacobian[on[:, None], :, columns] = by_card.transpose(0, 2, 1)
    columns = scene.hole_start + 2 * marks.hole[at][:, None] + np.arange(2)
    jacobian[at[:, None], :, columns] = by_point[at][:, :, :2].transpose(0, 2, 1)
    jacobian[at, :, -1] = by_point[at][:, :, 2]


def _held(scene: CameraScene, start: CameraScene, beliefs: CameraBeliefs) -> tuple[Array, Array]:
    """Weighted residuals of what is believed, and their derivatives."""
    views, cards, lens = len(scene.shifts), len(scene.card_places), OF_VIEW * len(scene.shifts)
    of_views, of_cards = OF_VIEW * np.arange(views), scene.card_start + OF_CARD * np.arange(cards)
    beside = np.column_stack([np.log(scene.focals), scene.middles]) - scene.common[:3]
    wander = np.array([beliefs.focal_wander, *[beliefs.middle_wander] * 2])
    usual = scene.common - (np.log(beliefs.focal), *beliefs.middle, 0, 0, 0)
    off = np.array([beliefs.focal_off, *[beliefs.middle_off] * 2, *beliefs.bend, beliefs.card_long])
    normals, moved = scene.card_turns[:, :, 2], (scene.card_places[0] - start.card_places[0])[:2]
    blocks = (  # what lies off, by how much it may, and the unknowns it hangs on with its slopes by them
        (beside[:, 0], wander[0], ((of_views + 6, 1.0), (lens, -1.0))),
        (beside[:, 1], wander[1], ((of_views + 7, 1.0), (lens + 1, -1.0))),
        (beside[:, 2], wander[2], ((of_views + 8, 1.0), (lens + 2, -1.0))),
        (usual, off, ((lens + np.arange(OF_ALL), 1.0),)),
        (normals[:, 0], beliefs.card_tilt, ((of_cards + 1, normals[:, 2]), (of_cards + 2, -normals[:, 1]))),
        (normals[:, 1], beliefs.card_tilt, ((of_cards, -normals[:, 2]), (of_cards + 2, normals[:, 0]))),
        (scene.card_places[:, 2], beliefs.card_height, ((of_cards + 5, 1.0),)),
        (scene.twists, beliefs.card_twist, ((of_cards + 6, 1.0),)),
        (np.array([scene.rim_height + RIM_BELOW]), beliefs.rim_height, ((scene.unknowns - 1, 1.0),)),
        (moved, _HELD, ((scene.card_start + np.array([3, 4]), 1.0),)),
        (np.array([_swing(start, scene)]), _HELD / 100, ((scene.card_start + 2, 1.0),)),
    )
    rows = np.concatenate([-value / sigma for value, sigma, _ in blocks])
    jacobian, first = np.zeros((len(rows), scene.unknowns)), 0
    for value, sigma, by in blocks:
        lines = np.arange(first, first + len(value))
        for columns, slope in by:
            jacobian[lines, columns] = slope / sigma
        first += len(value)
    return rows, jacobian


def _swing(start: CameraScene, scene: CameraScene) -> float:
    """How far the first card has turned about the upright since the start, radians."""
    one, now = start.card_turns[0][:, 0], scene.card_turns[0][:, 0]
    return float(np.arctan2(one[0] * now[1] - one[1] * now[0], one[:2] @ now[:2]))


def datum_free(covariance: Array, places: Array) -> Array:
    """(2h, 2h) covariance of hole places about their own middle and turn, wherever the axes stand.

    What shifts and turns all holes together says nothing of the pattern; it is projected out (an S-transformation,
    Baarda 1973).

    Args:
        covariance: (2h, 2h), X and Y of hole 1, of hole 2, ...
        places: (h, 2).
    """
    count = len(places)
    off = places - places.mean(axis=0)
    moves = np.zeros((2 * count, 3))
    moves[0::2, 0] = moves[1::2, 1] = 1
    moves[0::2, 2], moves[1::2, 2] = -off[:, 1], off[:, 0]
    basis = np.linalg.qr(moves)[0]
    keep = np.eye(2 * count) - basis @ basis.T
    return np.asarray(keep @ covariance @ keep)
