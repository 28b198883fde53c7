"""The ``[survey]`` of a job: its readings, and the bolt circle a job takes from them."""

from collections.abc import Mapping
from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.facts import Length
from flangelayout.flange import BoltCircle, Flange
from flangelayout.flange.claims import SAME, named_rows
from flangelayout.flange.origin import Doubt, Measured, NearestOf, PublishedRow
from flangelayout.job.build.circles import Found, OwnTables
from flangelayout.job.build.gate import doubts, standing_in_the_way
from flangelayout.job.build.hole_kinds import hole_tables
from flangelayout.job.schema.job_file import BoltCircleTable, JobFile, SurveyTable
from flangelayout.job.schema.values import MEASURED
from flangelayout.problems.job import JobProblem
from flangelayout.provenance import Family
from flangelayout.standards import published_row
from flangelayout.survey import Assumptions, Kind, Reading, ScaleGroup, SurveyInput
from flangelayout.survey.readings import COVERAGE_FACTOR
from flangelayout.units import Unit
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.survey import Survey

_MOST_NAMED = 6
"""Standards that are named where their holes differ."""


def survey_input(written: JobFile, own: OwnTables = ()) -> SurveyInput | None:
    """The readings of a job, or ``None`` where it has none.

    A survey that names no hole count takes the one written for the bolt circle that asks for it, else the first.
    The shop's ``own`` patterns are candidates as well.
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
        assume=_assumptions(table),
        own=tuple(row for own_table in own for row in own_table.patterns),
        set_aside=tuple(index for index, row in enumerate(table.reading) if row.set_aside),
        drawn_hole=next(map(_plain_hole, asking_first), None),
    )


def _assumptions(table: SurveyTable) -> Assumptions:
    """What the survey says of the part beforehand; a scatter is written as plus and minus, 95 % of holes."""
    usual = Assumptions(family=table.family, home_made=table.home_made)
    if table.hole_scatter is None:
        return usual
    off = table.hole_scatter / COVERAGE_FACTOR
    return replace(usual, allow=replace(usual.allow, along=off, across=off))


def _plain_hole(circle: BoltCircleTable) -> float | None:
    """The hole written for a circle whose holes are such as tables publish."""
    return circle.hole_diameter if circle.kind not in ("slot", "tapped", "jack", "dowel") else None


def settle_diameters(written: JobFile, own: OwnTables = ()) -> tuple[JobFile, dict[str, "Found"]]:
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
    readings = survey_input(written, own)
    if readings is None:
        lacking = JobProblem.READINGS_MISSING
        raise InputError(*(Problem(f"{where}.diameter", lacking, wanted=wanted) for where, wanted in asked.items()))
    result = survey_result(readings)
    found = {where: circle_from_survey(written, table, where, result) for where, table in circles if where in asked}
    tables = [_settled(table, found.get(where), result) for where, table in circles]
    return written.model_copy(update={"bolt_circle": tables}), found


def _settled(table: BoltCircleTable, found: Found | None, survey: "Survey") -> BoltCircleTable:
    """A table with the figures that its readings give."""
    if found is None:
        return table
    diameter = found.diameter if isinstance(found, Measured) else found.rows[0].circle
    taken = {"diameter": diameter, "hole_count": table.hole_count or survey.hole_count}
    angles = {"angles": list(found.angles)} if isinstance(found, Measured) and found.angles else {}
    return table.model_copy(update=taken | angles)


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
        raise InputError(*map(_in_survey, wrong.problems)) from None


def circle_from_survey(written: JobFile, table: BoltCircleTable, where: str, survey: "Survey") -> Found:
    """What the readings say of a bolt circle: measured, or the one published drilling they fit.

    Args:
        written: The job file.
        table: The circle, whose diameter is ``"measured"`` or ``"nearest standard"``.
        where: Its key.
        survey: The result of the job's readings.

    Raises:
        SurveyError: With everything that stands in the way of cutting by the readings; where the job says that they
            are used anyway, only if they do not single out the one standard that is asked for.
    """
    from flangelayout.survey.candidates import Verdict
    from flangelayout.survey.fitting.fit import Spacing
    from flangelayout.survey.obstacles import NotOneAnswer, Wanted, obstacles

    uneven = table.spacing == MEASURED
    wanted = Wanted.ANGLES if uneven else Wanted.CIRCLE
    if table.diameter != MEASURED:
        wanted = Wanted.STANDARD
    found = obstacles(survey, wanted)
    anyway = written.survey is not None and written.survey.use_anyway
    stopping = tuple(each for each in found if not anyway or isinstance(each, NotOneAnswer))
    unit = Unit(written.units)
    if stopping:
        raise SurveyError(*(standing_in_the_way(survey, each, where, unit) for each in stopping))
    angles = tuple(survey.fit.hole_angles) if uneven and survey.fit.spacing is not Spacing.EQUAL else ()
    undecided = wanted is Wanted.CIRCLE and survey.verdict is Verdict.SEVERAL
    doubted = (*doubts(found), *((Doubt.UNDECIDED,) if undecided else ()))
    aside, family = len(survey.set_aside), _family(survey)
    measured = Measured(
        survey.diameter, survey.expanded_uncertainty, angles, doubted, aside, family, survey.off_a_picture
    )
    if wanted is not Wanted.STANDARD:
        return measured
    return NearestOf(_rows_meant(survey, table, where, unit), measured)


def _family(survey: "Survey") -> Family | None:
    """What kind of part it is: as said, else that of every row the readings leave; None where these differ."""
    left = {tie.pattern.family for tie in survey.ties}
    return survey.assume.family or (left.pop() if len(left) == 1 else None)


def _rows_meant(survey: "Survey", table: BoltCircleTable, where: str, unit: Unit) -> tuple[PublishedRow, ...]:
    """Of the rows that share the circle found, those that have the hole written too; all where none is written.

    A row that publishes no hole is meant only where no other one is in reach. Where none has the hole written, the rows
    have to agree on theirs, so that there is one to differ from.

    Raises:
        SurveyError: If only a less likely row has the hole written, or the rows have several holes and none that one.
    """
    rows = tuple(published_row(tied.pattern) for tied in survey.ties)
    stated = tuple(row for row in rows if row.hole_diameter is not None) or rows
    written = _plain_hole(table)
    if written is None:
        return stated
    having = tuple(row for row in stated if _has_hole(row.hole_diameter, written))
    if having:
        return having
    key, hole = f"{where}.hole_diameter", Length(written, unit)
    patterns = (candidate.pattern for candidate in survey.candidates)
    elsewhere = tuple(row.designation for row in patterns if _has_hole(row.hole_diameter, written))[:_MOST_NAMED]
    if elsewhere:
        likelier = rows[0].designation
        raise SurveyError.of(JobProblem.HOLE_OF_ANOTHER_ROW, key, hole=hole, names=elsewhere, likelier=likelier)
    by_hole = {row.hole_diameter: row.designation for row in reversed(rows)}
    if len(by_hole) > 1:
        names = tuple(reversed(by_hole.values()))[:_MOST_NAMED]
        raise SurveyError.of(JobProblem.HOLE_OF_NO_ROW, key, hole=hole, names=names)
    return stated


def _has_hole(published: float | None, written: float) -> bool:
    return published is not None and abs(published - written) <= SAME


class ReadCircle(Struct, frozen=True):
    """What readings say of a circle that is written.

    Attributes:
        group: Its index.
        found: What the readings say.
        named: The row it names, where the readings fit that one among others; empty else.
        others: A row of each other drilling that they fit.
    """

    group: int
    found: Measured
    named: str = ""
    others: tuple[str, ...] = ()


class NoCircleRead(Enum):
    """What readings say that fix no circle."""

    NOTHING = "nothing"


def held_against(
    written: JobFile, flange: Flange, surveyed: Mapping[str, Found], own: OwnTables = ()
) -> ReadCircle | NoCircleRead | None:
    """The bolt circle that a job writes although it has readings, by its index, and what they say of it.

    Of several circles it is the one nearest to what was read; ``None`` where the circle is taken from the readings,
    or there are none.
    """
    readings = survey_input(written, own)
    if readings is None or surveyed:
        return None
    try:
        survey = survey_result(readings)
    except SurveyError:
        return NoCircleRead.NOTHING
    if not flange.bolt_circles:
        return None
    circles = enumerate(flange.bolt_circles)
    group, circle = min(circles, key=lambda each: abs(each[1].diameter - survey.diameter))
    found = Measured(survey.diameter, survey.expanded_uncertainty, off_a_picture=survey.off_a_picture)
    return ReadCircle(group, found, *_picked_among(circle, survey))


def _picked_among(circle: BoltCircle, survey: "Survey") -> tuple[str, tuple[str, ...]]:
    """The row that a circle names, and the other drillings that the readings fit; neither where it is no such pick."""
    named = {row.designation for row in named_rows(circle)}
    own = next((tie for tie in survey.ties if tie.pattern.designation in named), None)
    if own is None:
        return "", ()
    others = {tie.drilling: tie.pattern.designation for tie in reversed(survey.ties) if tie.drilling != own.drilling}
    return own.pattern.designation, tuple(others.values())


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
        scale=ScaleGroup(row.scale, table.scale_within / 100) if row.scale else None,
        shared=tuple(row.shared),
    )


def _in_survey(problem: Problem) -> Problem:
    """What is wrong with readings, at a place of the job file."""
    if problem.where.startswith("survey"):
        return problem
    return Problem("survey", JobProblem.IN_SURVEY, told=problem) if problem.where else problem.placed("survey")
