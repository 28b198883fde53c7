import re
from itertools import product

from ezdxf.tools.text import plain_mtext, plain_text
from hypothesis import assume, given
from hypothesis import strategies as st

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.textwidth import plain_line
from flangelayout.writers.dxf.text import comment_string, dimension_string, layout_name, text_string
from rows import every_row

R2000, R2010 = DxfVersion.R2000, DxfVersion.R2010
typed = st.text(
    alphabet=st.one_of(st.characters(), st.sampled_from("%%%cdpukoUM+\\^JI<>[]{}⌀0041;AaPS#/~ ")), max_size=40
)


def shown(string: str) -> str:
    r"""What a reader of ezdxf shows for a TEXT; ``\U+xxxx`` undone first, the diameter sign made one."""
    return plain_text(_undone(string)).replace("Ø", "⌀")


@every_row(
    ("typed", "written"),
    [
        ("50 % off", "50 % off"),
        ("%%c22", "%%%%%%c22"),
        ("100%⌀22", "100%%%%%c22"),
        ("⌀22", "%%c22"),
        ("^J", "^ J"),
        (r"\U+0041", r"\U+005CU+0041"),
        (r"\M+18163", r"\U+005CM+18163"),
        (r"C:\Parts", r"C:\Parts"),
        ("one\ntwo\x00", "one two�"),
        ("a < b & c", "a < b & c"),
    ],
)
def test_codes_are_written_so_that_they_show_as_typed(typed: str, written: str) -> None:
    assert text_string(typed, R2010) == written


@given(typed)
def test_a_text_shows_as_typed(text: str) -> None:
    expected = plain_line(text).replace("Ø", "⌀")
    # ezdxf drops a caret at the very end of a text, and a no-break space it takes for itself is none of ours
    assert shown(text_string(text, R2010)) == expected.rstrip("^")


@given(typed)
def test_a_dimension_text_shows_as_typed(text: str) -> None:
    assume(not re.search(r"\\[UM]\+", plain_line(text), re.IGNORECASE))
    string = _undone(dimension_string(text, R2010))
    expected = plain_line(text) or " "
    assert str(plain_mtext(string)).replace("Ø", "⌀").strip() == expected.replace("Ø", "⌀").strip()


@every_row("text", ["<>", "a<>b", "[]", "<<>>"])
def test_no_dimension_text_stands_for_the_measured_value(text: str) -> None:
    string = dimension_string(text, R2000)
    assert "<>" not in string
    assert "[]" not in string
    assert plain_mtext(string) == text


@given(typed, st.sampled_from(DxfVersion))
def test_every_string_is_one_line_the_version_can_hold(text: str, version: DxfVersion) -> None:
    for string in (text_string(text, version), dimension_string(text, version), comment_string(text, version)):
        assert len(string.splitlines()) <= 1
        assert not re.search(r"[\x00-\x1f\x7f-\x9f]", string)
        assert version.is_unicode or max(string, default="") <= "\uffff"
        string.encode("utf-8")


@every_row(("unit", "version"), product(["x", "Ж", "⌀", "%%", "^", "\U0001f41f"], list(DxfVersion)))
def test_a_very_long_text_ends_in_an_ellipsis_and_fits(version: DxfVersion, unit: str) -> None:
    string = text_string(unit * 3000, version)
    assert string.endswith("…")
    assert len(string.encode("utf-8" if version.is_unicode else "cp1252", "backslashreplace")) <= 2049 + 3
    assert "%%%%%%%" not in string.replace("%%%" * 2, "") or unit != "%%"


def test_pages_never_share_a_name() -> None:
    taken: set[str] = {"model"}
    names = []
    for wanted in ("Model", "model", "", "A/B:C", "a-b-c", "Sheet"):
        names.append(layout_name(wanted, taken, R2000))
        taken.add(names[-1].lower())
    assert names == ["Model (2)", "model (3)", "Sheet", "A-B-C", "a-b-c (2)", "Sheet (2)"]


def _undone(string: str) -> str:
    return re.sub(r"\\U\+([0-9A-Fa-f]{4})", lambda match: chr(int(match[1], 16)), string)
