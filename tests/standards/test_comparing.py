"""Published rows as a drilling carries them, and which rows are one drilling."""

from flangelayout.standards import Pattern, all_patterns, find, published_row
from flangelayout.standards.comparing import same_drilling

ROWS = all_patterns()


def test_a_published_row_carries_the_figures_of_its_table() -> None:
    """EN 1092-1 PN16 DN65: 4 or 8 holes of 18 on 145, by issue (maker's sheet; SABS 1123 has 4)."""
    row = published_row(find("EN 1092-1 PN16 DN65"))
    assert (row.circle, row.hole_diameter, row.thread) == (145.0, 18.0, 16.0)
    assert {row.hole_count, *row.other_counts} == {4, 8}
    assert row.note
    assert published_row(find("BS 10 Table E DN150")).edition == "1962"
    assert row.edition == ""


def test_tied_rows_have_one_drilling_and_no_other_row_has_it() -> None:
    """EN 1092-1: PN10 and PN16 are one drilling at DN100; wheel hub and chainring 5x110 likewise."""
    ties = tied_with(find("EN 1092-1 PN16 DN100"))
    assert {"EN 1092-1 PN10 DN100", "EN 1092-1 PN16 DN100"} <= set(ties)
    assert tied_with(find("wheel hub 5x110")) == ["chainring 5x110", "wheel hub 5x110"]
    for row in ROWS[::37]:
        assert tied_with(row) == [other.designation for other in ROWS if judged_alike(row, other)]


def tied_with(row: Pattern) -> list[str]:
    return [other.designation for other in ROWS if same_drilling(row, other)]


def judged_alike(row: Pattern, other: Pattern) -> bool:
    if (row.hole_count, row.rectangle) != (other.hole_count, other.rectangle):
        return False
    holes = (row.hole_diameter, other.hole_diameter)
    alike = holes == (None, None) or (None not in holes and abs((holes[0] or 0) - (holes[1] or 0)) <= 0.005)
    return alike and abs(other.bolt_circle - row.bolt_circle) <= 0.005
