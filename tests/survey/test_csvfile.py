import pytest

from flangelayout.errors import InputError
from flangelayout.survey import Kind, Reading, measure, parse_readings
from flangelayout.units import Unit
from rows import every_row


def refused(text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_readings(text, source="flange.csv")
    assert all(line.startswith("flange.csv: ") for line in caught.value.lines())
    return "\n".join(caught.value.lines())


def test_every_column_is_read() -> None:
    rows = ("same-edges,91.8,1,2,,0.3,mm", "bore,6 1/2,,,,,in", "far-edges,113.8,,,1,,mm")
    text = "\n".join(("kind,value,from,to,pitches,within,unit", *rows))
    first, second, third = parse_readings(text)
    assert first == Reading(Kind.SAME_EDGES, 91.8, 1, 2, None, 0.3, Unit.MM, "line 2")
    assert (second.kind, second.unit) == (Kind.BORE, Unit.IN)
    assert second.value == pytest.approx(165.1)  # 6 1/2 in at 25.4 mm, ISO 80000-3
    assert (third.pitches, third.within) == (1, None)


def test_file_as_a_spreadsheet_saves_it() -> None:
    text = "\ufeffKind;Value;Pitches\r\n# taken at the pump\r\ncenters;91.8;1\r\n\r\ncenters;169.7;2\r\n"
    assert [reading.value for reading in parse_readings(text)] == [91.8, 169.7]


def test_default_unit_holds_for_plain_numbers_only() -> None:
    first, second = parse_readings("kind,value,pitches\ncenters,3.5,1\ncenters,91.8 mm,1\n", Unit.IN)
    assert first.value == pytest.approx(88.9)  # 3.5 in at 25.4 mm, ISO 80000-3
    assert second.value == 91.8


def test_positions_file_gives_x_and_y_of_each_hole() -> None:
    readings = parse_readings("x,y\n50,0\n0,50\n-50,0\n0,-50\n")
    assert [(r.kind, r.from_hole) for r in readings[:3]] == [(Kind.X, 1), (Kind.Y, 1), (Kind.X, 2)]
    assert measure(readings, 4).diameter == pytest.approx(100)


def test_positions_file_may_number_its_holes() -> None:
    readings = parse_readings("hole,x,y,within\n3,-50,0,0.1\n1,50,0,0.1\n2,0,50,0.1\n")
    assert [r.from_hole for r in readings[::2]] == [3, 1, 2]
    assert measure(readings, 4).diameter == pytest.approx(100)


@every_row(
    ("text", "says"),
    [
        ("", "is empty"),
        ("\n\n", "is empty"),
        ("kind,value,pitches\n", "no reading"),
        ("value,pitches\n91,1\n", "line 1: kind: column missing"),
        ("kind,valeu,pitches\n", "did you mean value"),
        ("kind,value,value\n", "given twice"),
        ("kind,value,pitches\ncentres,91,1\n", 'line 2: unknown kind "centres"; did you mean centers?'),
        ("kind,value,pitches\ncenters,wide,1\n", 'line 2: "wide" is not a length'),
        ("kind,value,pitches\ncenters,,1\n", "line 2: value is empty"),
        ("kind,value,pitches\ncenters,91.8,one\n", 'pitches "one" is not a whole number'),
        ("kind,value,pitches\ncenters,91.8,\n", "neither its holes"),
        ("kind,value,pitches\ncenters,91,8,1\n", "more cells than columns"),
        ("kind,value,pitches,unit\ncenters,91.8,1,mm\ncenters,91.8,1,\n", "line 3: unit: left empty"),
        ("kind,value,pitches,unit\ncenters,3 5/8 in,1,mm\n", "mixed units"),
        ("kind,value,pitches,unit\ncenters,91.8,1,furlong\n", "write mm or in"),
    ],
)
def test_bad_files_get_one_clear_line_per_problem(text: str, says: str) -> None:
    assert says in refused(text)


def test_all_bad_lines_are_told_at_once() -> None:
    assert len(refused("kind,value,pitches\ncentres,91,1\ncenters,x,1\ncenters,91,y\n").splitlines()) == 3
