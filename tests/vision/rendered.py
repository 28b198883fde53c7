"""Pictures of a drilled plate with cards on it, made by a projection that shares nothing with the program's.

A ray leaves every pixel through a lens of its own kind (a polynomial from the pixel to the ray, with a sixth-order
and a decentering term) and meets bent cards, the face, the cones and cylinders of holes, the bore, the outside and the
bench. Light then becomes a picture as in a phone: blur, vignetting, noise, tone curve with clipping, sharpening, JPEG.
What a card looks like is read from the drawing that is printed, not from the module that reads it.

Everything about steel, paper, light and phones here is supposed; no real picture was at hand.
"""

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Mosaic, Stamp
from flangelayout.geometry.shapes import Contour
from flangelayout.views.photo.cards import card_sheets

Floats = NDArray[np.floating[Any]]
Where = NDArray[np.integer[Any]]
TEXELS = 832
"""Along the side of a card's picture: a multiple of 26, so that no edge of a card is rounded."""
BENCH, FACE, WALL, CHAMFER, OUTSIDE, PAPER, INK = range(7)


@cache
def card_pictures() -> dict[str, NDArray[np.bool_]]:
    """Where a card is black, by its name, from the rectangles of the printed pages; row 0 is its upper edge."""
    pictures: dict[str, NDArray[np.bool_]] = {}
    for sheet in card_sheets("A4", Stamp("", "", "", "", "")).sheets:
        edges = {}
        for item in sheet.furniture:
            if item.layer is Layer.PAPER_CUT and isinstance(item.what, Contour):
                corners = [segment.start for segment in item.what.parts]
                edges[item.source] = min(p.x for p in corners), max(p.y for p in corners), max(p.x for p in corners)
        for item in sheet.furniture:
            if item.layer is Layer.CODE and isinstance(item.what, Mosaic):
                left, top, right = edges[item.source]
                scale = TEXELS / (right - left)
                name = str(getattr(item.source, "name", item.source)).rsplit(" ", 1)[-1]
                black = pictures.setdefault(name, np.zeros((TEXELS, TEXELS), dtype=bool))
                for box in item.what.boxes:
                    columns = slice(round((box.left - left) * scale), round((box.right - left) * scale))
                    rows = slice(round((top - box.top) * scale), round((top - box.bottom) * scale))
                    black[rows, columns] = True
    return pictures


@dataclass(frozen=True)
class PaperCard:
    """A card as it lies: middle, turn, height over the face, lean along its own x and y, mm.

    It is rolled by ``bend``, mm at its farthest, along a line at ``roll`` on it.
    """

    name: str
    x: float
    y: float
    turn: float
    height: float = 0.1
    lean: tuple[float, float] = (0.0, 0.0)
    bend: float = 0.0
    roll: float = 0.0
    printed: tuple[float, float] = (1.0, 1.0)

    @property
    def side(self) -> float:
        return float(self.name.split("-")[0])


@dataclass(frozen=True)
class Plate:
    """A ring with through holes that have a chamfer, on a bench that lies ``gap`` below it; mm."""

    holes: NDArray[np.float64]
    hole: float
    outside: float
    bore: float
    thickness: float = 20.0
    chamfer: float = 0.5
    gap: float = 30.0
    face: float = 0.25
    bench: float = 0.05
    wall: float = 0.12
    roughness: float = 0.25
    blots: tuple[tuple[float, float, float], ...] = ()
    glare: float = 0.0
    lights: tuple[tuple[float, float, float, float], ...] = ((0.5, 0.3, 0.8, 0.6), (-0.6, 0.4, 0.7, 0.4))
    filled: frozenset[int] = frozenset()
    studs: frozenset[int] = frozenset()
    slot: float = 0.0
    seed: int = 1


@dataclass(frozen=True)
class Camera:
    """Where it stands and what its lens does to a ray: the ray of a pixel is the pixel times a polynomial."""

    turn: NDArray[np.float64]
    eye: NDArray[np.float64]
    focal: float
    middle: tuple[float, float]
    size: tuple[int, int]
    bend: tuple[float, float, float] = (0.0, 0.0, 0.0)
    decenter: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True)
