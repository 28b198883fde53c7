import math
import re

import pytest

from flangelayout.standards import find
from flangelayout.survey import Kind, Reading, ScaleGroup, Survey, measure
from flangelayout.survey.readings import SurveyInput, place_text
from flangelayout.survey.survey import measure_input
from flangelayout.survey.words.report import survey_data
from flangelayout.survey.words.sentences import SCALE_UNCHECKED
from flangelayout.survey.words.wording import survey_lines
from flangelayout.survey.words.working import working, working_lines
from flangelayout.units import Unit, from_mm
from flangelayout.value import replace
from survey.synthetic import Part, positions


def results(readings: list[Reading], hole_count: int = 8, unit: Unit = Unit.MM) -> list[str]:
    """Results, formulas and cells of every step, in order."""
    found = []
    for step in working(measure(readings, hole_count), unit):
        found += [step.formula, step.result, *(cell for row in step.rows for cell in row)]
    return [text for text in found if text]


def test_one_chord_is_worked_from_angle_to_diameter() -> None:
    # sin 22.5 deg = 0.382683: handbook table of chords, 8 divisions. 91.7 / 0.382683 = 239.62.
    steps = results([Reading(Kind.CENTERS, 91.7, within=0.3)])
    for expected in ("360° / 8 holes", "45°", "22.5°", "0.382683", "239.62"):
        assert expected in steps


def test_each_rule_is_said_once() -> None:
    readings = [Reading(Kind.SAME_EDGES, 91.84 + 0.01 * at, pitches=1) for at in range(6)]
    titles = [step.title for step in working(measure(readings, 8))]
    assert len(set(titles)) == len(titles) <= 8


def test_near_edges_get_the_hole_back_that_was_measured() -> None:
    # The caliper said 22.0 and 69.7: 69.7 + 22.0 = 91.7, whatever all readings together make of the hole.
    steps = results([Reading(Kind.NEAR_EDGES, 69.7), Reading(Kind.FAR_EDGES, 113.9), Reading(Kind.HOLE_DIAMETER, 22.0)])
    assert "69.70 + 22.00" in steps
    assert "91.70" in steps
    assert "239.624" in steps
    assert "113.90 - 22.00" in steps


def test_a_hole_that_was_not_measured_is_explained() -> None:
    steps = working(measure([Reading(Kind.NEAR_EDGES, 69.7), Reading(Kind.FAR_EDGES, 113.7)], 8))
    (edges,) = (step for step in steps if step.title.startswith("Edges"))
    assert "not measured" in edges.title
    assert edges.result == "22.00 mm"


def test_opposite_holes_make_no_triangle() -> None:
    steps = working(measure([Reading(Kind.CENTERS, 240.0, pitches=4)], 8))
    assert any("one line through the center" in step.title for step in steps)
    assert not any("triangle" in step.title for step in steps)


def test_unequal_holes_have_no_common_angle_and_true_sines() -> None:
    # Holes at 0, 50, 180 and 230 degrees on 36 mm: chord 1-2 is 36 sin 25 deg = 36 x 0.422618 = 15.21.
    angles = (0, 50, 180, 230)
    pairs = ((1, 2), (2, 3), (3, 4), (4, 1), (1, 3), (2, 4))
    readings = [
        Reading(Kind.CENTERS, 36 * abs(math.sin(math.radians(angles[b - 1] - angles[a - 1]) / 2)), a, b, within=0.1)
        for a, b in pairs
    ]
    steps = working(measure(readings, 4))
    assert not any("evenly" in step.title for step in steps)
    (chords,) = (step for step in steps if step.title.startswith("Each reading"))
    assert [row[3:] for row in chords.rows[1:3]] == [("0.422618", "36.00"), ("0.906308", "36.00")]


def test_the_likeliest_circle_is_read_backward() -> None:
    # 210 sin 22.5 deg = 210 x 0.382683 = 80.36; 80.40 is 0.04 more.
    survey = measure([Reading(Kind.SAME_EDGES, 80.40, pitches=1)] * 2, 8, patterns=[find("JIS B 2220 10K 125A")])
    (backward,) = (step for step in working(survey) if step.title.startswith("The other way round"))
    assert "210 mm" in backward.title
    assert backward.rows[1][1:] == ("80.36", "80.40", "0.04 more")


def test_the_rounding_names_what_the_table_of_candidates_names() -> None:
    # EN 1092-1 has DN125 on 210 mm in PN10 and PN16; the wheel hub 8x210 has holes of its own and is out of question.
    readings = [
        Reading(Kind.SAME_EDGES, 80.40, 1, 2),
        Reading(Kind.NEAR_EDGES, 191.80, 1, 5),
        Reading(Kind.FAR_EDGES, 212.20, 2, 5),
    ]
    survey = measure(readings, 8, hole_diameter=18.1)
    rounding = working(survey)[-1].result
    assert "EN 1092-1 PN16 DN125 (210)" in rounding
    assert "wheel hub" not in rounding


