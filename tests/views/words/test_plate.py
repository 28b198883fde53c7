"""The sizes of a plate in words."""

import pytest

from flangelayout.flange import (
    Drilling,
    FigureEightOutline,
    Flange,
    LozengeOutline,
    LuggedOutline,
    Opening,
    Outline,
    OvalOutline,
    PaddleOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    SingleHole,
    SplitOutline,
)
from flangelayout.flange.origin import LookedUp, Made
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.job import job_from_data
from flangelayout.provenance import Confidence
from flangelayout.units import Unit, to_mm
from flangelayout.views.words.plate import outline_text, plate_notes


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (RoundOutline(285.0), ""),
        (RectangleOutline(300.0, 200.0), "RECTANGLE 300 X 200, SHARP CORNERS"),
        (RectangleOutline(300.0, 200.0, 15.0), "RECTANGLE 300 X 200, CORNERS R15"),
        (OvalOutline(220.0, 120.0, 60.0), "OVAL 220 X 120, ENDS R60, STRAIGHT SIDES"),
        (OvalOutline(220.0, 120.0, 40.0), "OVAL 220 X 120, ENDS R40, ARCHED SIDES"),
        (LozengeOutline(260.0, 150.0, 30.0), "LOZENGE 260 LONG, MIDDLE ⌀150, ENDS R30"),
        (
            LuggedOutline(200.0, 6, 236.0, 20.0, 120.0, 60.0, 10.0),
            "BODY ⌀200 WITH 6 LUGS R20 ON ⌀236, FIRST AT 120°, TAPERED FROM 60 AT THE MIDDLE, ROOTS R10",
        ),
        (PathOutline(RectangleOutline(300.0, 200.0).shape), "OUTLINE OF LINES AND ARCS PER CUT FILE, 4 PARTS"),
        (
            PaddleOutline(218.0, 235.0, 55.0, 90.0, 27.5, 12.0),
            "DISC ⌀218, HANDLE 55 WIDE, ENDING 235 FROM CENTER, END R27.5, ROOTS R12",
        ),
        (FigureEightOutline(158.0, 180.0, 60.0), "TWO DISCS ⌀158, 180 APART, WEB 60 WIDE"),
        (
            SegmentOutline(1200.0, 1000.0, 4, 90.0, 3.0),
            "RING ⌀1200 X ⌀1000, 1 SEGMENT OF 4, JOINTS AT 90°, 180°, GAP 3",
        ),
        (SplitOutline(360.0, 220.0, 3, 30.0), "RING ⌀360 X ⌀220, 3 PARTS, JOINTS AT 30°, 150°, 270°"),
    ],
)
def test_an_outline_is_told_by_its_sizes(outline: Outline, words: str) -> None:
    assert outline_text(Flange(outline, ()), Unit.MM) == words


def test_inch_outlines_are_told_in_fractions() -> None:
    outline = RectangleOutline(to_mm(12.0, Unit.IN), to_mm(7.5, Unit.IN), to_mm(0.75, Unit.IN))
    assert outline_text(Flange(outline, ()), Unit.IN) == "RECTANGLE 12 X 7 1/2, CORNERS R3/4"


def test_joints_openings_and_sources_are_told() -> None:
    found = LookedUp(Made.CLEARANCE_HOLE, 17.5, "M16", "ISO 273", Confidence.ONE_SOURCE, fit="medium")
    flange = Flange(
        SplitOutline(360.0, 220.0, 2, 90.0, 2.0, "two M16 bolts through welded lugs"),
        (),
        single_holes=(SingleHole(Point(0.0, 140.0), Drilling(17.5, looked_up=(found,))),),
        openings=(
            Opening(Circle(Point(140.0, 0.0), 10.0), 1, "opening (vent)", sizes=(("diameter", 20.0), ("angle", 0.0))),
        ),
    )
    assert list(plate_notes(flange, Unit.MM))[1:] == [
        "JOINTS: two M16 bolts through welded lugs",
        "OPENING (VENT): DIAMETER 20, ANGLE 0°",
        "Hole X1: Hole 17.5 mm for M16: ISO 273 medium; one source only.",
    ]


def test_copies_of_an_opening_are_told_once() -> None:
    window = {"shape": "window", "inner_diameter": 60, "outer_diameter": 110, "sweep": 40, "count": 5, "name": "light"}
    flange = job_from_data({"plate": {"outside_diameter": 200}, "opening": [window]}).flange
    assert list(plate_notes(flange, Unit.MM)) == [
        "5X OPENING (LIGHT): INNER DIAMETER 60, OUTER DIAMETER 110, SWEEP 40°"
    ]
