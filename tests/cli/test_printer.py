"""``flangelayout printer``: the page, what is kept, what is refused; and the whole loop with a simulated printer."""

import json
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner, Result
from numpy.typing import NDArray

from flangelayout.cli.printer import printer_command
from flangelayout.drawing.printer import NOMINAL
from flangelayout.errors import InputError
from flangelayout.files.printers import with_printer
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet
from jobs import make_job
from readers import MM_PER_POINT, pdf_circles, pdf_text
from rows import every_row

Floats = NDArray[np.float64]
DOTS_PER_MM = 10.0


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder, a user file and a date of its own for every test."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_args, **_kinds: tmp_path / "config")
    monkeypatch.setattr("flangelayout.cli.printer.today", lambda: "2026-11-25")


def run(*words: str) -> Result:
    return CliRunner().invoke(printer_command, words)


def printed(*words: str) -> str:
    result = run(*words)
    assert result.exit_code == 0, result.exception
    return result.output


def refused(*words: str) -> str:
    error = run(*words).exception
    assert isinstance(error, InputError)
    return str(error)


def calibration_page(paper: str = "A4") -> bytes:
    printed("office", "--paper", paper)
    return Path(f"printer-office_{paper}.pdf").read_bytes()


def template(job: Job) -> tuple[str, bytes]:
    """The printed template of a job, with its name."""
    packet = build_packet(with_printer(job), (Part.TEMPLATE,))
    ((name, content),) = [(name, content) for name, content in packet.items() if name.endswith(".pdf")]
    return name, content


def test_without_a_name_the_printers_are_listed() -> None:
    assert "no printer has been measured" in printed()
    printed("office", "--x", "199.2", "--y", "200.4")
    assert "office" in printed()
    assert "0.9960" in printed()


def test_what_was_measured_is_kept_and_told() -> None:
    text = printed("office", "--x", "199.2", "--y", "200.4", "--diagonals", "282.4", "282.7")
    assert "0.9960 across and 1.0020 along" in text
    assert "1.0040 and 0.9980 times as large" in text
    assert "corner is 90.061 deg" in text
    (record,) = json.loads(printed("--json"))
    assert (record["across"], record["along"], record["date"]) == (0.996, 1.002, "2026-11-25")


def test_bars_may_be_given_in_inches() -> None:
    printed("office", "--x", "7.85 in", "--y", "7 7/8 in")
    (record,) = json.loads(printed("--json"))
    assert record["across"] == pytest.approx(7.85 * 25.4 / 200, abs=1e-6)


@every_row(
    ("words", "said"),
    [
        (("office", "--x", "193", "--y", "200"), "fit to page"),
        (("office", "--x", "199"), "--y: is missing"),
        (("office", "--diagonals", "282", "282"), "--x: is missing"),
        (("office", "--x", "abc", "--y", "nan"), "is not a length"),
        (("--x", "199"), "write its name"),
        (("   ",), "printable"),
        (("nobody", "--forget"), "has not been measured"),
    ],
)
def test_what_cannot_be_is_refused_in_clear_lines(words: tuple[str, ...], said: str) -> None:
    assert said in refused(*words)
    assert "no printer" in printed()


def test_a_forgotten_printer_is_out_of_the_list() -> None:
    printed("office", "--x", "199.2", "--y", "200.4")
    printed("office", "--forget")
    assert "no printer" in printed()


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_the_page_is_a_square_of_200_mm_on_its_paper(paper: str) -> None:
    data = calibration_page(paper)
    x, y = bars(whole_page(data))
    assert (x, y) == pytest.approx((NOMINAL, NOMINAL), rel=2e-4)
    text = " ".join(pdf_text(data))
    assert "PRINTER office" in text
    assert "flangelayout printer office --x" in text


def test_the_page_is_the_same_bytes_each_time() -> None:
    assert calibration_page() == calibration_page()


# A printer, simulated: it rasterizes a page with its own errors, and a rule measures what comes out.


