import string

import pytest

from flangelayout.drawing.strokes import plain_signs, stroke_text, stroke_width, unmarkable
from flangelayout.geometry.shapes import ORIGIN, Contour, Line, Point, extent
from rows import every_row

SIGNS = string.ascii_uppercase + string.digits + "-+=.,:/_()"


def segments(text: str, height: float = 6.0) -> list[Line]:
    """Every straight stroke of a text."""
    lines: list[Line] = []
    for stroke in stroke_text(text, height, ORIGIN):
        parts = stroke.parts if isinstance(stroke, Contour) else (stroke,)
        lines += [part for part in parts if isinstance(part, Line)]
    return lines


@every_row("sign", SIGNS)
def test_no_stroke_of_a_letter_is_traced_twice(sign: str) -> None:
    keys = [frozenset((line.start, line.end)) for line in segments(sign)]
    assert keys
    assert len(set(keys)) == len(keys)
    assert all(line.start != line.end for line in segments(sign))


@every_row("sign", SIGNS)
def test_strokes_on_one_line_do_not_overlap(sign: str) -> None:
    lines = segments(sign)
    for index, one in enumerate(lines):
        for other in lines[index + 1 :]:
            assert _common_length(one, other) == 0


def _common_length(one: Line, other: Line) -> float:
    """Length that two strokes share, 0 unless they lie on one line."""
    step, to = one.end - one.start, (other.start - one.start, other.end - one.start)
    if any(abs(step.x * each.y - step.y * each.x) > 1e-9 for each in to):
        return 0.0
    square = step.x**2 + step.y**2
    first, last = sorted((step.x * each.x + step.y * each.y) / square for each in to)
    return max(min(last, 1.0) - max(first, 0.0), 0.0)


def test_every_sign_is_a_figure_of_its_own() -> None:
    figures = {sign: frozenset(frozenset((line.start, line.end)) for line in segments(sign)) for sign in SIGNS}
    assert len(set(figures.values())) == len(SIGNS)


@every_row("sign", string.ascii_uppercase + string.digits)
def test_capitals_and_digits_are_as_high_as_asked_for(sign: str) -> None:
    boxes = [extent(line) for line in segments(sign, height=9.0)]
    assert min(box.bottom for box in boxes) == pytest.approx(0.0)
    assert max(box.top for box in boxes) == pytest.approx(9.0)
    assert max(box.right for box in boxes) <= 6.0 + 1e-9


def test_a_text_is_as_wide_as_its_strokes() -> None:
    boxes = [extent(line) for line in segments("MB-101", height=12.0)]
    assert max(box.right for box in boxes) - min(box.left for box in boxes) <= stroke_width("MB-101", 12.0)
    assert stroke_width("HH", 6.0) == 10.0
    assert stroke_width("", 6.0) == 0.0


def test_a_text_stands_where_it_is_put() -> None:
    here, there = stroke_text("T", 6.0, ORIGIN), stroke_text("T", 6.0, Point(10.0, 20.0))
    assert extent(there[0]).left - extent(here[0]).left == 10.0
    assert extent(there[0]).bottom - extent(here[0]).bottom == 20.0


def test_small_letters_become_capitals_and_accents_fall_away() -> None:
    assert plain_signs("größe é 7") == "GROSSE E 7"


def test_what_has_no_letter_is_named_and_marked_as_a_box() -> None:
    assert unmarkable("H-1 魚") == "魚"
    (box,) = stroke_text("魚", 6.0, ORIGIN)
    assert isinstance(box, Contour)
    assert len(box.parts) == 4
