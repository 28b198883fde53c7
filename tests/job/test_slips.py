"""The first slips in a job file: the trade's words, brackets, choices. Each is understood or answered."""

import gc
from pathlib import Path

import pytest

from flangelayout.errors import InputError, Problem
from flangelayout.facts import Unit
from flangelayout.flange import Placement
from flangelayout.job.load import job_from_text, load_survey
from flangelayout.job.schema.values import SchemaTable
from flangelayout.problems.cures import Cure
from flangelayout.problems.schema import SchemaProblem
from flangelayout.survey import Kind
from rows import every_row

PLATE = "[plate]\noutside_diameter = 285\n"
RING = f"{PLATE}[[bolt_circle]]\ndiameter = 240\nhole_count = 8\nhole_diameter = 22\n"


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as wrong:
        job_from_text(text)
    return wrong.value.problems


@every_row(
    ("line", "meant"),
    [
        ("OD = 285", "outside_diameter"),
        ("od = 285", "outside_diameter"),
        ("ID = 170", "bore"),
        ("bore_diameter = 170", "bore"),
        ("THK = 20", "thickness"),
        ("outside_dia = 285", "outside_diameter"),
    ],
)
def test_the_trades_word_for_a_size_of_the_plate_is_answered_with_the_key(line: str, meant: str) -> None:
    told = next(each for each in problems(f"[plate]\n{line}\n") if each.kind is SchemaProblem.UNKNOWN_KEY)
    assert (told.line, told.cure, dict(told.facts)) == (2, Cure.IT_IS_WRITTEN, {"near": meant})
    assert told.text == f"unknown key; it is written {meant}"


@every_row(
    ("line", "meant"),
    [("PCD = 240", "diameter"), ("BCD = 240", "diameter"), ("BC = 240", "diameter"), ("holes = 8", "hole_count")],
)
def test_the_trades_word_for_a_bolt_circle_is_answered_with_the_key(line: str, meant: str) -> None:
    (told,) = (each for each in problems(f"{PLATE}[[bolt_circle]]\n{line}\n") if each.line == 4)
    assert (told.cure, dict(told.facts)) == (Cure.IT_IS_WRITTEN, {"near": meant})


@every_row(("line", "meant"), [("PCD = 240", "diameter"), ("holes = 8", "hole_count")])
def test_a_word_of_the_bolt_circle_in_the_plate_is_sent_there(line: str, meant: str) -> None:
    (told,) = problems(f"{PLATE}{line}\n")
    assert told.text == f"unknown key; it is written {meant}, and stands in [[bolt_circle]]"


def test_an_unknown_key_is_never_answered_with_a_list_of_all_keys() -> None:
    (told,) = problems(f"{PLATE}xyzzy = 1\n")
    assert told.text == "unknown key; the reference of the job file lists the keys of plate"
    (few,) = problems(
        f"{RING}[survey]\n[[survey.reading]]\nxyzzy = 1\nkind = 'centers'\nvalue = 91.8\nto = 2\nfrom = 1\n"
    )
    assert few.cure is Cure.USE_ONE_OF


def test_a_short_word_is_not_answered_with_a_guess() -> None:
    (told,) = problems(f"{PLATE}IX = 1\n")
    assert told.cure is Cure.SEE_KEYS


def test_one_bolt_circle_in_single_brackets_is_told_of_the_second_pair() -> None:
    (told,) = problems(f"{PLATE}[bolt_circle]\ndiameter = 240\n")
    assert told.kind is SchemaProblem.NOT_TABLES
    assert str(told).startswith("line 3: bolt_circle: is written [[bolt_circle]], with two brackets")


@every_row("written", ["in", "inch", "Inches", "IN"])
def test_a_unit_is_understood_however_it_is_spelled(written: str) -> None:
    inches = RING.replace("285", "11.25").replace("240", "9.5").replace("22", "0.75")
    job = job_from_text(f'units = "{written}"\n{inches}')
    assert job.unit is Unit.IN
    assert job.flange.bolt_circles[0].diameter == pytest.approx(9.5 * 25.4)


@every_row("written", ["mm", "MM", "millimeters"])
def test_millimeters_however_they_are_spelled(written: str) -> None:
    assert job_from_text(f'units = "{written}"\n{RING}').unit is Unit.MM


@every_row(
    ("written", "kind"),
    [
        ("same edges", Kind.SAME_EDGES),
        ("Same-Edges", Kind.SAME_EDGES),
        ("same_edges", Kind.SAME_EDGES),
        ("chord", Kind.CENTERS),
        ("center to center", Kind.CENTERS),
        ("far edges", Kind.FAR_EDGES),
    ],
)
def test_a_kind_of_reading_is_understood_as_people_write_it(written: str, kind: Kind, tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(f'{RING}[survey]\n[[survey.reading]]\nkind = "{written}"\nvalue = 91.8\nfrom = 1\nto = 2\n')
    survey = load_survey(file)
    assert survey is not None
    assert survey.readings[0].kind is kind


def test_a_placement_is_understood_with_other_hyphens() -> None:
    job = job_from_text(f'{RING}placement = "On Centerline"\n')
    assert job.flange.bolt_circles[0].placement is Placement.ON_CENTERLINE


def test_what_is_no_choice_however_it_is_spelled_is_answered_with_the_choices() -> None:
    (told,) = problems(f'{RING}placement = "sideways"\n')
    assert told.text == '"sideways" is not possible; use "straddle" or "on-centerline"'


def test_sizes_that_contradict_each_other_are_told_in_the_unit_of_the_job() -> None:
    plate = '[plate]\noutline = "oval"\nlength = {0}\nwidth = {1}\nend_radius = {2}\n'
    (metric,) = problems(plate.format(100, 120, 20))
    (inches,) = problems('units = "in"\n' + plate.format(4, 5, 1))
    assert metric.text == "an oval 100 mm long is not longer than its width of 120 mm"
    assert inches.text == "an oval 4 in long is not longer than its width of 5 in"


def test_keys_that_no_job_has_are_not_remembered() -> None:
    """A page that runs for weeks would fill the memory with what people mistype."""

    def kept(name: str) -> int:
        assert problems(f"{PLATE}[[{name}]]\n")
        gc.collect()
        return sum(table.__name__ == "JobFile" for table in SchemaTable.__subclasses__())

    assert len({kept(f"bolt_cycle_{number}") for number in range(3)}) == 1
