"""The data files: how many rows they hold, that they hang together, and what a damaged one says."""

import csv
import hashlib
import math
from collections import Counter
from importlib.resources.abc import Traversable
from pathlib import Path

import pytest

from flangelayout.errors import InputError
from flangelayout.provenance import DrillingTolerance
from flangelayout.standards import Confidence, PublishedTable, all_patterns, all_tables, tables
from flangelayout.standards.pattern import Rectangle, Register
from flangelayout.standards.rows import FOLDER
from flangelayout.standards.table_file import open_file, patterns_of_count, shipped_files
from flangelayout.units import Unit
from rows import every_row

ROWS = {
    "api_6a.csv": 43,
    "as_2129.csv": 122,
    "as_4087.csv": 56,
    "asme_b16_1.csv": 72,
    "asme_b16_47_a.csv": 84,
    "asme_b16_47_b.csv": 72,
    "asme_b16_5.csv": 136,
    "awwa_c207.csv": 147,
    "bs_10.csv": 65,
    "bs_4504_1.csv": 15,
    "chainrings.csv": 28,
    "chainrings_rectangle.csv": 1,
    "din_11864_2.csv": 12,
    "din_24155_2.csv": 15,
    "din_2501.csv": 2,
    "en_1092_1.csv": 213,
    "iec_60072_1.csv": 29,
    "iso_1609.csv": 20,
    "iso_3019_2.csv": 8,
    "iso_3669.csv": 11,
    "iso_5211.csv": 14,
    "iso_6162_1.csv": 11,
    "iso_6162_2.csv": 6,
    "iso_7005_1_pn20.csv": 19,
    "iso_9409_1.csv": 7,
    "jis_b_2220.csv": 155,
    "nema_mg_1.csv": 40,
    "sae_j617.csv": 9,
    "sae_j620.csv": 10,
    "sae_j744.csv": 12,
    "saw_blade_pins.csv": 9,
    "ttma.csv": 2,
    "wheel_hubs.csv": 76,
}
HEADER = """\
# standard: Test 1
# edition: not stated
# family: pipe flange
# unit: in
# designation: {standard} {grade} {size}
# spoken: test 1
# circle tolerance: M10-M24 1.0, M27-M45 1.5
# chord tolerance: all 0.5
# tolerance confidence: memory
# confidence covers: everything
# source A: first list
# source B: second list
"""
COLUMNS = "grade,size,bolt_circle,holes,hole,outside,bore,thickness,raised_face,bolt,confidence,sources,note"
GOOD = "Class 9,NPS 6,9.5,8,0.875,11,,,8.5,M20,two-sources,A; rf=A+B,look out"


def damaged(tmp_path: Path, row: str = GOOD, header: str = HEADER, columns: str = COLUMNS) -> Path:
    path = tmp_path / "test_1.csv"
    path.write_text(f"{header}{columns}\n{GOOD}\n{row}\n", encoding="utf-8")
    return path


def read_table(path: Path) -> PublishedTable:
    return tables._table(open_file(path))


