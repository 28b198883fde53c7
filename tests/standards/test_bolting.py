"""Bolt sizes, lengths on sale and tightening orders against the standards' own figures."""

import pytest

from flangelayout.standards.bolting import bolt_size, cross_pattern
from rows import every_row


@every_row(
    ("written", "name"),
    [
        ("M20", "M20"),
        ("m16 x 80", "M16"),
        ("M 24", "M24"),
        ("3/4", "3/4"),
        ("3/4 in", "3/4"),
        ("3/4-10 UNC", "3/4"),
        ("1", "1"),
        ("1 1/8", "1 1/8"),
        ("1-1/8 in", "1 1/8"),
        ("1.5 in", "1 1/2"),
        ("20 mm", "M20"),
        ("M20-8.8", "M20"),
        ("M20 8.8", "M20"),
        ("M20x2.5x80", "M20"),
        ("M20 stud", "M20"),
        ("3/4 x 3", "3/4"),
    ],
)
def test_a_size_is_found_as_people_write_it(written: str, name: str) -> None:
    size = bolt_size(written)
    assert size
    assert size.name == name


@every_row("written", ["", "bolts", "M21", "M2000", "1.5", "7/9", "19", "M"])
def test_what_is_no_size_of_the_tables_is_none(written: str) -> None:
    assert bolt_size(written) is None


@every_row(
    ("name", "pitch", "nut", "washer"),
    # Nut: ISO 4032:2012 table 1, greatest height m; washer: ISO 7089:2000 nominal thickness; pitch: ISO 261
    # coarse. Values from memory.
    [("M12", 1.75, 10.8, 2.5), ("M16", 2.0, 14.8, 3.0), ("M20", 2.5, 18.0, 3.0), ("M24", 3.0, 21.5, 4.0)],
)
def test_metric_sizes_are_those_of_the_standards(name: str, pitch: float, nut: float, washer: float) -> None:
    size = bolt_size(name)
    assert size
    assert (size.pitch, size.nut_height, size.washer_thickness) == (pitch, nut, washer)


def test_a_heavy_hex_nut_is_about_as_high_as_its_bolt_is_thick() -> None:
    # ASME B18.2.2: nominal height of heavy hex nuts is the bolt's diameter less 1/64 in per inch or so.
    for written in ("1/2", "3/4", "1", "1 1/2", "2"):
        size = bolt_size(written)
        assert size
        assert size.nut_height == pytest.approx(size.diameter, rel=0.03)


@every_row(
    ("count", "order"),
    # ASME PCC-1, legacy cross-pattern tightening table. Values from memory.
    [
        (4, (1, 3, 2, 4)),
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
        (12, (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12)),
        (16, (1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16)),
        (20, (1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19)),
    ],
)
def test_the_cross_pattern_is_that_of_the_table(count: int, order: tuple[int, ...]) -> None:
    found, source = cross_pattern(count)
    assert found == order
    assert "PCC-1" in source


@every_row("count", range(1, 80))
def test_every_bolt_is_tightened_once_and_opposites_follow_each_other(count: int) -> None:
    order, source = cross_pattern(count)
    assert sorted(order) == list(range(1, count + 1))
    assert "no source" in source or (count % 4 == 0 and count <= 32)
    if count % 2 == 0:
        assert all(abs(a - b) == count // 2 for a, b in zip(order[::2], order[1::2], strict=True))
