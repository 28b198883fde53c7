"""Cameras and cards from photos: what each shows, the scene that agrees with all, and what makes it unfit to use."""

from collections import Counter
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from flangelayout.errors import InputError, Problem
from flangelayout.problems.survey import PhotoProblem
from flangelayout.vision.adjust import CameraBeliefs, CameraScene, Marks, Solution, solve
from flangelayout.vision.camera import homography
from flangelayout.vision.cards import PhotoCard
from flangelayout.vision.codes import codes_seen
from flangelayout.vision.crossing import card_crossings, card_points
from flangelayout.vision.sample import Array, Gray
from flangelayout.vision.start import NO_STRETCH, Seen, Stretch, crossing_marks, first_scene, joined

FEWEST_CARDS = 4
_SHARED, _FEWEST_SHOWN = 2, 3
"""Cards that have to be read in a photo, and to be seen once it is known where they are."""
USUAL_FOCAL = 26 / 43.27
"""Focal length over the picture's diagonal of a phone's main lens, where a photo says nothing (common practice)."""
_SAME_LENS = 1.10
_MOST_OFF = 4.5
_MOST_RESIDUAL = 0.8 / 5000
"""Root mean square of crossings over the picture's diagonal: 0.8 pixels of 12 million."""
_MOST_LIFTED = 4.0
"""Mm by which a card may lie off the others, where photos from several sides have solved how far."""
_UNEVEN = 1.2


class Photo(Struct, frozen=True):
    """One photo.

    Attributes:
        name: What to call it in a message.
        gray: Gray values, as the sensor has them: a photo beside others is not turned against them.
        focal: Focal length in pixels, as the file says; None where it says nothing.
    """

    name: str
    gray: Gray
    focal: float | None = None

    @property
    def diagonal(self) -> float:
        """Of the picture, in pixels."""
        return float(np.hypot(*self.gray.shape))


class Face(Struct, frozen=True):
    """Cameras and cards that agree with the photos.

    Attributes:
        cards: In the order of the scene's own.
        solution: Without holes.
        marks: The crossings it rests on.
        beliefs: What was believed beforehand.
    """

    cards: tuple[PhotoCard, ...]
    solution: Solution
    marks: Marks
    beliefs: CameraBeliefs

    @property
    def scene(self) -> CameraScene:
        """Its values."""
        return self.solution.scene

    @property
    def residual(self) -> float:
        """Root mean square of the crossings, pixels along each axis."""
        return float(np.sqrt((self.solution.residuals**2).mean()))

    @property
    def tilts(self) -> tuple[float, ...]:
        """Degrees between the face and each line of sight."""
        return tuple(float(np.degrees(np.arccos(np.clip(-turn[2, 2], -1, 1)))) for turn in self.scene.turns)

    @property
    def uneven(self) -> bool:
        """Whether a card lies clearly higher or lower than the others."""
        heights = self.scene.card_places[:, 2]
        return bool(np.abs(heights - np.median(heights)).max() > _UNEVEN)

    @property
    def outlines(self) -> list[Array]:
        """(4, 3) corners of every card in the world."""
        found = []
        for index, card in enumerate(self.cards):
            corners = np.array([(at.x, at.y, 0.0) for at in card.edge.corners])
            found.append(corners @ self.scene.card_turns[index].T + self.scene.card_places[index])
        return found


def find_face(photos: Sequence[Photo], stretch: Stretch = NO_STRETCH) -> Face:
    """Cameras and cards of photos of one face.

    Args:
        photos: One or more, taken with one lens.
        stretch: Printed mm for a mm of a card, along its x and its y.

    Raises:
        InputError: With what makes the photos unfit, and what to do about it.
    """
    _check_lenses(photos)
    shown = [_cards_of(photo) for photo in photos]
    cards = joined(shown)
    _check_cards(photos, shown, cards)
    focals = [photo.focal for photo in photos if photo.focal is not None]
    focal = float(np.median(focals)) if focals else USUAL_FOCAL * photos[0].diagonal
    height, width = photos[0].gray.shape
    middle = np.array([(width - 1) / 2, (height - 1) / 2])
    share = photos[0].diagonal / 5000
    beliefs = CameraBeliefs(
        focal,
        (float(middle[0]), float(middle[1])),
        focal_off=0.03 if focals else 0.25,
        middle_off=30 * share,
        middle_wander=12 * share,
    )
    rough = first_scene(shown, cards, focal, middle, stretch)
    first, marks = _settled(rough, shown, cards, beliefs, stretch)
    shown = [_with_unread(photo, shown[at], at, first.scene, cards) for at, photo in enumerate(photos)]
    _check_joined(photos, shown, cards, _FEWEST_SHOWN)
    solution, marks = _settled(first.scene, shown, cards, beliefs, stretch)
    face = Face(cards, solution, marks, beliefs)
    _check_face(face, photos)
    return face


