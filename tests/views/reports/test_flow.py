"""Reports on pages: what goes on overleaf is worth turning for."""

from builders import stamp
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Label, TextTable
from flangelayout.drawing.textwidth import label_box
from flangelayout.views.page.grid import Grid, GridRow
from flangelayout.views.reports.flow import MARGIN, Tables, Words, report_sheets

FEWEST = 3
"""Rows of a table on a page at the least; common practice, no source."""
WHOLE = 45
LAST = 1 / 3
"""Rows that a page holds, and the share of it that the last of several uses."""


def test_no_row_of_a_table_stands_alone_on_a_page_and_the_last_page_is_used() -> None:
    for count in range(FEWEST, 100):
        rows = tuple((f"row {number}", "x" * 80) for number in range(count))
        table = TextTable("READINGS", ("OF", "SAID"), rows)
        sheets = report_sheets("READINGS", (Tables((table,)),), JobInfo("T-1"), stamp(), "A4").sheets
        texts = [[item.what.text for item in sheet.furniture if isinstance(item.what, Label)] for sheet in sheets]
        held = [[text for text in page if text.startswith("row ")] for page in texts]
        assert [text for page in held for text in page] == [row[0] for row in rows]
        assert min(map(len, held)) >= FEWEST
        assert len(held) == 1 or len(held[-1]) >= LAST * WHOLE, f"{count} rows: {[*map(len, held)]}"


def test_no_row_of_a_grid_stands_alone_and_a_long_heading_stays_within_the_column() -> None:
    for count in range(2 * FEWEST, 60):
        grid = Grid(("what", "said"), (1.0, 2.0), tuple(GridRow((f"row {number}", "x")) for number in range(count)))
        words = Words(("told",), "W-06 · " + "adapter of the upper level " * 8, keep_paper=10.0)
        sheets = report_sheets("QUOTE", (words, grid), JobInfo("T-1"), stamp(), "A4").sheets
        labels = [[item.what for item in sheet.furniture if isinstance(item.what, Label)] for sheet in sheets]
        held = [[label.text for label in page if label.text.startswith("row ")] for page in labels]
        assert [text for page in held for text in page] == [f"row {number}" for number in range(count)]
        assert min(map(len, held)) >= FEWEST
        assert max(label_box(label, 1.0).right for page in labels for label in page) <= 210 - MARGIN
