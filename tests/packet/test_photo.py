"""Photos as files, holes as readings of the survey, and the picture to look at."""

import io
import warnings
from importlib.util import find_spec

import numpy as np
import pytest
from PIL import Image

from flangelayout.drawing.scanner import UNMEASURED, Scanner
from flangelayout.errors import InputError
from flangelayout.packet import photo
from flangelayout.packet.photo import (
    SCALE_MEASURED,
    check_installed,
    looked_at,
    photo_of,
    photos_of,
    readings_found,
    scan_of,
)
from flangelayout.problems import ProblemKind
from flangelayout.problems.survey import PhotoProblem
from flangelayout.survey import Allowances
from flangelayout.survey.fitting.covariance import reading_covariance
from flangelayout.survey.fitting.model import build_model
from flangelayout.survey.mistakes import alterations
from flangelayout.vision.finds import Finds, HoleFound, Overlay, own_and_shared
from flangelayout.vision.scan import Lying
from vision.rendered import jpeg

FLAT = np.full((900, 1200), 90, dtype=np.uint8)


def kind_of(raw: bytes) -> ProblemKind | str:
    with pytest.raises(InputError) as told:
        photo_of(raw, "P1.jpg")
    assert told.value.problems[0].where == "P1.jpg"
    return told.value.problems[0].kind


def saved(image: Image.Image, exif: Image.Exif | None = None) -> bytes:
    file = io.BytesIO()
    image.save(file, "JPEG", exif=Image.Exif() if exif is None else exif)
    return file.getvalue()


def test_a_photo_stays_as_its_sensor_has_it_and_knows_its_lens() -> None:
    """A phone that looks down writes one way up or another by chance; the middle of its lens stays where it is."""
    picture = FLAT.copy()
    picture[:100, :100] = 250
    for way_up in (1, 3, 6, 8):  # EXIF 2.32, tag 0x0112
        exif = Image.Exif()
        exif[0x0112] = way_up
        exif.get_ifd(0x8769).update({0xA405: 26, 0xA002: 1200, 0xA003: 900})
        found = photo_of(saved(Image.fromarray(picture), exif), "P1.jpg")
        assert found.gray.shape == (900, 1200)
        assert found.gray[20, 20] > 200
        assert found.focal == pytest.approx(26 / 43.27 * 1500, rel=1e-3)  # 43.27 mm: the diagonal of 24 x 36
    tall = photo_of(saved(Image.fromarray(np.ascontiguousarray(picture.T))), "P1.jpg")
    assert tall.gray.shape == (900, 1200)  # turned by another program: its long side is laid level again
    assert tall.gray[-20, 20] > 200
    assert tall.focal is None


def test_what_is_no_photo_as_it_was_taken_is_refused_with_a_cure() -> None:
    cropped = Image.Exif()
    cropped.get_ifd(0x8769).update({0xA002: 4000, 0xA003: 3000})
    heic = b"\0\0\0\x18ftypheic" + b"\0" * 40
    assert kind_of(saved(Image.fromarray(FLAT), cropped)) is PhotoProblem.CROPPED
    assert kind_of(heic) is PhotoProblem.HEIC
    assert kind_of(b"no picture at all") is PhotoProblem.NO_PICTURE
    assert kind_of(saved(Image.fromarray(FLAT))[:400]) is PhotoProblem.NO_PICTURE
    assert kind_of(saved(Image.fromarray(FLAT[:300, :400]))) is PhotoProblem.TOO_SMALL
    assert kind_of(saved(Image.fromarray(FLAT[:400]))) is PhotoProblem.PANORAMA
    assert kind_of(b"") is PhotoProblem.NO_PICTURE
    assert kind_of(looked_at(FLAT, finds(np.eye(8)).overlays[0])) is PhotoProblem.DRAWN_OVER
    with pytest.raises(InputError) as told:
        photos_of([("1.heic", heic), ("2.jpg", saved(Image.fromarray(FLAT))), ("3.heic", heic)])
    assert [problem.where for problem in told.value.problems] == ["1.heic", "3.heic"]
    with pytest.raises(InputError) as told:
        photos_of([])
    assert told.value.problems[0].kind is PhotoProblem.NO_PHOTO


def test_pictures_of_a_hundred_million_pixels_are_read_without_a_word_and_of_more_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    raw = saved(Image.fromarray(FLAT))
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", FLAT.size * 2 // 3)  # of which the library warns, and refuses twice
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert photo_of(raw, "P1.jpg").gray.shape == FLAT.shape
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", FLAT.size // 3)
    assert kind_of(raw) is PhotoProblem.TOO_LARGE


