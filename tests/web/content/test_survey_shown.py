"""What the page says of readings: nothing to use while they contradict each other, and every tie by its name."""

import math

from flangelayout.job.build.readings import survey_input, survey_result
from flangelayout.job.schema.job_file import JobFile
from flangelayout.standards import find
from flangelayout.survey import Kind, Reading, ScaleGroup, measure
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.web.content.page import Page
from flangelayout.web.content.strip import measured_strip
from flangelayout.web.content.survey_card import Card
from flangelayout.web.form.address import read_address
from flangelayout.web.form.state import Draft, State
from flangelayout.web.serving.actions import apply
from flangelayout.web.serving.render import render
from rows import every_row
from survey.synthetic import Part, positions
from web.served import query


def page(*values: float, count: int = 8, asked: str = "", step: str = "decide") -> Page:
    """Center to center readings of neighbors, each pair once."""
    fields = {"step": step, "survey.hole_count": str(count), "plate.outside_diameter": "285"}
    if asked:
        fields |= {"bolt_circle.1.diameter": asked, "bolt_circle.1.hole_diameter": "22"}
    for number, value in enumerate(values, 1):
        lead = f"survey.reading.{number}"
        fields |= {f"{lead}.kind": "centers", f"{lead}.from": str(number), f"{lead}.to": str(number + 1)}
        fields[f"{lead}.value"] = f"{value:g}"
    return Page(read_address(query(fields))[0])


def card_of(given: Page) -> Card:
    assert given.card is not None
    return given.card


def shown(given: Page) -> str:
    return render("page.html", page=given)


WRONG = (91.84, 93.64, 91.82, 91.86)
"""Chords of 240 mm, 8 holes (240 sin 22.5 deg = 91.84); the second is misread by 1.8 mm."""


def test_readings_that_contradict_each_other_offer_nothing_to_use() -> None:
    card, live = card_of(page(*WRONG)), shown(page(*WRONG))
    assert "the readings contradict each other" in card.in_the_way
    assert card.verdict == ""
    assert 'value="use:' not in live
    assert 'class="value"' not in live
    assert "No circle is named until they agree" in live
    assert "No circle can be used yet" in live
    assert "Redo reading 2" in live
    measuring = shown(page(*WRONG, step="measure"))
    assert 'value="next">Redo holes 2 and 3</button>' in measuring
    assert 'value="use:' not in measuring


def test_a_circle_that_the_readings_contradict_is_not_put_on_the_flange_by_a_request_either() -> None:
    state = page(*WRONG).state
    assert apply(state, "use:measured")[0] == state


def test_measured_again_means_that_pair_and_takes_the_place_of_the_old_reading() -> None:
    given = page(*WRONG)
    again, focus = apply(given.state, "next")
    assert again.draft == Draft("centers", "2", "3")
    assert [row["value"] for row in again.readings()] == [91.84, 91.82, 91.86]
    assert focus == "n-value"
    assert Page(again).picture.picked == (2, 3)


def test_readings_that_agree_can_be_used() -> None:
    live = shown(page(91.84, 91.82, 91.86))
    assert 'value="use:measured"' in live
    assert 'value="use:EN 1092-1 PN16 DN150"' in live
    assert "No circle can be used yet" not in live


@every_row("designation", ["EN 1092-1 PN100 DN32", "BS 10 Table E DN150", "AS 4087 PN14 DN50"])
def test_every_row_that_fits_as_well_is_named(designation: str) -> None:
    """The row is in the tables; its own chord, read to a hundredth, must bring it up beside all that share it."""
    row = find(designation)
    chord = row.bolt_circle * math.sin(math.pi / row.hole_count)
    given = page(*(round(chord, 2) for _ in range(3)), count=row.hole_count)
    survey = given.measured.survey
    assert survey is not None
    possible = {line.designation for group in given.circles if group.possible for line in group.rows}
    assert {candidate.pattern.designation for candidate in survey.ties} <= possible
    assert row.designation in possible
    rest = {line.designation for group in given.circles for line in group.rows}
    assert possible | rest == {candidate.pattern.designation for candidate in survey.candidates}


def test_a_second_circle_takes_the_next_drilling_that_is_found() -> None:
    state, _ = apply(page().state, "use:dn150 pn16")
    state, _ = apply(state, "more:bolt_circle")
    state, _ = apply(state, "use:dn100 pn16")
    circles = [row.get("standard") for row in state.rows("bolt_circle")]
    assert circles == ["EN 1092-1 PN16 DN150", "EN 1092-1 PN16 DN100"]


def test_the_page_weighs_the_hole_of_the_job_as_the_command_line_does() -> None:
    """Rows on 235 mm have holes of 18, 22, 22.225 and 31.75; the job's own hole rules the far ones out."""
    data: dict[str, object] = {
        "units": "mm",
        "plate": {"outside_diameter": 279.4},
        "bolt_circle": [{"diameter": "nearest standard", "hole_count": 8, "hole_diameter": 22.225}],
        "survey": {"reading": [{"kind": "centers", "value": 89.91, "from": n, "to": n + 1} for n in range(1, 5)]},
    }
    survey = Page(State(data=data)).measured.survey
    readings = survey_input(JobFile.model_validate(data))
    assert survey is not None
    assert readings is not None
    asked = survey_result(readings)
    assert (survey.diameter, survey.verdict, survey.ranking) == (asked.diameter, asked.verdict, asked.ranking)
    assert 22.225 in {round(each.pattern.hole_diameter or 0.0, 3) for each in survey.ties}
    assert 18.0 not in {each.pattern.hole_diameter for each in survey.ties}


def test_a_circle_that_is_not_filled_in_well_does_not_hide_the_survey() -> None:
    state = page(91.84, 91.82).state
    wrong = replace(state, data=state.data | {"bolt_circle": [{"hole_diameter": "wide", "hole_count": 8}]})
    assert Page(wrong).measured.survey is not None
    assert any(trouble.key == "bolt_circle.1.hole_diameter" for trouble in Page(wrong).troubles)


def test_the_page_says_in_its_own_words_that_readings_can_be_used_anyway() -> None:
    live = shown(page(*WRONG, asked="measured", step="check"))
    assert "say yes to Use anyway, among the readings under Everything of this job" in live
    assert "use_anyway" not in live.replace('name="survey.use_anyway"', "").replace("survey-use_anyway", "")


def test_a_circle_off_a_picture_alone_asks_for_a_caliper() -> None:
    scale = ScaleGroup("photos", 0.006)
    places = [replace(reading, scale=scale) for reading in positions(Part(777.0))]
    across = Reading(Kind.CENTERS, 777.0, 1, 5)
    said = [measured_strip(measure(readings, 8), "", Unit.MM, False).more for readings in (places, [*places, across])]
    assert said == ["a caliper across two holes makes it surer", "no further reading would tell"]
