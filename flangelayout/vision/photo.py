"""The holes of a face from photos of it with cards on it."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from flangelayout.errors import InputError
from flangelayout.facts import Length
from flangelayout.problems.survey import PhotoProblem
from flangelayout.value import replace
from flangelayout.vision.adjust import CameraScene, Marks, Solution, datum_free, solve_holes, world_points
from flangelayout.vision.asked import (
    AskedHoles,
    check_asked,
    check_rims,
    check_sizes,
    mean_radii,
    of_size,
    settled_ring,
)
from flangelayout.vision.camera import angle_between
from flangelayout.vision.face import Face, Photo, find_face
from flangelayout.vision.finds import Finds, HoleFound, HolesUnsettledError, Qualm
from flangelayout.vision.holes import Search, all_marks, hole_marks, rims_seen, search
from flangelayout.vision.overlays import Cards, Draw, found_overlay, seen_overlay
from flangelayout.vision.rims import Look, Rim
from flangelayout.vision.rings import Flat, Ring
from flangelayout.vision.sample import Array, bilinear

_REACH = 1.3
_CARD_ROOM = 0.8
_SAME_TILT = 5.0
_SMALL = 3600
"""Diagonal in pixels of a picture that a messenger has most likely made smaller."""
_CARDS_OFF = 1.5
_CARDS_BEYOND = 4.0
_ENOUGH = 3
_UNSETTLED = 0.4
"""Mm by which a rim may lie off in one photo from where the others have it."""
_DIAMETER_OFF = 0.6
_IN_PART = 0.7
"""Median share of its rays on which a rim is found, below which a person has to look."""
_WIDEST_GAP = 185.0


def find_holes(photos: Sequence[Photo], asked: AskedHoles) -> Finds:
    """The holes of a face.

    Args:
        photos: Three, from different sides, of one face with four to eight cards lying on it.
        asked: How many holes there are and how wide.

    Raises:
        InputError: With what makes the photos unfit, and what to do about it.
        HolesUnsettledError: Likewise of the holes, with what was seen.
    """
    check_asked(asked)
    face = find_face(photos, asked.stretch)
    seen = _searched(photos, face, asked)
    try:
        return _found(photos, face, seen, asked)
    except InputError as refused:
        ring, scene = None if seen.ring is None else _numbered(seen.ring, face), face.scene
        overlays = tuple(
            seen_overlay(seen, ring, asked.diameter, _drawn(scene, index, 0.0), _cards_drawn(scene, index, face))
            for index in range(len(photos))
        )
        raise HolesUnsettledError(refused, overlays) from None


def _found(photos: Sequence[Photo], face: Face, seen: Search, asked: AskedHoles) -> Finds:
    ring = _numbered(settled_ring(seen, asked), face)
    _check_cover(face, ring)
    numbers = [number for number in range(1, asked.holes + 1) if number not in asked.without]
    solution, rims, marks = _solved(photos, face, ring, numbers, asked)
    _check_holes(solution, rims, marks, numbers, asked)
    return _finds(photos, face, ring, numbers, solution, rims, asked)


def _searched(photos: Sequence[Photo], face: Face, asked: AskedHoles) -> Search:
    places = face.scene.card_places[:, :2]
    center = (places.min(axis=0) + places.max(axis=0)) / 2
    reach = _REACH * float(np.hypot(*(places - center).T).max()) + 2 * asked.diameter
    flat = Flat.over(center - reach, center + reach, asked.diameter)
    covered = _on_cards(flat.places, face).reshape(flat.shape)
    flats = []
    for index, photo in enumerate(photos):
        fine = face.scene.view(index).pixels_per_mm(np.append(center, 0.0))
        gray = flat.gray(photo.gray, fine, _drawn(face.scene, index, 0.0))
        gray[covered] = np.nan
        flats.append(gray)
    told = [face.scene.view(hole.picture).on_plane(np.array([(hole.x, hole.y)]))[0] for hole in asked.added]
    return of_size(search(flats, flat, asked.diameter, asked.holes, np.array(told).reshape(-1, 2)), asked)


def _on_cards(places: Array, face: Face) -> "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]":
    """Which of (n, 2) places lie under a card or hard by it."""
    under = np.zeros(len(places), dtype=bool)
    for index, card in enumerate(face.cards):
        own = (places - face.scene.card_places[index, :2]) @ face.scene.card_turns[index][:2, :2]
        under |= (np.abs(own) < card.side / 2 + _CARD_ROOM).all(axis=1)
    return under


def _numbered(ring: Ring, face: Face) -> Ring:
    """The ring with its first place the next one counter-clockwise from the card of the lowest number."""
    lowest = min(range(len(face.cards)), key=lambda at: face.cards[at])
    away = face.scene.card_places[lowest, :2] - ring.center
    return ring.begun_at(float(np.arctan2(away[1], away[0])))


def _check_cover(face: Face, ring: Ring) -> None:
    away = face.scene.card_places[:, :2] - ring.center
    angles = np.sort(np.degrees(np.arctan2(away[:, 1], away[:, 0])))
    gap = float(np.diff(np.append(angles, angles[0] + 360)).max())
    if gap > _WIDEST_GAP:
        raise InputError.of(PhotoProblem.CARDS_ON_ONE_SIDE, "cards", gap=gap)


def _look(photo: Photo, scene: CameraScene, index: int, face: Face) -> Look:
    """Gray values of a photo in the plane of the rims, where no card lies."""
    view, height = scene.view(index), scene.rim_height

    def look(places: Array) -> Array:
        pixels = view.project(np.column_stack([places, np.full(len(places), height)]))
        gray = bilinear(photo.gray, pixels[:, 0], pixels[:, 1])
        gray[_on_cards(places, face)] = np.nan
        return gray

    return look


def _solved(
    photos: Sequence[Photo], face: Face, ring: Ring, numbers: Sequence[int], asked: AskedHoles
) -> tuple[Solution, list[list[Rim | None]], Marks]:
    """Cameras, cards and holes together; twice, as places and the rims' height are known only after the first time."""
    scene = replace(face.scene, holes=ring.places[[number - 1 for number in numbers]])
    for _ in range(2):
        looks = [_look(photo, scene, index, face) for index, photo in enumerate(photos)]
        pixels = [1 / scene.view(index).pixels_per_mm(np.append(ring.center, 0.0)) for index in range(len(photos))]
        rims = rims_seen(looks, scene.holes, asked.diameter, pixels)
        check_rims(rims, numbers, asked)
        marks = all_marks(face.marks, hole_marks(rims, scene, scene.rim_height))
        solution, marks = _agreed(solve_holes(scene, marks, face.beliefs), marks, face)
        scene = solution.scene
    return solution, rims, marks