class Phone:
    """From light to a file."""

    blur: float = 0.9
    motion: float = 0.0
    exposure: float = 1.0
    noise: float = 0.004
    gamma: bool = True
    sharpen: float = 0.6
    quality: int = 90
    corners: float = 0.3


@dataclass(frozen=True)
class Place:
    """A plate with cards on it."""

    plate: Plate
    cards: Sequence[PaperCard] = field(default_factory=tuple)


@cache
def _noise(seed: int) -> Floats:
    """A square of 1024 cells that joins onto itself: noise of many sizes, mean 0, about 1 in standard deviation."""
    rng = np.random.default_rng(seed)
    total = np.zeros((1024, 1024))
    for octave in range(1, 8):
        small = rng.normal(size=(2**octave * 4,) * 2)
        total += ndimage.zoom(small, 1024 / len(small), order=1, mode="grid-wrap", grid_mode=True) * 0.75**octave
    return np.asarray((total - total.mean()) / total.std(), dtype=np.float32)


def _texture(seed: int, x: Floats, y: Floats, cell: float) -> Floats:
    noise = _noise(seed)
    return np.asarray(noise[np.floor(y / cell).astype(np.int32) & 1023, np.floor(x / cell).astype(np.int32) & 1023])


@dataclass(frozen=True)
class _Rays:
    """From the eye: a direction for every pixel, and where it meets the face."""

    eye: tuple[float, float, float]
    dx: Floats
    dy: Floats
    dz: Floats

    def at_height(self, z: Floats | float) -> tuple[Floats, Floats]:
        reach = (z - self.eye[2]) / self.dz
        return np.asarray(self.eye[0] + reach * self.dx), np.asarray(self.eye[1] + reach * self.dy)

    def part(self, index: Where) -> "_Rays":
        return _Rays(self.eye, self.dx[index], self.dy[index], self.dz[index])


@dataclass(frozen=True)
class _Canvas:
    """Linear light and what is seen, for every ray; written as things come into view."""

    gray: Floats
    kind: NDArray[np.int8]

    def paint(self, index: Where, gray: Floats, kind: int) -> None:
        self.gray[index] = gray
        self.kind[index] = kind


def _rays(camera: Camera, u: Floats, v: Floats) -> _Rays:
    a, b = (u - camera.middle[0]) / camera.focal, (v - camera.middle[1]) / camera.focal
    s = a * a + b * b
    swell = 1 + s * (camera.bend[0] + s * (camera.bend[1] + s * camera.bend[2]))
    p, q = camera.decenter
    x = a * swell + 2 * p * a * b + q * (s + 2 * a * a)
    y = b * swell + p * (s + 2 * b * b) + 2 * q * a * b
    dx, dy, dz = (x * camera.turn[0, i] + y * camera.turn[1, i] + camera.turn[2, i] for i in range(3))
    ex, ey, ez = (float(each) for each in camera.eye)
    return _Rays((ex, ey, ez), dx, dy, dz)


def _light(place: Place, camera: Camera, u: Floats, v: Floats) -> _Canvas:
    """Linear light and what is seen for every pixel (flat arrays)."""
    plate, rays = place.plate, _rays(camera, u, v)
    x, y = rays.at_height(0.0)
    lit = 1 + 0.0008 * (x * plate.lights[0][0] + y * plate.lights[0][1])
    gray = plate.face * np.exp(plate.roughness * _texture(plate.seed, x, y, 0.35))
    if plate.glare:
        gray = gray * (1 + plate.glare * np.cos(np.arctan2(y, x) - 0.7) ** 8)
    for blot_x, blot_y, size in plate.blots:
        gray = np.where(np.hypot(x - blot_x, y - blot_y) < size / 2, gray * 0.35, gray)
    canvas = _Canvas((gray * lit).astype(np.float32), np.full(x.shape, FACE, dtype=np.int8))
    _open(plate, rays, canvas)
    for card in place.cards:
        if _may_show(card, x, y):
            _card(card, rays, lit, canvas)
    return canvas


