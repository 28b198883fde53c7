import math

from flangelayout.survey import Kind, Reading, measure
from flangelayout.survey.working import working, working_lines
from flangelayout.units import Unit
from survey.synthetic import Part, positions


def results(readings: list[Reading], hole_count: int = 8, unit: Unit = Unit.MM) -> list[str]:
    return [step.result for step in working(measure(readings, hole_count), unit)]


def test_one_chord_is_worked_from_angle_to_diameter() -> None:
    # sin 22.5 deg = 0.382683: handbook table of chords, 8 divisions. 91.7 / 0.382683 = 239.62.
    steps = results([Reading(Kind.CENTERS, 91.7, within=0.3)])
    assert steps[:4] == ["45°", "22.5°", "0.382683", "239.62 mm"]
    assert steps[4] == "±0.78 mm at 95 %"


def test_near_edges_get_their_hole_back() -> None:
    steps = results([Reading(Kind.NEAR_EDGES, 69.7), Reading(Kind.HOLE_DIAMETER, 22.0)])
    assert "91.70 mm" in steps
    assert "239.62 mm" in steps


def test_rounding_is_justified_only_by_one_drilling() -> None:
    chord = Reading(Kind.CENTERS, 240 * math.sin(math.pi / 8), within=0.3)
    assert results([chord])[-1].startswith("not justified yet")
    assert "240, 241.3 mm can all be meant" in results([chord])[-1]
    sure = results([chord, Reading(Kind.OUTSIDE_DIAMETER, 285.0)])[-1]
    assert sure.startswith("justified")
    assert "means 240 mm" in sure
    assert results([Reading(Kind.CENTERS, 300.0)], 5)[-1].startswith("not justified: no table")


def test_inches_are_shown_as_inches() -> None:
    assert "9.500 in" in results([Reading(Kind.CENTERS, 241.3 * math.sin(math.pi / 8), unit=Unit.IN)], unit=Unit.IN)


def test_positions_are_worked_through_the_center() -> None:
    assert "X 3.00 mm, Y 4.00 mm; hole 1 at 10°" in results(positions(Part(center=(3.0, 4.0), turn=10.0)))


def test_every_kind_has_a_step_and_every_step_is_wrapped() -> None:
    readings = [
        Reading(Kind.HOLE_TO_BORE, 34.0),
        Reading(Kind.BORE, 150.0),
        Reading(Kind.HOLE_TO_RIM, 11.5),
        Reading(Kind.OUTSIDE_DIAMETER, 285.0),
        Reading(Kind.HOLE_DIAMETER, 22.0),
        Reading(Kind.OVER_STUDS, 240 * math.sin(math.pi / 8) + 20),
        Reading(Kind.STUD_DIAMETER, 20.0),
        Reading(Kind.SAME_EDGES, 240.0, pitches=4),
    ]
    steps = working(measure(readings, 8))
    assert sum(step.result == "240.00 mm" for step in steps) >= 4
    lines = working_lines(steps, width=80)
    assert sum(not line.startswith("    ") for line in lines) == len(steps)
    assert max(map(len, lines)) <= 80
    assert " ".join(" ".join(lines).split()).count(steps[-1].result) == 1
