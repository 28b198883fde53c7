"""A shop's own patterns: read from its file, found beside the published ones, refused where they cannot be."""

import pytest

from flangelayout.errors import InputError
from flangelayout.standards import Confidence, Family, find, search
from flangelayout.standards.own import own_table
from flangelayout.units import Unit
from rows import every_row

GOOD = """\
# unit: in
name,bolt_circle,holes,hole,bolt,source,trust,note
hatchery screen hub,7,6,0.5,1/2,measured on the old screen,two-sources,keyway up
weir plate,9.5,8,,,,memory,
"""
OWN = own_table(GOOD, "patterns.csv")


def test_rows_are_read_in_the_unit_of_the_file_with_source_and_trust() -> None:
    hub, weir = OWN.patterns
    assert (hub.designation, hub.bolt_circle, hub.hole_count, hub.bolt) == ("hatchery screen hub", 177.8, 6, "1/2")
    assert hub.hole_diameter == pytest.approx(12.7)
    assert (hub.sources, hub.confidence, hub.note) == (
        "measured on the old screen",
        Confidence.TWO_SOURCES,
        "keyway up",
    )
    assert (weir.sources, weir.confidence, weir.hole_diameter) == ("patterns.csv", Confidence.MEMORY, None)
    assert {row.family for row in OWN.patterns} == {Family.SHOP_PATTERN}
    assert OWN.unit is Unit.IN


def test_they_are_found_beside_the_published_rows_and_only_where_they_are_given() -> None:
    assert find("Hatchery  Screen Hub", own=(OWN,)) is OWN.patterns[0]
    assert find("hatchery screen", own=(OWN,)) is OWN.patterns[0]
    assert find("DN150 PN16", own=(OWN,)) is find("DN150 PN16")
    assert OWN.patterns[1] in search(hole_count=8, diameter_between=(241.2, 241.4), own=(OWN,))
    with pytest.raises(InputError):
        find("hatchery screen hub")


@every_row(
    ("text", "said"),
    [
        ("name,bolt_circle,holes\nhub,100,6\n", "patterns.csv: line 1: a file of own patterns says its unit first"),
        (
            "# unit: mm\nname,holes\nhub,6\n",
            "patterns.csv: line 2: columns missing or unknown: bolt_circle; write",
        ),
        ("# unit: mm\nname,bolt_circle,holes,color\n", "patterns.csv: line 2: columns missing or unknown: color"),
        ("# unit: mm\nname,bolt_circle,holes\nhub,-5,6\n", "patterns.csv: line 3: hub, -5, 6: a pattern needs"),
        ("# unit: mm\nname,bolt_circle,holes\nhub,100,one\n", "patterns.csv: line 3: hub, 100, one: a pattern needs"),
        ("# unit: mm\nname,bolt_circle,holes,trust\nhub,100,6,sure\n", "patterns.csv: line 3: hub, 100, 6, sure: "),
        ("# unit: mm\nname,bolt_circle,holes\nhub,100\n", "patterns.csv: line 3: row: has 2 cells; 3 are needed"),
    ],
)
def test_what_cannot_be_a_pattern_is_named_by_file_and_line(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        own_table(text, "patterns.csv")
    assert str(caught.value).startswith(said)
    assert "\n" not in str(caught.value)


def test_every_wrong_row_is_told() -> None:
    with pytest.raises(InputError) as caught:
        own_table("# unit: mm\nname,bolt_circle,holes\nhub,x,6\ncap,100,0\n", "patterns.csv")
    assert [problem.line for problem in caught.value.problems] == [3, 4]
