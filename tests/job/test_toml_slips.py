"""Lines that no TOML parser reads: all told at once, each with the line as it stands and the line as it should be.

What is right is judged by the standard library's parser, line by line.
"""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import InputError, Problem
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.cures import Cure
from flangelayout.problems.schema import TomlProblem
from rows import every_row

SLIPS = [
    ("units = inches", Cure.PUT_IN_QUOTES, 'units = "inches"'),
    ("outside_diameter = 11,5", Cure.POINT_FOR_COMMA, "outside_diameter = 11.5"),
    ("bore = 6 3/4", Cure.PUT_IN_QUOTES, 'bore = "6 3/4"'),
    ("bore = 7/8 in", Cure.PUT_IN_QUOTES, 'bore = "7/8 in"'),
    ("bore = 22 mm # drilled", Cure.PUT_IN_QUOTES, 'bore = "22 mm"'),
    ('thickness = "11 1/2""', Cure.IN_FOR_INCH_SIGN, 'thickness = "11 1/2 in"'),
    ('thickness = 11 1/2"', Cure.IN_FOR_INCH_SIGN, 'thickness = "11 1/2 in"'),
    ("material = carbon steel", Cure.PUT_IN_QUOTES, 'material = "carbon steel"'),
    ('face = "front', Cure.CLOSE_QUOTES, 'face = "front"'),
    ("standard = “EN 1092-1 PN16 DN150”", Cure.PLAIN_QUOTES, 'standard = "EN 1092-1 PN16 DN150"'),
    ('border = "C:\\data"', Cure.SINGLE_QUOTES, "border = 'C:\\data'"),
    ("raised face = 3", Cure.WRITE_SO, "raised_face = 3"),
    ("bore: 170", Cure.WRITE_SO, "bore = 170"),
    ("hole_count = 08", Cure.WRITE_SO, "hole_count = 8"),
    ("bore = .5", Cure.WRITE_SO, "bore = 0.5"),
    ("bore = 5.", Cure.WRITE_SO, "bore = 5.0"),
    ("flip_tiles = Yes", Cure.WRITE_SO, "flip_tiles = true"),
    ("flip_tiles = False", Cure.WRITE_SO, "flip_tiles = false"),
    ("skip = [3, 4", Cure.CLOSE_BRACKET, "skip = [3, 4]"),
    ("[plate", Cure.WRITE_SO, "[plate]"),
    ("[[bolt circle]]", Cure.WRITE_SO, "[[bolt_circle]]"),
    ("bolt =", Cure.WRITE_A_VALUE, "bolt ="),
    ("straddle", Cure.WRITE_KEY_AND_VALUE, ""),
    ("a = {b = 1, c}", Cure.WRITE_KEY_AND_VALUE, ""),
]


def slips(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as wrong:
        toml_tables(text)
    return wrong.value.problems


@every_row(("line", "cure", "cured"), SLIPS)
def test_a_line_that_cannot_be_read_is_told_with_how_it_is_written(line: str, cure: Cure, cured: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(line)
    (slip,) = slips(f"title = 1\n\n{line}\n")
    assert (slip.line, slip.quote, slip.cure) == (3, line, cure)
    assert dict(slip.facts) == {"cured": cured}
    if cure is not Cure.WRITE_A_VALUE:
        tomllib.loads(cured)


def test_every_slip_of_a_file_is_told_at_once_in_order() -> None:
    lines = [line for line, _, _ in SLIPS]
    told = slips("\n".join(lines))
    assert [slip.line for slip in told] == list(range(1, 21)), "the first twenty, in order"
    assert slips("\n".join(lines[20:]))[-1].line == len(lines) - 20


def test_a_slip_is_one_line_with_its_quote_and_its_cure() -> None:
    with pytest.raises(InputError) as wrong:
        toml_tables("[plate]\nbore = 6 3/4\n", "job.toml")
    assert str(wrong.value) == 'job.toml: line 2: bore = 6 3/4 cannot be read; put it in quotes: bore = "6 3/4"'


def test_what_runs_over_several_lines_is_read_as_one() -> None:
    text = 'a = """x = 1 2\n[y"""\nskip = [1, # one\n 2,\n]\nb = 1 2\n'
    (slip,) = slips(text)
    assert slip.line == 6


def test_a_list_without_its_bracket_does_not_hide_what_follows() -> None:
    told = slips("skip = [1,\n 2\nbore = 6 3/4\n[plate\n")
    assert [slip.line for slip in told] == [1, 3, 4]
    assert dict(told[0].facts) == {"cured": "skip = [1, 2]"}


def test_a_long_text_without_its_end_is_told_where_it_begins() -> None:
    (slip,) = slips('a = 1\nb = """x\n')
    assert (slip.line, slip.cure) == (2, Cure.CLOSE_QUOTES)


def test_a_key_or_a_table_that_is_there_twice_is_told_with_both_lines() -> None:
    key, table = slips("[plate]\nbore = 3\nbore = 4\n[job]\nnumber = 'A'\n[plate]\n")
    assert (key.where, key.kind, key.line) == ("plate.bore", TomlProblem.KEY_TWICE, 3)
    assert (table.where, table.kind, table.line) == ("[plate]", TomlProblem.TABLE_TWICE, 6)
    assert (dict(key.facts), dict(table.facts)) == ({"first": 2}, {"first": 1})


def test_tables_of_which_there_are_several_may_repeat_their_keys() -> None:
    (slip,) = slips("[[hole]]\nx = 1\n[[hole]]\nx = 2\n[[hole]]\nx = 3\nbad\n")
    assert slip.line == 7


def test_a_slip_that_only_the_whole_file_shows_is_told_with_its_line() -> None:
    (slip,) = slips("a.b = 1\nc = 2\na = 2\nd = 4\n")
    assert (slip.line, slip.quote) == (3, "a = 2")


def test_numbers_and_nesting_without_end_are_refused() -> None:
    assert slips("a = " + "9" * 5000)[0].kind is TomlProblem.NUMBER_WITHOUT_END
    assert slips("a = " + "[" * 5000)[0].kind in (TomlProblem.NESTED_TOO_DEEPLY, TomlProblem.LINE_UNREADABLE)


@given(st.text(max_size=80))
def test_any_text_is_read_or_told_in_lines_that_are_there(text: str) -> None:
    try:
        expected = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        told = slips(text)
        assert told
        assert all(1 <= (slip.line or 0) <= text.count("\n") + 1 for slip in told)
    else:
        assert toml_tables(text) == expected