def printed_by(x: float, y: float) -> Callable[[bytes, int], Floats]:
    """A printer that makes ``x`` mm of every mm along the short side of its paper and ``y`` along the long one.

    What comes back is the darkness of the paper, in dots of a tenth of a mm.
    """

    def press(data: bytes, page: int = 0) -> Floats:
        per_point = MM_PER_POINT * DOTS_PER_MM
        with pypdfium2.PdfDocument(BytesIO(data)) as document:
            width, height = document[page].get_size()
            right, up = (x, y) if width < height else (y, x)
            size = round(width * per_point * right), round(height * per_point * up)
            shown = document[page].render(scale=3 * per_point, grayscale=True).to_pil()
        scaled = shown.transform(
            size,
            0,  # affine: dot (i, j) of the print comes from this place of the page
            (shown.width / (width * per_point * right), 0, 0, 0, shown.height / (height * per_point * up), 0),
            3,  # bicubic
        )
        return 1.0 - np.asarray(scaled, dtype=np.float64) / 255.0

    return press


def whole_page(data: bytes) -> Floats:
    return printed_by(1.0, 1.0)(data, 0)


def bars(dark: Floats) -> tuple[float, float]:
    """Lengths in mm of the sides of the square, from middle to middle of the outermost long lines."""
    across, up = dark.sum(axis=0), dark.sum(axis=1)
    return spread(across, 1500.0), spread(up, 1500.0)


def spread(profile: Floats, least: float) -> float:
    """Distance in mm between the first and the last stroke of a profile that is as dark as a long line."""
    strokes = np.flatnonzero(profile > profile.max() * 0.5)
    first, last = middle(profile, int(strokes[0])), middle(profile, int(strokes[-1]))
    length = float(last - first)
    assert length > least
    return length / DOTS_PER_MM


def middle(profile: Floats, near: int) -> float:
    """Middle of a stroke in dots, weighed by darkness over what lies around it."""
    around = np.arange(near - 5, near + 6)
    weight = np.clip(profile[around] - np.median(profile[around]), 0.0, None)
    return float((around * weight).sum() / weight.sum())


@pytest.mark.slow
def test_the_loop_makes_a_wrong_printer_true() -> None:
    press = printed_by(0.994, 1.003)
    x, y = bars(press(calibration_page(), 0))
    assert (x, y) == pytest.approx((198.8, 200.6), abs=0.05)
    printed("office", "--x", f"{x:.3f}", "--y", f"{y:.3f}")
    job = make_job(template={"paper": "A4", "printer": "office"})
    _, data = template(job)
    for page in range(1, 4):
        dark = press(data, page)
        for axis, length in (("x", scale_bar(dark, 0)), ("y", scale_bar(dark, 1))):
            nominal = round(length, -1)
            assert length == pytest.approx(nominal, rel=5e-4), (page, axis)


@pytest.mark.slow
def test_without_the_correction_the_same_printer_is_off() -> None:
    """The measurement itself sees an error ten times as large as is allowed."""
    press = printed_by(0.994, 1.003)
    _, data = template(make_job(template={"paper": "A4"}))
    with pypdfium2.PdfDocument(data) as document:
        width, height = document[1].get_size()
    for axis, factor in enumerate((0.994, 1.003) if width < height else (1.003, 0.994)):
        length = scale_bar(press(data, 1), axis)
        assert length / round(length, -1) == pytest.approx(factor, abs=5e-4)


def scale_bar(dark: Floats, axis: int) -> float:
    """Length in mm of the scale bar along x (0) or y (1): from the middle of its first tick to that of its last."""
    page = dark if axis == 0 else np.rot90(dark, k=-1)
    row, start, end = longest_line(page)
    ticks = page[row - 25 : row - 8, start - 8 : end + 8].sum(axis=0)
    strokes = np.flatnonzero(ticks > ticks.max() / 2)
    return float(middle(ticks, int(strokes[-1])) - middle(ticks, int(strokes[0]))) / DOTS_PER_MM