def error_of(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_table(path)
    return str(caught.value)


def test_every_table_holds_the_rows_it_should() -> None:
    assert {table.file: len(table.patterns) for table in all_tables()} == ROWS
    assert len(all_patterns()) == sum(ROWS.values())


def test_every_data_file_is_read() -> None:
    assert {path.name for path in FOLDER.iterdir() if path.is_file()} == set(ROWS)


def test_asme_b16_5_has_the_sizes_of_its_classes() -> None:
    """ASME B16.5 tables: 21 sizes to Class 600, no NPS 3 1/2 and 22 in 900 and 1500, none above 12 in 2500."""
    counts: dict[str, int] = {}
    for pattern in all_patterns():
        if pattern.standard == "ASME B16.5":
            counts[pattern.grade] = counts.get(pattern.grade, 0) + 1
    small = {f"Class {grade}": 21 for grade in (150, 300, 400, 600)}
    assert counts == small | {"Class 900": 19, "Class 1500": 19, "Class 2500": 14}


def test_patterns_are_read_once_and_cannot_be_changed() -> None:
    assert all_patterns() is all_patterns()
    with pytest.raises(AttributeError):
        all_patterns()[0].hole_count = 5  # type: ignore[misc]  # the point of the test


def test_designations_are_unique() -> None:
    names = [pattern.designation for pattern in all_patterns()]
    assert len(set(names)) == len(names)


def test_every_row_names_its_sources_in_words() -> None:
    for pattern in all_patterns():
        first = pattern.sources.split("; ")[0]
        assert len(first) > 8, pattern
        assert ": " not in first, pattern


def test_memory_rows_say_so_in_their_sources() -> None:
    """A row from memory alone must not name a table that was never found for it."""
    for pattern in all_patterns():
        if pattern.confidence is Confidence.MEMORY:
            assert (
                "memory of the standard" in pattern.sources or "the PN 6 row which PN 2.5 shares" in pattern.sources
            ), pattern


def test_inch_tables_become_exact_millimetres() -> None:
    """9 1/2 in is 241.3 mm and 7/8 in is 22.225 mm (inch of 25.4 mm, agreement of 1959), without binary noise."""
    six = next(pattern for pattern in all_patterns() if pattern.designation == "ASME B16.5 Class 150 NPS 6")
    assert (six.bolt_circle, six.hole_diameter, six.outside_diameter) == (241.3, 22.225, 279.4)
    assert six.unit is Unit.IN


def test_only_four_bolt_ports_and_one_crank_are_not_equally_spaced() -> None:
    """ISO 6162: four screws on a rectangle; a crank with unequal arms is never an equal 4x110."""
    uneven = [pattern for pattern in all_patterns() if not pattern.equally_spaced]
    assert {pattern.standard for pattern in uneven} == {"ISO 6162-1", "ISO 6162-2", "chainring"}
    assert [p.designation for p in uneven if p.standard == "chainring"] == ["chainring 4x110 asymmetric"]
    assert all("rectangle" in p.note for p in uneven)


def test_drilling_tolerances_stand_where_a_standard_publishes_them() -> None:
    """ASME B16.5 and B16.47: 1.5 mm (0.06 in) on the circle, 0.8 mm (0.03 in) on adjacent centers.

    Both systems as lists of the standards' tolerances print them. EN 1092-1: in mm alone, from memory, by bolt.
    """
    having = {pattern.standard for pattern in all_patterns() if pattern.circle_tolerance}
    assert having == {"ASME B16.5", "ASME B16.47 Series A", "ASME B16.47 Series B", "EN 1092-1"}
    for pattern in all_patterns():
        if pattern.standard.startswith("ASME B16.5") or pattern.standard.startswith("ASME B16.47"):
            assert (pattern.circle_tolerance, pattern.chord_tolerance) == (1.5, 0.8)
            assert pattern.tolerance is not None
            inches = pattern.tolerance.published_in(Unit.IN)
            assert (inches.circle, inches.chord) == pytest.approx((0.06 * 25.4, 0.03 * 25.4), abs=1e-9)
        if pattern.standard == "EN 1092-1" and pattern.bolt:
            size = int(pattern.bolt[1:])
            expected = (1.0, 0.5) if size <= 24 else (1.5, 0.75) if size <= 45 else (None, None)
            assert (pattern.circle_tolerance, pattern.chord_tolerance) == expected
            assert (pattern.tolerance_confidence is Confidence.MEMORY) == (size <= 45)


def test_a_good_file_is_read_whole(tmp_path: Path) -> None:
    table = read_table(damaged(tmp_path, "Class 9,NPS 8,11.75,8,,,,,,3/4,memory,B (weak),"))
    first, second = table.patterns
    assert first.designation == "Test 1 Class 9 NPS 6"
    assert (first.circle_tolerance, first.chord_tolerance) == (1.0, 0.5)
    assert first.sources == "first list; raised face: first list and second list"
    assert (second.hole_diameter, second.circle_tolerance, second.note) == (None, None, "")
    assert second.sources == "second list (weak)"


@every_row(
    ("row", "fault"),
    [
        ("Class 9,NPS 8,11.75x,8,,,,,,,memory,A,", "could not convert string to float: '11.75x'"),
        ("Class 9,NPS 8,-1,8,,,,,,,memory,A,", '"-1" is not a length above 0'),
        ("Class 9,NPS 8,nan,8,,,,,,,memory,A,", '"nan" is not a length above 0'),
        ("Class 9,NPS 8,,8,,,,,,,memory,A,", "needs a size, a bolt circle and at least 2 holes"),
        ("Class 9,NPS 8,11.75,1,,,,,,,memory,A,", "needs a size, a bolt circle and at least 2 holes"),
        ("Class 9,NPS 8,11.75,8.5,,,,,,,memory,A,", "invalid literal for int()"),
        ("Class 9,NPS 8,11.75,8,,,,,,,sure,A,", "'sure' is not a valid Confidence"),
        ("Class 9,NPS 8,11.75,8,,,,,,,memory,C,", 'the header explains no tag "C"'),
        ("Class 9,NPS 8,11.75,8,,,,,,,memory,zz=A,", 'unknown column "zz"'),
        ("Class 9,NPS 8,11.75,8,memory,A,", "has 7 cells; 13 are needed"),
    ],
)
def test_a_bad_row_is_named_by_file_and_line(tmp_path: Path, row: str, fault: str) -> None:
    message = error_of(damaged(tmp_path, row))
    assert message.startswith("test_1.csv: line 15: row: ")
    assert fault in message


@every_row(
    ("old", "new", "fault"),
    [
        ("# edition: not stated\n", "", "has no line for edition"),
        (
            "# edition: not stated",
            "# edition not stated",
            'line 2: header: "# edition not stated" is not "# key: value"',
        ),
        ("# spoken", "# spokn", 'line 6: header: unknown key "spokn"'),
        ("# unit: in", "# unit: ft", '"ft" is none of mm, in'),
        ("all 0.5", "0.5", 'tolerance: "0.5" is not "all 1.5"'),
        ("confidence: memory", "confidence: good", '"good" is none of two-sources, one-source, memory'),
    ],
)
def test_a_bad_header_is_named(tmp_path: Path, old: str, new: str, fault: str) -> None:
    message = error_of(damaged(tmp_path, header=HEADER.replace(old, new)))
    assert message.startswith("test_1.csv: ")
    assert fault in message


def test_missing_columns_are_named(tmp_path: Path) -> None:
    path = tmp_path / "short.csv"
    path.write_text(f"{HEADER}grade,size\n", encoding="utf-8")
    assert "line 13: columns: there is none for bolt_circle, holes, " in error_of(path)


def test_a_table_writes_only_the_columns_it_has(tmp_path: Path) -> None:
    path = tmp_path / "short.csv"
    path.write_text(f"{HEADER}size,holes,bolt_circle,sources,confidence\nNPS 6,8,9.5,A,memory\n", encoding="utf-8")
    (row,) = read_table(path).patterns
    assert (row.size, row.hole_count, row.bolt_circle, row.grade, row.hole_diameter) == ("NPS 6", 8, 241.3, "", None)


def test_an_unknown_column_is_named(tmp_path: Path) -> None:
    path = tmp_path / "short.csv"
    path.write_text(f"{HEADER}size,holes,bolt_circle,sources,confidence,color\n", encoding="utf-8")
    assert 'line 13: columns: "color" is no column of a drilling table' in error_of(path)


def test_facts_of_a_row_are_values() -> None:
    """DN65: 8 holes in EN 1092-1, 4 in DIN 2501 (mining pipe handbook); ISO 6162-1 DN25: 52.4 x 26.2 mm (C19)."""
    rows = {row.designation: row for row in all_patterns()}
    assert (rows["EN 1092-1 PN16 DN65"].hole_count, rows["EN 1092-1 PN16 DN65"].other_counts) == (8, (4,))
    assert (rows["DIN 2501 PN16 DN65"].hole_count, rows["DIN 2501 PN16 DN65"].other_counts) == (4, (8,))
    assert rows["ISO 6162-1 DN25"].rectangle == Rectangle(52.4, 26.2)
    assert rows["IEC 60072-1 FF215"].register is Register.SPIGOT
    assert (rows["IEC 60072-1 FF215"].tapped, rows["IEC 60072-1 FT100"].tapped) == (False, True)
    assert rows["EN 1092-1 PN16 DN150"].tolerance == DrillingTolerance(1.0, 0.5, "EN 1092-1", Confidence.MEMORY)


def test_a_rectangle_stands_on_the_circle_it_is_published_with() -> None:
    for row in all_patterns():
        if row.rectangle:
            assert math.hypot(row.rectangle.long, row.rectangle.short) == pytest.approx(row.bolt_circle, abs=0.06)
            assert row.rectangle.long > row.rectangle.short
            assert row.hole_count == 4


DIGESTS = {
    "api_6a.csv": "23fa2b7c47fce3a8",
    "as_2129.csv": "22165b3e9e101445",
    "as_4087.csv": "b880fb8a5b67d4eb",
    "asme_b16_1.csv": "a6ea2ec8d803eba9",
    "asme_b16_47_a.csv": "a20be0b7f08368ed",
    "asme_b16_47_b.csv": "3e422d9369f73df6",
    "asme_b16_5.csv": "6346896b9dc02363",
    "awwa_c207.csv": "a392683187a57013",
    "bs_10.csv": "e86295365e3995c9",
    "bs_4504_1.csv": "ded97512fa694295",
    "chainrings.csv": "64df15944bc69581",
    "chainrings_rectangle.csv": "53aaf5c1721b25f1",
    "din_11864_2.csv": "549703184dd0b55c",
    "din_24155_2.csv": "c9dc7e9bb4d889bc",
    "din_2501.csv": "633dd7f594a3a77f",
    "en_1092_1.csv": "347be19083a4d65c",
    "iec_60072_1.csv": "126a8236aaf10205",
    "iso_1609.csv": "32a858b66cfbb95f",
    "iso_3019_2.csv": "5983fb0b188b872b",
    "iso_3669.csv": "6bffdadb700ecfef",
    "iso_5211.csv": "85931939ddb7cd9e",
    "iso_6162_1.csv": "b4a75135dd659870",
    "iso_6162_2.csv": "7cece14f4ae661d5",
    "iso_7005_1_pn20.csv": "5b5fe8e043e4967d",
    "iso_9409_1.csv": "82f0e604fc703e7b",
    "jis_b_2220.csv": "e7a9fc0414429a90",
    "nema_mg_1.csv": "eb9a11fc22abf56e",
    "sae_j617.csv": "0c4c0ccc5aa76c97",
    "sae_j620.csv": "8bf653cf621a7ded",
    "sae_j744.csv": "a140cdf2aef628d3",
    "saw_blade_pins.csv": "755453717a574879",
    "ttma.csv": "6e36045bb84952a3",
    "wheel_hubs.csv": "e9f8e8ccb543f9b9",
}
"""Of the rows of each file as they were gathered, figures and notes joined by bars, before they were brought in."""
GATHERED = (
    *("grade", "size", "bolt_circle", "holes", "hole", "outside", "bore", "thickness", "raised_face", "bolt", "note"),
)


def test_every_row_is_as_it_was_gathered() -> None:
    assert {path.name: gathered_digest(path) for path in FOLDER.iterdir() if path.is_file()} == DIGESTS


def gathered_digest(path: Traversable) -> str:
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    rows = ["|".join(row.get(column) or "" for column in GATHERED) for row in csv.DictReader(lines)]
    return hashlib.sha256("\n".join(rows).encode()).hexdigest()[:16]


def test_how_far_the_rows_can_be_trusted() -> None:
    """Counts per trust, with the 70 rows that a further source raised."""
    assert Counter(row.confidence.value for row in all_patterns()) == {
        "one-source": 661,
        "memory": 267,
        "two-sources": 593,
    }


def test_rows_of_one_count_and_columns_alone_are_the_same_rows() -> None:
    rows = all_patterns()
    for count in {row.hole_count for row in rows} | {7}:
        assert patterns_of_count(count) == tuple(row for row in rows if row.hole_count == count)
    names = [
        (file.family, file.standard, *name)
        for file in shipped_files()
        for name in zip(file.file.column("grade"), file.file.column("size"), strict=True)
    ]
    assert names == [(row.family, row.standard, row.grade, row.size) for row in rows]