def test_no_band_is_worked_where_none_holds() -> None:
    readings = [Reading(Kind.SAME_EDGES, value, pitches=1) for value in (91.84, 91.84, 97.9)]
    survey = measure(readings, 8)
    text = "\n".join(working_lines(working(survey)))
    assert "±" not in text.replace("good to ±0.20 mm by itself", "")
    assert "contradict" in text


def test_the_root_of_the_squares_is_the_band() -> None:
    survey = measure([Reading(Kind.SAME_EDGES, 91.84, pitches=1), Reading(Kind.SAME_EDGES, 240.0, pitches=4)], 8)
    (band,) = (step for step in working(survey) if step.title.startswith("Plus or minus"))
    parts = [float(row[1].removeprefix("±")) for row in band.rows[1:]]
    assert math.hypot(*parts) == pytest.approx(survey.expanded_uncertainty or 0, abs=0.002)


def test_shop_words_only() -> None:
    text = "\n".join(working_lines(working(measure([Reading(Kind.SAME_EDGES, 91.84, pitches=1)] * 3, 8)))).lower()
    for jargon in ("chi", "k = 2", "standard uncertainty", "in u", "least squares", "over 1 pitch"):
        assert jargon not in text


def test_rounding_is_justified_only_by_one_drilling() -> None:
    chord = Reading(Kind.CENTERS, 240 * math.sin(math.pi / 8), within=0.3)
    assert results([chord])[-1].startswith("not justified yet")
    assert "240, 241, 241.3 mm can all be meant" in results([chord])[-1]
    sure = results([chord, Reading(Kind.OUTSIDE_DIAMETER, 285.0)])[-1]
    assert sure.startswith("justified")
    assert "means 240 mm" in sure
    chords = [Reading(Kind.CENTERS, value, pitches=1) for value in (92.1, 91.6)]
    across = [Reading(Kind.NEAR_EDGES, value, pitches=6) for value in (332.6, 333.1)]
    two = results([*chords, *across, Reading(Kind.HOLE_DIAMETER, 22.1), Reading(Kind.OUTSIDE_DIAMETER, 404.0)], 12)[-1]
    assert "AS 2129 Table E DN250 (356)" in two
    assert "less likely BS 10 Table E DN250 (355.6)" in two
    assert "nothing else" not in two
    assert results([Reading(Kind.CENTERS, 300.0)], 5)[-1].startswith("not justified: no table")


def test_inches_are_shown_as_inches() -> None:
    assert "9.500" in results([Reading(Kind.CENTERS, 241.3 * math.sin(math.pi / 8), unit=Unit.IN)], unit=Unit.IN)


def test_positions_are_worked_through_the_center() -> None:
    assert "X 3.00 mm, Y 4.00 mm; hole 1 at 10°" in results(positions(Part(center=(3.0, 4.0), turn=10.0)))


def test_every_kind_has_a_step_and_every_step_is_wrapped() -> None:
    readings = [
        Reading(Kind.HOLE_TO_BORE, 34.0),
        Reading(Kind.BORE, 150.0),
        Reading(Kind.HOLE_TO_RIM, 11.5),
        Reading(Kind.OUTSIDE_DIAMETER, 285.0),
        Reading(Kind.HOLE_DIAMETER, 22.0),
        Reading(Kind.OVER_STUDS, 240 * math.sin(math.pi / 8) + 20, pitches=1),
        Reading(Kind.STUD_TO_FAR_EDGE, 240 * math.sin(math.pi / 4) + 10),
        Reading(Kind.STUD_DIAMETER, 20.0),
        Reading(Kind.SAME_EDGES, 240.0, pitches=4),
    ]
    steps = working(measure(readings, 8))
    diameters = [row[-1] for step in steps if step.rows and step.rows[0][-1] == "diameter" for row in step.rows[1:]]
    assert diameters == ["240.00"] * 5
    lines = working_lines(steps, width=80)
    words = {word for step in steps for word in step.title.split()}
    assert words <= {word for line in lines for word in line.split()}
    cells = {" ".join(row) for step in steps for row in step.rows}
    assert cells <= {" ".join(line.split()) for line in lines}


@pytest.mark.parametrize(("unit", "rounding"), [(Unit.MM, 0.001), (Unit.IN, 0.0001)])
def test_the_circle_can_be_added_up_from_the_table(unit: Unit, rounding: float) -> None:
    """By the figures of the table alone, nearer than the last figure that the circle is given with."""
    readings = [
        Reading(Kind.NEAR_EDGES, 147.7, pitches=4),
        Reading(Kind.SAME_EDGES, 64.6),
        Reading(Kind.CENTERS, 64.5),
        Reading(Kind.HOLE_DIAMETER, 21.0),
    ]
    survey = measure(readings, 8)
    (table,) = (step.rows for step in working(survey, unit) if step.rows and step.rows[0][-1] == "counts")
    added = sum(float(diameter) * float(counts) for *_, diameter, counts in table[1:])
    assert added == pytest.approx(from_mm(survey.diameter, unit), abs=rounding)
    assert sum(float(row[-1]) for row in table[1:]) == pytest.approx(1, abs=2e-6)


