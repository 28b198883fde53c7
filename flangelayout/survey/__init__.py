"""From readings taken on a part to its bolt circle, its uncertainty and the standard behind it.

``Reading``, ``Kind`` and ``SurveyInput`` load no numpy; what measures, expects and reads files is loaded when it is
first used.
"""

from typing import TYPE_CHECKING

from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Allowances, Assumptions, Reading, ScaleGroup, SurveyInput

if TYPE_CHECKING:
    from flangelayout.survey.csvfile import parse_readings as parse_readings
    from flangelayout.survey.expected import expected_readings as expected_readings
    from flangelayout.survey.survey import Survey as Survey
    from flangelayout.survey.survey import measure as measure
    from flangelayout.survey.survey import measure_input as measure_input

_HOMES = {
    **dict.fromkeys(("Survey", "measure", "measure_input"), "flangelayout.survey.survey"),
    "expected_readings": "flangelayout.survey.expected",
    "parse_readings": "flangelayout.survey.csvfile",
}
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
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
