"""Decimals of inch sizes, by which a shop's own block of tolerances tells what holds (common practice, no source)."""

from typing import Any

import pytest

from flangelayout.checks.rule import Rule
from flangelayout.drawing.convention import Convention
from flangelayout.errors import InputError
from flangelayout.job import Job
from flangelayout.units import Unit, to_mm
from flangelayout.views.words.findings import fact_text
from flangelayout.views.words.lengths import Lengths
from jobs import make_job
from rows import every_row

PLATE = {"outside_diameter": "11.00", "bore": "6.7200 in", "thickness": 1}
CIRCLE = {"diameter": 9.5, "hole_count": 8, "hole_diameter": 0.875}


def inch_job(*block: str, general: str | None = None, **plate: object) -> Job:
    tolerances: dict[str, Any] = {"block": [*block]} | ({"general": general} if general else {})
    return make_job(units="in", plate=PLATE | plate, bolt_circle=[CIRCLE], tolerances=tolerances)


def written(job: Job, inches: float) -> str:
    lengths = Lengths(Unit.IN, convention=Convention.ASME, stated=job.flange.tolerances)
    return lengths.size(to_mm(inches, Unit.IN))


@every_row(
    ("block", "sizes"),
    [
        ((), {11: "11.000", 6.72: "6.720", 1: "1.000", 0.5625: ".5625"}),
        (("ANGLES = ±.5°",), {11: "11.000", 6.72: "6.720"}),
        ((".XX = ±.03", ".XXX = ±.015"), {11: "11.00", 6.72: "6.720", 1: "1.000", 9.5: "9.500", 0.5625: ".5625"}),
        (("x.xx = ±.03",), {11: "11.00", 6.72: "6.72", 9.5: "9.50", 0.875: ".875"}),
        ((".XXX = ±.015", ".XXXX = ±.005"), {11: "11.000", 6.72: "6.7200", 1: "1.000", 0.5625: ".5625"}),
    ],
)
def test_a_size_has_the_decimals_that_the_job_writes_if_the_block_has_a_line_for_them(
    block: tuple[str, ...], sizes: dict[float, str]
) -> None:
    job = inch_job(*block)
    assert {inches: written(job, inches) for inches in sizes} == sizes


def test_other_decimals_are_another_drawing_with_another_digest() -> None:
    block = (".XX = ±.03", ".XXX = ±.015")
    assert inch_job(*block).digest != inch_job(*block, outside_diameter="11.000").digest


def told(job: Job) -> list[str]:
    return [fact_text(job.flange, each, job.unit) for each in job.findings if each.rule is Rule.BLOCK_LINE]


def test_lines_for_no_size_and_sizes_without_a_line_are_told() -> None:
    block = (".XX = ±.03", ".XXX = ±.015")
    assert told(inch_job(*block)) == []
    (idle,) = told(inch_job(*block, outside_diameter=11))
    assert 'no size is held to the line .XX of the block; write one as text, such as "11.00"' in idle
    (bare,) = told(inch_job(*block, thickness=0.5625))
    assert "the block of tolerances has no line for sizes written as .5625" in bare
    assert told(inch_job("ANGLES = ±.5°", outside_diameter=11)) == []


@every_row("general", ["ISO 2768-1 m", "ISO 9013 class 2"])
def test_a_size_is_held_by_its_decimals_or_by_a_general_tolerance_not_by_both(general: str) -> None:
    with pytest.raises(InputError, match="tell by their decimals; leave one of them out") as refused:
        inch_job(".XX = ±.03", general=general)
    assert [each.where for each in refused.value.problems] == ["tolerances.general"]
    assert inch_job(".XX = ±.03", general="ISO 13920 B").flange.tolerances.general is not None
    assert inch_job("ANGLES = ±.5°", general=general).flange.tolerances.general is not None
