"""The cover of a template: what to measure, what it may be off, what to do, and which page goes where."""

import pytest

from flangelayout.packet.job import Part, build_packet
from jobs import make_job
from readers import pdf_text


@pytest.fixture(scope="module")
def cover() -> list[str]:
    """The lines of the cover of 8 x 22 on 240 in a plate of 500, on A4."""
    packet = build_packet(make_job(plate={"outside_diameter": 500, "thickness": 10}), [Part.TEMPLATE])
    return pdf_text(next(data for name, data in packet.items() if name.endswith(".pdf")))


def lines_with(cover: list[str], start: str) -> list[str]:
    return [line for line in cover if line.startswith(start)]


def test_each_bar_has_its_own_length_and_what_it_may_be_off(cover: list[str]) -> None:
    # A third of 1.5 mm on 240 mm: 1/480 of the bar.
    for axis in "XY":
        (line,) = (line for line in lines_with(cover, f"{axis} ") if "mm = " in line)
        length = float(line.split()[1])
        assert line == f"{axis} {length:.0f} mm = {length / 25.4:.3f} in ±{length / 480:.2f} mm"
    assert len({line.split()[1] for axis in "XY" for line in lines_with(cover, f"{axis} ")}) == 2


def test_the_chords_to_measure_on_the_plate_are_the_nearest_and_the_farthest(cover: list[str]) -> None:
    # 240 sin 22.5 and the circle itself.
    assert "all next 91.84" in cover
    assert "all 4 pitches 240.00" in cover


def test_the_cover_says_how_to_print_and_what_decides(cover: list[str]) -> None:
    text = " ".join(cover)
    for words in (
        'PRINT AT 100 % / ACTUAL SIZE, NEVER "FIT TO PAGE"',
        "Outside the allowed difference: do not use it.",
        "The chord measured on the PLATE decides",
        "Layout aid, not a design.",
        "8 × ⌀22, EQUALLY SPACED ON PCD 240",
    ):
        assert words in text
