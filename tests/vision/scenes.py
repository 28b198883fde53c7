"""Scenes of a drilled ring with cards on it, drawn from a seed, and what the program makes of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from flangelayout.packet.photo import SCALE_MEASURED, readings_found
from flangelayout.survey import measure
from flangelayout.value import replace
from flangelayout.vision.asked import AskedHoles
from flangelayout.vision.face import Photo
from flangelayout.vision.finds import Finds
from flangelayout.vision.photo import find_holes
from vision.rendered import Camera, PaperCard, Phone, Place, Plate, developed, exposed, looking
from vision.simulated import caliper, circle, laid_over

PRINT_LEFT_OVER = 0.0004
"""What a measured print is still off, one standard deviation along each axis."""
_LEAST_CIRCLE = {4: 100.0, 6: 120.0, 8: 140.0, 12: 200.0, 16: 300.0, 20: 400.0, 24: 450.0}
_COUNTS = (4, 6, 8, 8, 12, 16, 20, 24)
_FINISHES = (
    {"face": 0.10, "roughness": 0.45, "wall": 0.06},  # rust
    {"face": 0.20, "roughness": 0.20, "wall": 0.10},  # mill scale
    {"face": 0.35, "roughness": 0.08, "wall": 0.30},  # paint
    {"face": 0.40, "roughness": 0.12, "wall": 0.20, "glare": 0.8},  # turned
    {"face": 0.50, "roughness": 0.05, "wall": 0.25, "glare": 0.4},  # bright
)


@dataclass(frozen=True)
class Scene:
    """What is there, and how it is photographed."""

    place: Place
    cameras: tuple[Camera, ...]
    phones: tuple[Phone, ...]
    focal: float
    seed: int

    @property
    def plate(self) -> Plate:
        return self.place.plate

    def photos(self) -> list[NDArray[np.uint8]]:
        rng = np.random.default_rng(self.seed + 5000)
        shots = zip(self.cameras, self.phones, strict=True)
        return [developed(exposed(self.place, camera), phone, rng) for camera, phone in shots]


@dataclass(frozen=True)
class Laid:
    """What may be fixed of a scene; the seed draws the rest."""

    width: int = 4000
    photos: int = 3
    count: int | None = None
    circle: float | None = None
    cards: int | None = None


def scene(seed: int, laid: Laid = Laid()) -> Scene:
    """A scene of findings: 4 to 24 holes on 100 to 600 mm, 4 to 8 cards, tilts to 30 degrees at least 10 apart."""
    rng = np.random.default_rng(seed)
    count = laid.count or int(rng.choice(_COUNTS))
    around = laid.circle or float(rng.uniform(_LEAST_CIRCLE[count], min(600, 2.2 * _LEAST_CIRCLE[count])))
    pitch = around * np.sin(np.pi / count)
    hole = float(min(rng.uniform(14, 30), 0.45 * pitch))
    first = rng.uniform(0, 6.28)
    angles = first + 2 * np.pi * np.arange(count) / count
    holes = around / 2 * np.stack([np.cos(angles), np.sin(angles)], axis=1) + rng.normal(0, 0.12, (count, 2))
    side = 36 if around < 260 else 52
    room = pitch - hole > 1.45 * side
    number = laid.cards or int(rng.integers(4, 9))
    cards = tuple(_cards(rng, number, count, around, hole, side, room, first))
    plate = Plate(
        holes,
        hole,
        outside=around + 2 * hole + side * (1.2 if room else 3.2),
        bore=max(20.0, around - 2 * hole - 2.4 * side),
        thickness=float(rng.uniform(8, 40)),
        chamfer=float(rng.uniform(0, 1)),
        gap=float(rng.choice([0.5, 30, 300])),
        bench=float(rng.choice([0.03, 0.2, 0.6])),
        blots=tuple(_blots(rng, around, hole)),
        seed=seed,
    )
    plate = replace(plate, **_FINISHES[int(rng.integers(len(_FINISHES)))])  # type: ignore[arg-type]
    cameras = tuple(_cameras(rng, plate, laid))
    phones = tuple(_phone(rng) for _ in cameras)
    return Scene(Place(plate, cards), cameras, phones, 26 / 43.27 * 1.25 * laid.width, seed)


def _cards(
    rng: np.random.Generator, number: int, count: int, around: float, hole: float, side: int, room: bool, first: float
) -> list[PaperCard]:
    names = rng.permutation(12 if side == 52 else 24)[:number] + 1
    printed = tuple(float(each) for each in 1 + rng.normal(0, PRINT_LEFT_OVER, 2))
    rolls = rng.spawn(1)[0].uniform(0, np.pi, number)
    cards = []
    for index, name in enumerate(names):
        angle = first + 2 * np.pi * (np.floor(index * count / number) + 0.5) / count
        out = hole / 2 + 0.75 * side
        inside = rng.uniform() < 0.4 and around / 2 - out > 0.9 * side
        reach = around / 2 if room else around / 2 + (-out if inside else out)
        cards.append(
            PaperCard(
                f"{side}-{name:02d}",
                float(reach * np.cos(angle)),
                float(reach * np.sin(angle)),
                float(rng.uniform(0, 6.28)),
                float(rng.uniform(0.05, 0.25)),
                (float(rng.normal(0, 0.004)), float(rng.normal(0, 0.004))),
                float(rng.uniform(-0.5, 0.5)),
                float(rolls[index]),
                (printed[0], printed[1]),
            )
        )
    return cards


def _blots(rng: np.random.Generator, around: float, hole: float) -> list[tuple[float, float, float]]:
    """Dirt of up to a hole's size, off the ring."""
    angles, sizes = rng.uniform(0, 6.28, 3), rng.uniform(0.3, 1.0, 3) * hole
    reach = around / 2 + rng.choice([-1.6, 1.6], 3) * hole
    x, y = reach * np.cos(angles), reach * np.sin(angles)
    return [(float(x[at]), float(y[at]), float(sizes[at])) for at in range(3)]


