"""Designations that name no row of the published tables, or may name several."""

from flangelayout.problems.standards import StandardsProblem

SENTENCES = {
    StandardsProblem.EMPTY_DESIGNATION: 'the designation is empty; write for example "EN 1092-1 PN16 DN150"',
    StandardsProblem.ENDLESS_DESIGNATION: (
        'the designation is {length} characters long; write for example "EN 1092-1 PN16 DN150"'
    ),
    StandardsProblem.IN_NO_TABLE: '"{written}" is in no table',
    StandardsProblem.IN_NO_TABLE_BUT_NEAR: '"{written}" is in no table; the nearest: {nearest}',
    StandardsProblem.UNKNOWN_WORD: (
        '"{written}" is in no table; no table knows {words}; write standard and size as in "EN 1092-1 PN16 DN150", or '
        "circle, holes and bolt each by itself"
    ),
    StandardsProblem.FITS_SEVERAL: '"{written}" fits {choices:or}; write the one you mean',
    StandardsProblem.FITS_MANY: '"{written}" fits {choices} and {more} more; write the one you mean',
    StandardsProblem.WHEEL_OR_PIPE: (
        '"{written}" may be holes and circle, or size and class: {choices:or}; write the one you mean'
    ),
    StandardsProblem.OLDER_ISSUE: (
        '"{written}" fits {choices:or}: older and newer issues differ; count the holes and write the one you mean'
    ),
    StandardsProblem.DOUBTFUL_NAME: (
        '"{written}" may be {choices:or}, which is not certain ({note}); write the one you mean'
    ),
    StandardsProblem.SIZES_OF: '"{written}" is no designation, but the sizes of {choices:or}; write the one you mean',
    StandardsProblem.PIPE_FIT_MISSING: '"{written}" does not say how the flange fits its pipe; end it with {known:or}',
    StandardsProblem.PIPE_SIZE_MISSING: '"{written}" names no size of pipe; write it as in 6 in, NPS 6 or DN150',
    StandardsProblem.PIPE_SIZE_UNKNOWN: "no table has pipe {written}; there are {known}",
    StandardsProblem.PIPE_SCHEDULE_UNKNOWN: "pipe {size} has no {written}; there are {known}",
    StandardsProblem.PIPE_WALL_MISSING: (
        "a weld neck is as wide as its pipe inside: say the wall of {size} in mm, or one of {known}"
    ),
    StandardsProblem.PIPE_WALL_TOO_THICK: '"{written}" leaves no bore',
    StandardsProblem.PIPE_NOT_UNDERSTOOD: (
        '"{written}": "{left}" is neither a schedule nor one wall; write for example sch 40, or 6.3 for mm'
    ),
    StandardsProblem.SLIP_ON_UNKNOWN: "no table has the slip-on bore for pipe {size}; write the bore itself",
    StandardsProblem.OWN_UNIT_MISSING: 'a file of own patterns says its unit first: write "# unit: mm" or "# unit: in"',
    StandardsProblem.OWN_COLUMNS: "columns missing or unknown: {wrong}; write {known:and}, the last seven if wanted",
    StandardsProblem.OWN_ROW: (
        "{written}: a pattern needs a name, a bolt circle above 0, 2 or more holes, and figures that are numbers"
    ),
    StandardsProblem.SIZES_OF_MANY: (
        '"{written}" is no designation, but the sizes of {choices} and {more} more; write the one you mean'
    ),
}
