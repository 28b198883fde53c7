"""What people write for a drilling, by a list made apart from the look-up: hits, questions and refusals.

The lists stand beside this file: ``phrases.csv`` by somebody who wrote no look-up, ``spellings.csv`` of words in six
languages, shorthand and slips of spacing, where each row must be understood. ``hit`` means that row, ``ambig`` must be
asked about, ``miss`` is in no table.
"""

import csv
from pathlib import Path

import pytest

from flangelayout.standards import all_patterns
from flangelayout.standards.designations.answers import Asked, Found, Missed, Why
from flangelayout.standards.designations.lookup import look_up
from rows import every_row

PHRASES = list(csv.DictReader((Path(__file__).parent / "phrases.csv").read_text(encoding="utf-8").splitlines()))
HITS = [row for row in PHRASES if row["kind"] == "hit"]


def test_nearly_every_phrase_is_understood_and_none_as_another_row() -> None:
    answers = {row["phrase"]: (look_up(row["phrase"]), row["meaning"]) for row in HITS}
    found = {phrase: each.row.designation for phrase, (each, _) in answers.items() if isinstance(each, Found)}
    wrong = {phrase: row for phrase, row in found.items() if row != answers[phrase][1]}
    assert wrong == {}
    assert len(found) >= 0.97 * len(HITS)


def test_what_is_not_found_is_asked_about_with_the_right_row_among_the_choices() -> None:
    for row in HITS:
        answer = look_up(row["phrase"])
        if not isinstance(answer, Found):
            assert isinstance(answer, Asked), row
            assert row["meaning"] in {choice.designation for choice in answer.rows}


@pytest.mark.slow
def test_every_spelling_of_the_trade_is_understood() -> None:
    for row in csv.DictReader((Path(__file__).parent / "spellings.csv").read_text(encoding="utf-8").splitlines()):
        answer = look_up(row["phrase"])
        assert isinstance(answer, {"hit": Found, "miss": Missed}[row["kind"]]), row
        assert not isinstance(answer, Found) or answer.row.designation == row["meaning"], row


@every_row(
    ("text", "designation", "without"),
    [
        ("Felge 5x112", "wheel hub 5x112", ()),
        ("Gewindeflansch DN50 PN16 verzinkt", "EN 1092-1 PN16 DN50", ("GEWINDEFLANSCH", "VERZINKT")),
        ('bride à collerette 4" classe 150', "ASME B16.5 Class 150 NPS 4", ("BRIDE", "A", "COLLERETTE")),
        ("D.N. 100 P.N. 16", "EN 1092-1 PN16 DN100", ()),
        ('.5" 150#', "ASME B16.5 Class 150 NPS 1/2", ()),
        ("200mm B5 flange", "IEC 60072-1 FF165", ("FLANGE",)),
    ],
)
def test_words_that_no_table_knows_are_left_out_and_said(text: str, designation: str, without: tuple[str, ...]) -> None:
    answer = look_up(text)
    assert isinstance(answer, Found)
    assert answer.row.designation == designation
    assert answer.reading.without == without


@every_row("text", ["camlock DN50 PN16", "oval flange 10K 50A", "200 RF by 100 lug", "6 lb - size 250"])
def test_words_that_say_more_than_the_tables_hold_are_not_left_out(text: str) -> None:
    assert isinstance(look_up(text), Missed)


def test_a_circle_in_words_is_looked_for_by_its_size() -> None:
    asked = look_up("180 PCD 8 holes")  # not the wheel 8x180 alone
    assert isinstance(asked, Asked)
    assert asked.why is Why.BY_SIZES
    assert {(row.bolt_circle, row.hole_count) for row in asked.rows} == {(180.0, 8)}
    assert {"EN 1092-1 PN16 DN100", "wheel hub 8x180"} <= {row.designation for row in asked.rows}
    inches = look_up("8 bolts on 7.5")  # NPS 4 Class 150 of ASME B16.5 is 7 1/2 in
    assert isinstance(inches, Asked)
    assert "ASME B16.5 Class 150 NPS 4" in {row.designation for row in inches.rows}
    assert isinstance(look_up("10 holes 75 mm PCD"), Missed)  # not a vacuum flange DN75, which has 10


@every_row("row", [row for row in PHRASES if row["kind"] == "ambig"])
def test_a_phrase_with_two_meanings_is_asked_about(row: dict[str, str]) -> None:
    answer = look_up(row["phrase"])
    assert isinstance(answer, Asked)
    assert {choice.designation for choice in answer.rows} == set(row["meaning"].split(" | "))


@every_row("row", [row for row in PHRASES if row["kind"] == "miss"])
def test_what_is_in_no_table_is_refused(row: dict[str, str]) -> None:
    assert isinstance(look_up(row["phrase"]), Missed)