def longest_line(page: Floats) -> tuple[int, int, int]:
    """Row, first and last column of the longest unbroken level line; the bar is longer than anything drawn."""
    best = (0, 0, 0)
    for row, dots in enumerate(page > 0.15):
        edges = np.flatnonzero(np.diff(np.concatenate(([False], dots, [False])).astype(int)))
        if len(edges):
            longest = int(np.argmax(edges[1::2] - edges[::2]))
            start, end = int(edges[2 * longest]), int(edges[2 * longest + 1])
            best = max(best, (row, start, end), key=lambda line: line[2] - line[1])
    return best


# What a corrected file is and says.


def corrected(paper: str = "A4", **keys: object) -> tuple[str, bytes]:
    printed("office", "--x", "199", "--y", "201")
    return template(make_job(template={"paper": paper, "printer": "office", **keys}))


def test_every_page_says_that_and_how_it_is_corrected() -> None:
    name, data = corrected()
    assert name.endswith("_template_A4_for-office.pdf")
    with pypdfium2.PdfDocument(data) as document:
        pages = len(document)
    for page in range(pages):
        text = " ".join(pdf_text(data, page))
        assert 'CORRECTED FOR PRINTER "office"' in text
        assert "2026-11-25" in text
        assert "1.0050" in text
        assert "0.9950" in text


@every_row("paper", ["A4", "Letter"])
def test_a_corrected_page_is_exactly_the_paper(paper: str) -> None:
    _, plain = template(make_job(template={"paper": paper}))
    _, data = corrected(paper)
    with pypdfium2.PdfDocument(plain) as one, pypdfium2.PdfDocument(data) as other:
        assert sorted(one[0].get_size()) == pytest.approx(sorted(other[0].get_size()), abs=1e-3)


def test_holes_are_stretched_by_the_inverse_of_what_was_measured() -> None:
    """One sheet, so that the holes of the plain and the corrected file can be compared pair by pair."""
    _, plain = template(make_job(template={"paper": "one sheet"}))
    _, data = corrected("one sheet")
    straight, bent = pdf_circles(plain), stretched_centers(data)
    assert len(bent) >= 8
    for axis, factor in ((0, 200 / 199), (1, 200 / 201)):
        before = sorted({round(circle[axis], 2) for circle in straight})
        after = sorted({round(center[axis], 2) for center in bent})
        assert after[-1] - after[0] == pytest.approx((before[-1] - before[0]) * factor, abs=0.02)


def stretched_centers(data: bytes) -> list[tuple[float, float]]:
    """Middles of the closed curves of a page, in mm."""
    from readers import pdf_curves

    boxes = [np.array([step[-1] for step in curve["mm"][1:-1]]) for curve in pdf_curves(data)]
    return [tuple((box.min(axis=0) + box.max(axis=0)) / 2) for box in boxes if len(box) >= 8]


def test_the_same_record_gives_the_same_bytes_and_another_other_bytes() -> None:
    once = corrected()
    assert corrected() == once
    printed("office", "--x", "199.1", "--y", "201")
    job = make_job(template={"paper": "A4", "printer": "office"})
    assert template(job) != once


def test_a_job_for_an_unmeasured_printer_is_refused() -> None:
    with pytest.raises(InputError, match=r"template\.printer"):
        template(make_job(template={"printer": "nobody"}))


@every_row("flipped", [False, True])
def test_flipped_tiles_say_so_and_others_do_not(flipped: bool) -> None:
    _, data = template(make_job(template={"paper": "A4", "flip_tiles": flipped}))
    texts = [" ".join(pdf_text(data, page)) for page in range(1, 4)]
    assert any("TOP" in text for text in texts)
    assert any("PRINTED UPRIGHT" in text for text in texts) is flipped


def test_a_printer_is_kept_for_the_paper_of_the_page_that_was_measured() -> None:
    """Letter is said once, when the page is made; with pages on two papers the one measured has to be said."""
    printed("office", "--paper", "Letter")
    assert "(Letter, " in printed("office", "--x", "199.2", "--y", "199.2")
    printed("office", "--forget")
    printed("office", "--paper", "A3")
    assert "(A4, " in printed("office", "--x", "199.2", "--y", "199.2")
