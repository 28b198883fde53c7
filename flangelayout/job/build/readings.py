"""The ``[survey]`` of a job: its readings, and the bolt circle a job takes from them."""

from typing import TYPE_CHECKING

from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.job.schema.job_file import JobFile, SurveyTable
from flangelayout.job.schema.values import MEASURED
from flangelayout.survey import Kind, Reading, SurveyInput
from flangelayout.units import Unit, decimal_text

if TYPE_CHECKING:
    from flangelayout.survey import Survey


def survey_input(written: JobFile) -> SurveyInput | None:
    """The readings of a job, or ``None`` where it has none.

    A survey that names no hole count takes the one written for the bolt circle that asks for it, else the first.
    """
    table = written.survey
    if table is None:
        return None
    asking_first = sorted(written.bolt_circle, key=lambda circle: not isinstance(circle.diameter, str))
    counts = (circle.hole_count for circle in asking_first)
    unit = Unit(written.units)
    return SurveyInput(
        readings=tuple(_reading(table, index, unit) for index in range(len(table.reading))),
        hole_count=table.hole_count or next(counts, None),
        hole_diameter=table.hole_diameter,
        drilling_tolerance=table.drilling_tolerance,
    )


def settle_diameters(written: JobFile) -> tuple[JobFile, dict[int, str]]:
    """The job file with every ``"measured"`` or ``"nearest standard"`` diameter replaced by its number.

    Returns:
        The job file, and by the index of each such bolt circle where its diameter came from.

    Raises:
        InputError: If there is no survey to take them from, or a reading cannot be right.
        SurveyError: As :func:`circle_from_survey`.
    """
    asked = {index: table for index, table in enumerate(written.bolt_circle) if isinstance(table.diameter, str)}
    if not asked:
        return written, {}
    readings = survey_input(written)
    several = len(written.bolt_circle) > 1
    places = {index: (f"bolt_circle[{index + 1}]" if several else "bolt_circle") + ".diameter" for index in asked}
    if readings is None:
        advice = "needs the readings: add a [survey] with one [[survey.reading]] or more"
        raise InputError(*(Problem(place, f'"{asked[index].diameter}" {advice}') for index, place in places.items()))
    result, unit = survey_result(readings), Unit(written.units)
    tables, credits_ = list(written.bolt_circle), {}
    for index, table in asked.items():
        diameter, credits_[index] = circle_from_survey(str(table.diameter), result, places[index], unit)
        found = {"diameter": diameter, "hole_count": table.hole_count or result.hole_count}
        tables[index] = table.model_copy(update=found)
    return written.model_copy(update={"bolt_circle": tables}), credits_


def survey_result(survey: SurveyInput) -> "Survey":
    """What the readings say.

    Raises:
        InputError: If a reading cannot be right; its place is led by ``survey``.
        SurveyError: If the readings fix no circle or contradict each other.
    """
    from flangelayout.survey import measure_input

    try:
        return measure_input(survey)
    except InputError as wrong:
        found = (Problem(p.where if p.where.startswith("survey") else "survey", _text(p)) for p in wrong.problems)
        raise InputError(*found) from None


def circle_from_survey(wanted: str, survey: "Survey", where: str, unit: Unit) -> tuple[float, str]:
    """The diameter a job asks its survey for, in mm, and where it came from in the sheet's words.

    Args:
        wanted: ``"measured"`` or ``"nearest standard"``.
        survey: The result of the job's readings.
        where: Job key, for the message.
        unit: Unit the words show lengths in.

    Raises:
        SurveyError: If the nearest standard is asked for and the readings do not single out one.
    """
    band = f"{decimal_text(survey.diameter, unit)} {unit.value}"
    if survey.expanded_uncertainty is not None:
        plus_minus = decimal_text(survey.expanded_uncertainty, unit)
        band = f"{decimal_text(survey.diameter, unit)} ± {plus_minus} {unit.value}"
    taken = f"bolt circle measured {band} (95 %)" if survey.band_holds else f"bolt circle measured {band}"
    if wanted == MEASURED:
        return survey.diameter, taken[0].upper() + taken[1:]
    drillings = dict.fromkeys(candidate.drilling for candidate in survey.ranking.leading)
    if survey.verdict.value != "one" or not survey.candidates:
        raise SurveyError(f"{where}: {_undecided(survey, unit, len(drillings), taken)}")
    best = survey.candidates[0].pattern
    return best.bolt_circle, f"Drilled to match {best.designation}, the one standard that fits: {taken}"


def _undecided(survey: "Survey", unit: Unit, drillings: int, taken: str) -> str:
    found = f"the readings fit {drillings or 'no'} published drilling{'s' if drillings > 1 else ''}"
    advice = 'write the diameter, or use "measured"'
    if survey.next_reading is not None:
        reads = ", ".join(
            f"{entry.designation} reads {decimal_text(entry.value, unit)} {unit.value}"
            for entry in survey.next_reading.expected[:3]
        )
        span = f" over {survey.next_reading.pitches} pitches" if survey.next_reading.pitches else ""
        advice = f"measure {survey.next_reading.kind.value}{span} next ({reads})"
    return f"{found} ({taken}); {advice}"


def _reading(table: SurveyTable, index: int, unit: Unit) -> Reading:
    row = table.reading[index]
    return Reading(
        kind=Kind(row.kind),
        value=row.value,
        from_hole=row.from_,
        to_hole=row.to,
        pitches=row.pitches,
        within=row.within,
        unit=unit,
        where=f"survey.reading[{index + 1}]",
    )


def _text(problem: Problem) -> str:
    named = problem.where and not problem.where.startswith("survey")
    return f"{problem.where}: {problem.text}" if named else problem.text
