"""What the readings on the page say."""

from msgspec import Struct
from pydantic import ValidationError

from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.build.readings import survey_input, survey_result
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.job_file import JobFile
from flangelayout.problems.page import PageProblem
from flangelayout.survey import Survey
from flangelayout.web.form.address_tables import Table
from flangelayout.web.form.limits import MOST_READINGS
from flangelayout.web.form.state import State, job_tables

_WEIGHED = ("diameter", "hole_count", "hole_diameter", "kind")
"""Keys of a bolt circle that say which circle the readings are of, and what holes it has."""


class StateSurvey(Struct, frozen=True):
    """The survey of the page's readings, or what stands in its way; neither where there is no reading."""

    survey: Survey | None = None
    problems: tuple[Problem, ...] = ()


def measured(state: State, own: OwnTables = ()) -> StateSurvey:
    """The survey of a state, the reading being taken included; it is the one that the state's job file has.

    Args:
        state: What stands in the fields.
        own: The shop's own patterns.
    """
    survey = job_tables(state).get("survey")
    if not isinstance(survey, dict):
        return StateSurvey()
    if len(state.all_readings()) > MOST_READINGS:
        return StateSurvey(problems=(Problem("survey", PageProblem.TOO_MANY_READINGS, most=MOST_READINGS),))
    data: dict[str, object] = {"units": state.unit.value, "plate": {}, "survey": survey}
    try:
        readings = survey_input(_job(data | {"bolt_circle": _circles(state)}, state), own)
        return StateSurvey(survey_result(readings)) if readings else StateSurvey()
    except ValidationError as wrong:
        return StateSurvey(problems=problems_of(wrong, data))
    except InputError as wrong:
        return StateSurvey(problems=wrong.problems)
    except SurveyError as wrong:
        return StateSurvey(problems=wrong.placed("survey"))


def _job(data: dict[str, object], state: State) -> JobFile:
    return JobFile.model_validate(data, context={"unit": state.unit})


def _circles(state: State) -> list[Table]:
    """What readings are weighed with of every bolt circle, without what stands there wrong: the job tells of that."""
    return [
        {key: value for key, value in row.items() if key in _WEIGHED and _stands(key, value, state)}
        for row in state.rows("bolt_circle")
    ]


def _stands(key: str, value: object, state: State) -> bool:
    try:
        _job({"plate": {}, "bolt_circle": [{key: value}]}, state)
    except ValidationError:
        return False
    return True
