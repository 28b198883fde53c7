"""Charts: their figures against a printed chord table, and what a caliper reads on published drillings."""

import csv
import math
import re
from pathlib import Path

import pytest

from builders import STAMP
from flangelayout.drawing.model import Anchor, Label, SheetSet
from flangelayout.drawing.textwidth import label_box
from flangelayout.provenance import Confidence
from flangelayout.standards import find, search
from flangelayout.units import Unit
from flangelayout.views.reports.chart import pattern_chart, pocket_card, wall_chart
from rows import every_row

# sin(180 deg / n) to six places, compared with a printed chord table for 3 to 30 holes, which misprints 15.
PRINTED = Path(__file__).with_name("chord_table.csv")
MISPRINTED = {15}
# M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (NBS, 1964), table 4.10: sines of the whole degrees
# that are 180 / n; figures from memory.
SINES = {3: 0.8660254038, 4: 0.7071067812, 5: 0.5877852523, 6: 0.5, 9: 0.3420201433, 10: 0.3090169944}
SINES |= {12: 0.2588190451, 15: 0.2079116908, 18: 0.1736481777, 20: 0.1564344650, 30: 0.1045284633}
SINES |= {36: 0.0871557427, 45: 0.0697564737}


def printed_factors() -> dict[int, float]:
    with PRINTED.open(encoding="utf-8") as file:
        return {int(row["divisions"]): float(row["chord_for_diameter_1"]) for row in csv.DictReader(file)}


def rows_of(sheets: SheetSet, page: int) -> list[list[str]]:
    """The texts of a page, line by line from the top, each from the left."""
    labels = [each.what for each in sheets.sheets[page].furniture if isinstance(each.what, Label)]
    lines: dict[float, list[Label]] = {}
    for label in labels:
        lines.setdefault(round(label.at.y, 3), []).append(label)
    return [[each.text for each in sorted(lines[y], key=lambda each: each.at.x)] for y in sorted(lines, reverse=True)]


@every_row("paper", ["A4", "Letter", "A3"])
def test_factors_are_those_of_the_printed_table(paper: str) -> None:
    told = {}
    for line in rows_of(wall_chart(paper, STAMP), 0):
        if all(text.replace(".", "").isdigit() for text in line):
            factors = [index for index, text in enumerate(line) if text[:2] in ("0.", "1.") and len(text) == 7]
            for first in (index for index in factors if index - 1 not in factors):
                told[int(line[first - 2])] = float(line[first])
    printed = {count: factor for count, factor in printed_factors().items() if count not in MISPRINTED}
    assert sorted(told) == list(range(3, 49))
    assert len(printed) == 27
    assert {count: told[count] for count in printed} == pytest.approx(printed, abs=0.000006)
    assert {count: told[count] for count in SINES} == {count: round(sine, 5) for count, sine in SINES.items()}