def test_large_pictures_are_halved_and_their_lens_and_resolution_with_them(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo, "_REDUCED", 500_000)
    found = photo_of(jpeg(FLAT), "P1.jpg")
    assert found.gray.shape == (450, 600)
    assert found.focal == pytest.approx(26 / 43.27 * 750, rel=1e-3)
    scan = scan_of(saved(Image.fromarray(FLAT)), "G.png", 300)
    assert (scan.gray.shape, scan.dpi) == ((450, 600), 150)


def test_sixteen_bits_of_gray_are_as_good_as_eight() -> None:
    deep = io.BytesIO()
    picture = np.tile(np.arange(1200, dtype=np.uint16) % 256, (900, 1))
    Image.fromarray(picture * 257).save(deep, "PNG")  # 257: all of eight bits over all of sixteen
    assert (scan_of(deep.getvalue(), "G.png", 300).gray == picture).all()
    assert (photo_of(deep.getvalue(), "P.png").gray == picture).all()


def test_one_line_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    check_installed()
    monkeypatch.setattr(photo, "find_spec", lambda name: None if name == "zxingcpp" else find_spec(name))
    with pytest.raises(InputError) as told:
        check_installed()
    (problem,) = told.value.problems
    assert problem.kind is PhotoProblem.NOT_INSTALLED
    assert dict(problem.facts)["missing"] == ("zxing-cpp",)


def finds(covariance: np.ndarray) -> Finds:
    places = ((100.0, 0.0), (0.0, 100.0), (-100.0, 0.5), (0.0, -100.0))
    holes = tuple(HoleFound(number, x, y, 18.2, 3) for number, (x, y) in enumerate(places, 1))
    ring = np.array([(300.0, 200.0), (400.0, 300.0)])
    overlay = Overlay((), ((1, ring),), ((1, np.array([350.0, 250.0])),), ring, np.zeros((0, 2)))
    return Finds(holes, covariance, (-0.2, 0.1), 0.03, (1.0, 20.0, 21.0), (), (overlay,))


def test_readings_hang_together_as_they_were_found() -> None:
    rng = np.random.default_rng(4)
    spread = rng.normal(0, 0.05, (8, 3))
    covariance = spread @ spread.T + np.diag(rng.uniform(0.02, 0.05, 8) ** 2)
    readings = readings_found(finds(covariance), "photos", SCALE_MEASURED)
    assert [reading.from_hole for reading in readings] == [1, 1, 2, 2, 3, 3, 4, 4]
    assert [reading.value for reading in readings][:4] == [100.0, 0.0, 0.0, 100.0]
    assert not any(list(alterations(reading, 4)) for reading in readings)  # nobody's pen slipped
    model = build_model(readings, 4)
    values = np.array([reading.value for reading in readings])
    scale = np.outer(values, values) * (SCALE_MEASURED / 2) ** 2
    burrs = 0.05**2 * np.eye(8)
    assert np.allclose(
        reading_covariance(readings, model, Allowances()), covariance + scale + burrs, atol=2e-4, rtol=0.02
    )


def test_own_and_shared_errors_make_the_covariance_again() -> None:
    rng = np.random.default_rng(9)
    spread = rng.normal(size=(16, 4))
    covariance = spread @ spread.T + np.diag(rng.uniform(0.3, 0.6, 16))
    own, loads = own_and_shared(covariance)
    assert np.allclose(np.diag(own**2) + loads @ loads.T, covariance, atol=0.1)
    assert np.allclose(own**2 + (loads**2).sum(axis=1), np.diag(covariance), rtol=1e-6)


def test_the_picture_shows_where_rims_and_centers_are() -> None:
    picture = Image.open(io.BytesIO(looked_at(FLAT, finds(np.eye(8)).overlays[0])))
    assert picture.size == (1200, 900)
    red, _, blue = picture.getpixel((350, 250))  # type: ignore[misc] # a color picture
    assert blue > red + 40
    assert picture.getpixel((800, 700)) == pytest.approx((90, 90, 90), abs=4)


def test_a_measured_scanner_is_believed_more_and_a_gasket_less() -> None:
    flat = Scanner("flat", 1.001, 0.999, 0.0, "2026-11-26")
    bands = [
        photo.scan_within(scanner, lying) for scanner in (flat, UNMEASURED) for lying in (Lying.PLATE, Lying.GASKET)
    ]
    assert bands[0] < bands[2] < bands[3]
    assert bands[1] * 150 == pytest.approx(0.4, abs=0.03)
