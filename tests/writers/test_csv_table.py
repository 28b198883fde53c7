import csv
from io import StringIO

from hypothesis import given
from hypothesis import strategies as st

from flangelayout.drawing.model import TextTable
from flangelayout.drawing.textwidth import plain_line
from flangelayout.writers.csv_table import CsvOptions, write_csv


def read(data: bytes) -> list[list[str]]:
    return list(csv.reader(StringIO(data.decode("utf-8-sig"), newline="")))


def table(*rows: tuple[str, ...], columns: tuple[str, ...] = ("hole", "X", "kind")) -> TextTable:
    return TextTable("holes", columns, rows)


def test_a_table_comes_back_cell_by_cell() -> None:
    data = write_csv(table(("1", "-110.87", "⌀22"), ("2", "45.92", 'through, "pump side"')))
    assert read(data) == [["hole", "X", "kind"], ["1", "-110.87", "⌀22"], ["2", "45.92", 'through, "pump side"']]


def test_the_file_begins_with_the_mark_excel_needs_and_ends_lines_as_rfc_4180_says() -> None:
    data = write_csv(table(("1", "2", "3")))
    assert data.startswith(b"\xef\xbb\xbf")
    assert data.count(b"\r\n") == 2
    assert data.count(b"\n") == 2


def test_a_formula_is_shown_and_not_run() -> None:
    data = write_csv(table(('=cmd|"/C calc"!A1', "+1+1", "@SUM(A1)"), ("-2-3", "-", "＝1")))
    cells = [cell for row in read(data)[1:] for cell in row]
    assert all(cell.startswith("'") for cell in cells)


def test_signed_numbers_stay_numbers() -> None:
    assert read(write_csv(table(("-120.5", "+3", "-.5"))))[1] == ["-120.5", "+3", "-.5"]


@given(st.lists(st.tuples(st.text(), st.text(), st.text()), max_size=4))
def test_any_text_keeps_its_row_and_column(rows: list[tuple[str, str, str]]) -> None:
    back = read(write_csv(table(*rows)))
    assert len(back) == len(rows) + 1
    for row, written in zip(rows, back[1:], strict=True):
        assert [cell.removeprefix("'") for cell in written] == [plain_line(text).removeprefix("'") for text in row]


def test_a_semicolon_may_stand_between_cells() -> None:
    data = write_csv(table(("1", "-110.87", "a;b")), CsvOptions(separator=";"))
    assert data.decode("utf-8-sig").splitlines()[1] == '1;-110.87;"a;b"'
