"""Readings that cannot be right, or that do not fix a circle."""

from flangelayout.problems.survey import SurveyProblem

SENTENCES = {
    SurveyProblem.NO_READINGS: "there are none; give at least one chord, or the X and Y of the holes",
    SurveyProblem.NO_SUCH_READING: "there is no reading {number}; there are {count}",
    SurveyProblem.NOT_A_WHOLE_COUNT: "{written} is not a whole number",
    SurveyProblem.COUNT_BEYOND: "{count} cannot make a bolt circle; count the holes: {fewest} to {most}",
    SurveyProblem.SETTING_NOT_POSITIVE: "{value:g} mm is not a length greater than 0",
    SurveyProblem.NOT_A_SHARE: "{value:g} is not a share of parts between 0 and 1",
    SurveyProblem.NOTHING_OF_FAMILY: "these tables have no {asked}; choose from {known}",
    SurveyProblem.UNMEASURABLE: "{value} is not a length that can be measured",
    SurveyProblem.READING_NOT_POSITIVE: "{value} is not greater than 0; a {reading} reading must be",
    SurveyProblem.WITHIN_NOT_POSITIVE: "within {value:g} is not a length greater than 0",
    SurveyProblem.SIZE_NOT_POSITIVE: "{value} is not greater than 0",
    SurveyProblem.NO_HOLE_NAMED: "{reading} needs the number of its hole in from",
    SurveyProblem.SIZE_SPANS_NOTHING: "{reading} is one size and spans no holes; leave out to and pitches",
    SurveyProblem.NO_SUCH_HOLE: "there is no hole {hole}; holes are numbered {numbers}",
    SurveyProblem.PAIR_AND_PITCHES: "names a pair of holes and a number of pitches; give one of them",
    SurveyProblem.HALF_A_PAIR: "names one hole of a pair; give both from and to",
    SurveyProblem.HOLE_TO_ITSELF: "runs from hole {hole} to itself; name two different holes",
    SurveyProblem.NO_SPAN: "{pitches} pitches is no span; neighbors are 1 pitch apart",
    SurveyProblem.SPAN_PAST_ALL: "{pitches} pitches goes past all {count} holes; opposite holes are {opposite}",
    SurveyProblem.LONGER_THAN_RIM: (
        "{value} is longer than the circle allows: the outside diameter reads {rim}; measure both again"
    ),
    SurveyProblem.CIRCLE_BEYOND_RIM: (
        "is longer than the circle allows: {count} holes that far apart lie on {circle:d}, outside the {rim:d} of the "
        "part; check the hole count and the pitches"
    ),
    SurveyProblem.COUNT_MISSING: (
        "the hole count is missing and these readings fit any; read chords across different numbers of pitches, "
        "or count the holes"
    ),
    SurveyProblem.NO_COUNT_FITS: (
        "no hole count from {fewest} to {most} fits the readings ({nearest} comes nearest); "
        "to see which reading is off, count the holes"
    ),
    SurveyProblem.COUNTS_ALIKE: "the readings fit {counts:or} holes alike; count the holes",
    SurveyProblem.HOLE_SIZE_MISSING: (
        "edge readings need the hole diameter to give a center distance: take both a near-edge and a far-edge reading, "
        "or measure a hole"
    ),
    SurveyProblem.STUD_SIZE_MISSING: (
        "stud readings need the stud diameter to give a center distance: take a reading over and one between the "
        "studs, or measure a stud"
    ),
    SurveyProblem.RADIAL_SIZES_MISSING: (
        "hole to bore or rim needs the hole diameter and the bore or outside diameter; measure those too"
    ),
    SurveyProblem.POSITIONS_TOO_FEW: (
        "the positions do not fix a circle; give X and Y of at least two holes, three if the count is unsure"
    ),
    SurveyProblem.NOTHING_SPANS: "no reading spans the circle; measure a chord between two holes",
    SurveyProblem.CONTRADICTION: (
        "the readings contradict each other: no circle has all of them ({kinds}); check kinds and values"
    ),
    SurveyProblem.HOLE_IMPOSSIBLE: (
        "the readings make the holes {hole:d} wide on centers {chord:d} apart, which cannot be; check the kinds: "
        "a near-edge reading is shorter than a far-edge one by two hole diameters"
    ),
    SurveyProblem.EMPTY_FILE: "is empty; the first line names the columns kind,value,pitches",
    SurveyProblem.HEADER_ONLY: "holds a header but no reading",
    SurveyProblem.UNKNOWN_COLUMN: 'unknown column "{written}"; choose from {known}',
    SurveyProblem.MISSPELLED_COLUMN: 'unknown column "{written}"; did you mean {near}?',
    SurveyProblem.COLUMN_MISSING: "column missing from the header line",
    SurveyProblem.COLUMN_TWICE: "column given twice",
    SurveyProblem.UNIT_EMPTY: "left empty while other lines name theirs: mixed units; write mm or in",
    SurveyProblem.UNIT_UNKNOWN: 'unit "{written}" is not known; write mm or in',
    SurveyProblem.UNITS_MIXED: '{column} "{written}" carries another unit than its unit column ({unit}): mixed units',
    SurveyProblem.TOO_MANY_CELLS: 'more cells than columns ("{written}")',
    SurveyProblem.NO_KIND: "no kind; choose from {known}",
    SurveyProblem.UNKNOWN_KIND: 'unknown kind "{written}"; choose from {known}',
    SurveyProblem.MISSPELLED_KIND: 'unknown kind "{written}"; did you mean {near}?',
    SurveyProblem.NEITHER_HOLES_NOR_PITCHES: "{reading} names neither its holes (from, to) nor the pitches it spans",
    SurveyProblem.EMPTY_CELL: "{column} is empty",
    SurveyProblem.NOT_A_WHOLE_NUMBER: '{column} "{written}" is not a whole number',
}
