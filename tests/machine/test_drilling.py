"""Drilling programs read by a strict interpreter written from the address letters of ISO 6983-1.

Of the standard it knows: % start and end, N block numbers, G preparatory functions with their modal groups, X Y Z
coordinates, R and Q of canned cycles, F feed, S speed, T tool, H offset, M functions, comments in round brackets.
Anything else, a word twice in a block, or a motion without what it needs fails.
"""

import random
import re
from dataclasses import dataclass, field
from functools import partial
from itertools import product

import pytest

from flangelayout.drawing.info import JobInfo
from flangelayout.flange import Dowel, Drilling, Flange, RectangleOutline, SingleHole, Slot, Tapped
from flangelayout.flange.cutting import DrillingOptions, Zero
from flangelayout.geometry.shapes import Point
from flangelayout.machine.drilling import depth_of, drilling_program
from flangelayout.units import Unit, to_mm
from jobs import bolt_circle, flange
from plates import random_plate
from rows import every_row

INFO = JobInfo("MB-101", title="Intake ring (flange) – Größe ⌀285", revision="B")
WORD = re.compile(r"([NGXYZRQFSTHM])(-?\d+(?:\.\d+)?)")
DECIMAL = set("XYZRQF")
MODAL = {"17": "plane", "20": "unit", "21": "unit", "90": "distance", "94": "feed", "40": "cutter", "49": "length",
         "43": "length", "0": "motion", "81": "motion", "83": "motion", "80": "motion", "98": "return"}  # fmt: skip


@dataclass
class Machine:
    """A three-axis drill that does what the program says and remembers where it was; lengths in mm."""

    unit: Unit = Unit.MM
    motion: str = "80"
    x: float | None = None
    y: float | None = None
    z: float | None = None
    cycle: dict[str, float] = field(default_factory=dict)
    tool: int = 0
    turning: bool = False
    offset: bool = False
    holes: list[tuple[int, float, float, float, str]] = field(default_factory=list)
    travel: list[float] = field(default_factory=list)
    rapid_down_to: list[float] = field(default_factory=list)
    ended: bool = False

    def block(self, words: list[tuple[str, str]]) -> None:
        """Do one block."""
        letters = [letter for letter, _ in words if letter not in "GM"]
        assert len(set(letters)) == len(letters), f"a letter twice in {words}"
        groups = [MODAL[number] for letter, number in words if letter == "G"]
        assert len(set(groups)) == len(groups), f"two functions of one group in {words}"
        values = {letter: float(number) for letter, number in words if letter in DECIMAL}
        for letter, number in words:
            if letter == "G":
                self._prepare(number)
        if any(letter == "T" for letter in letters):
            self.tool = int(dict(words)["T"])
            self.offset = False
        lengths = {letter: to_mm(value, self.unit) for letter, value in values.items()}
        if set(lengths) & set("XYZ"):
            self._move(lengths)
        for number in (number for letter, number in words if letter == "M"):
            self._auxiliary(number, {letter for letter, _ in words})

    def _prepare(self, number: str) -> None:
        if number in ("20", "21"):
            self.unit = Unit.IN if number == "20" else Unit.MM
        if number == "43":
            self.offset = True
        if MODAL[number] == "motion":
            self.motion = number
            if number == "80":
                self.cycle = {}

    def _move(self, to: dict[str, float]) -> None:
        assert self.motion != "80", "a place without a motion"
        if self.motion == "0":
            if "Z" in to:
                assert "X" not in to
                assert "Y" not in to
                assert self.offset, "a move in Z before the tool's length is taken up"
                self.z = to["Z"]
                self.rapid_down_to.append(self.z)
            if "X" in to or "Y" in to:
                assert self.z is not None
                self.travel.append(self.z)
                self.x, self.y = to.get("X", self.x), to.get("Y", self.y)
            return
        self.cycle |= {letter: value for letter, value in to.items() if letter in "ZRQ"}
        self._drill(to)

    def _drill(self, to: dict[str, float]) -> None:
        """Travel at the height the cycle was begun at (G98), down to R, feed to Z, back up."""
        assert {"Z", "R"} <= set(self.cycle)
        assert self.motion != "83" or self.cycle["Q"] > 0
        assert self.turning, "drilling with a spindle that stands still"
        assert self.z is not None
        self.travel.append(self.z)
        self.x, self.y = to.get("X", self.x), to.get("Y", self.y)
        assert self.x is not None
        assert self.y is not None
        self.rapid_down_to.append(self.cycle["R"])
        self.holes.append((self.tool, self.x, self.y, self.cycle["Z"], self.motion))

    def _auxiliary(self, number: str, letters: set[str]) -> None:
        assert number in {"3", "5", "6", "30"}
        if number == "6":
            assert "T" in letters
            self.turning = False
        self.turning = number == "3" or (self.turning and number not in {"5", "30"})
        self.ended = self.ended or number == "30"