@every_row(
    ("text", "choices"),
    [
        ("4-150", {"ASME B16.5 Class 150 NPS 4", "wheel hub 4x150"}),
        ("3-150", {"ASME B16.5 Class 150 NPS 3", "wheel hub 3x150"}),
        ("4x150", {"ASME B16.5 Class 150 NPS 4", "wheel hub 4x150"}),
        ("4-150 RF", {"ASME B16.5 Class 150 NPS 4", "wheel hub 4x150"}),
        ("6x125", {"ASME B16.1 Class 125 NPS 6", "wheel hub 6x125"}),
    ],
)
def test_wheel_or_pipe_is_asked(text: str, choices: set[str]) -> None:
    answer = look_up(text)
    assert isinstance(answer, Asked)
    assert answer.why is Why.WHEEL_OR_PIPE
    assert {row.designation for row in answer.rows} == choices


PAIRS = [
    *(f"{first}{sign}{second}" for first in range(2, 13) for second in (100, 110, 112, 125) for sign in "x-"),
    *(f"{first}{sign}{second}" for first in range(2, 13) for second in (150, 160, 170, 200, 250, 300) for sign in "x-"),
    *(f"{first} x {second} RF" for first in range(3, 11) for second in (125, 150, 300)),
]


@pytest.mark.parametrize("step", [7, pytest.param(1, marks=pytest.mark.slow)])
def test_pairs_of_numbers_are_one_thing_or_asked_about(step: int) -> None:
    """Pipe against wheel: whatever is found is the only row that the two numbers can be read as."""
    assert len(PAIRS) > 180
    for text in PAIRS[::step]:
        answer = look_up(text)
        if not isinstance(answer, Found):
            continue
        first, second = (int(part) for part in text.replace("x", "-").replace(" RF", "").split("-"))
        wheels = {p.designation for p in all_patterns() if p.size == f"{first}x{second}"}
        pipes = {
            p.designation
            for p in all_patterns()
            if p.grade == f"Class {second}" and p.size == f"NPS {first}" and p.standard.startswith("ASME")
        }
        assert wheels | pipes == {answer.row.designation}, text


CLASSES_AND_PRESSURES = [
    *(f"PN{grade} DN{size}" for grade in (16, 150, 300, 600, 900, 1500) for size in (25, 100, 150, 300)),
    *(f"class {grade} DN{size}" for grade in (6, 10, 16, 40, 150, 300) for size in (25, 100, 150, 300)),
    *(f'{size}" PN{grade}' for grade in (10, 25, 150, 300, 900) for size in (1, 4, 6, 12)),
    *(f"NPS {size} PN{grade}" for grade in (16, 40, 150, 600) for size in (2, 8, 10, 16)),
    *(f"DN{grade} {size}#" for grade in (6, 10, 16, 40) for size in (150, 300, 600, 900)),
    *(f"DN{size} {grade}K" for grade in (5, 10, 16, 150) for size in (50, 100, 150)),
    *(f"PN{size} DN{grade}" for grade in (10, 16, 40) for size in (50, 100, 150, 200)),
]


@every_row("text", ["300 on 20 mm", "150 on 4", "250 PCD DN65"])
def test_a_circle_that_is_not_the_row_s_is_asked_about(text: str) -> None:
    answer = look_up(text)
    assert isinstance(answer, Asked)
    assert len(answer.rows) == 1


def test_lugs_on_a_circle_are_of_a_wheel() -> None:
    answer = look_up("4 lug x 110 BCD")
    assert isinstance(answer, Found)
    assert answer.row.designation == "wheel hub 4x110"


def test_classes_and_pressures_are_not_taken_for_each_other() -> None:
    """PN against class: a row that is found has the pressure or class, and the nominal size, that were written."""
    assert len(CLASSES_AND_PRESSURES) + len(PAIRS) > 300
    for text in CLASSES_AND_PRESSURES:
        answer = look_up(text)
        if isinstance(answer, Found):
            assert written_grade(text) == answer.row.grade, text
            assert written_nominal(text) == row_nominal(answer.row.size), text


SMALL = {"1": 25, "2": 50, "1/2": 15, "1 1/2": 40}
"""DN of the small inch sizes that the texts use (ASME B36.10M)."""


def written_grade(text: str) -> str:
    words = text.replace("class ", "class").split()
    word = next(word for word in words if not word.startswith(("DN", "NPS")) and '"' not in word and not word.isdigit())
    if word.startswith("PN"):
        return {"PN50": "Class 300"}.get(word, f"PN {word[2:]}")
    return f"Class {word.removeprefix('class').removesuffix('#')}" if word[-1] != "K" else word


def written_nominal(text: str) -> int:
    for word in text.split():
        if word.startswith("DN"):
            return int(word[2:])
    inches = next(word.strip('"') for word in text.split() if word.strip('"').isdigit())
    return SMALL.get(inches) or 25 * int(inches)


def row_nominal(size: str) -> int:
    plain = size.removeprefix("NPS ").removeprefix("DN").removesuffix("A")
    return (SMALL.get(plain) or 25 * int(plain)) if size.startswith("NPS ") else int(plain)
