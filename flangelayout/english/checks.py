"""Flanges that cannot be mated, parts that cannot be inspected."""

from flangelayout.problems.checks import CheckProblem

SENTENCES = {
    CheckProblem.PATTERN_WITHOUT_HOLE: "{standard} lists no hole diameter; write a job with the hole it has",
    CheckProblem.PATTERN_UNEQUAL: "{standard} has unequal spacing; write a job with its holes one by one",
    CheckProblem.TOO_MANY_TO_COMPARE: "{side}: {count:#hole} are more than the {most} that are compared",
    CheckProblem.NO_HOLES_TO_LAY: "one of the two has no pattern of bolt holes to lay on the other",
    CheckProblem.NOT_A_BOLT: '"{written}" is no bolt; say which goes through, for example M20, "3/4 in" or "22 mm"',
    CheckProblem.NO_BOLT_NAMED: (
        'neither flange names a bolt; say which goes through, for example M20, "3/4 in" or "22 mm"'
    ),
    CheckProblem.SOME_HOLES_UNNAMED: "{count:#row} name no hole; name all of them or none",
    CheckProblem.WIDTHS_NOT_BY_PLACE: (
        "is not named in the file, and by place alone a hole as wide as others falls on {label}; name the holes"
    ),
    CheckProblem.THREADS_TAKE_NO_BOLT: (
        "no bolt is tried in threads here; leave it out, and lay the drawings on each other with the command mate"
    ),
    CheckProblem.TOO_FEW_MEASURED: "{count:#measured hole} fix no part; measure two at least",
    CheckProblem.MORE_MEASURED_THAN_DRAWN: "{count:#hole} are measured, but the drawing has {drawn}",
    CheckProblem.NO_SUCH_HOLE: '"{label}" is no hole of the drawing; they are {first} to {last}',
    CheckProblem.HOLE_TWICE: '"{label}" stands twice',
    CheckProblem.EMPTY_FILE: "is empty; the first line names the columns hole,x,y,diameter",
    CheckProblem.TOO_MANY_ROWS: "has {count:#row}; at most {most} are possible",
    CheckProblem.MORE_CELLS_THAN_COLUMNS: 'more cells than columns ("{cell}")',
    CheckProblem.BORE_TWICE: "the bore stands twice",
    CheckProblem.UNKNOWN_COLUMN: "unknown column",
    CheckProblem.COLUMN_TWICE: "column given twice",
    CheckProblem.COLUMN_MISSING: "column missing from the header line",
    CheckProblem.UNIT_UNKNOWN: 'unit "{written}" is not known; write mm or in',
    CheckProblem.EMPTY_CELL: "{column} is empty",
    CheckProblem.DIAMETER_NOT_ABOVE_ZERO: "a diameter must be greater than 0, not {written}",
    CheckProblem.WIDTH_MISREAD: "hole {label} is read as {read}, drawn {drawn}: no hole is so far off; read it again",
    CheckProblem.NO_PAIR_OF_HOLES: "names no pair of holes with from and to; a drilled part needs it",
    CheckProblem.NAMES_NO_HOLE: "{reading}: names no hole; write its label in from",
    CheckProblem.NO_BORE_DRAWN: "{reading}: the drawing has no bore",
    CheckProblem.NOT_ROUND: "{reading}: the plate drawn is not round from outside",
    CheckProblem.PLACE_AMONG_READINGS: "{reading}: places go in a file of their own, with the columns hole,x,y",
    CheckProblem.DATUM_WITHOUT_PLACES: "the bore can be the datum of places alone; caliper readings need no datum",
    CheckProblem.NOTHING_MEASURED: "name a file of what was measured, or write what stands in the boxes of the form",
    CheckProblem.NO_FORM: "the drawing has no hole to read by caliper",
    CheckProblem.CONTRADICTION: "{told}",
}