def run(program: str) -> tuple[Machine, list[str]]:
    """The machine after a program, and the program's comments."""
    lines = program.split("\n")
    assert lines[0] == "%"
    assert lines[-2:] == ["%", ""]
    assert program.isascii()
    machine, comments, last = Machine(), [], 0
    for line in lines[1:-2]:
        if line.startswith("("):
            assert re.fullmatch(r"\([^()]*\)", line)
            comments.append(line[1:-1])
            continue
        words = WORD.findall(line)
        assert " ".join(letter + number for letter, number in words) == line, f"not understood: {line}"
        assert all(("." in number) == (letter in DECIMAL) for letter, number in words), line
        (first, number), *rest = words
        assert first == "N"
        assert int(number) > last
        last = int(number)
        assert not machine.ended
        machine.block(rest)
    assert machine.ended
    return machine, comments


def options(**changes: object) -> DrillingOptions:
    return DrillingOptions(**({"unit": Unit.MM, "feed": 80.0, "speed": 200.0} | changes))  # type: ignore[arg-type] # named by each test


def program(plate: Flange, **changes: object) -> str:
    return drilling_program(plate, INFO, "9a6c5d1bb9ffff", options(**changes))


def check(plate: Flange, chosen: DrillingOptions, zero: tuple[float, float]) -> None:
    """Holes where the model has them; every rapid move at or above what it may go down to."""
    machine, _ = run(drilling_program(plate, INFO, "9a6c5d1bb9ffff", chosen))
    wanted = [hole for hole in plate.holes() if not isinstance(hole.kind, Slot)]
    assert len(machine.holes) == len(wanted)
    found = [(Point(x + zero[0], y + zero[1]), z) for _, x, y, z, _ in machine.holes]
    for hole in wanted:
        at, z = min(found, key=partial(_apart, hole.center))
        assert abs(at.x - hole.center.x) < 0.001
        assert abs(at.y - hole.center.y) < 0.001
        assert z == pytest.approx(-depth_of(hole.diameter, plate, chosen), abs=0.001)
    assert min(machine.travel) >= chosen.safe_height - 0.001
    assert min(machine.rapid_down_to) >= chosen.clearance - 0.001


def _apart(center: Point, found: tuple[Point, float]) -> float:
    return found[0].distance_to(center)


@every_row(("zero", "unit"), product(list(Zero), list(Unit)))
def test_points_are_the_model_and_no_rapid_move_is_below_the_safe_height(zero: Zero, unit: Unit) -> None:
    plate = flange(bolt_circle(), bolt_circle(13, 190.0, 9.7), bore=120.0, thickness=22.0)
    first = plate.holes()[0].center
    at = {Zero.CENTER: (0.0, 0.0), Zero.CORNER: (-142.5, -142.5), Zero.FIRST_HOLE: (first.x, first.y)}[zero]
    check(plate, options(unit=unit, zero=zero), at)


@every_row("unit", list(Unit))
def test_points_of_random_plates_are_the_model(unit: Unit) -> None:
    rng = random.Random(8)
    for _ in range(10):
        check(random_plate(rng), options(unit=unit, safe_height=rng.uniform(5, 60)), (0.0, 0.0))


def test_deep_holes_are_pecked_and_shallow_ones_are_not() -> None:
    # Common practice, no source: beyond three diameters the drill is drawn back to clear its chips.
    plate = flange(bolt_circle(), bolt_circle(8, 190.0, 6.0), thickness=22.0)
    machine, _ = run(program(plate))
    assert {(tool, motion) for tool, _, _, _, motion in machine.holes} == {(1, "81"), (2, "83")}


def test_a_through_hole_lets_the_point_of_the_drill_out() -> None:
    # The point of a 118 degree drill is D / (2 tan 59 deg) = 0.3 D long; 1 mm more (common practice, no source).
    machine, _ = run(program(flange(thickness=22.0)))
    assert {z for _, _, _, z, _ in machine.holes} == {-(22.0 + 0.3 * 22.0 + 1.0)}


def test_a_depth_of_the_jobs_own_is_kept() -> None:
    machine, _ = run(program(flange(thickness=22.0), depth=5.0))
    assert {z for _, _, _, z, _ in machine.holes} == {-5.0}


