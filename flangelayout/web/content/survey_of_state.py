"""What the readings on the page say."""

from dataclasses import dataclass

from pydantic import ValidationError

from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.job.build.readings import survey_input, survey_result
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.job_file import JobFile
from flangelayout.problems.page import PageProblem
from flangelayout.survey import Survey
from flangelayout.web.form.limits import MOST_READINGS
from flangelayout.web.form.state import State, job_tables


@dataclass(frozen=True, slots=True)
class StateSurvey:
    """The survey of the page's readings, or what stands in its way; neither where there is no reading."""

    survey: Survey | None = None
    problems: tuple[Problem, ...] = ()


def measured(state: State) -> StateSurvey:
    """The survey of a state, the reading being taken included.

    A survey that names no hole count takes that of the first bolt circle.
    """
    survey = job_tables(state).get("survey")
    if not isinstance(survey, dict):
        return StateSurvey()
    if len(state.all_readings()) > MOST_READINGS:
        return StateSurvey(problems=(Problem("survey", PageProblem.TOO_MANY_READINGS, most=MOST_READINGS),))
    counts = (row.get("hole_count") for row in state.rows("bolt_circle"))
    data: dict[str, object] = {
        "units": state.unit.value,
        "plate": {},
        "survey": {"hole_count": next(counts, None), **survey},
    }
    try:
        readings = survey_input(JobFile.model_validate(data, context={"unit": state.unit}))
        return StateSurvey(survey_result(readings)) if readings else StateSurvey()
    except ValidationError as wrong:
        return StateSurvey(problems=problems_of(wrong, data))
    except InputError as wrong:
        return StateSurvey(problems=wrong.problems)
    except SurveyError as wrong:
        return StateSurvey(problems=wrong.placed("survey"))
