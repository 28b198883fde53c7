"""Measured positions from a file: places and chords, and every row that cannot be read."""

import pytest

from flangelayout.checks.inspection.measured_file import Positions, parse_measured
from flangelayout.checks.inspection.results import MeasuredHole
from flangelayout.errors import InputError
from flangelayout.geometry.shapes import Point
from flangelayout.units import Unit
from jobs import bolt_circle, flange
from rows import every_row

PLATE = flange(bolt_circle())


def problems(text: str) -> list[str]:
    with pytest.raises(InputError) as refused:
        parse_measured(text, PLATE, source="m.csv")
    return list(refused.value.lines())


def test_places_are_read_with_labels_sizes_and_units() -> None:
    text = "# probe 2\nhole;x;y;diameter;unit\n1; 110.87; 45.92; 22.1;\nbore; 0.2; 0; 170.4; mm\n3; 1; 2; 7/8; in\n"
    found = parse_measured(text, PLATE)
    assert isinstance(found, Positions)
    assert [each.label for each in found.holes] == ["1", "3"]
    assert found.holes[0].diameter == 22.1
    assert found.holes[1].center == Point(25.4, 50.8)
    assert found.holes[1].diameter == pytest.approx(22.225)
    assert found.bore == MeasuredHole(Point(0.2, 0.0), "bore", 170.4)


def test_plain_numbers_are_in_the_unit_of_the_job() -> None:
    found = parse_measured("x,y\n1,2\n", PLATE, Unit.IN)
    assert isinstance(found, Positions)
    assert found.holes[0].center == Point(25.4, 50.8)


@every_row(
    ("text", "words"),
    [
        ("", "is empty"),
        ("x,z\n1,2\n", "unknown column"),
        ("x\n1\n", "y: column missing from the header line"),
        ("x,y,x\n1,2,3\n", "column given twice"),
        ("x,y\n1,two\n", "line 2"),
        ("x,y\n1,\n", "y is empty"),
        ("x,y\n1,2,3\n", "more cells than columns"),
        ("x,y,unit\n1,2,ft\n", 'unit "ft" is not known'),
        ("x,y,diameter\n1,2,-3\n", "greater than 0"),
        ("hole,x,y\nbore,0,0\nBore,0,0\n", "the bore stands twice"),
        ("kind,value,pitches\ncenters,91.8,1\n", "names no pair of holes"),
        ("kind,value,from,to\ncenters,91.8,1,9\n", 'to "9" is no hole of the drawing; they are 1, 2'),
        ("kind,value,from\nhole-to-rim,12,\n", "hole edge to rim: names no hole"),
        ("kind,value\nbore,170\n", "the drawing has no bore"),
        ("kind,value,from\nx,12,1\n", "places go in a file of their own"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, words: str) -> None:
    assert any(words in line for line in problems(text))


def test_every_bad_row_is_told_in_one_go() -> None:
    assert len(problems("x,y\na,1\n2,b\n3,4\n")) == 2


def test_one_width_stands_for_no_more_holes_than_a_person_would_look_at() -> None:
    many = flange(bolt_circle(64, 900.0, 14.0), outside_diameter=960.0)
    with pytest.raises(InputError, match="hole diameter: names no hole"):
        parse_measured("kind,value\nhole-diameter,14.1\n", many)
    assert parse_measured("kind,value,from\nhole-diameter,14.1,64\n", many)


def test_caliper_readings_are_read_with_the_labels_of_the_drawing() -> None:
    two = flange(bolt_circle(), bolt_circle(4, 120.0, 14.0))
    rows = ("same-edges,84.9,B1,b2,0.1", "near-edges,69.8,1,2,", "hole-diameter,22.1,A3,,", "bore,60,,,")
    text = "\n".join(("kind,value,from,to,within", *rows))
    found = parse_measured(text, flange(*two.bolt_circles, bore=60.0))
    assert not isinstance(found, Positions)
    assert [(each.from_hole, each.to_hole) for each in found] == [(9, 10), (1, 2), (3, None), (None, None)]
    assert [each.within for each in found] == [0.1, None, None, None]
