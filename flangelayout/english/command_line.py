"""What the command line says in its own words: the options and keys that would put a problem right."""

from flangelayout.english.sentences import Door
from flangelayout.english.survey import SENTENCES
from flangelayout.problems.survey import SurveyProblem

_COUNT = "--holes, or survey.hole_count in a job file"
_WHERE = {
    SurveyProblem.COUNT_MISSING: _COUNT,
    SurveyProblem.NO_COUNT_FITS: _COUNT,
    SurveyProblem.COUNTS_ALIKE: _COUNT,
    SurveyProblem.HOLE_SIZE_MISSING: "--hole-diameter, or survey.hole_diameter in a job file",
    SurveyProblem.STUD_SIZE_MISSING: '--stud-diameter, or kind = "stud-diameter" in a job file',
    SurveyProblem.NOTHING_SPANS: '--chord, or kind = "centers" in a job file',
}

COMMAND_LINE = Door(kinds={kind: f"{SENTENCES[kind]} ({where})" for kind, where in _WHERE.items()})
"""The door of those who type commands."""
