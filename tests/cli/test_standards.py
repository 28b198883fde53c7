"""``flangelayout standards``: what it prints, and what it says when nothing fits."""

import json

import pytest
from click.testing import CliRunner, Result

from flangelayout.cli.standards import standards_command
from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.standards import all_patterns, all_tables, search


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
    for words in ("9 1/2 in (241.3 mm)", "92.34 mm", "bolt circle ±1.5 mm", "two sources agree", "Drilled to match"):
        assert words in output


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
    assert "from memory, check before cutting" in printed("ISO 5211 F10")
    assert printed("ISO 5211").count("from memory, check before cutting") == 14


def test_four_bolt_ports_have_no_chord() -> None:
    """ISO 6162: the four holes are on a rectangle, so one neighbor chord would mislead."""
    output = printed("ISO 6162-1 DN25")
    assert "chord" not in output
    assert "not equally spaced" in output


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


def test_json_of_everything_is_every_row() -> None:
    assert len(json.loads(printed("--json"))) == len(all_patterns())


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["PN16 DN17"], 'TEXT: "PN16 DN17" is in no table; the nearest are EN 1092-1 PN16 DN15'),
        (["PN16 DN17", "--json"], "is in no table"),
        (["PN16", "--holes", "7"], 'none of the 30 rows that fit "PN16" passes the options given'),
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