def _may_show(card: PaperCard, x: Floats, y: Floats) -> bool:
    """Whether rays that meet the face within some bounds may meet a card that lies hard by it."""
    reach = card.side * 0.75 + 4 + 2 * abs(card.height)
    across = x.min() - reach < card.x < x.max() + reach
    return bool(across and y.min() - reach < card.y < y.max() + reach)


def _open(plate: Plate, rays: _Rays, canvas: _Canvas) -> None:
    """Everything that is not the face: bore, holes, outside."""
    x, y = rays.at_height(0.0)
    radius = np.hypot(x, y)
    inner = np.flatnonzero(radius < plate.bore / 2)
    _through(plate, rays, inner, np.zeros((len(inner), 2)), plate.bore / 2, 0.0, canvas)
    near, center, number = _near_holes(plate, x, y, radius)
    open_here = ~np.isin(number, list(plate.filled))
    _through(plate, rays, near[open_here], center[open_here], plate.hole / 2, plate.chamfer, canvas)
    for stud in plate.studs:
        _stud(plate, plate.holes[stud], rays, canvas)
    part = np.flatnonzero(radius > plate.outside / 2)
    _bench(plate, rays, part, canvas, 1.0)
    lowest = plate.thickness * float(np.hypot(rays.dx, rays.dy).max() / np.abs(rays.dz).min())
    part = part[radius[part] < plate.outside / 2 + lowest]
    depth, angle = _cylinder(rays.part(part), np.zeros((len(part), 2)), plate.outside / 2, first=True)
    hit = (depth < 0) & (depth > -plate.thickness)
    canvas.paint(part[hit], plate.face * _lit(plate, np.cos(angle[hit]), np.sin(angle[hit]), 0.0), OUTSIDE)


def _near_holes(plate: Plate, x: Floats, y: Floats, radius: Floats) -> tuple[Where, NDArray[np.float64], Where]:
    """The pixels within a hole and its chamfer; for each that hole's middle (of a slot the nearest) and number."""
    count = len(plate.holes)
    reach = plate.hole / 2 + plate.chamfer
    near = np.flatnonzero(np.abs(radius - np.hypot(*plate.holes[0])) < reach + 2)
    first = np.arctan2(plate.holes[0, 1], plate.holes[0, 0])
    number = np.round((np.arctan2(y[near], x[near]) - first) / (2 * np.pi / count)).astype(int) % count
    center = plate.holes[number]
    if plate.slot:
        along = np.stack([-center[:, 1], center[:, 0]], axis=1) / np.hypot(*center.T)[:, None]
        off = ((np.stack([x[near], y[near]], axis=1) - center) * along).sum(axis=1)
        center = center + np.clip(off, -plate.slot, plate.slot)[:, None] * along
    inside = np.hypot(x[near] - center[:, 0], y[near] - center[:, 1]) < reach
    return near[inside], center[inside], number[inside]


def _through(
    plate: Plate,
    rays: _Rays,
    part: Where,
    center: NDArray[np.float64],
    size: float,
    chamfer: float,
    canvas: _Canvas,
) -> None:
    """Rays that pass an opening at the face: cone, wall, or on to the bench."""
    if not len(part):
        return
    own = rays.part(part)
    _bench(plate, rays, part, canvas, 0.35)
    depth, angle = _cylinder(own, center, size, first=False)
    wall = depth > -plate.thickness
    shade = plate.wall * _lit(plate, -np.cos(angle), -np.sin(angle), 0.0) * np.exp(np.minimum(depth, 0.0) / (3 * size))
    canvas.paint(part[wall], shade[wall], WALL)
    low_x, low_y = own.at_height(-chamfer)
    off_x, off_y = low_x - center[:, 0], low_y - center[:, 1]
    cone = np.hypot(off_x, off_y) > size
    turn = np.arctan2(off_y, off_x)
    shine = plate.wall * 1.8 * _lit(plate, -0.7 * np.cos(turn), -0.7 * np.sin(turn), 0.7)
    canvas.paint(part[cone], shine[cone], CHAMFER)


