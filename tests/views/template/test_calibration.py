"""The calibration page by the items it is drawn of: every bar, tick, number and diagonal where its words have it."""

import math
import re

import pytest

from builders import STAMP
from flangelayout.drawing.model import Label
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Contour, Line, Point, extent
from flangelayout.views.template.calibration import calibration_sheet
from rows import every_row

SIDE, SHORT = 200.0, 140.0


@every_row("paper", ["A4", "Letter", "A3"])
def test_a_printer_is_measured_by_bars_and_diagonals_that_are_as_long_as_they_are_said_to_be(paper: str) -> None:
    (page,) = calibration_sheet("office", paper, STAMP).sheets
    (square,) = (extent(item.what) for item in page.furniture if isinstance(item.what, Contour))
    assert (square.width, square.height) == pytest.approx((SIDE, SIDE))
    labels = [item.what for item in page.furniture if isinstance(item.what, Label)]

    def lines(name: str) -> list[Line]:
        found = (item.what for item in page.furniture if item.source == Furniture(name))
        return [what for what in found if isinstance(what, Line)]

    for name, turn in (("bar X", 0.0), ("bar Y", 90.0)):
        ticks = [line.start for line in lines(name)]
        numbers = [label for label in labels if label.text.isdigit() and label.rotation_deg == turn]
        assert [label.text for label in numbers] == ["50", "100", "150"]
        for places, wanted in ((ticks, range(10, 200, 10)), ([label.at for label in numbers], (50, 100, 150))):
            along = [at.y - square.bottom if turn else at.x - square.left for at in places]
            assert along == pytest.approx(list(wanted))
        assert any(label.text.startswith(f"{name.upper()}, 200 mm = 7.874 in") for label in labels)
    bars = sorted(lines("short bar"), key=_length)[-2:]
    for bar in bars:
        assert _length(bar) == pytest.approx(SHORT)
        ends = [tick for tick in lines("short bar") if tick not in bars]
        assert all(any(_middle(tick).distance_to(end) < 1e-9 for tick in ends) for end in (bar.start, bar.end))
    rising, falling = (square.corners[0], square.corners[2]), (square.corners[1], square.corners[3])
    for line in lines("diagonal"):
        assert any(_is_on(line.start, *way) and _is_on(line.end, *way) for way in (rising, falling))
    (a, b) = (next(label.at for label in labels if label.text == f"DIAGONAL {name}") for name in "AB")
    assert a.distance_to(rising[0]) < 30 < a.distance_to(falling[0])
    assert b.distance_to(falling[0]) < 30 < b.distance_to(rising[0])
    words = " ".join(label.text for label in labels)
    factor = re.search(r"reads on one, times ([\d.]+), is the bar", words)
    assert factor
    assert float(factor[1]) * SHORT == pytest.approx(SIDE, abs=0.01)
    assert f"({SIDE * math.sqrt(2):.2f} mm nominal; A rises to the right)" in words


def _length(line: Line) -> float:
    return line.start.distance_to(line.end)


def _middle(line: Line) -> Point:
    return Point((line.start.x + line.end.x) / 2, (line.start.y + line.end.y) / 2)


def _is_on(at: Point, start: Point, end: Point) -> bool:
    return start.distance_to(at) + at.distance_to(end) < start.distance_to(end) + 1e-6
