"""``flangelayout standards``: what it prints, and what it says when nothing fits."""

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from flangelayout.cli.standards import standards_command
from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.standards import all_patterns, all_tables, search
from rows import every_row


def run(*arguments: str) -> Result:
    return CliRunner().invoke(standards_command, list(arguments))


def printed(*arguments: str) -> str:
    result = run(*arguments)
    assert result.exit_code == 0, result.exception
    return result.output


def refused(*arguments: str) -> str:
    error = run(*arguments).exception
    assert isinstance(error, FlangeLayoutError)
    assert "\n" not in str(error)
    return str(error)


def test_alone_it_lists_the_tables() -> None:
    output = printed()
    assert all(table.standard in output for table in all_tables())
    assert f"{len(all_patterns())} rows" in output


def test_one_row_is_shown_in_full_with_its_chord() -> None:
    """ASME B16.5: NPS 6 Class 150; 8 holes on 241.3 mm are 241.3 x sin 22.5 deg = 92.34 mm apart."""
    output = printed('6" class 150')
    for words in ("9 1/2 in (241.3 mm)", "92.34 mm", "bolt circle ±0.06 in (1.5 mm)", "two sources agree", "sources"):
        assert words in output
    assert "rilled to match" not in output  # nothing is drilled here


def test_text_may_come_as_one_word_or_several() -> None:
    assert printed("PN16", "DN150") == printed("PN16 DN150")


def test_several_rows_are_a_table_with_trust_and_notes() -> None:
    lines = printed("DN65 PN16").splitlines()
    (old,) = (line for line in lines if "DIN 2501 PN16 DN65" in line)
    (new,) = (line for line in lines if "EN 1092-1 PN16 DN65" in line)
    assert "two sources agree" in old
    assert "one source only" in new
    assert "8 holes here" in new


def test_rows_from_memory_ask_for_a_check() -> None:
    assert "not verified: compare before cutting" in printed("ISO 5211 F10")
    assert printed("ISO 5211").count("not verified: compare before cutting") == 14


def test_four_bolt_ports_have_sides_and_no_chord_to_the_next_hole() -> None:
    """ISO 6162-1 DN25: the four holes are on a rectangle of 52.4 x 26.2 mm, 58.58 mm from corner to corner."""
    output = printed("ISO 6162-1 DN25")
    assert "chord to the next hole" not in output
    assert "52.40 mm and 26.20 mm" in output
    assert "58.58 mm" in output
    assert "not equally spaced" in output


def test_odd_counts_have_a_longest_chord_shorter_than_the_circle() -> None:
    """5 holes on 114.3 mm: 114.3 x sin 36 = 67.18 mm to the next, 114.3 x sin 72 = 108.71 mm to the one after it."""
    output = printed("5x114.3")
    assert "chord to the next hole  67.18 mm" in output
    assert "longest chord           108.71 mm" in output


def test_every_row_of_a_list_has_its_chords() -> None:
    """EN 1092-1 PN16: DN150 8 on 240, DN200 12 on 295; sines of 22.5 and 15 degrees from a table of chords."""
    lines = printed("EN 1092-1 PN16").splitlines()
    (small,) = (line for line in lines if "EN 1092-1 PN16 DN150 " in line)
    (large,) = (line for line in lines if "EN 1092-1 PN16 DN200 " in line)
    assert "91.84 mm" in small
    assert "240.00 mm" in small
    assert "76.35 mm" in large


def test_rows_go_into_a_csv_file_which_is_not_overwritten_unasked(tmp_path: Path) -> None:
    path = tmp_path / "rows.csv"
    assert "4 rows" in printed("--holes", "8", "--diameter", "240", "--within", "0", "--csv", str(path))
    rows = {row["designation"]: row for row in csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines())}
    row = rows["EN 1092-1 PN16 DN150"]
    assert (row["holes"], row["bolt_circle_mm"], row["hole_mm"], row["bolt"]) == ("8", "240", "22", "M20")
    assert (row["chord_mm"], row["longest_chord_mm"]) == ("91.844", "240.000")
    path.write_text("mine", encoding="utf-8")
    assert isinstance(run("FF215", "--csv", str(path)).exception, FlangeLayoutError)
    assert path.read_text(encoding="utf-8") == "mine"
    assert "1 row" in printed("FF215", "--csv", str(path), "--force")


