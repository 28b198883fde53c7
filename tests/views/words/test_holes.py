"""What holes and patterns are called (8X is ASME Y14.5, 8 × is ISO 129-1; the rest common practice, no source)."""

from flangelayout.drawing.convention import Convention
from flangelayout.flange import (
    DRILLED,
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    Drilling,
    Flange,
    HoleGrid,
    HoleKind,
    HolePattern,
    HoleRectangle,
    HoleRings,
    Jack,
    RectangleOutline,
    RoundOutline,
    SingleHole,
    Slot,
    SlotDirection,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.origin import FromRow, LookedUp, Made, Measured
from flangelayout.geometry.shapes import Point
from flangelayout.provenance import Confidence, Family
from flangelayout.standards import find, published_row
from flangelayout.standards.holes import thread
from flangelayout.units import Unit, to_mm
from flangelayout.views.words.call_outs import call_out, group_call_out, named_call_out
from flangelayout.views.words.holes import hole_text, is_worked_from_one_face, pattern_call_out
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.notes import cautions, group_note, source_notes
from rows import every_row

MM = Lengths(Unit.MM)
INCH = Lengths(Unit.IN, convention=Convention.ASME)


@every_row(
    ("kind", "words"),
    [
        (DRILLED, "⌀14"),
        (Tapped("M16", 16.0, 20.0), "M16 × 20/⌀14"),
        (
            Tapped("M16", 16.0, 20.0, 26.0),
            "M16 × 20/⌀14 × 26",
        ),  # as ISO 6410-1 writes M12 × 16/⌀10.2 × 20 (from memory)
        (Tapped("M16", 16.0), "M16 THROUGH, DRILL ⌀14"),
        (Jack("M16", 16.0), "M16 THROUGH, DRILL ⌀14, FOR JACK SCREW"),
        (Countersunk(28.0, 90.0), "⌀14, CSK ⌀28 × 90°"),
        (Counterbored(24.0, 13.0), "⌀14, CBORE ⌀24 × 13 DEEP"),
        (Spotfaced(30.0), "⌀14, SPOTFACE ⌀30"),
        (Slot(30.0), "SLOT 14 × 30 ALONG CIRCLE"),
        (Slot(30.0, SlotDirection.RADIUS), "SLOT 14 × 30 ALONG RADIUS"),
        (Slot(30.0, SlotDirection.X), "SLOT 14 × 30 ALONG X"),
        (Slot(30.0, SlotDirection.Y), "SLOT 14 × 30 ALONG Y"),
        (Dowel("H7", 0.0, 0.018), "⌀14 H7 (+0.018/0.000), REAM FOR DOWEL"),
        (Dowel("P7", -0.029, -0.011), "⌀14 P7 (-0.011/-0.029), REAM FOR DOWEL"),
        (Dowel("H7"), "⌀14 H7, REAM FOR DOWEL"),
    ],
)
def test_a_hole_is_called_what_the_trade_calls_it(kind: HoleKind, words: str) -> None:
    assert hole_text(kind, 14.0, MM) == words


def test_inch_holes_are_called_in_decimals_with_the_trade_fraction_behind() -> None:
    major, depth, drilled = (to_mm(size, Unit.IN) for size in (5 / 8, 1.25, 1.25 + 3 / 11))
    kind = Tapped("5/8-11 UNC", major, depth, drilled)
    assert hole_text(kind, to_mm(17 / 32, Unit.IN), INCH) == "5/8-11 UNC X 1.250 DEEP, DRILL ⌀.531 (17/32) X 1.523 DEEP"


@every_row(
    ("written", "one_face"),
    [("1/4 NPT", True), ("Rc 1/4", True), ("G 1/4", False), ("M16", False)],  # ASME B1.20.1 and ISO 7-1 taper 1 in 16
)
def test_a_thread_that_tapers_is_cut_from_one_face(written: str, one_face: bool) -> None:
    found = thread(written)
    assert found
    assert is_worked_from_one_face(found.tapped()) is one_face


def test_a_circle_of_tapped_holes_is_called_with_thread_and_depth() -> None:
    circle = BoltCircle(240.0, 8, 14.0, kind=Tapped("M16", 16.0, 20.0, 26.0))
    assert call_out(circle, MM)[0] == "8 × M16 × 20/⌀14 × 26"


def test_pairs_are_called_pairs() -> None:
    circle = BoltCircle(240.0, 8, 22.0, pair_angle=12.0)
    # Pairs 90 degrees apart, the first whole beyond the top: its first hole 45 - 6 degrees from it.
    assert call_out(circle, MM) == (
        "8 × ⌀22",
        "IN 4 PAIRS, THE TWO OF EACH 12° APART, ON PCD 240",
        "HOLES 1 AND 8 39° EITHER SIDE OF TOP",
    )


def test_a_segment_names_the_places_that_are_drilled_and_not_the_many_that_are_not() -> None:
    circle = BoltCircle(1120.0, 32, 26.0, skipped=tuple(range(9, 33)))
    assert call_out(circle, MM)[-1] == "ONLY PLACES 1 TO 8 DRILLED"
    part = BoltCircle(1120.0, 12, 26.0, skipped=(3, *range(7, 12)), elsewhere=tuple(range(7, 12)))
    assert call_out(part, MM)[-1] == "HOLES 1, 2, 4 TO 6, 12 ON THIS PART"
    few = BoltCircle(240.0, 8, 22.0, skipped=(3, 7))
    assert call_out(few, MM)[-1] == "NO HOLE AT 3, 7"


@every_row(
    ("pattern", "words"),
    [
        (HoleRectangle(Drilling(18.0), 360.0, 220.0), ("4 × ⌀18", "ON RECTANGLE 360 × 220")),
        (
            HoleRectangle(Drilling(18.0), 360.0, 220.0, 3, 2),
            ("6 × ⌀18", "ON RECTANGLE 360 × 220", "3 ALONG X, 2 ALONG Y, EQUALLY SPACED"),
        ),
        (HoleGrid(Drilling(8.0), 3, 2, 20.0, 25.0), ("6 × ⌀8", "GRID, 3 COLUMNS, 2 ROWS", "PITCH 20.00 × 25.00")),
        (
            HoleGrid(Drilling(8.0), 5, 5, 20.0, 20.0, staggered=True, within=100.0),
            ("19 × ⌀8", "STAGGERED GRID, 5 COLUMNS, 5 ROWS", "PITCH 20.00 × 20.00", "WHOLE WITHIN ⌀100"),
        ),
        (
            HoleGrid(Drilling(8.0), 5, 5, 20.0, 20.0, staggered=True, within=80.0),  # rows of 2, 3 and 2 are left
            (
                *("7 × ⌀8", "STAGGERED GRID, 5 COLUMNS, 5 ROWS", "PITCH 20.00 × 20.00"),
                "2 ROWS EMPTY, WHOLE WITHIN ⌀80",
            ),
        ),
        (
            HoleGrid(Drilling(8.0), 5, 5, 20.0, 20.0, outside=40.0),  # all but the middle one and the four beside it
            ("20 × ⌀8", "GRID, 5 COLUMNS, 5 ROWS", "PITCH 20.00 × 20.00", "WHOLE OUTSIDE ⌀40"),
        ),
        (
            HoleRectangle(Drilling(18.0), 360.0, 220.0, center=Point(40.0, -20.0), turned_by=30.0),
            ("4 × ⌀18", "ON RECTANGLE 360 × 220", "TURNED 30° CCW ABOUT ITS MIDDLE", "ITS MIDDLE AT X 40.00, Y -20.00"),
        ),
        (
            HoleRings(Drilling(8.0), 0.0, 12.0, (1, 6, 6, 9)),
            (
                "22 × ⌀8",
                "ON 4 RINGS, FROM CENTER, 12 APART",
                "HOLES FROM INSIDE OUT: 1, 2 OF 6, 9",
                "EQUALLY SPACED, FIRST OF EACH RING AT TOP",
            ),
        ),
        (
            HoleRings(Drilling(8.0), 50.0, 12.0, (9,)),
            ("9 × ⌀8", "ON 1 RING, FIRST ⌀50", "HOLES FROM INSIDE OUT: 9", "EQUALLY SPACED, FIRST OF EACH RING AT TOP"),
        ),
    ],
)
def test_a_pattern_is_called_by_its_sizes(pattern: HolePattern, words: tuple[str, ...]) -> None:
    assert pattern_call_out(pattern, MM) == words


def test_a_pattern_is_led_by_its_letter_and_tells_its_bolts() -> None:
    found = LookedUp(Made.CLEARANCE_HOLE, 17.5, "M16", "ISO 273", Confidence.TWO_SOURCES, fit="medium")
    pattern = HoleRectangle(Drilling(17.5, name="feet", bolt="M16", looked_up=(found,)), 360.0, 220.0)
    flange = Flange(RectangleOutline(420.0, 280.0), (BoltCircle(100.0, 4, 14.0),), patterns=(pattern,))
    assert group_call_out(flange, 1, MM) == ("4 × ⌀17.5", "ON RECTANGLE 360 × 220")
    assert named_call_out(flange, 1, MM) == "B: 4 × ⌀17.5, ON RECTANGLE 360 × 220"
    assert group_note(flange, 1, Unit.MM) == "pattern B (feet): bolts M16."
    assert list(source_notes(flange, Lengths(Unit.MM))) == [
        "Pattern B (feet): Hole 17.5 mm for M16: ISO 273 medium; two sources agree."
    ]


def test_the_cautions_are_those_of_the_plate() -> None:
    def told(designation: str, diameter: float, count: int) -> str:
        origin = FromRow(published_row(find(designation)))
        circle = BoltCircle(diameter, count, 14.5, origin=origin)
        return " ".join(cautions(Flange(RoundOutline(1.4 * diameter), (circle,), bore=0.4 * diameter)))

    assert "fitness for the road" in told("wheel hub 5x112", 112.0, 5)
    assert "ASME B16.5" not in told("wheel hub 5x112", 112.0, 5)
    assert "ASME B16.5" in told("EN 1092-1 PN16 DN150", 240.0, 8)
    assert "fitness for the road" not in told("EN 1092-1 PN16 DN150", 240.0, 8)
    undecided = BoltCircle(110.6, 5, 14.5, origin=Measured(110.6, 0.9, family=Family.WHEEL_HUB))
    hub = " ".join(cautions(Flange(RoundOutline(150.0), (undecided,), bore=60.0)))
    assert "fitness for the road" in hub
    assert "ASME B16.5" not in hub
    plain = cautions(
        Flange(RectangleOutline(300.0, 200.0), (), bore=66.0, single_holes=(SingleHole(Point(0, 80), Drilling(9)),))
    )
    assert not any("ASME B16.5" in text or "blind out of its standard" in text for text in plain)