def _stud(plate: Plate, center: NDArray[np.float64], rays: _Rays, canvas: _Canvas) -> None:
    """A stud that stands as high over the face as the plate is thick, a millimeter slimmer than its hole."""
    size, high = plate.hole / 2 - 0.5, plate.thickness
    part = np.arange(len(rays.dz))
    top_x, top_y = rays.at_height(high)
    top = np.hypot(top_x - center[0], top_y - center[1]) < size
    depth, angle = _cylinder(rays, np.broadcast_to(center, (len(part), 2)), size, first=True)
    side = (depth < high) & (depth > -plate.thickness) & ~top
    side &= (depth > 0) | (canvas.kind == WALL) | (canvas.kind == BENCH)
    canvas.paint(part[side], 0.2 * _lit(plate, np.cos(angle[side]), np.sin(angle[side]), 0.0), OUTSIDE)
    canvas.paint(part[top], np.full(int(top.sum()), 0.3, dtype=np.float32), OUTSIDE)


def _cylinder(rays: _Rays, center: NDArray[np.float64], size: float, first: bool) -> tuple[Floats, Floats]:
    """Height and angle at which rays meet an upright cylinder, the first or the last time; far below for never."""
    px, py = rays.eye[0] - center[:, 0], rays.eye[1] - center[:, 1]
    dx, dy = rays.dx.astype(np.float64), rays.dy.astype(np.float64)
    a, b, c = dx * dx + dy * dy, px * dx + py * dy, px * px + py * py - size * size
    root = np.sqrt(np.where(b * b - a * c >= 0, b * b - a * c, np.nan))
    s = (-b - root) / a if first else (-b + root) / a
    return np.nan_to_num(rays.eye[2] + s * rays.dz, nan=-1e9), np.arctan2(py + s * dy, px + s * dx)


def _bench(plate: Plate, rays: _Rays, part: Where, canvas: _Canvas, shade: float) -> None:
    x, y = rays.part(part).at_height(-plate.thickness - plate.gap)
    canvas.paint(part, plate.bench * shade * np.exp(0.3 * _texture(plate.seed + 1, x, y, 0.6)), BENCH)


def _lit(plate: Plate, nx: Floats, ny: Floats, nz: float) -> Floats:
    total = np.full(nx.shape, 0.35)
    for lx, ly, lz, strength in plate.lights:
        size = np.sqrt(lx * lx + ly * ly + lz * lz)
        total += strength * np.maximum(nx * lx + ny * ly + nz * lz, 0) / size
    return total


def _card(card: PaperCard, rays: _Rays, lit: Floats, canvas: _Canvas) -> None:
    half = card.side / 2
    x, y = rays.at_height(card.height)
    part = np.flatnonzero(np.hypot(x - card.x, y - card.y) < half * 1.5 + 2)
    if not len(part):
        return
    own = rays.part(part)
    cos, sin = np.cos(card.turn), np.sin(card.turn)
    z = np.full(len(part), card.height, dtype=np.float32)
    toward = np.cos(card.roll), np.sin(card.roll)
    farthest = half * (abs(toward[0]) + abs(toward[1]))

    def rolled(along: Floats, across: Floats) -> Floats:
        return np.asarray((along * toward[0] + across * toward[1]) / farthest)

    for _ in range(3):
        x, y = own.at_height(z)
        along, across = (x - card.x) * cos + (y - card.y) * sin, (y - card.y) * cos - (x - card.x) * sin
        z = card.height + along * card.lean[0] + across * card.lean[1] + card.bend * rolled(along, across) ** 2
    on = (np.abs(along) < half * card.printed[0]) & (np.abs(across) < half * card.printed[1])
    along, across, index = along[on], across[on], part[on]
    columns = np.clip(((along / card.printed[0] + half) * TEXELS / card.side).astype(int), 0, TEXELS - 1)
    rows = np.clip(((half - across / card.printed[1]) * TEXELS / card.side).astype(int), 0, TEXELS - 1)
    black = card_pictures()[card.name][rows, columns]
    slope = 1 + 0.5 * (card.bend / farthest * 2 * rolled(along, across) * toward[0] + card.lean[0])
    canvas.paint(index, np.where(black, 0.035, 0.75) * lit[index] * slope, PAPER)
    canvas.kind[index[black]] = INK


