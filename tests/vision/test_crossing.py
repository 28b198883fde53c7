"""Where the edges of a crossing meet, in pictures that bloom; and what the side of a square would say instead."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from flangelayout.vision.cards import PhotoCard
from flangelayout.vision.crossing import card_crossings, card_points
from rows import first_of
from vision.rendered import Camera, Floats, PaperCard, Phone, Place, Plate, developed, exposed, looking

CARD = PhotoCard(52, 5)
LOW = Phone(blur=1.0, noise=0.0, gamma=False, sharpen=0.0, quality=100, corners=0.0)
BLOOMING = Phone(blur=1.2, noise=0.0, exposure=1.6, sharpen=0.8, quality=95, corners=0.0)


def shot(phone: Phone, width: int = 330, away: float = 300.0) -> tuple[np.ndarray, Camera]:
    """One card on a plain plate, seen askew from near by a small picture."""
    plate = Plate(np.array([[500.0, 0.0]]), 10.0, 2000.0, 0.0, face=0.25, roughness=0.0)
    camera = looking((width, width), 3.2 * width, 0.35, 0.8, away, 0.4, (1.3, -0.7))
    place = Place(plate, (PaperCard(CARD.text, 0.0, 0.0, 0.3, height=0.0),))
    return developed(exposed(place, camera, samples=8), phone, np.random.default_rng(1)), camera


def pixels_of(camera: Camera, flat: Floats) -> Floats:
    """Where a lens without distortion shows places on the card, by hand."""
    cos, sin = np.cos(0.3), np.sin(0.3)
    world = np.column_stack([flat @ np.array([[cos, sin], [-sin, cos]]), np.zeros(len(flat))])
    seen = (world - camera.eye) @ camera.turn.T
    return np.asarray(np.array(camera.middle) + camera.focal * seen[:, :2] / seen[:, 2:])


def plane(camera: Camera) -> NDArray[np.float64]:
    """The homography from the card to the picture, by hand."""
    cos, sin = np.cos(0.3), np.sin(0.3)
    lens = np.array([[camera.focal, 0, camera.middle[0]], [0, camera.focal, camera.middle[1]], [0, 0, 1]])
    turn = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1.0]])
    pose = np.column_stack([camera.turn[:, 0], camera.turn[:, 1], -camera.turn @ camera.eye])
    return np.asarray(lens @ pose @ turn, dtype=np.float64)


@pytest.mark.parametrize("phone", first_of([LOW, BLOOMING]), ids=["plain", "blooming"])
def test_crossings_are_found_to_a_few_hundredths_of_a_pixel(phone: Phone) -> None:
    image, camera = shot(phone)
    off = plane(camera)
    off[:2] += np.array([[1.3], [-0.9]]) * off[2]  # the code gives whole pixels only
    found = card_crossings(image, CARD, off)
    assert found is not None
    assert np.hypot(*(found - pixels_of(camera, card_points(CARD))).T).max() < 0.06
    true = pixels_of(camera, card_points(CARD))
    spread = np.hypot(*(found[2] - found[0])) / np.hypot(*(true[2] - true[0]))
    assert spread == pytest.approx(1, abs=3e-4)


def edge_width(image: np.ndarray, camera: Camera, height: float) -> float:
    """How wide a dark square looks along one line across it, mm: where gray passes half between dark and light."""
    x = np.linspace(9.4, 12.85, 1401)
    at = pixels_of(camera, np.column_stack([x * 2, np.full(len(x), height * 2)]))
    gray = ndimage.map_coordinates(image.astype(float), [at[:, 1], at[:, 0]], order=3)
    dark = x[gray < (gray.min() + gray.max()) / 2]
    return float((dark.max() - dark.min()) * 2)


def test_the_side_of_a_dark_square_is_short_where_white_blooms() -> None:
    # The square from 10.5 to 12.5 units (of 2 mm) along x, on a line through its middle at 9.5 units of y.
    plain, camera = shot(LOW)
    blooming, _ = shot(BLOOMING)
    assert edge_width(plain, camera, 9.5) == pytest.approx(4.0, abs=0.06)
    short = 4.0 - edge_width(blooming, camera, 9.5)
    assert 295 * short / 26 > 2  # what scale by the outer edges of a code of 26 mm would make of a circle of 295


def test_what_is_no_crossing_is_not_taken_for_one() -> None:
    image, camera = shot(LOW)
    where = plane(camera)
    spoilt: dict[str, Callable[[], np.ndarray]] = {
        "mirrored": lambda: image[:, ::-1],
        "blank": lambda: np.full_like(image, 200),
        "negative": lambda: 255 - image,
    }
    for make in spoilt.values():
        assert card_crossings(np.ascontiguousarray(make()), CARD, where) is None
    assert card_crossings(image[:100], CARD, where) is None
