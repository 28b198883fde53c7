"""Published hole sizes against the rules and formulas of the standards themselves, and figures of handbooks.

Sources: ISO 273 and ASME B18.2.8 as printed in Machinery's Handbook (31st ed.); ISO 286-1 for the tolerance
formulas; ISO 261/965 for the minor diameter of a thread (D1 = d - 1.0825 P). Figures marked "memory" are as
remembered and say so in their table, too.
"""

import csv
from pathlib import Path

import pytest

from flangelayout.provenance import Confidence
from flangelayout.standards import holes
from flangelayout.standards.holes import (
    HoleFit,
    clearance_hole,
    counterbore,
    countersink,
    dowel_limits,
    next_drill,
    spotface,
    thread,
)
from flangelayout.standards.rows import FOLDER
from flangelayout.units import Unit, to_mm
from rows import every_row

HOLES = FOLDER / "holes"
TABLES = sorted((file for file in HOLES.iterdir() if file.name.endswith(".csv")), key=lambda file: file.name)


def rows(name: str) -> list[dict[str, str]]:
    lines = [line for line in (HOLES / f"{name}.csv").read_text().splitlines() if not line.startswith("# ")]
    return list(csv.DictReader(lines))


@every_row(
    ("bolt", "fit", "expected"),
    [
        ("M10", HoleFit.MEDIUM, 11.0),
        ("M12", HoleFit.MEDIUM, 13.5),
        ("M16", HoleFit.FINE, 17.0),
        ("M16", HoleFit.MEDIUM, 17.5),
        ("M20", HoleFit.MEDIUM, 22.0),
        ("M20", HoleFit.COARSE, 24.0),
        ("M24", HoleFit.MEDIUM, 26.0),
        ("M36", HoleFit.COARSE, 42.0),
    ],
)
def test_metric_clearance_holes_are_those_of_iso_273(bolt: str, fit: HoleFit, expected: float) -> None:
    found = clearance_hole(bolt, fit)
    assert found is not None
    assert found.value == expected
    assert (found.standard, found.of) == ("ISO 273", bolt)


@every_row(
    ("bolt", "fit", "expected"),
    [
        ("1/2", HoleFit.FINE, 17 / 32),
        ("1/2", HoleFit.MEDIUM, 9 / 16),
        ("1/2", HoleFit.COARSE, 39 / 64),
        ("3/4", HoleFit.MEDIUM, 13 / 16),
        ("1", HoleFit.MEDIUM, 1 + 3 / 32),
        ("1 1/2", HoleFit.COARSE, 1 + 47 / 64),
        # Number and letter drills of a drill table: 5 is 0.2055, 2 is 0.2210, B is 0.2380 in; from memory.
        ("#10", HoleFit.FINE, 0.2055),
        ("#10", HoleFit.MEDIUM, 0.221),
        ("#10", HoleFit.COARSE, 0.238),
    ],
)
def test_inch_clearance_holes_are_those_of_asme_b18_2_8(bolt: str, fit: HoleFit, expected: float) -> None:
    found = clearance_hole(bolt, fit)
    assert found is not None
    assert found.value == pytest.approx(to_mm(expected, Unit.IN), abs=1e-9)
    assert (found.standard, found.of, found.inch) == ("ASME B18.2.8", bolt, True)


@every_row("bolt", holes.bolts())
def test_a_wider_fit_is_a_wider_hole_and_all_let_the_bolt_through(bolt: str) -> None:
    sizes = [found.value for fit in HoleFit if (found := clearance_hole(bolt, fit))]
    alone = bolt in {row["bolt"] for row in rows("asme_b16_5")}
    assert len(sizes) == (1 if alone else 3)
    assert sorted({_major(bolt), *sizes}) == [_major(bolt), *sizes]