def _agreed(solution: Solution, marks: Marks, face: Face) -> tuple[Solution, Marks]:
    """The solution without rims that lie off where two other photos or more have them."""
    for _ in range(len(solution.scene.holes)):
        apart = np.where(marks.hole >= 0, _apart(solution, marks), 0.0)
        apart[np.bincount(marks.hole + 1, minlength=1)[marks.hole + 1] < _ENOUGH] = 0.0
        worst = int(apart.argmax())
        if apart[worst] <= _UNSETTLED:
            break
        marks = marks.kept(np.arange(len(marks.view)) != worst)
        solution = solve_holes(solution.scene, marks, face.beliefs)
    return solution, marks


def _apart(solution: Solution, marks: Marks) -> Array:
    """How far off each mark was seen, mm where it is."""
    places, scene = world_points(solution.scene, marks), solution.scene
    scales = [scene.view(int(view)).pixels_per_mm(place) for view, place in zip(marks.view, places, strict=True)]
    return np.asarray(np.hypot(*solution.residuals.T) / np.array(scales))


def _check_holes(
    solution: Solution, rims: Sequence[Sequence[Rim | None]], marks: Marks, numbers: Sequence[int], asked: AskedHoles
) -> None:
    """That rims lie where the other photos have them, at the height of the cards, and are of one size."""
    height, sigma = solution.scene.rim_height, solution.rim_height_sigma
    if abs(height) - 2 * sigma > _CARDS_BEYOND:
        raise InputError.of(PhotoProblem.CARDS_OFF_THE_RIMS, "cards", height=Length(abs(height)))
    apart = _apart(solution, marks)
    for at, number in enumerate(numbers):
        worst = float(apart[marks.hole == at].max())
        if worst > _UNSETTLED:
            raise InputError.of(PhotoProblem.HOLE_UNSETTLED, "holes", number=number, apart=Length(worst))
    check_sizes(rims, numbers, asked)


