"""The one reader of bolt names: every spelling of one bolt is that bolt, and whatever may be two is asked about."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import FlangeLayoutError
from flangelayout.flange.drilling import Fastener
from flangelayout.standards.bolt_room import nut_corners
from flangelayout.standards.bolting import bolt_size, bolting_rows
from flangelayout.standards.bolts import Series, coarse_pitch, known_bolt, parse_bolt
from flangelayout.standards.faults import Fault, StandardsError
from flangelayout.standards.holes import clearance_hole, thread
from flangelayout.units import Unit
from rows import every_row


@every_row(
    ("written", "name", "pitch", "length", "grade", "fastener"),
    [
        ("M20", "M20", None, None, "", None),
        ("M20-8.8", "M20", None, None, "8.8", None),
        ("M20 8.8", "M20", None, None, "8.8", None),
        ("M20x2.5x80", "M20", 2.5, 80, "", None),
        ("m20x80", "M20", None, 80, "", None),
        ("M20 x 80 mm", "M20", None, 80, "", None),
        ("M20×1.5", "M20", 1.5, None, "", None),
        ("M20x2,5x80-10.9", "M20", 2.5, 80, "10.9", None),
        ("M20x80 class 8.8 hex bolt", "M20", None, 80, "8.8", Fastener.BOLT),
        ("M20 stud", "M20", None, None, "", Fastener.STUD),
        ("M 16 studs, 100 long", "M16", None, 100, "", Fastener.STUD),
        ("M12 A4-80", "M12", None, None, "A4-80", None),
        ("M6x8", "M6", None, 8, "", None),
        ("M20-6g", "M20", None, None, "", None),
        ("22 mm", "M22", None, None, "", None),
        ("18.5 mm", "18.5 mm", None, None, "", None),
    ],
)
def test_a_metric_bolt_is_read(
    written: str, name: str, pitch: float | None, length: float | None, grade: str, fastener: Fastener | None
) -> None:
    bolt = parse_bolt(written)
    assert bolt.name == name
    assert bolt.unit is Unit.MM
    assert bolt.diameter == float(name.removeprefix("M").removesuffix(" mm"))
    assert (bolt.pitch, bolt.length, bolt.grade, bolt.fastener) == (pitch, length, grade, fastener)


@every_row(
    ("written", "name", "diameter", "per_inch", "length", "grade"),
    [
        ("3/4", "3/4", 0.75, None, None, ""),
        ("3/4 x 3", "3/4", 0.75, None, 3.0, ""),
        ("3/4-10 x 3", "3/4", 0.75, 10, 3.0, ""),
        ("3/4-10 UNC x 3 1/2", "3/4", 0.75, 10, 3.5, ""),
        ("3/4-10 UNC-2A", "3/4", 0.75, 10, None, ""),
        ("1 1/8", "1 1/8", 1.125, None, None, ""),
        ("1-1/8", "1 1/8", 1.125, None, None, ""),
        ("1-1/8-8 UN", "1 1/8", 1.125, 8, None, ""),
        ("1 1/8 8UN", "1 1/8", 1.125, 8, None, ""),
        ("1½ in", "1 1/2", 1.5, None, None, ""),
        ('7/8"', "7/8", 0.875, None, None, ""),
        ("7/8” B7", "7/8", 0.875, None, None, "B7"),
        ("5/8 x 2-1/2 grade 5", "5/8", 0.625, None, 2.5, "5"),
        ("1 x 4 stud A193 B7", "1", 1.0, None, 4.0, "A193 B7"),
        ("2", "2", 2.0, None, None, ""),
        ("1.5 in", "1 1/2", 1.5, None, None, ""),
        ("#10", "#10", 0.19, None, None, ""),
        ("#10-24", "#10", 0.19, 24, None, ""),
        ("No. 10", "#10", 0.19, None, None, ""),
        ("3/4 BSW", "3/4", 0.75, None, None, ""),
    ],
)
def test_an_inch_bolt_is_read(
    written: str, name: str, diameter: float, per_inch: float | None, length: float | None, grade: str
) -> None:
    """Diameters in inches; a numbered one is 0.060 in and 0.013 in a number (ASME B1.1)."""
    bolt = parse_bolt(written)
    assert (bolt.name, bolt.unit, bolt.grade) == (name, Unit.IN, grade)
    assert bolt.diameter == pytest.approx(diameter * 25.4)
    assert bolt.pitch == (None if per_inch is None else pytest.approx(25.4 / per_inch))
    assert bolt.length == (None if length is None else pytest.approx(length * 25.4))


def test_a_series_is_kept() -> None:
    assert [parse_bolt(text).series for text in ("1/2-20 UNF", "1 1/8-8 UN", "3/4 BSW", "3/4")] == [
        Series.UNF,
        Series.UN,
        Series.BSW,
        None,
    ]


@every_row(
    ("written", "fault", "choices"),
    [
        ("1.5", Fault.INCH_OR_MM, ('1 1/2"', "1.5 mm")),
        ("20", Fault.INCH_OR_MM, ("M20",)),
        ("4 x 20", Fault.INCH_OR_MM, ('4"', "M4")),
        ("0.3", Fault.INCH_OR_MM, ("0.3 mm",)),
        ("1/0", Fault.NO_BOLT, ()),
        ("1/0 in", Fault.NO_BOLT, ()),
        ("1 1/0 x 3", Fault.NO_BOLT, ()),
        ("3/4 x 1/0", Fault.NO_BOLT, ()),
        ("3/4-0", Fault.NO_SUCH_PITCH, ()),
        ("M99", Fault.NO_SUCH_SIZE, ("M95", "M100")),
        ("M21", Fault.NO_SUCH_SIZE, ("M20", "M22")),
        ("M0", Fault.NO_SUCH_SIZE, ("M1",)),
        ("M2000", Fault.NO_SUCH_SIZE, ("M160",)),
        ("0 mm", Fault.NO_SUCH_SIZE, ()),
        ("2000 mm", Fault.NO_SUCH_SIZE, ()),
        ("7/9", Fault.NO_SUCH_SIZE, ()),
        ("19 in", Fault.NO_SUCH_SIZE, ()),
        ("#99", Fault.NO_SUCH_SIZE, ("#12",)),
        ("M20x8", Fault.PITCH_OR_LENGTH, ("M20x2.5x80",)),
        ("M20x3", Fault.NO_SUCH_PITCH, ("2.5",)),
        ("M20x0x80", Fault.NO_BOLT, ()),
        ("M20x2.5x0", Fault.NO_BOLT, ()),
        ("3/4 x 0", Fault.NO_BOLT, ()),
        ("M20 for the lid", Fault.UNKNOWN_WORD, ()),
        ("", Fault.NO_BOLT, ()),
        ("bolt", Fault.NO_BOLT, ()),
        ("two\nlines", Fault.NO_BOLT, ()),
        ("M", Fault.NO_BOLT, ()),
        ("three quarters", Fault.NO_BOLT, ()),
        ("3/4/5", Fault.NO_BOLT, ()),
        ("M20" * 40, Fault.NO_BOLT, ()),
    ],
)
def test_what_is_no_bolt_or_may_be_two_is_refused_with_its_reason(
    written: str, fault: Fault, choices: tuple[str, ...]
) -> None:
    with pytest.raises(StandardsError) as caught:
        parse_bolt(written)
    misread = caught.value.misread
    assert (misread.fault, misread.written) == (fault, written)
    if choices:
        assert misread.choices == choices
    assert isinstance(caught.value, FlangeLayoutError)
    assert "\n" not in str(caught.value)
    assert known_bolt(written) is None


def test_every_choice_offered_can_be_read() -> None:
    for written in ("1.5", "20", "4 x 20", "M99", "M0", "#99", "M20x8"):
        with pytest.raises(StandardsError) as caught:
            parse_bolt(written)
        for choice in caught.value.misread.choices:
            parse_bolt(choice)


@every_row("written", ["M20-8.8", "M20 8.8", "M20x2.5x80", "m20x80", "M20 stud", "3/4 x 3", "3/4-10 x 3"])
def test_whoever_buys_a_bolt_also_finds_its_hole_and_its_nut(written: str) -> None:
    """Bill of material, clearance hole, nut seat and mating read one name alike."""
    bolt, size, hole, nut = parse_bolt(written), bolt_size(written), clearance_hole(written), nut_corners(written)
    assert size is not None
    assert hole is not None
    assert nut is not None
    assert (size.name, size.diameter) == (bolt.name, bolt.diameter)
    assert bolt.diameter < hole.value < nut.value


@every_row("written", ["1/0 NPT", "1 1/0 NPT", "1/0", "M0", "M16x0", "1/2-0", "M16x50"])
def test_a_thread_that_cannot_be_is_no_thread(written: str) -> None:
    assert thread(written) is None


def test_coarse_pitches_are_those_of_the_bolt_and_tap_drill_tables() -> None:
    """ISO 261 coarse series as two other lists print it."""
    for row in bolting_rows("hex_metric.csv"):
        assert coarse_pitch(row["size"]) == float(row["pitch"]), row["size"]
    for size in ("M1.6", "M2", "M3", "M7"):
        found = thread(size)
        assert found is not None
        assert coarse_pitch(size) == found.pitch


@every_row("file", ["hex_metric.csv", "hex_inch.csv", "hex_nuts.csv", "wrench_room.csv", "sockets.csv"])
def test_every_size_of_the_bolting_tables_is_a_bolt_under_its_own_name(file: str) -> None:
    for row in bolting_rows(file):
        assert parse_bolt(row["size"]).name == row["size"]


@given(st.text(alphabet="mM#xX 0123456789/.,-\"'inABu×½", max_size=24))
def test_any_text_is_a_bolt_or_a_clear_error(text: str) -> None:
    bolt = known_bolt(text)
    if bolt is None:
        with pytest.raises(StandardsError, match=r"."):
            parse_bolt(text)
    else:
        assert 0 < bolt.diameter <= 160
        assert bolt.pitch is None or 0 < bolt.pitch < bolt.diameter
        assert bolt.length is None or bolt.length > 0


@given(st.integers(1, 95), st.sampled_from([" ", "-"]), st.sampled_from(["", '"', " in", "in."]))
def test_every_sixteenth_is_read_in_every_spelling(sixteenths: int, joint: str, unit: str) -> None:
    size = Fraction(sixteenths, 16)
    whole, rest = divmod(size, 1)
    if rest:
        text = f"{whole}{joint}{rest}{unit}" if whole else f"{rest}{unit}"
        assert parse_bolt(text).diameter == pytest.approx(float(size) * 25.4)
