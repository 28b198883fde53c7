"""What the page says in its own words: fields and buttons, never a line of a job file nor an option."""

from flangelayout.english.sentences import Door
from flangelayout.problems import ProblemKind
from flangelayout.problems.cures import Cure
from flangelayout.problems.files import FileProblem
from flangelayout.problems.flange import FlangeProblem
from flangelayout.problems.geometry import UnitProblem
from flangelayout.problems.job import JobProblem
from flangelayout.problems.output import OutputProblem
from flangelayout.problems.page import PageProblem
from flangelayout.problems.schema import SchemaProblem

SENTENCES = {
    PageProblem.TOO_MANY_HOLES_TO_CHECK: (
        "{count:#hole} are more than this page checks ({most}); take the job file and use: flangelayout draw"
    ),
    PageProblem.TOO_MANY_OPENINGS_TO_CHECK: (
        "{count:#opening} are more than this page checks ({most}); take the job file and use: flangelayout draw"
    ),
    PageProblem.TOO_MANY_HOLES_TO_MAKE: (
        "{count:#hole} would keep this page busy for long (it makes files up to {most}); take the job "
        "file and use: flangelayout draw"
    ),
    PageProblem.TOO_MANY_PAGES_TO_MAKE: (
        "the template has room for {count:#page}, more than this page makes; choose a larger paper, or "
        "take the job file and use: flangelayout draw"
    ),
    PageProblem.TOO_MANY_READINGS: "has more than {most} readings; use: flangelayout measure",
    PageProblem.NOT_SOUND_YET: "the job is not sound yet; the page says what is missing",
    PageProblem.ADDRESS_TOO_LONG: (
        "the job takes {size} characters, more than the {most} that an address can carry; write it as a job file and "
        "use: flangelayout draw JOB.toml"
    ),
    PageProblem.ADDRESS_TOO_MANY_FIELDS: "the address has more than {most} fields; use a job file",
    PageProblem.NO_KEY_OF_A_JOB: "is no key of a job; rename it",
    PageProblem.TABLES_AND_VALUES: "mixes tables and values; write one of them",
    PageProblem.LINE_BREAK_INSIDE: "has a line break inside; write two entries",
    PageProblem.NO_USE_IN_A_JOB: "holds something that a job file has no use for; write a number or a text",
    PageProblem.NO_SUCH_JOB_IN_FOLDER: "the jobs folder has no such job file that the page can open",
    PageProblem.JOB_GONE: "the job file cannot be read any more",
    PageProblem.NUMBER_NO_FILE_NAME: "the job number makes no file name; write it with letters and digits",
    PageProblem.FOLDER_UNUSABLE: "--jobs {folder}: cannot be used ({reason})",
    PageProblem.PORT_UNUSABLE: "--port {port}: cannot be used ({reason}); leave it out for a free one",
    PageProblem.NO_PRIVATE_NETWORK: (
        "--lan: this computer is in no private network that a phone could be in; join it to the shop's own network"
    ),
    PageProblem.UPLOAD_TOO_LARGE: "the file has {size:#byte}; the page opens at most {most}",
    PageProblem.NESTED_AS_NO_JOB: "the job file has rows or keys nested as no job has; correct it in an editor",
    PageProblem.A_LIST_OF_JOBS: "this is a list of jobs, not a job; open it as a list",
    PageProblem.NO_LIST: "no list was sent; choose its file again",
    PageProblem.TOO_MANY_ROWS: (
        "the list has {count:#row}, more than this page takes ({most}); use: flangelayout draw LIST"
    ),
    PageProblem.TOO_MANY_HOLES_IN_LIST: (
        "the list has {count:#hole}, more than this page takes ({most}); use: flangelayout draw LIST"
    ),
    PageProblem.NOTHING_LEFT_OF_PLATE: "leaves nothing of the plate; make it smaller",
    PageProblem.NO_PLATE_SIZE: '"{written}" is no size of a plate; write for example 2500 or 96 in',
    PageProblem.NO_ROW_TO_MAKE: "no row of the list can be made; the page says why",
    PageProblem.A_PICTURE: "a picture holds no job; open the PDF of the sheet instead, or the job file",
    PageProblem.UPLOAD_NOT_UTF_8: "the file is not UTF-8 text; a job file is",
}

