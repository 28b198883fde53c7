"""Nuts, washers, wrench room and sockets against figures printed elsewhere."""

import pytest

from flangelayout.standards.bolt_room import nut_corners, socket, washer_outside, wrench_room
from flangelayout.standards.bolting import bolting_rows
from flangelayout.units import Unit, to_mm
from rows import every_row


# Widths across flats s of ISO 4032 (also ISO 4014, ISO 272); the sharp corners are s x 2 / sqrt(3).
@every_row(("bolt", "flats"), [("M12", 18), ("M16", 24), ("M20", 30), ("M24", 36), ("M30", 46), ("M36", 55)])
def test_metric_nuts_are_as_wide_as_iso_4032_has_them(bolt: str, flats: float) -> None:
    room = nut_corners(bolt)
    assert room is not None
    assert room.value == pytest.approx(flats * 2 / 3**0.5, abs=0.02)


# ASME B18.2.2 heavy hex: F = 1 1/2 D + 1/8 in.
@every_row(("bolt", "diameter"), [("1/2", 0.5), ("3/4", 0.75), ("1", 1.0), ("1 1/2", 1.5), ("2", 2.0)])
def test_heavy_nuts_follow_the_rule_of_asme_b18_2_2(bolt: str, diameter: float) -> None:
    room = nut_corners(bolt)
    assert room is not None
    assert room.value == pytest.approx(to_mm((1.5 * diameter + 0.125) * 2 / 3**0.5, Unit.IN), abs=0.05)


def test_washers_are_those_of_iso_7089() -> None:
    assert [washer.value for bolt in ("M16", "M20", "M24") if (washer := washer_outside(bolt))] == [30.0, 37.0, 44.0]


# Pressure vessel design manual, table 2-5a, and TEMA table D-5 for 1/2 in: B = 1 1/4, R = 13/16 in.
def test_wrench_room_of_a_half_inch_bolt_is_as_two_tables_print_it() -> None:
    room = wrench_room("1/2")
    assert room is not None
    assert (room.bolt_to_bolt, room.bolt_to_hub) == pytest.approx((31.75, 20.6375))
    assert room.source.startswith("TEMA D-5")


def test_wrench_room_from_memory_says_so() -> None:
    room = wrench_room("M20")
    assert room is not None
    assert "not verified: compare" in room.source


@every_row(("file", "count"), [("wrench_room.csv", 37), ("hex_nuts.csv", 49), ("sockets.csv", 8)])
def test_every_table_is_whole_and_rises(file: str, count: int) -> None:
    rows = bolting_rows(file)
    assert len(rows) == count
    for unit in ("mm", "in"):
        columns = [key for key in rows[0] if key not in ("size", "unit", "confidence", "sources")]
        for column in columns:
            sizes = [float(row[column]) for row in rows if row["unit"] == unit]
            assert sizes == sorted(sizes)


def test_a_nut_turns_within_its_wrench_room() -> None:
    """A wrench must reach past the corners, so bolts stand farther apart than their nuts are wide."""
    for row in bolting_rows("wrench_room.csv"):
        nut, room = nut_corners(row["size"]), wrench_room(row["size"])
        if nut and room:
            assert room.bolt_to_bolt > nut.value
            assert room.bolt_to_hub > nut.value / 2


def test_only_inch_sockets_are_tabled() -> None:
    assert socket("M20") is None
    found = socket("3/4")
    assert found is not None
    assert found.outside == pytest.approx(57.15)
