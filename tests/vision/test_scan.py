"""What lies on a flatbed scanner, held against scans of known holes."""

import numpy as np
import pytest

from flangelayout.drawing.scanner import UNMEASURED, Scanner
from flangelayout.errors import InputError
from flangelayout.packet.photo import readings_found, scan_within
from flangelayout.problems.survey import PhotoProblem
from flangelayout.survey.fitting.fit import fit_equal
from flangelayout.vision.asked import AskedHoles
from flangelayout.vision.scan import Lying, Scan, find_scan_holes, measured_scanner
from vision.scanned import PRINTED, Glass, page_scanned, scan_of_holes
from vision.simulated import Floats, circle, off_after_turn


def ring(diameter: float, count: int, out: float, rng: np.random.Generator) -> Floats:
    angles = 2 * np.pi * np.arange(count) / count + rng.uniform(0, 6)
    return diameter / 2 * np.stack([np.cos(angles), np.sin(angles)], axis=1) + rng.normal(0, out, (count, 2))


def plate(count: int, hole: float) -> Floats:
    return np.column_stack([np.full(count, hole), np.zeros((count, 2))])


def test_an_exact_plate_is_measured_to_015_mm() -> None:
    rng = np.random.default_rng(1)
    glass = Glass(dpi=75, across=1.002, along=0.999, lean=0.05, size=(200.0, 200.0))
    holes = ring(150.0, 6, 0.0, rng)
    image = scan_of_holes(glass, holes, plate(6, 18.0), False, rng)
    found = find_scan_holes(
        Scan("plate", image, 75), AskedHoles(6, 18.3), Scanner("flat", 1.002, 0.999, 0.05), Lying.PLATE
    )
    places = np.array([(hole.x, hole.y) for hole in found.holes])
    assert circle(places) == pytest.approx(150.0, abs=0.15)
    assert off_after_turn(places, holes).max() < 0.1
    off = find_scan_holes(Scan("plate", image, 75), AskedHoles(6, 18.3), UNMEASURED, Lying.PLATE)
    assert circle(np.array([(hole.x, hole.y) for hole in off.holes])) == pytest.approx(150.0 / 1.0005, abs=0.2)


@pytest.mark.slow
def test_wrong_counts_are_told_with_the_count_that_is_there() -> None:
    rng = np.random.default_rng(2)
    image = scan_of_holes(Glass(dpi=75, size=(200.0, 200.0)), ring(140.0, 8, 0.1, rng), plate(8, 16.0), False, rng)
    scan = Scan("plate", image, 75)
    for count, kind in ((4, PhotoProblem.HOLES_TOO_MANY), (6, PhotoProblem.HOLES_MISSING_OTHER_COUNT)):
        with pytest.raises(InputError) as refused:
            find_scan_holes(scan, AskedHoles(count, 16.0), UNMEASURED, Lying.PLATE)
        assert refused.value.problems[0].kind is kind
    facts = dict(refused.value.problems[0].facts)
    assert facts["others"] == (8,)


def test_what_cannot_be_asked_is_refused() -> None:
    blank = np.full((300, 300), 235, dtype=np.uint8)
    cases = (
        (Scan("x", blank, 40), AskedHoles(6, 18.0), PhotoProblem.DPI_BEYOND),
        (Scan("x", blank, 100), AskedHoles(2, 18.0), PhotoProblem.COUNT_TOO_SMALL),
        (Scan("x", blank, 100), AskedHoles(6, 0.0), PhotoProblem.DIAMETER_NOT_POSITIVE),
        (Scan("x", blank, 100), AskedHoles(4, 9.0, frozenset({1, 2})), PhotoProblem.ALL_STRUCK_OUT),
        (Scan("x", blank, 100), AskedHoles(6, 18.0), PhotoProblem.NO_RING),
    )
    for scan, asked, kind in cases:
        with pytest.raises(InputError) as refused:
            find_scan_holes(scan, asked, UNMEASURED, Lying.PLATE)
        assert refused.value.problems[0].kind is kind


@pytest.mark.slow
def test_a_scanner_is_measured_by_the_page_of_cards() -> None:
    image = page_scanned()
    found = measured_scanner("flat", Scan("page", image, 120), PRINTED, "2026-11-26")
    assert found.across == pytest.approx(1.0021, abs=2e-4)
    assert found.along == pytest.approx(0.9987, abs=2e-4)
    assert found.skew_deg == pytest.approx(0.04, abs=0.02)
    with pytest.raises(InputError) as refused:
        measured_scanner("flat", Scan("page", image[: len(image) // 3], 120), (1.0, 1.0), "2026-11-26")
    assert refused.value.problems[0].kind is PhotoProblem.SCAN_WITHOUT_CARDS


@pytest.mark.property_deep
@pytest.mark.parametrize("lying", list(Lying))
def test_gaskets_rubbings_and_plates_are_honest_in_their_band(lying: Lying) -> None:
    """Twenty of each on 100 to 165 mm, plates to 200: oval holes out of place, stretched paper, a rippled scanner."""
    found = np.array([_off(lying, np.random.default_rng(seed)) for seed in range(20)])
    off, stated = np.abs(found[:, 0]), found[:, 1]
    most = {Lying.PLATE: 0.15, Lying.GASKET: 0.4, Lying.RUBBING: 0.3}[lying]
    assert np.quantile(off, 1.0 if lying is Lying.PLATE else 0.95) < most, off
    assert (off < stated).sum() >= 18, found


def _off(lying: Lying, rng: np.random.Generator) -> tuple[float, float]:
    """How far the circle is off that of the flange, and plus or minus what the survey says of it (95 %), mm."""
    widest = 200 if lying is Lying.PLATE else 165
    count, around, hole = int(rng.choice([4, 6, 8])), float(rng.uniform(100, widest)), float(rng.uniform(12, 20))
    across, along = 1 + rng.normal(0, 0.001), 1 + rng.normal(0, 0.0007)
    glass = Glass(100, across, along, rng.normal(0, 0.05), 0.03, (widest + 40.0, widest + 40.0))
    true = ring(around, count, 0.0 if lying is Lying.PLATE else 0.1, rng)
    laid = true * (1 + rng.normal(0, lying.stretch_within / 2))
    sizes = np.column_stack([np.full(count, hole), rng.normal(0, lying.hole_off, (count, 2))])
    image = scan_of_holes(glass, laid, sizes, lying is Lying.RUBBING, rng)
    scanner = Scanner("flat", glass.across, glass.along, glass.lean)
    found = find_scan_holes(Scan("scan", image, 100), AskedHoles(count, hole * 1.02), scanner, lying)
    places = np.array([(each.x, each.y) for each in found.holes])
    assert off_after_turn(places, true).max() < 0.8
    read = fit_equal(readings_found(found, "scan", scan_within(scanner, lying)), count).bolt_circle
    return read.value - circle(true), read.expanded_uncertainty
