"""Boxes of a form: which they are, and what is typed back."""

import math

import pytest

from flangelayout.errors import InputError
from flangelayout.survey import Kind, measure
from flangelayout.survey.form import read_boxes, survey_boxes
from flangelayout.units import Unit
from rows import every_row

LABELS = tuple("12345678")


@every_row("count", [2, 3, 4, 5, 8, 12, 40])
def test_no_box_asks_twice_and_the_longest_chords_come_first(count: int) -> None:
    boxes = survey_boxes(count)
    pairs = [frozenset((each.from_hole, each.to_hole)) for each in boxes if each.to_hole is not None]
    assert len(set(pairs)) == len(pairs)
    spans = [min(abs(a - b), count - abs(a - b)) for a, b in (sorted(map(int, filter(None, pair))) for pair in pairs)]
    assert spans[0] == max(spans) == count // 2


def test_what_stands_in_the_boxes_is_measured() -> None:
    """EN 1092-1 DN150 PN16: 8 holes of 22 on 240; chords 2 r sin(pi k / n)."""
    across, beside = 240.0, 240.0 * math.sin(math.pi / 8)
    text = f"1={across} 2={across} 3=22, 4=285; 6={beside:.2f}\n7={beside:.2f}"
    readings = read_boxes(text, survey_boxes(8), Unit.MM, "--boxes", LABELS)
    assert [each.kind for each in readings[2:4]] == [Kind.HOLE_DIAMETER, Kind.OUTSIDE_DIAMETER]
    assert [(each.from_hole, each.to_hole) for each in readings[4:]] == [(1, 2), (2, 3)]
    survey = measure(readings, 8)
    assert survey.fit.bolt_circle.value == pytest.approx(240.0, abs=0.01)


def test_lengths_are_written_as_people_write_them() -> None:
    readings = read_boxes('1=9 1/2 2 = 9-1/2"  3=22.2 mm', survey_boxes(8), Unit.IN, "--boxes", LABELS)
    assert [each.value for each in readings] == pytest.approx([241.3, 241.3, 22.2])


def test_two_holes_that_have_no_box_are_named_themselves() -> None:
    first, pair = read_boxes("5-8=9-1/2 1=9 1/2", survey_boxes(8), Unit.IN, "--boxes", LABELS)
    assert [first.value, pair.value] == pytest.approx([241.3, 241.3])
    assert [(each.kind, each.from_hole, each.to_hole) for each in (first, pair)] == [
        (Kind.SAME_EDGES, 1, 5),
        (Kind.SAME_EDGES, 5, 8),
    ]
    (lettered,) = read_boxes("B1-B3 = 80", survey_boxes(8), Unit.MM, "--boxes", ["A1", "A2", "B1", "B2", "B3"])
    assert (lettered.from_hole, lettered.to_hole) == (3, 5)


def test_without_numbers_the_boxes_are_filled_in_order() -> None:
    by_number = read_boxes("1=9 1/2 2=9-1/2 4=22.2 mm 5=.5", survey_boxes(8), Unit.IN, "--boxes", LABELS)
    assert read_boxes("9 1/2 9-1/2; - 22.2 mm .5", survey_boxes(8), Unit.IN, "--boxes", LABELS) == by_number


@every_row(
    ("text", "words"),
    [
        ("", "write the number of each box with its reading"),
        ("68.8 about 162.1", "names no box of the form"),
        ("68,8 162,1", "names no box of the form"),
        (" ".join(["4"] * 14), "the form has no box 14"),
        ("99=4", "the form has no box 99; its boxes are 1 to 13"),
        ("1=4 1=5", "box 1 stands twice"),
        ("1=x", "--boxes 1=x: "),
        ("1=", "--boxes 1=: "),
        ("5-9=250", 'hole "9" is no hole of the drawing'),
        ("5-8=x", "--boxes 5-8=x: "),
    ],
)
def test_what_is_no_box_is_told(text: str, words: str) -> None:
    with pytest.raises(InputError) as refused:
        read_boxes(text, survey_boxes(8), Unit.MM, "--boxes", LABELS)
    assert any(words in line for line in refused.value.lines())
