"""The holes of what lies on the glass of a flatbed scanner: a gasket, a rubbing, a thin plate; and the scanner itself.

A scanner looks straight down everywhere: two scales and the skew between its axes are all it does to a length. They are
measured once, from a scan of the cards' page whose bars were read with a caliper.
"""

from enum import Enum

import numpy as np
from msgspec import Struct

from flangelayout.drawing.scanner import UNMEASURED, Scanner
from flangelayout.errors import InputError
from flangelayout.problems.survey import PhotoProblem
from flangelayout.value import replace
from flangelayout.vision.adjust import datum_free
from flangelayout.vision.asked import AskedHoles, check_asked, check_rims, check_sizes, of_size, settled_ring
from flangelayout.vision.codes import codes_seen
from flangelayout.vision.crossing import card_crossings, card_points
from flangelayout.vision.finds import Finds, HoleFound, HolesUnsettledError, Qualm
from flangelayout.vision.holes import Search, rims_seen, search
from flangelayout.vision.overlays import found_overlay, seen_overlay
from flangelayout.vision.rims import Rim
from flangelayout.vision.rings import Flat, Ring
from flangelayout.vision.sample import Array, Gray, bilinear
from flangelayout.vision.start import Stretch

LEAST_DPI, MOST_DPI = 75.0, 1200.0
_FEWEST_CARDS = 6
_EDGE_SIGMA = 0.05
"""Mm by which shadow and fuzz move a rim's middle, one standard deviation (judgement)."""
_DIAMETER_OFF = 0.8


class Lying(Enum):
    """What lies on the glass; the value is how it is written."""

    PLATE = "plate"
    GASKET = "gasket"
    RUBBING = "rubbing"

    @property
    def stretch_within(self) -> float:
        """Plus or minus share (95 %) by which it is larger or smaller than the flange it tells of.

        0.4 mm of a gasket's 150 and 0.3 of a rubbing's are starting values (judgement, from made-up creep and slip).
        """
        return {Lying.PLATE: 0.0, Lying.GASKET: 0.4 / 150, Lying.RUBBING: 0.3 / 150}[self]

    @property
    def hole_off(self) -> float:
        """Mm a hole of it is out of place, one standard deviation: punched, or slipped (judgement)."""
        return {Lying.PLATE: 0.0, Lying.GASKET: 0.12, Lying.RUBBING: 0.1}[self]


class Scan(Struct, frozen=True):
    """A scan.

    Attributes:
        name: What to call it in a message.
        gray: Gray values.
        dpi: Dots per inch it claims, of the picture as it is here.
    """

    name: str
    gray: Gray
    dpi: float


def measured_scanner(name: str, scan: Scan, stretch: Stretch, date: str) -> Scanner:
    """The scanner behind a scan of the cards' page.

    Args:
        name: What the shop calls it.
        scan: Of the page, or of six loose cards or more.
        stretch: Real mm for a mm of the cards, along x and along y, as the bars were read.
        date: When, as ISO 8601.

    Raises:
        InputError: If too few cards are seen.
    """
    check_dpi(scan)
    maps = []
    for code in codes_seen(scan.gray):
        found = card_crossings(scan.gray, code.card, code.plane)
        if found is not None:
            maps.append(_upright(card_points(code.card, stretch), found))
    if len(maps) < _FEWEST_CARDS:
        raise InputError.of(PhotoProblem.SCAN_WITHOUT_CARDS, scan.name, count=len(maps), fewest=_FEWEST_CARDS)
    (x, lean), (_, y) = np.median(maps, axis=0) * 25.4 / scan.dpi
    skew = float(np.degrees(np.arctan2(lean, y)))
    return Scanner(name, 1 / float(x), 1 / float(y), skew, date)


def _upright(places: Array, pixels: Array) -> Array:
    """(2, 2) upper triangular part of the map from mm, y down, to pixels: what is left without the card's own turn.

    Every matrix is a triangular one times a rotation (its RQ decomposition).
    """
    down = places * (1.0, -1.0)
    whole = np.linalg.lstsq(down - down.mean(axis=0), pixels - pixels.mean(axis=0), rcond=None)[0].T
    triangle = np.linalg.qr(whole[::-1].T)[1]
    upper = triangle.T[::-1, ::-1]
    return np.asarray(upper * np.sign(np.diag(upper)))


def check_dpi(scan: Scan) -> None:
    """Nothing, if a scan's resolution can be.

    Raises:
        InputError: If it cannot.
    """
    if not LEAST_DPI <= scan.dpi <= MOST_DPI:
        raise InputError.of(PhotoProblem.DPI_BEYOND, "dpi", dpi=scan.dpi, least=LEAST_DPI, most=MOST_DPI)


