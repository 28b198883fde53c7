"""Lists of jobs that cannot be read, keys of a call that are none, and what cannot be bound."""

from flangelayout.problems.lists import ListProblem

_NOT_OURS = "write # before the heading of one that is not for this program"
_SAY_UNITS = (
    'add a column "units" that holds mm or in, write the unit into the headings, as in "OD (mm)", or use --units'
)

_THREAD = 'under bolt, or under thread with "tapped" under kind'

SENTENCES = {
    ListProblem.EMPTY: "is empty; its first row holds headings, such as number, OD (mm), bore (mm), PCD (mm)",
    ListProblem.HEAD_ONLY: "has a head but no row below it",
    ListProblem.TOO_MANY_ROWS: "has more than {most} rows; a list has at most as many: part it",
    ListProblem.TOO_MANY_COLUMNS: "has more than {most} columns; a list has at most as many",
    ListProblem.NO_TEXT: "is no text that this program can read; save the list as CSV UTF-8 or as .xlsx",
    ListProblem.NO_CSV: "is no CSV text ({reason}); check its quotes",
    ListProblem.WORKBOOK_NEEDS_LIBRARY: (
        "needs openpyxl to be read: pip install openpyxl, or save the list as CSV UTF-8"
    ),
    ListProblem.WORKBOOK_DAMAGED: "is no sound .xlsx workbook ({reason}); save it again, or as CSV UTF-8",
    ListProblem.WORKBOOK_OF_MANY_PARTS: "has {count} parts; a workbook that is a list has at most {most}",
    ListProblem.WORKBOOK_UNPACKS_TOO_LARGE: "unpacks to more than {most} MB; save the list alone",
    ListProblem.WORKBOOK_OF_MANY_CELLS: "has more than {most} cells; a list has at most as many: part it",
    ListProblem.WORKBOOK_WITH_DOCTYPE: "holds what no workbook does (a document type); save it again",
    ListProblem.NO_JOB_FILES: "holds no job file (.toml); name the files or another folder",
    ListProblem.NO_HEADINGS: "its first row names no column; write headings such as number, OD (mm), PCD (mm)",
    ListProblem.UNKNOWN_COLUMN: f"unknown column; {_NOT_OURS}",
    ListProblem.UNKNOWN_COLUMN_NEAR: f"unknown column; did you mean {{near}}? {_NOT_OURS}",
    ListProblem.SAME_KEY: 'is the same key as "{other}"; leave one of them out',
    ListProblem.CELL_UNDER_NO_COLUMN: '"{cell}" stands under no column; name the column or empty the cell',
    ListProblem.COUNT_WITH_SIZE: '"{written}" is no number of holes; write {count} here and {size} under hole diameter',
    ListProblem.COUNT_WITH_THREAD: f'"{{written}}" is no number of holes; write {{count}} here and {{size}} {_THREAD}',
    ListProblem.THREAD_AS_SIZE: f'"{{written}}" is no size of a hole; write {{written}} {_THREAD}',
    ListProblem.TWO_MEANINGS: (
        '"{written}" can mean {thousands} or {parts} in a list with decimal commas; write one of them'
    ),
    ListProblem.ROW_WITHOUT_FLANGE: (
        "holds neither a flange nor sizes of one; fill them in, or begin a row that is no flange, as a total, with #"
    ),
    ListProblem.UNITS_DIFFER: f"differ between the headings: say which the drawings are in; {_SAY_UNITS}",
    ListProblem.NO_SUCH_STANDARD: '"{name}" begins no designation of the tables; there are {known}',
    ListProblem.UNITS_NOWHERE: f"are said nowhere; {_SAY_UNITS}",
    ListProblem.UNITS_EMPTY: "are empty in this row; write mm or in",
    ListProblem.UNITS_EMPTY_OF_COLUMN: 'are empty in this row, and "{column}" has none of its own; write mm or in',
    ListProblem.WORD_NO_KEY: "is no key with its value; write them so: OD=285",
    ListProblem.UNKNOWN_KEY: "is no key of a job; flangelayout keys says which there are",
    ListProblem.UNKNOWN_KEY_NEAR: "is no key of a job; did you mean {near}?",
    ListProblem.KEY_TWICE: "is written twice; leave one of them out",
    ListProblem.NO_NAME_TO_BIND: '"{name}" is no name for files; use letters and digits',
    ListProblem.NOTHING_TO_BIND: "there is no sheet to bind; leave --only out or add sheet to it",
    ListProblem.CANNOT_BE_BOUND: "cannot be bound ({reason})",
}
