"""The ``[survey]`` of a job: its readings, and the bolt circle a job takes from them."""

from typing import TYPE_CHECKING

from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.flange.origin import Measured, NearestOf
from flangelayout.job.build.circles import Found
from flangelayout.job.build.hole_kinds import hole_tables
from flangelayout.job.schema.job_file import BoltCircleTable, JobFile, SurveyTable
from flangelayout.job.schema.values import MEASURED
from flangelayout.standards import published_row
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


def settle_diameters(written: JobFile) -> tuple[JobFile, dict[str, "Found"]]:
    """The job file with every ``"measured"`` or ``"nearest standard"`` diameter replaced by its number.

    Returns:
        The job file, and by the key of each such bolt circle where it comes from.

    Raises:
        InputError: If there is no survey to take them from, or a reading cannot be right.
        SurveyError: As :func:`circle_from_survey`.
    """
    circles = [(where, table) for where, table in hole_tables(written) if isinstance(table, BoltCircleTable)]
    asked = {where: table.diameter for where, table in circles if isinstance(table.diameter, str)}
    if not asked:
        return written, {}
    readings = survey_input(written)
    if readings is None:
        advice = "needs the readings: add a [survey] with one [[survey.reading]] or more"
        raise InputError(*(Problem(f"{where}.diameter", f'"{wanted}" {advice}') for where, wanted in asked.items()))
    result, unit = survey_result(readings), Unit(written.units)
    found = {where: circle_from_survey(wanted, result, f"{where}.diameter", unit) for where, wanted in asked.items()}
    tables = [_settled(table, found.get(where), result) for where, table in circles]
    return written.model_copy(update={"bolt_circle": tables}), found


def _settled(table: BoltCircleTable, found: Found | None, survey: "Survey") -> BoltCircleTable:
    """A table with the figures that its readings give."""
    if found is None:
        return table
    diameter = found.diameter if isinstance(found, Measured) else found.rows[0].circle
    return table.model_copy(update={"diameter": diameter, "hole_count": table.hole_count or survey.hole_count})


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


def circle_from_survey(wanted: str, survey: "Survey", where: str, unit: Unit) -> Found:
    """What the readings say of a bolt circle: measured, or the one published drilling they fit.

    Args:
        wanted: ``"measured"`` or ``"nearest standard"``.
        survey: The result of the job's readings.
        where: Job key, for the message.
        unit: Unit the message shows lengths in.

    Raises:
        SurveyError: If the nearest standard is asked for and the readings do not single out one.
    """
    measured = Measured(survey.diameter, survey.expanded_uncertainty)
    if wanted == MEASURED:
        return measured
    from flangelayout.survey.candidates import Verdict

    leading = survey.ranking.leading
    if survey.verdict is not Verdict.ONE or not leading:
        drillings = dict.fromkeys(candidate.drilling for candidate in leading)
        raise SurveyError(f"{where}: {_undecided(survey, unit, len(drillings), measured)}")
    return NearestOf(tuple(published_row(candidate.pattern) for candidate in leading), measured)


def _undecided(survey: "Survey", unit: Unit, drillings: int, measured: Measured) -> str:
    found = f"the readings fit {drillings or 'no'} published drilling{'s' if drillings > 1 else ''}"
    band = "" if measured.band is None else f" ± {decimal_text(measured.band, unit)}"
    taken = f"bolt circle measured {decimal_text(measured.diameter, unit)}{band} {unit.value}"
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