def _cameras(rng: np.random.Generator, plate: Plate, laid: Laid) -> list[Camera]:
    size = (laid.width, laid.width * 3 // 4)
    share = float(np.hypot(*size)) / 5000
    focal = 26 / 43.27 * 5000 * share * (1 + rng.uniform(-0.03, 0.03))
    bend = (float(-rng.uniform(-0.05, 0.05)), float(-rng.uniform(-0.04, 0.04)), float(rng.uniform(-0.01, 0.01)))
    away = max(500.0, 1.15 * plate.outside * focal / size[1])
    while True:
        tilt, way = np.radians(rng.uniform(0, 30, laid.photos)), rng.uniform(0, 6.28, laid.photos)
        axes = np.stack([np.sin(tilt) * np.cos(way), np.sin(tilt) * np.sin(way), np.cos(tilt)])
        if not ((axes.T @ axes)[np.triu_indices(laid.photos, 1)] > np.cos(np.radians(10))).any():
            break
    return [
        looking(
            size,
            focal * (1 + rng.normal(0, 0.003)),
            float(tilt[index]),
            float(way[index]),
            float(away * rng.uniform(1, 1.15)),
            float(rng.uniform(0, 6.28)),
            (float(rng.normal(0, 5)), float(rng.normal(0, 5))),
            middle=((size[0] - 1) / 2 + rng.normal(0, 12 * share), (size[1] - 1) / 2 + rng.normal(0, 12 * share)),
            bend=bend,
            decenter=(float(rng.normal(0, 2e-4)), float(rng.normal(0, 2e-4))),
        )
        for index in range(laid.photos)
    ]


def _phone(rng: np.random.Generator) -> Phone:
    return Phone(
        blur=float(rng.uniform(0.7, 1.4)),
        motion=float(rng.choice([0, 0, 1])),
        exposure=float(rng.uniform(0.8, 1.5)),
        sharpen=float(rng.uniform(0.3, 1.0)),
        quality=int(rng.integers(78, 95)),
    )


def with_plate(at: Scene, **changed: object) -> Scene:
    """The scene with something else about its plate."""
    return replace(at, place=replace(at.place, plate=replace(at.plate, **changed)))  # type: ignore[arg-type]


def with_cards_up(at: Scene, height: float, some: slice = slice(None)) -> Scene:
    """The scene with its cards, or some of them, so much higher."""
    chosen = at.place.cards[some]
    cards = tuple(replace(card, height=card.height + height) if card in chosen else card for card in at.place.cards)
    return replace(at, place=replace(at.place, cards=cards))


def found_in(at: Scene, asked: AskedHoles | None = None, photos: Sequence[NDArray[np.uint8]] | None = None) -> Finds:
    """What the program finds, told the hole count and a caliper's hole diameter, 3 % off at most."""
    off = np.random.default_rng(at.seed + 999).uniform(-0.03, 0.03)
    asked = asked or AskedHoles(len(at.plate.holes), at.plate.hole * (1 + off))
    grays = at.photos() if photos is None else photos
    return find_holes([Photo(f"P{index}.jpg", gray, at.focal) for index, gray in enumerate(grays, 1)], asked)


@dataclass(frozen=True)
class Judged:
    """How far off it is, mm: the circle, what is stated of it, one standard deviation, and the centers' places.

    And whether the readings are said to agree.
    """

    circle: float
    stated: float
    centers: NDArray[np.float64]
    agrees: bool

    @property
    def rms(self) -> float:
        return float(np.sqrt((self.centers**2).mean()))

    @property
    def held(self) -> bool:
        return abs(self.circle) <= 2 * self.stated


def judged(found: Finds, at: Scene, count: int | None = None, measured: bool = False) -> Judged:
    """The finds as the survey tells them, with one caliper reading across where asked, held against the true holes."""
    places = np.array([(hole.x, hole.y) for hole in found.holes])
    true, off = laid_over(places, at.plate.holes)
    readings = readings_found(found, "photos", SCALE_MEASURED)
    readings += (caliper(true, np.random.default_rng(at.seed + 77)),) if measured else ()
    survey = measure(readings, count or len(true), at.plate.hole)
    circle_off, stated = survey.diameter - circle(true), survey.fit.bolt_circle.standard_uncertainty
    return Judged(circle_off, stated, off, survey.agrees)


@cache
def small() -> Scene:
    """Eight holes and six cards in photos as small as a messenger makes them."""
    return with_plate(scene(3, Laid(width=1280, count=8, circle=262.0, cards=6)), chamfer=0.3, thickness=16.0)


@cache
def shots() -> tuple[NDArray[np.uint8], ...]:
    """Its photos."""
    return tuple(small().photos())


def half_covered(photos: Sequence[NDArray[np.uint8]], found: Finds, number: int) -> tuple[NDArray[np.uint8], ...]:
    """The photos with a gray rag over a hole, in the first over all of it and in the others over the half."""
    covered: list[NDArray[np.uint8]] = []
    for photo, overlay in zip(photos, found.overlays, strict=True):
        rim = dict(overlay.rims)[number]
        low, high = rim.min(axis=0).astype(int) - 8, rim.max(axis=0).astype(int) + 8
        rag = photo.copy()
        rag[low[1] : high[1], low[0] : int(dict(overlay.centers)[number][0]) if covered else high[0]] = 110
        covered.append(rag)
    return tuple(covered)
