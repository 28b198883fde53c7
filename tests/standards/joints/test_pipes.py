"""Bores from pipes, against published figures.

Walls and outside diameters: ASME B36.10M and B36.19M as printed in many handbooks (NPS 6: 6.625 in, sch 40 0.280 in;
NPS 2 sch 80 0.218 in; NPS 12 STD 0.375 in; NPS 6 sch 10S 0.134 in); inside diameters of the same tables: NPS 6 sch 40
6.065 in, NPS 4 sch 40 4.026 in, NPS 8 sch 80 7.625 in. Slip-on bores: ASME B16.5, NPS 6 6.72 in, NPS 2 2.44 in.
"""

import pytest

from flangelayout.errors import InputError
from flangelayout.flange.joints.pipe import PipeFit
from flangelayout.provenance import Confidence
from flangelayout.standards.joints.pipes import is_pipe, pipe_bore
from rows import every_row


@every_row(
    ("text", "inches"),
    [
        ("pipe 6 in sch 40, weld neck", 6.065),
        ("NPS 6 STD, weld neck", 6.065),
        ("6 in sch 40S, weld-neck", 6.065),
        ("DN150 sch 40, welding neck", 6.065),
        ("nps 4 schedule 40 wn", 4.026),
        ('8" sch 80, weld neck', 7.625),
        ("pipe 2 in XS, weld neck", 1.939),
        ("pipe 12 in std, weld neck", 12.0),
        ("pipe 1-1/2 in sch. 40, weld neck", 1.610),
        ("pipe 6 in sch 10S, weld neck", 6.357),
        ("pipe 6 in sch 40, slip-on", 6.72),
        ("NPS 6, slip on", 6.72),
        ("pipe 2 in sch 80 slipon", 2.44),
        ("pipe 2 1/2 in, slip-on", 2.94),
        ("DN150, slip-on", 6.72),
        ("NPS 24 slip-on", 24.25),
    ],
)
def test_bores_are_the_published_ones(text: str, inches: float) -> None:
    assert is_pipe(text)
    assert pipe_bore(text).bore / 25.4 == pytest.approx(inches, abs=6e-4)


def test_a_wall_in_mm_goes_with_the_outside_diameter_of_en_10220() -> None:
    """EN 10220 series 1: DN150 is 168.3, DN65 76.1, DN125 139.7."""
    found = pipe_bore("DN150 6.3, weld neck")
    assert (found.outside, found.wall, found.bore) == pytest.approx((168.3, 6.3, 155.7))
    assert (found.fit, found.standard, found.confidence) == (
        PipeFit.WELD_NECK,
        "EN 10220 series 1",
        Confidence.TWO_SOURCES,
    )
    assert pipe_bore("DN65 2.9 mm, weld neck").bore == pytest.approx(70.3)
    assert pipe_bore("DN125 4, weld neck").bore == pytest.approx(131.7)


def test_who_vouches_for_a_bore_goes_with_it() -> None:
    six, four = pipe_bore("pipe 6 in sch 40, slip-on"), pipe_bore("pipe 4 in sch 40, slip-on")
    assert (six.size, six.schedule, six.standard) == ("NPS 6", "Sch 40", "ASME B36.10M")
    assert (six.confidence, six.bore_confidence) == (Confidence.TWO_SOURCES, Confidence.TWO_SOURCES)
    assert four.bore_confidence is Confidence.ONE_SOURCE
    assert six.plus == pytest.approx(0.03 * 25.4)
    assert pipe_bore("NPS 12 slip-on").plus == pytest.approx(0.06 * 25.4)


@every_row(
    ("text", "words"),
    [
        ("pipe 6 in sch 40", "does not say how the flange fits its pipe; end it with slip-on or weld neck"),
        ("pipe 6 in, slip-on weld neck", "does not say how"),
        ("pipe 6 sch 40, slip-on", "names no size of pipe; write it as in 6 in, NPS 6 or DN150"),
        ("pipe 7 in sch 40, weld neck", "no table has pipe NPS 7; there are NPS"),
        ("DN155 4, weld neck", "no table has pipe DN155; there are DN15"),
        ("pipe 6 in sch 45, weld neck", "pipe NPS 6 has no Sch 45; there are Sch 5, Sch 10, Sch 40, STD"),
        ("pipe 6 in, weld neck", "say the wall of NPS 6 in mm, or one of Sch 5"),
        ("DN150 90, weld neck", "leaves no bore"),
        ("DN150 6.3 7.1, weld neck", "is neither a schedule nor one wall"),
        ("pipe 6 in sch 40 6.3, weld neck", "is neither a schedule nor one wall"),
        ("DN65, slip-on", "no table has the slip-on bore for pipe DN65; write the bore itself"),
        ("DN125 4, slip-on", "no table has the slip-on bore for pipe DN125"),
        ("NPS 30, slip-on", "no table has the slip-on bore for pipe NPS 30"),
    ],
)
def test_what_is_wrong_or_open_is_asked_with_what_there_is(text: str, words: str) -> None:
    with pytest.raises(InputError) as refused:
        pipe_bore(text)
    (line,) = refused.value.lines()
    assert words in line


@every_row("text", ["6 3/4", "170.5 mm", '11 1/2"', "6-3/4 in", "about 170"])
def test_a_length_is_no_pipe(text: str) -> None:
    assert not is_pipe(text)
