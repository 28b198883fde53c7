"""What the command line says in its own words: the options and keys that would put a problem right."""

from flangelayout.english.sentences import Door, template_of
from flangelayout.problems import ProblemKind
from flangelayout.problems.checks import CheckProblem
from flangelayout.problems.cures import Cure
from flangelayout.problems.job import JobProblem
from flangelayout.problems.output import OutputProblem
from flangelayout.problems.survey import PhotoProblem, SurveyProblem

_ANYWAY = "survey.use_anyway = true"
_COUNT = "--holes, or survey.hole_count in a job file"
_BOXES = '--boxes "1=68.8 2=162.1"'
_WHERE: dict[ProblemKind, str] = {
    SurveyProblem.COUNT_MISSING: _COUNT,
    SurveyProblem.NO_COUNT_FITS: _COUNT,
    SurveyProblem.COUNTS_ALIKE: _COUNT,
    SurveyProblem.HOLE_SIZE_MISSING: "--hole-diameter, or survey.hole_diameter in a job file",
    SurveyProblem.STUD_SIZE_MISSING: '--stud-diameter, or kind = "stud-diameter" in a job file',
    JobProblem.READINGS_DISAGREE: _ANYWAY,
    JobProblem.READING_SUSPECT: _ANYWAY,
    JobProblem.HOLES_UNEVEN: f'spacing = "measured", or {_ANYWAY}',
    JobProblem.NO_STANDARD_FITS: 'diameter = "measured", or a length',
    JobProblem.STANDARD_OPEN: 'standard = "...", or diameter = "measured"',
    PhotoProblem.HOLES_MISSING: "--without N",
    PhotoProblem.HOLE_UNSETTLED: "--without N",
    PhotoProblem.HOLE_NOT_ROUND: "--without N",
    PhotoProblem.TWO_RINGS: "--circle LENGTH",
    SurveyProblem.NO_BOXES: _BOXES,
    CheckProblem.NOTHING_MEASURED: _BOXES,
    SurveyProblem.NOTHING_SPANS: '--chord, or kind = "centers" in a job file',
}

_CURES = {
    Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE: "rename it, choose another folder with --into, or use --force",
    Cure.REVISE_OR_OVERWRITE: (
        "write another revision or another number into its [job], or replace what was drawn: --force"
    ),
    Cure.SEE_KEYS: "flangelayout keys {table} lists them",
    Cure.SEE_TABLES: "flangelayout keys lists the tables of a job file",
    Cure.MEASURE_PRINTER_FIRST: 'measure it first: flangelayout printer "{name}"',
    Cure.MEASURE_PRINTER_AGAIN: 'measure the printer again: flangelayout printer "{name}"',
}
_PREVIEW = (
    "--preview needs {missing:and}, which this installation does not have; "
    'install this program again, in its folder, with: uv tool install ".[preview]"'
)

_PHOTO = (
    "measuring from pictures needs {missing:and}, which this installation does not have; "
    'install this program again, in its folder, with: uv tool install ".[photo]"'
)

COMMAND_LINE = Door(
    cures=_CURES,
    kinds={kind: f"{template_of(kind)} ({where})" for kind, where in _WHERE.items()}
    | {OutputProblem.PREVIEW_NEEDS: _PREVIEW, PhotoProblem.NOT_INSTALLED: _PHOTO},
)
"""The door of those who type commands."""
