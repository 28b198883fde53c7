"""The notes of the first sheet: the cautions that apply stand on the paper that leaves the office, and no others."""

from typing import Any

import pytest

from flangelayout.packet.job import Part, build_packet
from jobs import make_job
from readers import pdf_pages_text

GENERAL = "Layout aid, not a design."
PLATE_FLANGE = "carries no class or rating"
ROAD = "no claim of fitness for the road"
EXTRA_HOLE = "takes a blind out of its standard"
CIRCLE = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
BLIND = {"outside_diameter": 285, "thickness": 22}


def sheet_text(**tables: Any) -> str:  # noqa: ANN401 - tables of any kind
    """Everything printed on the sheet, its lines joined."""
    packet = build_packet(make_job(**tables), [Part.SHEET])
    return pdf_pages_text(next(data for name, data in packet.items() if name.endswith(".pdf")))


@pytest.mark.slow
def test_the_general_caution_stands_on_every_sheet() -> None:
    for plate in (BLIND, BLIND | {"bore": 170}, {"outline": "square", "width": 300, "thickness": 10}):
        text = sheet_text(plate=plate)
        assert GENERAL in text
        assert "by a qualified person to the local code" in text


@pytest.mark.parametrize(("bore", "told"), [({"bore": 170}, True), ({}, False)])
def test_a_ring_is_told_that_it_carries_no_rating(bore: dict[str, float], told: bool) -> None:
    assert (PLATE_FLANGE in sheet_text(plate=BLIND | bore)) is told


def test_a_wheel_adapter_makes_no_claim_for_the_road() -> None:
    plate = {"outside_diameter": 150, "bore": 60, "thickness": 20}
    wheel = sheet_text(plate=plate, bolt_circle=[{"standard": "wheel hub 5x114.3", "hole_diameter": 14}])
    assert ROAD in wheel
    assert "local law" in wheel
    assert ROAD not in sheet_text(plate=BLIND)


def test_an_extra_hole_in_a_blind_is_told() -> None:
    hole = {"diameter": 14, "x": 30, "y": 0}
    assert EXTRA_HOLE in sheet_text(plate=BLIND, hole=[hole])
    assert EXTRA_HOLE not in sheet_text(plate=BLIND)


def test_what_the_job_does_not_state_is_said_to_be_missing() -> None:
    bare = sheet_text(plate={"outside_diameter": 285})
    assert "THICKNESS: NOT STATED" in bare
    assert "Drilling tolerance not stated" in sheet_text()
    stated = sheet_text(plate=BLIND, tolerances={"bolt_circle": 1.5, "chord": 0.8})
    assert "not stated" not in stated.lower()
    assert "centers, any 2 of a circle ±0.8" in stated


def test_the_notes_of_the_job_and_the_face_it_is_seen_from_are_printed() -> None:
    text = sheet_text(plate=BLIND | {"face": "pump side"}, job={"number": "T-1", "notes": ["Deburr the pump side."]})
    assert "Deburr the pump side." in text
    assert "SEEN FROM PUMP SIDE" in text


def test_what_the_checks_found_stands_on_the_sheet_with_its_figures() -> None:
    # 24 holes of 22 on 240: chord 240 sin 7.5 = 31.33, metal 9.33, less than half a hole (common practice).
    text = sheet_text(plate=BLIND, bolt_circle=[CIRCLE | {"hole_count": 24}])
    assert "9.33 mm" in text
    assert "11.00 mm" in text or "11 mm" in text
