"""The published tables as plain rows, read from their files with nothing of the program between."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import flangelayout

TABLES = Path(flangelayout.__file__).parent / "standards" / "tables"
INCH = 25.4
SAME = 1e-6
"""What two figures of a table may differ by in mm and be the same."""

# ISO 4014 and ISO 4032: nominal diameter and width across flats; ISO 273: medium and coarse series. Common sizes, as
# the handbooks print them; from memory, beside what the project's own tables say.
METRIC = {
    "M10": (10, 16, 11, 12),
    "M12": (12, 18, 13.5, 14.5),
    "M16": (16, 24, 17.5, 18.5),
    "M20": (20, 30, 22, 24),
    "M24": (24, 36, 26, 28),
    "M27": (27, 41, 30, 32),
    "M30": (30, 46, 33, 35),
    "M36": (36, 55, 39, 42),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One drilling; lengths in mm."""

    designation: str
    family: str
    circle: float
    count: int
    hole: float
    outside: float
    bolt: str
    note: str

    def drills_as(self, other: "Row") -> bool:
        """Whether both have the same holes in the same places."""
        lengths = ((self.circle, other.circle), (self.hole, other.hole))
        return self.count == other.count and all(abs(a - b) < SAME for a, b in lengths)


@cache
def pipe_rows() -> tuple[Row, ...]:
    """Every pipe flange with equally spaced holes of a stated size in a plate of a stated size."""
    return tuple(row for path in sorted(TABLES.glob("*.csv")) for row in _rows(path) if row.family == "pipe flange")


def _rows(path: Path) -> list[Row]:
    lines = path.read_text(encoding="utf-8").splitlines()
    facts = dict(line[2:].split(": ", 1) for line in lines if line.startswith("# ") and ": " in line)
    scale = INCH if facts["unit"] == "in" else 1.0
    rows = []
    for each in csv.DictReader(line for line in lines if not line.startswith("#")):
        if not (each["hole"] and each["outside"]) or each.get("long_side"):
            continue
        named = facts["designation"].format(standard=facts["standard"], grade=each["grade"], size=each["size"])
        lengths = [float(each[name]) * scale for name in ("bolt_circle", "hole", "outside")]
        circle, hole, outside = lengths
        rows.append(
            Row(named, facts["family"], circle, int(each["holes"]), hole, outside, each["bolt"], each["note"] or "")
        )
    return rows