@pytest.mark.parametrize("near", [191.8, 191.9, 192.0])
@pytest.mark.parametrize("count", [8, 9, 10])
def test_the_plus_or_minus_is_the_root_of_the_squares_that_are_printed(near: float, count: int) -> None:
    edges = [Reading(Kind.NEAR_EDGES, near, pitches=3), Reading(Kind.FAR_EDGES, near + 36, pitches=3)]
    survey = measure([*edges, Reading(Kind.NEAR_EDGES, near, pitches=3)], count, 18.0)
    (step,) = (step for step in working(survey) if step.formula.startswith("√("))
    root = math.sqrt(sum(float(part) ** 2 for part in re.findall(r"([\d.]+)²", step.formula)))
    assert step.result == f"±{root:.2f} mm"


def test_a_hole_that_nobody_measured_is_told_as_drawn() -> None:
    def edges(survey: Survey) -> str:
        (step,) = (step for step in working(survey) if step.title.startswith("Edges"))
        return step.title

    near = [Reading(Kind.NEAR_EDGES, 191.8, pitches=3)]
    drawn = measure_input(SurveyInput(tuple(near), 8, drawn_hole=18.0))
    assert edges(drawn).endswith("The hole diameter is as drawn, not measured")
    assert place_text(drawn.readings[-1]) == "as drawn, not read"
    read = measure_input(SurveyInput(tuple(near), 8, 18.0, drawn_hole=22.0))
    assert edges(read).endswith("The hole diameter is as measured")
    assert [reading.value for reading in read.readings] == [191.8, 18.0]


def test_why_readings_that_look_alike_do_not_count_alike_is_said() -> None:
    def together(*readings: Reading) -> str:
        (step,) = (step for step in working(measure(readings, 12)) if step.title.startswith("All readings together"))
        return step.title

    near = [Reading(Kind.NEAR_EDGES, 54.0), Reading(Kind.NEAR_EDGES, 54.1), Reading(Kind.NEAR_EDGES, 272.7, pitches=6)]
    hole = Reading(Kind.HOLE_DIAMETER, 22.3)
    assert "of the same pairs" not in together(*near, hole)
    mixed = together(*near, Reading(Kind.FAR_EDGES, 98.8), hole)
    assert "of the same pairs" in mixed
    assert "counts below 0" in mixed


def test_a_circle_off_a_picture_says_what_its_size_rests_on() -> None:
    scale = ScaleGroup("photos", 0.006)
    places = [replace(reading, scale=scale, shared=(0.04, 0.03), within=0.1) for reading in positions(Part(777.0))]
    hole, across = Reading(Kind.HOLE_DIAMETER, 22.0), Reading(Kind.FAR_EDGES, 799.0, 1, 5)
    alone, checked = measure([*places, hole], 8), measure([*places, hole, across], 8)
    plain = measure(positions(Part(777.0)), 8)
    assert [found.off_a_picture for found in (alone, checked, plain)] == [True, True, False]
    assert [found.scale_unchecked for found in (alone, checked, plain)] == [True, False, False]
    lines = [survey_lines(found) for found in (alone, checked, plain)]
    assert [f"  {SCALE_UNCHECKED}" in each for each in lines] == [True, False, False]
    assert "tried with 9 holes, too: the readings contradict that" in " ".join(lines[0])
    assert survey_data(alone)["other_counts"][0] == {"hole_count": 9, "diameter": None, "designations": []}
    first = next(line for line in lines[0] if line.startswith("  1 X"))
    assert first.endswith("±0.14")  # 0.1, and twice 0.04 and twice 0.03 that the group shares: 0.1414
    caliper = measure([Reading(Kind.CENTERS, 777.0)], 8)
    cells = [
        [cell for step in working(found) for row in step.rows for cell in row] for found in (alone, checked, caliper)
    ]
    shared = [next(text for text in each if "alike" in text or "share" in text) for each in cells]
    assert ["picture" in text for text in shared] == [True, True, False]
    assert ["jaws" in text for text in shared] == [False, True, True]


def test_nothing_measured_is_told_as_wholly_sure() -> None:
    # EN 1092-1 PN16 DN150: 8 holes on 240; eight pitches and all diagonals to a hundredth leave no other circle.
    chords = [
        Reading(Kind.CENTERS, 240.0 * math.sin(math.pi * n / 8), pitches=n, within=0.01) for n in (1, 2, 3, 4) * 4
    ]
    more = [Reading(Kind.HOLE_DIAMETER, 22.0, within=0.02), Reading(Kind.OUTSIDE_DIAMETER, 285.0, within=0.1)]
    step = next(step for step in working(measure([*chords, *more], 8)) if "justified" in step.result)
    assert "100.0%" not in step.result
    assert "more than 99.9% sure" in step.result
