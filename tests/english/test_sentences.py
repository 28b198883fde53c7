"""Facts in English: lengths in the reader's unit, lists, plurals; a cure in the words of the door."""

import pickle

import pytest

from flangelayout.english.phrases import phrase
from flangelayout.english.sentences import Door, line_of, lines_of, sentence
from flangelayout.errors import InputError, OutputError, Problem, UnitError
from flangelayout.facts import Fact, Length, Unit
from flangelayout.problems.cures import Cure
from flangelayout.problems.geometry import UnitProblem
from flangelayout.units import parse_length
from rows import every_row


@every_row(
    ("template", "fact", "said"),
    [
        ("{x}", Length(298.45, Unit.IN), "11 3/4 in"),
        ("{x}", Length(285.0), "285 mm"),
        ("{x:g}", Length(12.5), "12.5 mm"),
        ("{x:g}", Length(25.4, Unit.IN), "1 in"),
        ("{x:d}", Length(25.4, Unit.IN), "1.000 in"),
        ("{x:.3f}", Length(1 / 3), "0.333 mm"),
        ("{x:bare d} to 9 mm", Length(1 / 3), "0.33 to 9 mm"),
        ("{x:bare}", Length(285.0), "285"),
        ("{x:#hole}", 1, "1 hole"),
        ("{x:#hole}", 2, "2 holes"),
        ("{x:or}", ("a", "b", "c"), "a, b or c"),
        ("{x:or}", ("a",), "a"),
        ("{x:and}", (Length(1.0), Length(25.4, Unit.IN)), "1 mm and 1 in"),
        ("{x}", Unit.IN, "in"),
        ("{x:.1f}", 2.25, "2.2"),
    ],
)
def test_a_fact_is_said_as_its_template_asks(template: str, fact: Fact, said: str) -> None:
    assert phrase(template, {"x": fact}) == said


def test_braces_that_a_person_wrote_stay_as_they_are() -> None:
    assert Problem("x", UnitProblem.NO_ANGLE, written="{where}").text.startswith('"{where}" is not an angle')


def test_a_problem_is_told_with_its_line_its_place_and_its_file() -> None:
    problem = Problem("plate.bore", UnitProblem.BEYOND_LENGTHS, written="1e99").placed("plate.bore", line=4)
    assert str(InputError(problem, source="a.toml")) == (
        'a.toml: line 4: plate.bore: "1e99" is not a length this program can hold'
    )


def test_a_door_says_kinds_cures_and_places_in_its_own_words() -> None:
    cure = Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE
    door = Door({cure: "press Replace"}, {UnitProblem.BEYOND_LENGTHS: "{written}: no"}, lambda where: f"<{where}>")
    problem = Problem("bore", UnitProblem.BEYOND_LENGTHS, cure=cure, written="1e99")
    assert sentence(problem, door) == "1e99: no; press Replace"
    assert line_of(problem, door) == "<bore>: 1e99: no; press Replace"
    assert lines_of(OutputError(problem, source="f"), door) == ("f: <bore>: 1e99: no; press Replace",)
    assert "press" not in str(problem)


def test_lengths_are_said_in_the_unit_asked_for() -> None:
    problem = Problem("x", UnitProblem.NO_ANGLE, written=(Length(25.4), "a")).in_unit(Unit.IN)
    assert dict(problem.facts)["written"] == (Length(25.4, Unit.IN), "a")


def test_an_error_survives_the_way_between_two_processes() -> None:
    wrong = InputError(Problem("x", UnitProblem.BEYOND_LENGTHS, 3, written="1e99"), source="f")
    again = pickle.loads(pickle.dumps(wrong))
    assert (again.problems, again.source, str(again)) == (wrong.problems, "f", str(wrong))


def test_an_error_of_a_length_carries_what_was_written() -> None:
    with pytest.raises(UnitError) as wrong:
        parse_length("12 furlongs")
    (problem,) = wrong.value.problems
    assert (problem.kind, dict(problem.facts)) == (
        UnitProblem.UNKNOWN_UNIT,
        {"written": "12 furlongs", "unit": "furlongs"},
    )
