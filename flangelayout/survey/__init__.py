"""From readings taken on a part to its bolt circle, its uncertainty and the standard behind it.

``Reading``, ``Kind``, ``SurveyInput`` and ``parse_readings`` load no numpy; ``measure`` and
``measure_input`` are loaded when they are first used.
"""

from typing import TYPE_CHECKING

from flangelayout.survey.csvfile import parse_readings
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Allowances, Assumptions, Reading, ScaleGroup, SurveyInput

if TYPE_CHECKING:
    from flangelayout.survey.expected import expected_readings as expected_readings
    from flangelayout.survey.survey import Survey as Survey
    from flangelayout.survey.survey import measure as measure
    from flangelayout.survey.survey import measure_input as measure_input

__all__ = [
    "Allowances",
    "Assumptions",
    "Kind",
    "Reading",
    "ScaleGroup",
    "Survey",
    "SurveyInput",
    "expected_readings",
    "measure",
    "measure_input",
    "parse_readings",
]


def __getattr__(name: str) -> object:
    """The names that are seldom wanted or need numpy, from the module that holds them."""
    if name in ("Survey", "measure", "measure_input"):
        from flangelayout.survey import survey

        return getattr(survey, name)
    if name == "expected_readings":
        from flangelayout.survey.expected import expected_readings

        return expected_readings
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