def test_each_size_has_its_tool_and_length_offset() -> None:
    text = program(flange(bolt_circle(), bolt_circle(8, 190.0, 6.0), thickness=10.0))
    assert re.findall(r"T\d M6", text) == ["T1 M6", "T2 M6"]
    assert re.findall(r"G43 H\d G0 Z[\d.]+", text) == ["G43 H1 G0 Z25.000", "G43 H2 G0 Z25.000"]


@every_row(("unit", "code"), [(Unit.MM, "G21"), (Unit.IN, "G20")])
def test_the_unit_is_set_in_the_first_block_and_said_in_the_head(unit: Unit, code: str) -> None:
    text = program(flange(thickness=22.0), unit=unit)
    assert f"N10 G17 {code} G40 G49 G80 G90 G94" in text
    assert f"(UNITS: {unit.value.upper()}; " in text


def test_the_head_says_job_stock_zero_and_to_prove_it_in_air_first() -> None:
    _, comments = run(program(flange(thickness=22.0, material="carbon steel"), zero=Zero.CORNER))
    assert comments[0] == "JOB MB-101 REV B INTAKE RING -FLANGE- - GROSSE DIA 285"
    assert comments[1] == "DIGEST 9A6C5D1BB9"
    assert comments[2] == "WARNING: PROVE THIS PROGRAM IN AIR, ABOVE THE WORK, BEFORE IT CUTS METAL"
    assert comments[3] == "STOCK: ROUND 285 X 22 THICK MM CARBON STEEL"
    assert comments[4] == "ZERO: X Y AT THE CORNER, Z AT THE TOP FACE; SEEN FROM GASKET FACE"


def test_a_plate_that_is_not_round_says_both_sizes() -> None:
    plate = Flange(
        RectangleOutline(300.0, 100.0), (), thickness=10.0, single_holes=(SingleHole(Point(0, 0), Drilling(8.0)),)
    )
    _, comments = run(program(plate))
    assert comments[3].startswith("STOCK: 300 X 100 X 10 THICK MM")


def test_feed_and_speed_that_are_not_stated_are_asked_for() -> None:
    text = program(flange(thickness=22.0), feed=None, speed=None)
    machine, comments = run(text)
    assert "FEED AND SPEED ARE NOT STATED: SET THEM AT THE CONTROL" in comments
    assert not re.search(r"^N.*[FS]\d", text, re.MULTILINE)
    assert len(machine.holes) == 8


def test_what_a_drill_cannot_make_is_named_and_left_out() -> None:
    singles = (
        SingleHole(Point(0.0, 60.0), Drilling(8.0, kind=Slot(20.0))),
        SingleHole(Point(0.0, 80.0), Drilling(8.0, kind=Dowel("H7"))),
        SingleHole(Point(0.0, -60.0), Drilling(8.5, kind=Tapped("M10", 10.0, 12.0, 16.5))),
        SingleHole(Point(0.0, -80.0), Drilling(8.5, kind=Tapped("M10", 10.0))),
    )
    machine, comments = run(program(flange(single_holes=singles, thickness=22.0)))
    assert [each for each in comments if each.startswith("STILL TO DO")] == [
        "STILL TO DO: MILL SLOT 8 X 20, HOLES X1",
        "STILL TO DO: DRILL AND REAM 8 H7, HOLES X2",
        "STILL TO DO: DRILL 16.5 DEEP AND TAP M10, THREAD 12 DEEP, HOLES X3",
        "STILL TO DO: TAP M10, HOLES X4",
    ]
    assert any("DRILL 22 MM, HOLES A1-A8" in each for each in comments)
    assert len(machine.holes) == 9


def test_neither_thickness_nor_depth_is_refused() -> None:
    with pytest.raises(ValueError, match="thickness"):
        program(flange())


def test_the_reader_fails_on_a_program_that_travels_low() -> None:
    low = program(flange(thickness=22.0)).replace("G43 H1 G0 Z25.000", "G43 H1 G0 Z3.000")
    machine, _ = run(low)
    assert min(machine.travel) < 25.0


@every_row("wrong", ["N40 G1 X3.000", "N40 G0 X3", "N40 G0 G81 X3.000", "N40 X1.000 X2.000"])
def test_the_reader_fails_on_what_it_does_not_know(wrong: str) -> None:
    text = program(flange(thickness=22.0))
    with pytest.raises((AssertionError, KeyError)):
        run(re.sub(r"^N40 .*$", wrong, text, flags=re.MULTILINE))