def find_scan_holes(scan: Scan, asked: AskedHoles, scanner: Scanner, lying: Lying) -> Finds:
    """The holes of what lies on the glass.

    Args:
        scan: Of it.
        asked: How many holes and how wide.
        scanner: As measured, or ``UNMEASURED``.
        lying: What it is: how far its holes may be out of place by themselves.

    Raises:
        HolesUnsettledError: If the ring is not whole, or a hole has no round rim, with what was seen.
        InputError: If what is asked cannot be looked for.
    """
    check_asked(asked)
    check_dpi(scan)
    ruler = _Ruler.of(scan, scanner)
    seen = _searched(scan, ruler, asked)
    try:
        return _found(scan, ruler, seen, asked, (scanner, lying))
    except InputError as refused:
        ring = None if seen.ring is None else seen.ring.begun_at(0.0)
        raise HolesUnsettledError(refused, (seen_overlay(seen, ring, asked.diameter, ruler.pixels),)) from None


def _found(scan: Scan, ruler: "_Ruler", seen: Search, asked: AskedHoles, by: tuple[Scanner, Lying]) -> Finds:
    ring = settled_ring(seen, asked).begun_at(0.0)
    numbers = [number for number in range(1, asked.holes + 1) if number not in asked.without]
    places = ring.places[[number - 1 for number in numbers]]

    def look(at: Array) -> Array:
        x, y = ruler.pixels(at).T
        return bilinear(scan.gray, x, y)

    for _ in range(2):
        rims = rims_seen([look], places, asked.diameter, [25.4 / scan.dpi])
        check_rims(rims, numbers, asked)
        places = np.array([rim.center for rim in rims[0] if rim is not None])
    check_sizes(rims, numbers, asked)
    return _finds(ring, numbers, [rim for rim in rims[0] if rim is not None], ruler, asked, by)


class _Ruler(Struct, frozen=True):
    """From mm on the glass, y up from the scan's middle, to pixels and back."""

    to_pixels: Array
    middle: Array

    @classmethod
    def of(cls, scan: Scan, scanner: Scanner) -> "_Ruler":
        dots = scan.dpi / 25.4
        y = dots / scanner.along
        triangle = np.array([[dots / scanner.across, y * np.tan(np.radians(scanner.skew_deg))], [0.0, y]])
        height, width = scan.gray.shape
        return cls(triangle @ np.diag([1.0, -1.0]), np.array([(width - 1) / 2, (height - 1) / 2]))

    def pixels(self, places: Array) -> Array:
        return np.asarray(places @ self.to_pixels.T + self.middle)

    def places(self, pixels: Array) -> Array:
        return np.asarray((pixels - self.middle) @ np.linalg.inv(self.to_pixels).T)


def _searched(scan: Scan, ruler: _Ruler, asked: AskedHoles) -> Search:
    height, width = scan.gray.shape
    corners = ruler.places(np.array([(0.0, 0.0), (width, 0), (width, height), (0, height)]))
    flat = Flat.over(corners.min(axis=0), corners.max(axis=0), asked.diameter)
    gray = flat.gray(scan.gray, scan.dpi / 25.4, ruler.pixels)
    return of_size(search([gray], flat, asked.diameter, asked.holes), asked)


def _finds(
    ring: Ring, numbers: list[int], rims: list[Rim], ruler: _Ruler, asked: AskedHoles, by: tuple[Scanner, Lying]
) -> Finds:
    scanner, lying = by
    centers = np.array([rim.center for rim in rims])
    own = (centers - ring.center) @ ring.axes.T
    sigma = np.hypot([rim.sigma for rim in rims], np.hypot(_EDGE_SIGMA, lying.hole_off))
    rows = zip(numbers, own, rims, strict=True)
    found = Finds(
        tuple(HoleFound(number, float(x), float(y), 2 * rim.radius, 1) for number, (x, y), rim in rows),
        datum_free(np.diag(np.repeat(sigma**2, 2)), own),
        None,
        None,
        (),
        (),
        (found_overlay(numbers, centers, rims, ring, ruler.pixels),),
    )
    said = {
        Qualm.SCANNER_UNMEASURED: scanner is UNMEASURED,
        Qualm.GASKET_CREEPS: lying is Lying.GASKET,
        Qualm.RUBBING_SLIPS: lying is Lying.RUBBING,
        Qualm.DIAMETER_DIFFERS: abs(found.diameter_seen - asked.diameter) > _DIAMETER_OFF,
    }
    return replace(found, doubts=tuple(doubt for doubt, so in said.items() if so))
