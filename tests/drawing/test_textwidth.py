import math
from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.drawing.font.measure import widths_table
from flangelayout.drawing.model import Anchor, Label
from flangelayout.drawing.textwidth import (
    FONT_FILE,
    FONT_NAME,
    below_line,
    font_size,
    label_box,
    label_corners,
    missing_characters,
    plain_line,
    text_width,
    wrapped,
    wrapped_at_commas,
)
from flangelayout.geometry.shapes import Point
from rows import every_row

TRADE_SIGNS = "⌀Ø°±×µ≤≥½¼⅞…–—′″√Ωλ"
words = st.text(alphabet=st.sampled_from("abcWil8 ⌀Ж"), max_size=60)


@pytest.fixture(scope="module")
def font() -> TTFont:
    return TTFont(FONT_FILE)


def test_every_width_is_that_of_the_font_file(font: TTFont) -> None:
    em = font["head"].unitsPerEm
    glyphs, advances = font.getBestCmap(), font["hmtx"]
    for code, glyph in glyphs.items():
        character = chr(code)
        assert not missing_characters(character), hex(code)
        assert text_width(character, 1.0) == pytest.approx(advances[glyph][0] / em * font_size(1.0)), hex(code)


def test_what_the_font_lacks_is_told_and_as_wide_as_the_sign_that_stands_for_it(font: TTFont) -> None:
    lacking = [chr(code) for code in range(0x20, 0xFFFF) if code not in font.getBestCmap()]
    assert missing_characters("".join(lacking)) == "".join(lacking)
    em, notdef = font["head"].unitsPerEm, font["hmtx"][".notdef"][0]
    assert text_width("魚", 1.0) == pytest.approx(notdef / em * font_size(1.0))


def test_the_height_of_a_text_is_that_of_its_capitals(font: TTFont) -> None:
    # OpenType OS/2 table: sCapHeight; here measured on the outline of H, which is what prints.
    top = font["glyf"]["H"].yMax
    assert font_size(2.5) * top / font["head"].unitsPerEm == pytest.approx(2.5)
    assert font["name"].getDebugName(4) == FONT_NAME


def test_the_signs_of_the_trade_can_be_shown() -> None:
    assert missing_characters(TRADE_SIGNS) == ""


def test_missing_characters_come_once_and_in_order() -> None:
    assert missing_characters("魚 a 🐟 魚") == "魚🐟"


def test_a_box_is_as_wide_as_the_text_and_as_high_as_its_capitals_and_the_tails_it_has() -> None:
    for text, low in (("H-114", 20.0), ("hung", 19.0)):
        box = label_box(Label(Point(10.0, 20.0), text, 3.5))
        assert (box.left, box.right) == pytest.approx((10.0, 10.0 + text_width(text, 3.5)))
        assert box.top == pytest.approx(23.5)
        assert low - 0.5 < box.bottom <= low


def test_no_sign_reaches_below_its_box_by_more_than_round_letters_do(font: TTFont) -> None:
    glyphs, outlines, em = font.getBestCmap(), font["glyf"], font["head"].unitsPerEm
    overshoot = -min(outlines[glyphs[ord(letter)]].yMin for letter in "OCS083")
    for code in range(0x20, 0x250):
        if glyphs.get(code) and outlines[glyphs[code]].numberOfContours:
            tail = -outlines[glyphs[code]].yMin - 1.3 * overshoot
            assert tail / em * font_size(1.0) <= below_line(chr(code), 1.0), chr(code)


@given(st.sampled_from(Anchor), st.floats(-360, 360), st.floats(0.01, 10))
def test_the_anchor_lies_on_the_text(anchor: Anchor, turn: float, scale: float) -> None:
    at = Point(3.0, -2.0)
    lower_left, lower_right, upper_right, upper_left = label_corners(Label(at, "HEH", 2.5, turn, anchor), scale)
    share = {"left": 0.0, "center": 0.5, "right": 1.0}[anchor.across]
    foot = Point(
        lower_left.x + share * (lower_right.x - lower_left.x), lower_left.y + share * (lower_right.y - lower_left.y)
    )
    head = Point(
        upper_left.x + share * (upper_right.x - upper_left.x), upper_left.y + share * (upper_right.y - upper_left.y)
    )
    below_top = 1.25 if anchor.on_middle else 2.5
    assert at.distance_to(head) == pytest.approx(below_top / scale)
    assert at.distance_to(foot) + at.distance_to(head) == pytest.approx(foot.distance_to(head))
    assert math.isclose(lower_left.distance_to(lower_right), text_width("HEH", 2.5) / scale)


@given(st.text())
def test_a_plain_line_is_one_line_without_codes_and_stays_itself(text: str) -> None:
    line = plain_line(text)
    assert len(line.splitlines()) <= 1
    assert all(character.isprintable() or ord(character) > 0x9F for character in line)
    assert plain_line(line) == line
    line.encode("utf-8")


@every_row(
    ("text", "line"), [(" a\r\n\tb ", "a b"), ("a\x00b", "a�b"), ("\ud800", "�"), ("\uffff", "�"), ("8X ⌀22", "8X ⌀22")]
)
def test_what_no_file_can_hold_is_seen_and_not_dropped(text: str, line: str) -> None:
    assert plain_line(text) == line


@given(words, st.floats(5.0, 60.0))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: float) -> None:
    for lines in (wrapped(text, width, 2.5), wrapped_at_commas(text, width, 2.5)):
        assert all(text_width(line, 2.5) <= width for line in lines)
        assert "".join(lines).replace(" ", "") == "".join(text.split())


def test_a_call_out_is_broken_behind_a_comma_where_its_parts_fit() -> None:
    told = "8 × ⌀17.5, SPOTFACE ⌀32, EQUALLY SPACED ON PCD 280"
    whole = text_width("EQUALLY SPACED ON PCD 280", 2.5)
    assert wrapped_at_commas(told, whole, 2.5) == ("8 × ⌀17.5, SPOTFACE ⌀32,", "EQUALLY SPACED ON PCD 280")
    assert wrapped_at_commas(told, whole - 1.0, 2.5)[-1] == "280"
    assert wrapped_at_commas("A next 61, read; A 2 pitches 370", 30.0, 2.5, ";") == (
        "A next 61, read;",
        "A 2 pitches 370",
    )


def test_the_axis_that_something_lies_along_begins_no_line() -> None:
    for told in ("4 SLOTS .6875 WIDE ALONG X", "4 × SLOT 14 × 30 ALONG Y, ON RECTANGLE 200 × 100"):
        widths = range(18, int(text_width(told, 2.5)))
        begun = {line.split()[0] for width in widths for line in wrapped(told, width, 2.5)}
        assert not begun & {"X", "Y,"}


def test_the_table_is_what_the_script_makes_of_the_font(font: TTFont) -> None:
    assert (files("flangelayout.drawing.font") / "widths.txt").read_text(encoding="ascii") == widths_table(font)