_LENGTH = "write for example 22 mm, 7/8 in or 2-3/8 in"
_ANGLE = "write degrees, for example 22.5"
_JOB_FILE = "take the job file and write it there"

_CURES: dict[Cure, str] = {
    Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE: "rename it, or download the files instead",
    Cure.REVISE_OR_OVERWRITE: "write another revision or another number in the title block",
    Cure.ADD: "fill it in",
    Cure.ADD_PLATE: "fill in the sizes of the plate",
    Cure.WRITE_FOR_EXAMPLE: "write for example {examples:or}",
    Cure.WRITE_FOR_EXAMPLE_OR_BOLT: "write for example {examples:or}, or the bolt that goes through",
    Cure.WRITE_FOR_EXAMPLE_OR_STANDARD: "write for example {examples:or}, or name a standard",
    Cure.WRITE_TABLES: f"this page has no fields for it: {_JOB_FILE}",
    Cure.SEE_KEYS: "it has no field on this page",
    Cure.SEE_TABLES: "it has no field on this page",
    Cure.USE_TILES: "choose tiles",
    Cure.MEASURE_PRINTER_FIRST: "measure it at the computer that prints",
    Cure.MEASURE_PRINTER_AGAIN: "measure it again at the computer that prints",
    Cure.IT_IS_WRITTEN_IN: "it is written {near}",
}
_LENGTHS_AND_KEYS: dict[ProblemKind, str] = {
    UnitProblem.NOT_DEGREES: f'"{{written}}" is not in degrees ("{{unit}}"); {_ANGLE}',
    UnitProblem.NO_LENGTH: f'"{{written}}" is not a length; {_LENGTH}',
    UnitProblem.NO_ANGLE: f'"{{written}}" is not an angle; {_ANGLE}',
    UnitProblem.LENGTH_BY_ZERO: f'"{{written}}" divides by zero; {_LENGTH}',
    UnitProblem.ANGLE_BY_ZERO: f'"{{written}}" divides by zero; {_ANGLE}',
    SchemaProblem.NEEDS_LENGTH: "needs a length, such as 285 or 7/8 in",
    SchemaProblem.NEEDS_TEXT: "needs a text",
    SchemaProblem.EMPTY: "is empty; write something",
    SchemaProblem.NOT_A_CHOICE: "{found} is not possible; use {choices:or}",
    SchemaProblem.NOT_A_FLAG: "{found} is not possible; say yes or no",
}
_HOLES: dict[ProblemKind, str] = {
    FlangeProblem.HOLE_COUNT_OUT_OF_RANGE: "there can be 1 to {most} holes, not {hole_count}",
    FlangeProblem.PAIRS_BESIDE_ANGLES: "angles fix every hole; an angle of pairs has no meaning beside them",
    JobProblem.READINGS_MISSING: "needs the readings: take them under Measure",
    JobProblem.KEY_OF_OTHER_KIND: "belongs to a hole that is {owner}, not {written}; empty it or choose the other kind",
    JobProblem.TURNED_SIZE_OF_OTHER_KIND: "does not go with a {what}; write its {own} instead",
    JobProblem.GROOVE_WIDTH: "of a groove is its width or its inner diameter; write one of the two",
    JobProblem.WIDTH_OF_A_GROOVE: "belongs to a groove, not to a {what}; write the inner diameter or leave it out",
    JobProblem.TIGHTENING_INCOMPLETE: (
        "makes a torque only together with strength class, nut factor, lubrication and bolt load; fill them all or none"
    ),
    JobProblem.NO_SUCH_BOLT_CLASS: "{written} has no strength in the tables at that size; use {choices:or}",
    JobProblem.NO_CIRCLE_OF_MATE: "names no bolt circle; write its letter, its number or its name, as in {choices:or}",
    JobProblem.MATE_NAMED_TWICE: "is there beside the standard; write one of the two",
    JobProblem.SPIGOT_WITHOUT_DIAMETER: "has a height or fit without it; write it, too",
    JobProblem.CIRCLE_HAS_A_MATE: "is the circle of another mate, too; leave one of the two out",
    JobProblem.MATE_JOB_WITHOUT_FILE: "{written} is a path, which only a job in a file can use",
    JobProblem.MATE_JOB_UNREADABLE: "{written} is no job that can be read",
    JobProblem.NO_TURNED_FIT: (
        "{fit} is no class for a {what} of {diameter}: a hole's has a capital, a shaft's none; "
        "write for example {choices:or}"
    ),
    JobProblem.TAP_DRILL_OF_A_THREAD: (
        "is the tap drill's for a thread; name the thread, and a tap drill where the table's will not do"
    ),
    JobProblem.NO_SUCH_THREAD: (
        '"{written}" is no thread of the tables; write for example M16, M16x1.5, 5/8-11 UNC or 1/2 NPT'
    ),
    JobProblem.GRID_PITCH_MISSING: "is missing; write the pitch, or the one along and the one across",
    JobProblem.RING_COUNT_CONTRADICTS: "is {written}, but holes are counted for {counted:#ring}; empty one of them",
    JobProblem.RING_COUNT_MISSING: "is missing; write it, or how many holes each ring has",
}
_ANYWAY = "say yes to Use anyway, among the readings under Everything of this job"
_READINGS: dict[ProblemKind, str] = {
    JobProblem.READINGS_DISAGREE: (
        "the readings contradict each other, so no band holds; this one is farthest off, by {off_by:d}: "
        f"measure it again or delete it, or {_ANYWAY}"
    ),
    JobProblem.READING_SUSPECT: (
        "is suspect: {off_by:d} off what the others make it ({cause}); without that the bolt circle is "
        f"{{circle:d}}; measure it again or delete it, or {_ANYWAY}"
    ),
    JobProblem.HOLES_UNEVEN: (
        "the holes are not equally spaced: they stand at {angles}; choose the measured spacing to drill them so, or "
        f"{_ANYWAY}"
    ),
    JobProblem.NO_STANDARD_FITS: (
        "the readings fit no published drilling; put the measured circle on the flange, or write the diameter"
    ),
}
_PLATE: dict[ProblemKind, str] = {
    JobProblem.BORE_OF_RING_IN_PARTS: "is the inside diameter of a ring in parts; empty it",
    JobProblem.KEY_OF_OTHER_SHAPE: (
        "does not belong to {name} but to {owners:or}; empty it or choose another {chosen_by}"
    ),
    JobProblem.MISSING_FOR_SHAPE: "is missing for {name}",
    JobProblem.NO_CIRCLE_TO_TAKE_FROM: "there is no bolt circle to take the {key} from; write it",
    JobProblem.NO_JOINT_BETWEEN_UNEVEN: (
        "the holes are not equally spaced, so no joint is surely between two; write where the first joint stands"
    ),
    JobProblem.JOINTS_DO_NOT_DIVIDE: (
        "{hole_count:#hole} cannot be shared by {part_count} parts with every joint midway between two holes; use a "
        "count that {part_count} divides, other parts, or write where the first joint stands"
    ),
    JobProblem.WINDOW_INSIDE_OUT: "its inner diameter of {inner:g} is not less than the outer one, {outer:g}",
    JobProblem.FACE_HEIGHT_ALONE: "has no diameter of the raised face beside it; add that",
    JobProblem.DEPTH_MISSING: "is missing, and so is the thickness of the plate; write one of them",
    JobProblem.LEAD_OUT_ALONE: "has no lead in beside it; write for example 5 there",
    JobProblem.NO_SUCH_HEAD: '"{written}" is no head in the tables; use {choices:or}',
    JobProblem.NO_BORDER_FILE: '"{written}" is no border file',
    JobProblem.LOGO_SHOWN_NOWHERE: "is shown by no cell of the title block",
    OutputProblem.STRIP_OFF_THE_PAGE: (
        "a strip with a whole hole on it does not fit on {paper}; choose larger paper, or tiles"
    ),
    FileProblem.ISSUED: "{number} rev {revision} is in this folder already, of a job that is not the one on this page",
    OutputProblem.PREVIEW_NEEDS: "pictures of pages need {missing:and}, which this installation does not have",
}


def _field_name(key: str) -> str:
    """A key of a job file as a field of the page is called."""
    return key.replace("_", " ")


PAGE = Door(cures=_CURES, kinds=_LENGTHS_AND_KEYS | _HOLES | _READINGS | _PLATE, key=_field_name)
"""The door of those who fill in the page."""
