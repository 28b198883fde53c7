"""Published rows as a drilling carries them."""

from flangelayout.standards import find, published_row


def test_a_published_row_carries_the_figures_of_its_table() -> None:
    """EN 1092-1 PN16 DN65: 4 or 8 holes of 18 on 145, by issue (maker's sheet; SABS 1123 has 4)."""
    row = published_row(find("EN 1092-1 PN16 DN65"))
    assert (row.circle, row.hole_diameter, row.thread) == (145.0, 18.0, 16.0)
    assert {row.hole_count, *row.other_counts} == {4, 8}
    assert row.note
    assert published_row(find("BS 10 Table E DN150")).edition == "1962"
    assert row.edition == ""
