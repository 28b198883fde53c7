"""Lists of jobs for tests: rows of texts as CSV or XLSX files."""

import csv
from collections.abc import Sequence
from pathlib import Path

HEAD = (
    "job.number",
    "units",
    "title",
    "quantity",
    "plate.outside_diameter",
    "bore",
    "thickness",
    "bolt_circle.diameter",
    "bolt_circle.hole_count",
    "bolt_circle.hole_diameter",
)
Row = Sequence[object]


def row(index: int, **changes: object) -> list[object]:
    """A sound row; ``changes`` go by the last word of the column."""
    sizes = (260 + index, 120 + index, 16, 220 + index, 8, 18)
    cells: dict[str, object] = dict(
        zip(HEAD, (f"MB-{index:03}", "mm", f"Ring {index}", 1 + index % 3, *sizes), strict=True)
    )
    for name, value in changes.items():
        (key,) = (key for key in HEAD if key.rpartition(".")[2] == name and not (name == "diameter" and "hole" in key))
        cells[key] = value
    return list(cells.values())


def write_list(path: Path, rows: Sequence[Row], head: Row = HEAD, separator: str = ",") -> Path:
    """A CSV file."""
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=separator).writerows([head, *rows])
    return path


def write_workbook(path: Path, rows: Sequence[Row], head: Row = HEAD) -> Path:
    """An XLSX file, its cells typed as a person would type them."""
    from openpyxl import Workbook

    workbook = Workbook()
    sheet = workbook.worksheets[0]
    for each in (head, *rows):
        sheet.append(list(each))
    workbook.save(path)
    return path
