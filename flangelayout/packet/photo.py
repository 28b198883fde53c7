"""Photos as they come out of a phone, their holes as readings for the survey, and the picture a person looks at."""

import io
import math
from collections.abc import Iterable, Sequence
from importlib.util import find_spec
from typing import TYPE_CHECKING

from flangelayout.drawing.scanner import UNMEASURED, Scanner
from flangelayout.errors import InputError, Problem
from flangelayout.problems.survey import PhotoProblem
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import COVERAGE_FACTOR, Reading, ScaleGroup

if TYPE_CHECKING:
    from PIL.Image import Image

    from flangelayout.vision.asked import AskedHoles
    from flangelayout.vision.face import Photo
    from flangelayout.vision.finds import Finds, Overlay
    from flangelayout.vision.sample import Gray
    from flangelayout.vision.scan import Lying, Scan

SCALE_MEASURED = 0.00057
"""Plus or minus share (95 %) the cards' scale is off where bars or printer were measured.

A bar is read to 0.11 mm of 140 (judgement); a circle takes the mean of the errors of two bars, along x and along y.
"""
SCALE_UNKNOWN = 0.006
"""The same where they were not (common practice, no source: printers are 0.1 to 0.5 % off)."""
SCALE_UNKNOWN_SCANNER = 0.003
"""The same of a scanner that nobody measured (common practice, no source)."""
MOST_BYTES = 80_000_000
_EXIF, _FOCAL_35, _WIDTH, _HEIGHT = 0x8769, 0xA405, 0xA002, 0xA003
_DIAGONAL_35 = 43.27
_LEAST_WIDE = 1000
_WIDEST = 2.3
_REDUCED = 30_000_000
_BURR = 0.05
"""Mm by which burrs, chamfer and wear move the middle of a rim alike in all photos, one standard deviation.

Rendered pictures, whose chamfers run true, show 0.03; the rest is judgement: with it circles of 60 rendered scenes are
as far off as is said (1.0 times), and readings of holes that stand 0.12 mm out of place seldom disagree.
"""
_SIXTEEN_BITS = frozenset({"I", "I;16", "I;16B"})
"""What the library calls pictures of sixteen bits a pixel."""
_PICTURE_WIDE = 2400
_DRAWN_OVER = b"cards, rims and centers drawn over a picture by flangelayout"
"""Comment in the file of a picture to look at, by which it is never taken for a photo, nor a photo for one."""
_BLUE, _WHITE, _OCHRE = (28, 74, 138), (255, 255, 255), (190, 120, 10)


def check_installed() -> None:
    """Nothing, if pictures and codes can be read.

    Raises:
        InputError: With what to install.
    """
    missing = [name for module, name in (("PIL", "pillow"), ("zxingcpp", "zxing-cpp")) if find_spec(module) is None]
    if missing:
        raise InputError.of(PhotoProblem.NOT_INSTALLED, missing=tuple(missing))


def photos_of(files: Sequence[tuple[str, bytes]]) -> list["Photo"]:
    """The photos of files, each with its name and content.

    Raises:
        InputError: As `photo_of`, of all files at once, or if there is none.
    """
    photos: list[Photo] = []
    problems: list[Problem] = []
    for name, raw in files:
        try:
            photos.append(photo_of(raw, name))
        except InputError as refused:
            problems += refused.problems
    if problems:
        raise InputError(*problems)
    if not photos:
        raise InputError.of(PhotoProblem.NO_PHOTO, "photos")
    return photos


def photo_of(raw: bytes, name: str) -> "Photo":
    """A photo as gray values, as the sensor has them, with what its file says of the lens.

    Which way is up the file says by chance where a phone looks down, and the middle of the lens lies where it lies on
    the sensor: all photos have their long side level.

    Args:
        raw: The file.
        name: What to call it in a message.

    Raises:
        InputError: If it is no picture, or not as a phone took it.
    """
    import numpy as np
    from PIL.Image import Transpose

    from flangelayout.vision.face import Photo

    image = opened(raw, name)
    exif = image.getexif().get_ifd(_EXIF)
    now, taken = sorted(image.size), sorted((exif.get(_WIDTH, 0), exif.get(_HEIGHT, 0)))
    if taken[0] and now != taken:
        raise InputError.of(PhotoProblem.CROPPED, name, taken=_size(taken), now=_size(now))
    if now[1] < _LEAST_WIDE:
        raise InputError.of(PhotoProblem.TOO_SMALL, name, now=_size(now), least=_LEAST_WIDE)
    if now[1] > _WIDEST * now[0]:
        raise InputError.of(PhotoProblem.PANORAMA, name, now=_size(now))
    image = _gray(image)
    if image.height > image.width:
        image = image.transpose(Transpose.ROTATE_90)
    if image.width * image.height > _REDUCED:
        image = image.reduce(2)
    focal = float(exif.get(_FOCAL_35, 0) or 0)
    diagonal = float(np.hypot(*image.size))
    return Photo(name, np.asarray(image, dtype=np.uint8), focal / _DIAGONAL_35 * diagonal if focal else None)


def _size(sides: Sequence[int]) -> str:
    return f"{sides[1]} x {sides[0]}"


def drawn_over(raw: bytes) -> bool:
    """Whether the beginning of a file says that it is a picture to look at, as `looked_at` makes them."""
    return _DRAWN_OVER in raw[:1024]


