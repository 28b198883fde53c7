"""A first guess of cameras and cards from the crossings alone, for the adjustment to begin with.

Each card by itself gives where it lies before the camera; the plane through all of a photo's cards gives the face. On
the face the photos are laid over one another by the cards they share.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from flangelayout.vision.adjust import CameraScene, Marks
from flangelayout.vision.camera import homography, pose_of_plane
from flangelayout.vision.cards import PhotoCard
from flangelayout.vision.crossing import card_points
from flangelayout.vision.sample import Array

CROSSING_SIGMA = 0.08
"""Pixels a crossing is found to, one standard deviation (measured on rendered pictures)."""


class Seen(Struct, frozen=True):
    """The cards of one photo: (4, 2) crossings of each in pixels."""

    cards: Mapping[PhotoCard, Array]


Stretch = tuple[float, float]
"""Printed mm for a mm of a card, along its x and its y."""
NO_STRETCH: Stretch = (1.0, 1.0)


def joined(photos: Sequence[Seen]) -> tuple[PhotoCard, ...]:
    """The cards, in order of the first photo that shows them, that hang together with the first photo's cards.

    Only photos that share two cards with the ones before are joined; where some are not, fewer cards come back.
    """
    known = dict.fromkeys(sorted(photos[0].cards))
    waiting = list(photos[1:])
    while waiting:
        sharing = [photo for photo in waiting if len(set(photo.cards) & set(known)) >= 2]
        if not sharing:
            break
        known |= dict.fromkeys(sorted(sharing[0].cards))
        waiting.remove(sharing[0])
    return tuple(known)


def first_scene(
    photos: Sequence[Seen], cards: Sequence[PhotoCard], focal: float, middle: Array, stretch: Stretch = NO_STRETCH
) -> CameraScene:
    """Cameras and cards, good to a few percent; no holes yet.

    Args:
        photos: What each shows; every one shares two cards with those before it or is reached by way of others.
        cards: Every card that is shown, in the order of the scene's own.
        focal: Focal length in pixels, about.
        middle: Middle of the pictures.
        stretch: Of the cards as printed.
    """
    poses = [_face(photo, focal, middle, stretch) for photo in photos]
    flats = [_on_face(photo, pose, focal, middle) for photo, pose in zip(photos, poses, strict=True)]
    placed: dict[PhotoCard, Array] = dict(flats[0])
    moves = {0: (np.eye(2), np.zeros(2))}
    while len(moves) < len(photos):
        left = [index for index in range(len(photos)) if index not in moves]
        index = max(left, key=lambda at: len(set(flats[at]) & set(placed)))
        shared = sorted(set(flats[index]) & set(placed))
        own = np.vstack([flats[index][card] for card in shared])
        spin, shift = laid_over(own, np.vstack([placed[card] for card in shared]))
        moves[index] = spin, shift
        placed |= {card: at @ spin.T + shift for card, at in flats[index].items() if card not in placed}
    turns, shifts = zip(*(_moved(*poses[index], *moves[index]) for index in range(len(photos))), strict=True)
    card_turns, card_places = zip(*(_laid(card, placed[card], stretch) for card in cards), strict=True)
    return CameraScene(
        turns=np.array(turns),
        shifts=np.array(shifts),
        focals=np.full(len(photos), float(focal)),
        middles=np.tile(middle, (len(photos), 1)),
        common=np.array([np.log(focal), middle[0], middle[1], 0.0, 0.0, 0.0]),
        card_turns=np.array(card_turns),
        card_places=np.array(card_places),
        twists=np.zeros(len(cards)),
        holes=np.zeros((0, 2)),
        rim_height=0.0,
    )


def crossing_marks(photos: Sequence[Seen], cards: Sequence[PhotoCard], stretch: Stretch = NO_STRETCH) -> Marks:
    """Every crossing as something seen."""
    view, card, place, pixel = [], [], [], []
    for index, photo in enumerate(photos):
        for each, at in photo.cards.items():
            view += [index] * len(at)
            card += [cards.index(each)] * len(at)
            place.append(card_points(each, stretch))
            pixel.append(at)
    count = len(view)
    sigma = np.full(count, CROSSING_SIGMA)
    return Marks(np.array(view), np.array(card), np.full(count, -1), np.vstack(place), np.vstack(pixel), sigma)


def _face(photo: Seen, focal: float, middle: Array, stretch: Stretch) -> tuple[Array, Array]:
    """Rotation and shift of the face before the camera of one photo."""
    points = []
    for card, at in photo.cards.items():
        places = card_points(card, stretch)
        turn, shift = pose_of_plane(homography(places, at), focal, middle)
        points.append(np.column_stack([places, np.zeros(4)]) @ turn.T + shift)
    every = np.vstack(points)
    center = every.mean(axis=0)
    normal = np.linalg.svd(every - center)[2][2]
    normal = -normal if normal[2] > 0 else normal
    across = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
    across = across / np.linalg.norm(across)
    return np.column_stack([across, np.cross(normal, across), normal]), np.asarray(center)


def _on_face(photo: Seen, pose: tuple[Array, Array], focal: float, middle: Array) -> dict[PhotoCard, Array]:
    """Crossings of every card on the face, mm."""
    turn, shift = pose
    flat = {}
    for card, at in photo.cards.items():
        rays = np.column_stack([(at - middle) / focal, np.ones(len(at))]) @ turn
        eye = -shift @ turn
        flat[card] = eye[:2] - rays[:, :2] * (eye[2] / rays[:, 2:])
    return flat


def laid_over(own: Array, other: Array) -> tuple[Array, Array]:
    """(2, 2) turn and (2,) shift that lay (n, 2) places best over others (Kabsch 1976)."""
    mine, theirs = own.mean(axis=0), other.mean(axis=0)
    left, _, right = np.linalg.svd((other - theirs).T @ (own - mine))
    spin = left @ np.diag([1.0, np.linalg.det(left @ right)]) @ right
    return np.asarray(spin), np.asarray(theirs - spin @ mine)


def _moved(turn: Array, shift: Array, spin: Array, move: Array) -> tuple[Array, Array]:
    """The camera in axes in which the face's own places are spun and moved."""
    whole = np.eye(3)
    whole[:2, :2] = spin
    now = turn @ whole.T
    return now, shift - now @ np.append(move, 0.0)


def _laid(card: PhotoCard, at: Array, stretch: Stretch) -> tuple[Array, Array]:
    """Turn and place of a card on the face from its crossings there."""
    spin, shift = laid_over(card_points(card, stretch), at)
    whole = np.eye(3)
    whole[:2, :2] = spin
    return whole, np.append(shift, 0.0)
