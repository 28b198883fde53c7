"""What was found in photos or a scan: holes with their covariance, what is doubtful, what to draw over a picture."""

from enum import Enum, auto

import numpy as np
from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.vision.cards import PhotoCard
from flangelayout.vision.sample import Array


class Qualm(Enum):
    """What a person is told although the holes were found."""

    ONE_PHOTO = auto()
    TWO_PHOTOS = auto()
    SAME_TILT = auto()
    SMALL_PICTURE = auto()
    CARDS_HIGH = auto()
    CARDS_LOW = auto()
    CARDS_UNEVEN = auto()
    RIMS_IN_PART = auto()
    DIAMETER_DIFFERS = auto()
    LENS_UNKNOWN = auto()
    SCALE_UNKNOWN = auto()
    SCANNER_UNMEASURED = auto()
    GASKET_CREEPS = auto()
    RUBBING_SLIPS = auto()


class HoleFound(Struct, frozen=True):
    """A hole.

    Attributes:
        number: From 1, counter-clockwise.
        x, y: Its center from the middle of the ring, mm; hole 1 lies along the X axis, about.
        diameter: Of its rim as pictures show it, mm. Bloom makes it wrong by half a millimeter: never to be used.
        photos: How many pictures show its rim.
    """

    number: int
    x: float
    y: float
    diameter: float
    photos: int


class Overlay(Struct, frozen=True):
    """What to draw over one picture, in its pixels, x to the right and y down.

    Attributes:
        cards: Each card with the (4, 2) corners where it is cut.
        rims: Hole number and (n, 2) points along its rim, where this picture shows it.
        centers: Hole number and (2,) its center.
        ring: (n, 2) points along the ring.
        extra: (n, 2) circles on the ring that were not asked for.
    """

    cards: tuple[tuple[PhotoCard, Array], ...]
    rims: tuple[tuple[int, Array], ...]
    centers: tuple[tuple[int, Array], ...]
    ring: Array
    extra: Array


class HolesUnsettledError(InputError):
    """Holes that cannot be believed, with what was seen of them: a person has to look."""

    def __init__(self, refused: InputError, overlays: tuple[Overlay, ...]) -> None:
        """Keep the problems and one overlay for each picture."""
        super().__init__(*refused.problems)
        self.overlays = overlays


class Finds(Struct, frozen=True):
    """The holes of a face.

    Attributes:
        holes: In order of their numbers; those that were struck out are not among them.
        covariance: (2h, 2h) in mm squared of X and Y of each in turn, about their own middle and turn and without the
            scale that all share.
        rim_height: How much higher the rims lie than the cards, mm, and one standard deviation; None for a scan.
        residual: Root mean square of the cards' crossings, pixels; None for a scan.
        tilts: Degrees between face and each picture's line of sight.
        doubts: What a person has to be told.
        overlays: One for each picture.
    """

    holes: tuple[HoleFound, ...]
    covariance: Array
    rim_height: tuple[float, float] | None
    residual: float | None
    tilts: tuple[float, ...]
    doubts: tuple[Qualm, ...]
    overlays: tuple[Overlay, ...]

    @property
    def diameter_seen(self) -> float:
        """Median diameter of the rims, mm: shown, never fed."""
        sizes = sorted(hole.diameter for hole in self.holes)
        return (sizes[(len(sizes) - 1) // 2] + sizes[len(sizes) // 2]) / 2


def own_and_shared(covariance: Array, most: int = 8) -> tuple[Array, Array]:
    """A covariance as what each value errs by itself and a few errors that all share: a factor analysis.

    Args:
        covariance: (m, m) in mm squared.
        most: Shared errors at most.

    Returns:
        (m,) standard deviations and (m, k) loads in mm, whose squares add up to the variances.
    """
    own = 0.5 * np.diag(covariance)
    loads = np.zeros((len(own), 0))
    for _ in range(50):
        values, vectors = np.linalg.eigh(covariance - np.diag(own))
        top = np.argsort(values)[::-1][:most]
        top = top[values[top] > 0]
        loads = vectors[:, top] * np.sqrt(values[top])
        own = np.maximum(np.diag(covariance) - (loads**2).sum(axis=1), 1e-3 * np.diag(covariance))
    return np.sqrt(own), loads
