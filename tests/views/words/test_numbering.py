"""What a sheet says of holes that bear no number in the view, against the labels that do."""

from collections.abc import Callable
from typing import Any

import pytest

from flangelayout.flange import Flange
from flangelayout.views.words.numbering import numbering_notes
from jobs import make_job
from rows import every_row

CIRCLE = {"diameter": 240, "hole_count": 12, "hole_diameter": 12}
GRID = {"hole_diameter": 8, "pitch_x": 20, "pitch_y": 20, "columns": 4, "rows": 5}


def flange(**tables: Any) -> Flange:  # noqa: ANN401 - tables of any kind
    return make_job(**tables).flange


def _but(*left_out: str) -> Callable[[list[str]], list[str]]:
    return lambda labels: [label for label in labels if label not in left_out]


@every_row(
    ("shown", "told"),
    [
        (_but(), []),
        (_but("7"), ["bolt circle: the number 7 is not in the view"]),
        (_but("7", "12"), ["bolt circle: the numbers 7, 12 are not in the view"]),
        (lambda _: ["1", "5", "9"], ["bolt circle: every 4th hole is numbered in the view, from hole 1 on"]),
        (lambda _: [*"13579", "11"], ["bolt circle: every 2nd hole is numbered in the view, from hole 1 on"]),
        (lambda _: ["1", "2", "3", "6", "11"], ["bolt circle: every 5th hole is numbered in the view, from hole 1 on"]),
        (lambda _: ["1", "8"], ["bolt circle: only 1, 8 are numbered in the view"]),
        (lambda _: ["1"], ["bolt circle: only 1 is numbered in the view"]),
        (lambda _: [], ["bolt circle: no hole is numbered in the view"]),
    ],
)
def test_the_rule_is_told_by_which_holes_are_numbered(shown: Callable[[list[str]], list[str]], told: list[str]) -> None:
    plate = flange(bolt_circle=[CIRCLE])
    assert list(numbering_notes(plate, shown([hole.label for hole in plate.holes()]))) == told


def test_single_holes_and_the_ends_of_a_grid_are_told_apart() -> None:
    plate = flange(plate={"outside_diameter": 400}, hole_grid=[GRID], hole=[{"diameter": 6, "x": 150, "y": 3}])
    (grid,) = plate.patterns
    shown = {
        hole.label for hole in plate.holes() if hole.group == 0 or (hole.group == 1 and hole.number in grid.ends())
    }
    assert list(numbering_notes(plate, shown)) == [
        f"{plate.group_name(1)}: the ends of its rows are numbered in the view",
        "single holes: the number X1 is not in the view",
    ]


def test_of_a_grid_numbered_at_its_corners_is_told_how_it_is_counted() -> None:
    plate = flange(plate={"outside_diameter": 400}, hole_grid=[GRID])
    shown = {hole.label for hole in plate.holes() if hole.group == 0 or hole.number in (1, 4, 17, 20)}
    (note,) = numbering_notes(plate, shown)
    assert note.endswith(": only B1, B4, B17, B20 are numbered in the view; its rows are counted from the upper left")


def test_no_note_is_told_of_a_plate_whose_holes_are_all_numbered() -> None:
    plate = flange()
    with pytest.raises(StopIteration):
        next(numbering_notes(plate, {hole.label for hole in plate.holes()}))