def test_every_span_stands_in_the_lists_behind_it() -> None:
    sheets = wall_chart("A4", STAMP)
    found: dict[tuple[int, int], float] = {}
    count = 0
    for page in range(1, len(sheets.sheets)):
        for line in rows_of(sheets, page):
            if all(text.replace(".", "").isdigit() for text in line):
                heads = [text for text in line if "." not in text]
                count = int(heads[0]) if len(heads) == 2 else count
                first = int(heads[-1])
                found |= {(count, first + step): float(text) for step, text in enumerate(line[len(heads) :])}
    spans = {(n, k): math.sin(math.pi * k / n) for n in range(3, 49) for k in range(1, n // 2 + 1)}
    assert found == pytest.approx(spans, abs=0.0000051)


def test_a_published_drilling_is_told_with_what_a_caliper_reads_on_it() -> None:
    """EN 1092-1 PN16 DN150: 8 holes of 22 on 240 (valve maker's sheet); chords worked out by hand."""
    lines = rows_of(pattern_chart("PN16", [find("EN 1092-1 PN16 DN150")], Unit.MM, "A4", STAMP), 0)
    (row,) = (line for line in lines if line[0] == "EN 1092-1 PN16 DN150")
    assert row[1:9] == ["8", "22", "M20", "240", "91.84", "169.71", "240.00", "69.84"]


def test_a_row_that_no_second_source_vouches_for_is_to_be_checked() -> None:
    vouched, alone = (
        next(row for row in search("EN 1092-1") if (row.confidence is Confidence.TWO_SOURCES) is known)
        for known in (True, False)
    )
    for rows, told in (([vouched], 0), ([alone], 2)):  # at its row, and what it means
        texts = [text for line in rows_of(pattern_chart("EN", rows, Unit.MM, "A4", STAMP), 0) for text in line]
        assert sum("check it" in text for text in texts) == told


@every_row("family", ["hydraulic", "chainring"])
def test_the_four_holes_of_a_rectangle_are_told_as_they_stand(family: str) -> None:
    """From a corner: a neighbor across each side; with one hole between, the corner across the diagonal."""
    rows = search(family=family)
    lines = rows_of(pattern_chart(family, rows, Unit.MM, "A4", STAMP), 0)
    (heads,) = (line for line in lines if line[0] == "drilling")
    sides = {row.designation: row.rectangle for row in rows if row.rectangle}
    told = {line[0]: dict(zip(heads, line, strict=False)) for line in lines if line[0] in sides}
    assert told.keys() == sides.keys() != set()
    for name, rectangle in sides.items():
        line = told[name]
        assert (line["next"], line["long side"]) == (f"{rectangle.short:.2f}", f"{rectangle.long:.2f}")
        for head in ("skip 1", "across"):  # published circles and sides are rounded
            assert float(line[head]) == pytest.approx(math.hypot(rectangle.long, rectangle.short), abs=0.1)


@every_row("asked", ["EN 1092-1 PN16", "ISO 6162-1", "chainring 4x110"])
def test_the_columns_that_stand_are_those_that_are_explained(asked: str) -> None:
    rows = search(asked)
    lines = rows_of(pattern_chart(asked, rows, Unit.MM, "A4", STAMP), 0)
    (heads,) = (line for line in lines if line[0] == "drilling")
    told = " ".join(" ".join(line) for line in lines[: lines.index(heads)])
    for head in ("next", "long side", "skip 1", "across", "GAP"):
        assert (f"{head}:" in told) == (head in heads)
    card = rows_of(pocket_card(asked, rows, Unit.MM, "A4", STAMP), 0)
    assert (["GAP" in line for line in card if line[0] == "size"] == [True]) == any("GAP +" in line[0] for line in card)


@every_row("asked", ["ISO 6162", "EN 1092-1", "chainring"])
def test_no_two_rows_of_a_set_of_cards_have_one_name(asked: str) -> None:
    rows = search(asked)
    sheets = pocket_card(asked, rows, Unit.MM, "A4", STAMP)
    pages = [rows_of(sheets, page) for page in range(len(sheets.sheets))]
    names = [line[0] for page in pages for line in page if len(line) > 3 and line[0] != "size"]
    assert len(names) == len(rows) == len(set(names)) > 12


def test_a_circle_that_is_also_drilled_otherwise_is_starred() -> None:
    sheets = pattern_chart("PN16", search("EN 1092-1 PN16"), Unit.MM, "A4", STAMP)
    texts = [text for line in rows_of(sheets, 0) for text in line]
    assert "EN 1092-1 PN16 DN65 *" in texts
    assert any("DN65 with 4" in text for text in texts)


def test_the_figures_of_a_column_of_a_card_are_of_one_height() -> None:
    """11 3/4 is wider than 17, and no more than it."""
    for sheet in pocket_card("class 150", search("ASME B16.5 class 150"), Unit.IN, "Letter", STAMP).sheets:
        columns: dict[float, set[float]] = {}
        for label in (each.what for each in sheet.furniture if isinstance(each.what, Label)):
            if label.anchor is Anchor.MIDDLE and re.fullmatch(r"[\d /.-]+", label.text):
                columns.setdefault(round(label.at.x, 3), set()).add(round(label.height_paper, 6))
        assert len(columns) >= 4
        assert all(len(heights) == 1 for heights in columns.values())
        assert min(min(heights) for heights in columns.values()) >= 2.45


def test_no_text_of_a_chart_or_card_is_too_small_or_crosses_another() -> None:
    drawn = [
        wall_chart("A4", STAMP),
        wall_chart("A3", STAMP),
        pocket_card("EN 1092-1 PN16", search("EN 1092-1 PN16"), Unit.MM, "A4", STAMP),
        pattern_chart("class 150", search("ASME B16.5 class 150"), Unit.IN, "Letter", STAMP),
        pattern_chart("motor", search(family="motor"), Unit.MM, "A4", STAMP),
        pattern_chart("motor", search(family="motor"), Unit.IN, "Letter", STAMP),
    ]
    for sheets in drawn:
        for sheet in sheets.sheets:
            labels = [each.what for each in sheet.furniture if isinstance(each.what, Label)]
            boxes = [label_box(label) for label in labels]
            assert all(box.left > 5 and box.right < sheet.paper.width - 5 for box in boxes)
            assert min(label.height_paper for label in labels) >= 2.45
            for index, box in enumerate(boxes):
                for other in boxes[index + 1 :]:
                    beside = box.right <= other.left or other.right <= box.left
                    assert beside or box.top <= other.bottom or other.top <= box.bottom
