"""Measured positions from a file: places and chords, and every row that cannot be read."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.measured_file import parse_positions
from flangelayout.checks.inspection.tolerances import InspectionLimits
from flangelayout.errors import InputError
from flangelayout.geometry.shapes import Point
from flangelayout.units import Unit
from jobs import bolt_circle, flange

PLATE = flange(bolt_circle())


def problems(text: str) -> list[str]:
    with pytest.raises(InputError) as refused:
        parse_positions(text, PLATE, source="m.csv")
    return list(refused.value.lines())


def test_places_are_read_with_labels_sizes_and_units() -> None:
    text = "# probe 2\nhole;x;y;diameter;unit\n1; 110.87; 45.92; 22.1;\nbore; 0.2; 0; 170.4; mm\n3; 1; 2; 7/8; in\n"
    found = parse_positions(text, PLATE)
    assert [each.label for each in found.holes] == ["1", "3"]
    assert found.holes[0].diameter == 22.1
    assert found.holes[1].center == Point(25.4, 50.8)
    assert found.holes[1].diameter == pytest.approx(22.225)
    assert (found.bore, found.bore_diameter) == (Point(0.2, 0.0), 170.4)


def test_plain_numbers_are_in_the_unit_of_the_job() -> None:
    assert parse_positions("x,y\n1,2\n", PLATE, Unit.IN).holes[0].center == Point(25.4, 50.8)


@pytest.mark.parametrize(
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
        ("kind,value,from,to\ncenters,91.8,1,2\ncenters,91.8,2,3\n", "2 chords do not fix the places of 3 holes"),
        ("kind,value,pitches\ncenters,91.8,1\n", "names no pair of holes"),
        ("kind,value,from,to\ncenters,91.8,1,9\n", "no two holes"),
        ("kind,value,from,to\nhole-diameter,22,,\n", "holds no chord"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, words: str) -> None:
    assert any(words in line for line in problems(text))


def test_every_bad_row_is_told_in_one_go() -> None:
    assert len(problems("x,y\na,1\n2,b\n3,4\n")) == 2


def chords(places: NDArray[np.float64], kind: str = "centers", add: float = 0.0) -> str:
    pairs = [(a, (a + k) % 8) for k in (1, 2, 4) for a in range(8)]
    rows = [f"{kind},{math.dist(places[a], places[b]) + add:.9f},{a + 1},{b + 1}" for a, b in pairs]
    return "kind,value,from,to\nhole-diameter,22.1,,\n" + "\n".join(rows)


@pytest.mark.parametrize(
    ("kind", "add"), [("centers", 0.0), ("same-edges", 0.0), ("near-edges", -22.1), ("far-edges", 22.1)]
)
def test_chords_of_every_kind_fix_the_holes(kind: str, add: float) -> None:
    rng = np.random.default_rng(5)
    places = np.array([(hole.center.x, hole.center.y) for hole in PLATE.holes()]) + rng.normal(0, 0.4, (8, 2))
    found = parse_positions(chords(places, kind, add), PLATE)
    assert found.misfit is not None
    assert found.misfit < 1e-6
    for a in range(8):
        for b in range(a):
            apart = found.holes[a].center.distance_to(found.holes[b].center)
            assert apart == pytest.approx(math.dist(places[a], places[b]), abs=1e-6)
    assert found.holes[0].diameter == pytest.approx(22.1)


def test_chords_are_inspected_like_places() -> None:
    places = np.array([(hole.center.x, hole.center.y) for hole in PLATE.holes()])
    places[2] += [1.5, 0.0]
    by_chords = inspect_part(PLATE, parse_positions(chords(places), PLATE).holes, InspectionLimits())
    rows = "hole,x,y\n" + "\n".join(f"{n},{x:.9f},{y:.9f}" for n, (x, y) in enumerate(places, 1))
    by_places = inspect_part(PLATE, parse_positions(rows, PLATE).holes, InspectionLimits())
    assert [each.position for each in by_chords.holes] == pytest.approx(
        [each.position for each in by_places.holes], abs=1e-4
    )