def test_beyond_asme_b18_2_8_a_bolt_has_the_hole_that_flanges_of_asme_b16_5_have() -> None:
    # ASME B16.5: 1/8 inch more than the bolt.
    for bolt in ("1 5/8", "1 3/4", "2", "2 1/2", "3 1/2"):
        found = clearance_hole(bolt)
        assert found is not None
        assert found.standard == "ASME B16.5"
        assert found.value == pytest.approx(_major(bolt) + 3.175)
        assert clearance_hole(bolt, HoleFit.FINE) is None


def _major(bolt: str) -> float:
    """Millimeters of a bolt; ``#n`` is 0.06 + 0.013 n inches (ASME B1.1)."""
    if bolt.startswith("M"):
        return float(bolt[1:])
    inches = 0.06 + 0.013 * int(bolt[1:]) if bolt.startswith("#") else sum(map(_fraction, bolt.split()))
    return to_mm(inches, Unit.IN)


def _fraction(text: str) -> float:
    top, _, bottom = text.partition("/")
    return int(top) / int(bottom or 1)


@every_row("written", ["", "stud", "M", "M20 and nut", "8 x 20", "three quarters", "3/4/5"])
def test_what_is_no_bolt_has_no_hole(written: str) -> None:
    assert clearance_hole(written) is None


@every_row(
    ("written", "name", "drill_mm"),
    [
        ("M6", "M6", 5.0),
        ("M16", "M16", 14.0),
        ("M16x1.5", "M16x1.5", 14.5),
        ("M20", "M20", 17.5),
        ("1/2", "1/2-13 UNC", to_mm(27 / 64, Unit.IN)),
        ("1/2-20", "1/2-20 UNF", to_mm(29 / 64, Unit.IN)),
        ("5/8-18 UNF", "5/8-18 UNF", to_mm(37 / 64, Unit.IN)),
        ("#10-32", "#10-32 UNF", to_mm(0.159, Unit.IN)),
        ("1/2 NPT", "1/2 NPT", to_mm(23 / 32, Unit.IN)),
        ("G 1/2", "G 1/2", 19.0),
        ("1/2 BSP", "G 1/2", 19.0),
        ("1/2 BSPT", "Rc 1/2", 18.25),
        ("Rc 1/2", "Rc 1/2", 18.25),
        ("1 1/8-8 UN", "1 1/8-8 UN", 25.4),
        ("1 1/8 8UN", "1 1/8-8 UN", 25.4),
        ("M20x1", "M20x1", 19.0),
    ],
)
def test_threads_have_the_tap_drills_of_the_handbooks(written: str, name: str, drill_mm: float) -> None:
    found = thread(written)
    assert found is not None
    assert found.name == name
    assert found.tap_drill == pytest.approx(drill_mm)


@every_row("written", ["M15", "M16x0.3", "5/8-12", "7/16 UNX", "thread", "1/2 BSW", "G 5/8"])
def test_a_thread_of_no_table_is_none(written: str) -> None:
    assert thread(written) is None


TAPPED = [*rows("tap_drills_metric"), *rows("tap_drills_unified")]


@every_row("row", TAPPED)
def test_a_tap_drill_leaves_half_to_nine_tenths_of_the_thread(row: dict[str, str]) -> None:
    name = f"{row['thread']}x{row['pitch']}" if "pitch" in row else f"{row['thread']}-{row['threads_per_inch']}"
    found = thread(name)
    assert found is not None
    full = found.major_diameter - 1.299 * found.pitch
    share = (found.major_diameter - found.tap_drill) / (found.major_diameter - full)
    assert 0.5 < share < 0.9


@every_row(("diameter", "upper"), [(6, 0.012), (10, 0.015), (12, 0.018), (20, 0.021), (40, 0.025)])
def test_h7_limits_are_those_of_the_published_table(diameter: float, upper: float) -> None:
    limits = dowel_limits(diameter, "H7")
    assert limits is not None
    assert limits.lower == 0.0
    assert limits.upper == pytest.approx(upper)