@every_row(
    ("text", "said"),
    [
        ('6" 150# WN RF', "Read without: WN, RF"),
        ("AMSE B16.5 150 6", 'Read "asme" for "amse"'),
        ("DIN 2633 DN150", "DIN 2633 stands in DIN 2501 and EN 1092-1: welding neck; "),
        ('6" PN20', "PN 20 stands in ASME B16.47 Series A and ASME B16.5: ISO 7005-1:1992: metric bolts"),
        ("IEC 100 B5", "Frame 100 B5 has FF215 as a rule (not verified: compare before cutting); the number on"),
    ],
)
def test_what_was_read_into_a_text_or_out_of_it_is_said(text: str, said: str) -> None:
    assert said in printed(text)


def test_a_question_lists_every_row_it_may_mean() -> None:
    output = printed("4-150")
    assert "wheel hub 4x150" in output
    assert "ASME B16.5 Class 150 NPS 4" in output


def test_tapped_flanges_leave_the_hole_out() -> None:
    output = printed("FT115")
    assert "tapped holes" in output
    assert "\n  hole " not in output


def test_filters_by_holes_diameter_and_family() -> None:
    output = printed("--holes", "8", "--diameter", "9 1/2 in", "--within", "0.1 mm", "--family", "pipe")
    assert "ASME B16.5 Class 150 NPS 6" in output
    assert "EN 1092-1 PN16 DN150" not in output
    assert "EN 1092-1 PN16 DN150" in printed("--holes", "8", "--diameter", "241", "--family", "pipe")


def test_json_holds_every_row_in_mm() -> None:
    rows = json.loads(printed("B16.5 class 150", "--json"))
    assert [row["designation"] for row in rows] == [p.designation for p in search("B16.5 class 150")]
    six = next(row for row in rows if row["size"] == "NPS 6")
    assert (six["bolt_circle"], six["hole_count"], six["hole_diameter"]) == (241.3, 8, 22.225)
    assert (six["unit"], six["confidence"], six["equally_spaced"]) == ("in", "two-sources", True)


@pytest.mark.slow
def test_json_of_everything_is_every_row() -> None:
    assert len(json.loads(printed("--json"))) == len(all_patterns())


@every_row(
    ("arguments", "words"),
    [
        (["PN16 DN17"], 'TEXT: "PN16 DN17" is in no table; the nearest: EN 1092-1 PN16 DN15'),
        (["PN16 DN17", "--json"], "is in no table"),
        (["PN16", "--holes", "7"], 'none of the 43 rows that fit "PN16" passes the options given'),
        (["--diameter", "3"], f"none of the {len(all_patterns())} published patterns passes"),
        (["--diameter", "wide"], '"wide" is not a length'),
        (["--diameter", "-3"], "--diameter: needs a length above 0"),
        (["--within", "3"], "--within: says how near to --diameter"),
        (["--family", "banana"], "none of the"),
    ],
)
def test_bad_input_is_one_clear_line(arguments: list[str], words: str) -> None:
    assert words in refused(*arguments)


def test_no_holes_is_wrong_usage() -> None:
    assert run("--holes", "0").exit_code == 2


def test_nothing_found_is_an_input_error_for_the_group_to_print() -> None:
    assert isinstance(run("PN16 DN17").exception, InputError)


def test_help_shows_how_to_write_a_designation() -> None:
    assert "EN 1092-1 PN16" in printed("--help")


def test_patterns_of_the_shop_are_found_beside_the_published_ones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "patterns.csv").write_text(
        "# unit: mm\nname,bolt_circle,holes,hole,source\nscreen hub,177.8,6,13,the old screen\n", encoding="utf-8"
    )
    monkeypatch.chdir(tmp_path)
    output = printed("screen hub")
    assert "177.8 mm" in output
    assert "the old screen" in output
    assert "screen hub" in printed("--holes", "6", "--diameter", "177.8", "--family", "shop")
    (tmp_path / "patterns.csv").write_text("# unit: mm\nname,bolt_circle,holes\nhub,wide,6\n", encoding="utf-8")
    assert "patterns.csv: line 3: hub, wide, 6: a pattern needs" in refused("screen hub")