def exposed(place: Place, camera: Camera, samples: int = 4) -> Floats:
    """Linear light of every pixel; pixels that see two things are made of samples by samples rays."""
    width, height = camera.size
    light = np.empty((height, width), dtype=np.float32)
    kinds = np.empty((height, width), dtype=np.int8)
    for tile in _tiles(height, width):
        v, u = np.mgrid[tile].astype(np.float32)
        seen = _light(place, camera, u.ravel(), v.ravel())
        light[tile], kinds[tile] = seen.gray.reshape(u.shape), seen.kind.reshape(u.shape)
    mixed = ndimage.maximum_filter(kinds, 3) != ndimage.minimum_filter(kinds, 3)
    steps = ((np.arange(samples) + 0.5) / samples - 0.5).astype(np.float32)
    down, right = (each.ravel()[:, None] for each in np.meshgrid(steps, steps))
    for tile in _tiles(height, width):
        v, u = np.nonzero(mixed[tile])
        if len(u):
            v, u = v + tile[0].start, u + tile[1].start
            rays = (u.astype(np.float32) + right).ravel(), (v.astype(np.float32) + down).ravel()
            light[v, u] = _light(place, camera, *rays).gray.reshape(samples**2, -1).mean(axis=0)
    return light


def _tiles(height: int, width: int, side: int = 160) -> list[tuple[slice, slice]]:
    """A picture in squares small enough that most see no card and no hole, and that the processor's cache holds."""
    rows, columns = ([slice(at, min(at + side, end)) for at in range(0, end, side)] for end in (height, width))
    return [(row, column) for row in rows for column in columns]


def developed(light: Floats, phone: Phone, rng: np.random.Generator) -> NDArray[np.uint8]:
    """What a phone makes of light: gray values as they come out of the JPEG."""
    height, width = light.shape
    if phone.motion:
        light = ndimage.uniform_filter1d(light, max(round(phone.motion * 2) | 1, 3), axis=int(rng.integers(2)))
    light = ndimage.gaussian_filter(light, phone.blur)
    v, u = np.ogrid[:height, :width]
    off = ((u - width / 2) ** 2 + (v - height / 2) ** 2) / (width**2 + height**2) * 4
    light = light * phone.exposure * (1 - phone.corners * off).astype(np.float32)
    grain = rng.standard_normal(light.shape, dtype=np.float32)
    light = np.clip(light + grain * np.float32(phone.noise) * np.sqrt(np.maximum(light, 0.01)), 0, 1)
    tone = np.where(light < 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055) if phone.gamma else light
    tone = ndimage.gaussian_filter(tone, 0.4)
    if phone.sharpen:
        tone = tone + phone.sharpen * (tone - ndimage.gaussian_filter(tone, 1.2))
    pixels = (np.clip(tone, 0, 1) * 255 + 0.5).astype(np.uint8)
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=phone.quality)
    return np.asarray(Image.open(file).convert("L"))


def jpeg(pixels: NDArray[np.uint8], quality: int = 90, focal_35: float = 26.0) -> bytes:
    """A file as a phone writes it: with its size and the focal length in it."""
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0xA405: round(focal_35), 0xA002: pixels.shape[1], 0xA003: pixels.shape[0]})
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=quality, exif=exif)
    return file.getvalue()


def looking(
    size: tuple[int, int],
    focal: float,
    tilt: float,
    azimuth: float,
    distance: float,
    roll: float,
    aim: tuple[float, float] = (0.0, 0.0),
    **lens: object,
) -> Camera:
    """A camera ``distance`` away that looks at ``aim``, tilted (radians) toward an azimuth and rolled."""
    back = np.array([np.sin(tilt) * np.cos(azimuth), np.sin(tilt) * np.sin(azimuth), np.cos(tilt)])
    forward = -back
    right = np.cross(forward, np.array([np.sin(roll), np.cos(roll), 0.0]))
    right /= np.linalg.norm(right)
    turn = np.array([right, np.cross(forward, right), forward])
    middle = lens.pop("middle", ((size[0] - 1) / 2, (size[1] - 1) / 2))
    return Camera(turn, np.append(aim, 0.0) + back * distance, focal, middle, size, **lens)  # type: ignore[arg-type]