def _finds(
    photos: Sequence[Photo],
    face: Face,
    ring: Ring,
    numbers: Sequence[int],
    solution: Solution,
    rims: Sequence[Sequence[Rim | None]],
    asked: AskedHoles,
) -> Finds:
    """What is told of the holes; one whose rim is larger or smaller than the others' may be off by as much.

    Its steps were found on another edge of the chamfer, often on one side only.
    """
    scene = solution.scene
    own = (scene.holes - ring.center) @ ring.axes.T
    whole, radii = np.kron(np.eye(len(numbers)), ring.axes), mean_radii(rims)
    elsewhere = np.diag(np.repeat((radii - np.median(radii)) ** 2, 2))
    covariance = datum_free(whole @ solution.hole_covariance @ whole.T + elsewhere, own)
    holes = tuple(
        HoleFound(number, float(x), float(y), 2 * float(radii[at]), sum(row[at] is not None for row in rims))
        for at, (number, (x, y)) in enumerate(zip(numbers, own, strict=True))
    )
    found = Finds(
        holes,
        covariance,
        (scene.rim_height, solution.rim_height_sigma),
        face.residual,
        face.tilts,
        (),
        tuple(
            found_overlay(
                numbers,
                scene.holes,
                rims[index],
                ring,
                _drawn(scene, index, scene.rim_height),
                _cards_drawn(scene, index, face),
            )
            for index in range(len(photos))
        ),
    )
    return replace(found, doubts=tuple(_doubts(photos, found, face, rims, asked)))


def _doubts(
    photos: Sequence[Photo], found: Finds, face: Face, rims: Sequence[Sequence[Rim | None]], asked: AskedHoles
) -> list[Qualm]:
    views = [face.scene.view(index) for index in range(len(photos))]
    tilted = max((angle_between(a.axis, b.axis) for a, b in combinations(views, 2)), default=0.0)
    height, sigma = found.rim_height or (0.0, 0.0)
    whole = float(np.median([rim.share for row in rims for rim in row if rim is not None]))
    said = {
        Qualm.ONE_PHOTO: len(photos) == 1,
        Qualm.TWO_PHOTOS: len(photos) == 2,
        Qualm.SAME_TILT: len(photos) > 1 and tilted < _SAME_TILT,
        Qualm.SMALL_PICTURE: max(photo.diagonal for photo in photos) < _SMALL,
        Qualm.CARDS_HIGH: height < -_CARDS_OFF and abs(height) > 2 * sigma,
        Qualm.CARDS_LOW: height > _CARDS_OFF and abs(height) > 2 * sigma,
        Qualm.CARDS_UNEVEN: face.uneven,
        Qualm.RIMS_IN_PART: whole < _IN_PART,
        Qualm.DIAMETER_DIFFERS: abs(found.diameter_seen - asked.diameter) > _DIAMETER_OFF,
        Qualm.LENS_UNKNOWN: all(photo.focal is None for photo in photos),
        Qualm.SCALE_UNKNOWN: not asked.stretch_known,
    }
    return [doubt for doubt, so in said.items() if so]


def _drawn(scene: CameraScene, index: int, height: float) -> Draw:
    """From a level plane to the pixels of one photo."""
    view = scene.view(index)
    return lambda places: view.project(np.column_stack([places, np.full(len(places), height)]))


def _cards_drawn(scene: CameraScene, index: int, face: Face) -> Cards:
    view = scene.view(index)
    return tuple((card, view.project(corners)) for card, corners in zip(face.cards, face.outlines, strict=True))