def _check_lenses(photos: Sequence[Photo]) -> None:
    if len({photo.gray.shape for photo in photos}) > 1:
        raise InputError.of(PhotoProblem.SIZES_DIFFER, _names(photos))
    focals = [photo.focal for photo in photos if photo.focal is not None]
    if focals and max(focals) > _SAME_LENS * min(focals):
        raise InputError.of(PhotoProblem.LENSES_DIFFER, _names(photos), longest=max(focals) / min(focals))


def _names(photos: Sequence[Photo]) -> str:
    return ", ".join(photo.name for photo in photos)


def _cards_of(photo: Photo) -> Seen:
    """The cards of a photo whose codes are read and whose crossings are found."""
    codes = codes_seen(photo.gray)
    if codes and sum(code.mirrored for code in codes) * 2 > len(codes):
        raise InputError.of(PhotoProblem.MIRRORED, photo.name)
    twice = [card for card, count in Counter(code.card for code in codes).items() if count > 1]
    if twice:
        raise InputError.of(PhotoProblem.CARD_TWICE, photo.name, card=twice[0].text)
    cards = {}
    for code in codes:
        found = card_crossings(photo.gray, code.card, code.plane)
        if found is not None:
            cards[code.card] = found
    if not cards:
        raise InputError.of(PhotoProblem.NO_CARDS, photo.name)
    return Seen(cards)


def _with_unread(photo: Photo, seen: Seen, index: int, scene: CameraScene, cards: Sequence[PhotoCard]) -> Seen:
    """What a photo shows, with the cards whose code it does not give but whose crossings are where they should be."""
    found = dict(seen.cards)
    for number, card in enumerate(cards):
        if card in found:
            continue
        flat = np.column_stack([card_points(card), np.zeros(4)])
        places = flat @ scene.card_turns[number].T + scene.card_places[number]
        crossings = card_crossings(photo.gray, card, homography(card_points(card), scene.view(index).project(places)))
        if crossings is not None:
            found[card] = crossings
    return Seen(found)


def _check_cards(photos: Sequence[Photo], shown: Sequence[Seen], cards: tuple[PhotoCard, ...]) -> None:
    if len(cards) < FEWEST_CARDS:
        raise InputError.of(PhotoProblem.CARDS_TOO_FEW, _names(photos), count=len(cards), fewest=FEWEST_CARDS)
    _check_joined(photos, shown, cards, _SHARED)


def _check_joined(photos: Sequence[Photo], shown: Sequence[Seen], cards: tuple[PhotoCard, ...], fewest: int) -> None:
    apart = [
        photo.name for photo, seen in zip(photos, shown, strict=True) if len(set(seen.cards) & set(cards)) < fewest
    ]
    if apart:
        raise InputError(*(Problem(name, PhotoProblem.PHOTO_APART) for name in apart))


def _settled(
    start: CameraScene, shown: Sequence[Seen], cards: Sequence[PhotoCard], beliefs: CameraBeliefs, stretch: Stretch
) -> tuple[Solution, Marks]:
    """The solution, without the cards of a photo that lie far from what all others say."""
    marks = crossing_marks(shown, cards, stretch)
    solution = solve(start, marks, beliefs)
    for _ in range(4):
        off = np.hypot(*solution.residuals.T) / (marks.sigma * np.maximum(solution.scatter, 1.0))
        worst = int(off.argmax())
        if off[worst] < _MOST_OFF:
            break
        of_card = (marks.card == marks.card[worst]) & (marks.view == marks.view[worst])
        elsewhere = (marks.card == marks.card[worst]) & ~of_card
        if not elsewhere.any():
            break
        marks = marks.kept(~of_card)
        solution = solve(solution.scene, marks, beliefs)
    return solution, marks


def _check_face(face: Face, photos: Sequence[Photo]) -> None:
    if face.residual > _MOST_RESIDUAL * photos[0].diagonal:
        raise InputError.of(PhotoProblem.NOT_SHARP, _names(photos), pixels=face.residual)
    heights = face.scene.card_places[:, 2] - float(np.median(face.scene.card_places[:, 2]))
    worst = int(np.abs(heights).argmax())
    if abs(heights[worst]) > _MOST_LIFTED:
        card, height = face.cards[worst].text, float(heights[worst])
        raise InputError.of(PhotoProblem.CARD_OFF_THE_FACE, _names(photos), card=card, height=int(abs(height)))