def opened(raw: bytes, name: str) -> "Image":
    """A picture of a file, as its pixels are kept.

    Raises:
        InputError: If it is none, or one with lines drawn over it.
    """
    import warnings

    from PIL import Image, UnidentifiedImageError

    if drawn_over(raw):
        raise InputError.of(PhotoProblem.DRAWN_OVER, name)

    if raw[4:8] == b"ftyp" and raw[8:12] in (b"heic", b"heix", b"hevc", b"mif1", b"msf1"):
        raise InputError.of(PhotoProblem.HEIC, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(raw))
        image.load()
    except UnidentifiedImageError:
        reason = "its kind is not known" if raw else "it is empty"
        raise InputError.of(PhotoProblem.NO_PICTURE, name, reason=reason) from None
    except Image.DecompressionBombError:
        raise InputError.of(PhotoProblem.TOO_LARGE, name) from None
    except (OSError, ValueError) as problem:
        raise InputError.of(PhotoProblem.NO_PICTURE, name, reason=str(problem)) from None
    return image


def scan_of(raw: bytes, name: str, dpi: float) -> "Scan":
    """A scan as gray values.

    Args:
        raw: The file.
        name: What to call it in a message.
        dpi: Dots per inch it was scanned with.

    Raises:
        InputError: If it is no picture.
    """
    import numpy as np

    from flangelayout.vision.scan import Scan

    image = _gray(opened(raw, name))
    times = 1
    while image.width * image.height > _REDUCED:
        image, times = image.reduce(2), 2 * times
    return Scan(name, np.asarray(image, dtype=np.uint8), dpi / times)


def _gray(image: "Image") -> "Image":
    """Eight bits of gray a pixel; of sixteen, as scanners offer them, the upper half."""
    import numpy as np
    from PIL.Image import fromarray

    if image.mode not in _SIXTEEN_BITS:
        return image.convert("L")
    return fromarray((np.asarray(image) >> 8).astype(np.uint8))


def scan_within(scanner: Scanner, lying: "Lying") -> float:
    """Plus or minus share (95 %) by which all of a scan may be long or short, with what lies on the glass."""
    own = SCALE_UNKNOWN_SCANNER if scanner is UNMEASURED else SCALE_MEASURED
    return math.hypot(own, lying.stretch_within)


def photo_finds(photos: Sequence["Photo"], asked: "AskedHoles") -> "Finds":
    """The holes of a face; loads numpy.

    Raises:
        InputError: As `flangelayout.vision.photo.find_holes`.
    """
    from flangelayout.vision.photo import find_holes

    return find_holes(photos, asked)


def readings_found(finds: "Finds", name: str, scale_within: float) -> tuple[Reading, ...]:
    """X and Y of every hole as readings that share one scale and hang together as they were found.

    Args:
        finds: The holes.
        name: Of the scale they share.
        scale_within: Plus or minus share of one (95 %) that it may be off.
    """
    import numpy as np

    from flangelayout.vision.finds import own_and_shared

    own, loads = own_and_shared(finds.covariance)
    own = np.hypot(own, _BURR)
    group = ScaleGroup(name, scale_within)
    readings = []
    for at, hole in enumerate(finds.holes):
        for axis, (kind, value) in enumerate(((Kind.X, hole.x), (Kind.Y, hole.y))):
            row = 2 * at + axis
            within = round(COVERAGE_FACTOR * float(own[row]), 4)
            shared = tuple(round(float(load), 5) for load in loads[row])
            where = f"{name}, {kind.value} of hole {hole.number}"
            reading = Reading(
                kind, round(value, 4), hole.number, within=within, where=where, scale=group, shared=shared
            )
            readings.append(reading)
    return tuple(readings)


def looked_at(gray: "Gray", overlay: "Overlay") -> bytes:
    """A picture as a JPEG with every card, rim, center and the ring drawn over it; holes too many in ochre."""
    from PIL import Image, ImageDraw, ImageFont

    image = Image.fromarray(gray).convert("RGB")
    scale = min(1.0, _PICTURE_WIDE / image.width)
    image = image.resize((round(image.width * scale), round(image.height * scale)))
    draw = ImageDraw.Draw(image)
    line = max(2, image.width // 700)

    def stroke(points: Iterable[Sequence[float]], closed: bool = True) -> None:
        places = [(float(x) * scale, float(y) * scale) for x, y in points]
        for color, width in ((_WHITE, line + 2), (_BLUE, line)):
            draw.line(places + places[:1] * closed, fill=color, width=width)

    for _, corners in overlay.cards:
        stroke(corners)
    stroke(overlay.ring, closed=False)
    for _, rim in overlay.rims:
        stroke(rim, closed=False)
    for x, y in overlay.extra:
        size = 12 * line
        box = (float(x) * scale - size, float(y) * scale - size, float(x) * scale + size, float(y) * scale + size)
        draw.ellipse(box, outline=_OCHRE, width=2 * line)
    font = ImageFont.load_default(size=line * 14)
    for number, (x, y) in overlay.centers:
        at, arm = (float(x) * scale, float(y) * scale), 3 * line
        stroke([(x - arm / scale, y), (x + arm / scale, y)], closed=False)
        stroke([(x, y - arm / scale), (x, y + arm / scale)], closed=False)
        place = (at[0] + arm, at[1] - arm)
        draw.text(place, str(number), fill=_BLUE, font=font, anchor="lb", stroke_width=line, stroke_fill=_WHITE)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=88, comment=_DRAWN_OVER)
    return out.getvalue()