def test_n7_and_p7_are_as_wide_as_h7_and_tighter() -> None:
    for diameter in (2, 5, 8, 15, 25, 40, 60, 100):
        limits = {fit: dowel_limits(diameter, fit) for fit in ("H7", "N7", "P7")}
        widths = {fit: each.upper - each.lower for fit, each in limits.items() if each}
        assert widths["N7"] == pytest.approx(widths["H7"])
        assert widths["P7"] == pytest.approx(widths["H7"])
        assert all(each for each in limits.values())


@every_row(("diameter", "fit"), [(12, "Z9"), (3200, "H7"), (121, "N7"), (0, "H7")])
def test_a_fit_of_no_table_has_no_limits(diameter: float, fit: str) -> None:
    assert dowel_limits(diameter, fit) is None


def test_seats_are_wider_than_the_bolt_and_its_hole() -> None:
    for bolt in ("M6", "M8", "M10", "M12", "M16", "M20", "1/4", "3/8", "1/2", "3/4", "1"):
        hole, face = clearance_hole(bolt), spotface(bolt)
        bored, sunk = counterbore(bolt), countersink(bolt)
        assert hole
        assert face
        assert bored
        assert sunk
        assert hole.value < bored[0].value
        assert hole.value < sunk[0].value
        assert hole.value < face.value
        assert bored[1] > 0
        assert sunk[1] == (90.0 if bolt.startswith("M") else 82.0)


def test_a_seat_no_table_lists_is_none() -> None:
    assert counterbore("M5000") is None
    assert countersink("M24") is None
    assert spotface("stud") is None


@every_row("path", TABLES)
def test_every_table_says_what_it_is_and_every_row_where_it_is_from(path: Path) -> None:
    text = path.read_text(encoding="utf-8").splitlines()
    header = dict(line[2:].split(": ", 1) for line in text if line.startswith("# "))
    assert {"standard", "edition", "unit", "note"} <= set(header)
    for row in rows(path.stem):
        assert row["confidence"] in ("two-sources", "one-source", "memory")
        tags = [tag.split()[0] for tag in row["sources"].split("; ")]
        assert any(f"source {tag}" in header or tag == "ISO" or tag == "handbook" for tag in tags), row


@every_row("size", ["1/8", "1/4", "3/8", "1/2", "3/4", "1", "1 1/4", "1 1/2", "2"])
def test_whitworth_pipe_threads_have_the_pitch_and_room_of_iso_228(size: str) -> None:
    """ISO 228-1: minor diameter is the major one less 1.280654 pitches (thread height 0.640327 P)."""
    parallel, taper = thread(f"G {size}"), thread(f"Rc {size}")
    assert parallel is not None
    assert taper is not None
    minor = parallel.major_diameter - 1.280654 * parallel.pitch
    assert minor < parallel.tap_drill < minor + 0.6
    assert taper.tap_drill < parallel.tap_drill
    assert (
        taper.pitch
        == parallel.pitch
        == pytest.approx(25.4 / {"1/8": 28, "1/4": 19, "3/8": 19, "1/2": 14, "3/4": 14}.get(size, 11))
    )
    assert parallel.drill.confidence is Confidence.MEMORY


@every_row(
    ("diameter", "unit", "drill"),
    [
        (8.01, Unit.MM, 8.1),
        (14.0, Unit.MM, 14.0),
        (14.01, Unit.MM, 14.5),
        (28.22, Unit.MM, 28.5),
        (1.111 * 25.4, Unit.IN, 1.125 * 25.4),
        (0.5 * 25.4, Unit.IN, 0.5 * 25.4),
        (1.76 * 25.4, Unit.IN, (1 + 25 / 32) * 25.4),
    ],
)
def test_the_next_drill_is_the_least_that_is_large_enough(diameter: float, unit: Unit, drill: float) -> None:
    assert next_drill(diameter, unit) == pytest.approx(drill)  # ISO 235, ISO 1641 and ASME B94.11M steps, from memory
