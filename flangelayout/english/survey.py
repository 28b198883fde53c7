"""Readings that cannot be right, or that do not fix a circle; photos and scans that no reading can be taken from."""

from flangelayout.problems import ProblemKind
from flangelayout.problems.survey import PhotoProblem, SurveyProblem

_READINGS: dict[ProblemKind, str] = {
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
    SurveyProblem.NO_BOXES: '"{written}" names no box of the form; write the number of each box with its reading',
    SurveyProblem.NO_SUCH_BOX: "the form has no box {number}; its boxes are 1 to {count}",
    SurveyProblem.BOX_TWICE: "box {number} stands twice",
    SurveyProblem.NO_SUCH_LABEL: '{column} "{written}" is no hole of the drawing; they are {known}',
    SurveyProblem.NOT_A_WHOLE_NUMBER: '{column} "{written}" is not a whole number',
}

_PHOTOS: dict[ProblemKind, str] = {
    PhotoProblem.NO_CARDS: (
        "shows no card that can be read; print some with flangelayout cards, lay 4 to 8 on the face and take the photo "
        "with all of them in it, sharp and without flash"
    ),
    PhotoProblem.CARD_TWICE: "shows card {card} twice; lay each card once, and cards of one print only",
    PhotoProblem.MIRRORED: "is a mirror image; take it with the main camera, and turn mirroring off",
    PhotoProblem.LENSES_DIFFER: (
        "were taken with different lenses or zooms ({longest:.2f} to 1); take all with the main lens, 1x"
    ),
    PhotoProblem.SIZES_DIFFER: "are of different sizes in pixels; take all with one phone, not cropped",
    PhotoProblem.CARDS_TOO_FEW: (
        "{count:#card} that hang together can be used; lay {fewest} to 8 all round and show all of them in every photo"
    ),
    PhotoProblem.PHOTO_APART: "shows fewer than three of the cards that the others show; leave it out or take it again",
    PhotoProblem.CARDS_ON_ONE_SIDE: (
        "leave {gap:.0f} degrees of the ring without any; lay them all round, at least one in every half"
    ),
    PhotoProblem.CARD_OFF_THE_FACE: (
        "card {card} lies {height} mm or more off the face of the others; lay all flat on the face that has the "
        "holes, none on a raised face or the bench, and take all photos again"
    ),
    PhotoProblem.CARDS_OFF_THE_RIMS: (
        "lie {height:.1f} off the level of what looks like rims; lay them on the face that has the holes, "
        "and take studs out"
    ),
    PhotoProblem.NOT_SHARP: (
        "the cards do not fit together in these photos ({pixels:.1f} pixels): one moved between photos, is bent, or a "
        "photo is blurred or no original; lay them flat and take all photos again"
    ),
    PhotoProblem.NO_RING: (
        "no {count} holes of {hole} at equal pitches are to be seen; check count and diameter, and wipe the face"
    ),
    PhotoProblem.HOLES_MISSING: (
        "{found} of {count} are to be seen; count again, light the others better or clear them; "
        "holes that are filled can be left out by number"
    ),
    PhotoProblem.HOLES_MISSING_OTHER_COUNT: (
        "{found} of {count} are to be seen, while a ring of {others:or} would be whole; count the holes again"
    ),
    PhotoProblem.HOLES_TOO_MANY: "{more} more to be seen on the circle of these {count}; count the holes again",
    PhotoProblem.TWO_RINGS: "rings of {count} are to be seen on {one} and on {other}; say which is meant",
    PhotoProblem.RING_OF_ANOTHER_SIZE: "the ring of {count} to be seen is on {one}, not about {other}; measure again",
    PhotoProblem.ADDED_OFF_THE_RING: (
        "one that was added lies on no place of the ring of {count}; take it back, press nearer to the middle of the "
        "hole, or count the holes again"
    ),
    PhotoProblem.HOLE_UNSETTLED: (
        "hole {number} lies {apart} apart from one photo to another: something stands in it or shines; clear it, "
        "or leave it out by number"
    ),
    PhotoProblem.HOLE_NOT_ROUND: (
        "no round rim of {hole} at {numbers:and}: slot, stud, filled or in glare; clear them, take the photos again, "
        "or leave them out by number"
    ),
    PhotoProblem.NO_ROUND_RIMS: (
        "none of the {count} has a round rim of {hole}; measure a hole again, or look whether all are slots, filled or "
        "in glare"
    ),
    PhotoProblem.COUNT_TOO_SMALL: "{count} holes make no ring to look for; {fewest} are the fewest",
    PhotoProblem.DIAMETER_NOT_POSITIVE: "{value:g} mm is no diameter of a hole; measure one with the caliper",
    PhotoProblem.DIAMETER_MISSING: "is missing; measure one hole with the caliper, pictures do not tell it well enough",
    PhotoProblem.ALL_STRUCK_OUT: "leaves fewer than {fewest} holes; {fewest} are needed",
    PhotoProblem.NO_SUCH_HOLE: "there is no hole {numbers:or}; the holes are 1 to {count}",
    PhotoProblem.NOT_INSTALLED: (
        "measuring from pictures needs {missing:and}, which this installation does not have; "
        "have the part for photos installed"
    ),
    PhotoProblem.NO_PHOTO: "none was chosen; choose three",
    PhotoProblem.TOO_MANY_PHOTOS: "{count} were chosen, {most} are the most; choose the three best",
    PhotoProblem.DRAWN_OVER: "has rims and centers drawn over it; give the photo itself",
    PhotoProblem.NO_PICTURE: "is no picture that can be read ({reason}); give JPEG or PNG",
    PhotoProblem.HEIC: "is HEIC, which is not read; set the phone to JPEG, or save it as JPEG, not cropped",
    PhotoProblem.CROPPED: (
        "was {taken} pixels when taken and is {now} now: cropped or edited, which moves the middle of the lens; "
        "give the photo as the phone took it"
    ),
    PhotoProblem.TOO_SMALL: "is only {now} pixels; give the original, at least {least} wide",
    PhotoProblem.TOO_LARGE: "has more pixels than are read; 12 million are enough",
    PhotoProblem.PANORAMA: "is {now} pixels, no shape of a single photo; panoramas cannot be used",
    PhotoProblem.SCANNER_UNNAMED: "is missing: say what to call the scanner, or how many holes to look for",
    PhotoProblem.BARS_MISSING: "is missing: read both bars of the page of cards with a caliper",
    PhotoProblem.BARS_OF_A_SCANNER: (
        "bars measure a scanner, by a scan of the page of cards and without a count of holes; then name that scanner"
    ),
    PhotoProblem.DPI_BEYOND: "{dpi:g} dots per inch is beyond {least:g} to {most:g}",
    PhotoProblem.SCAN_WITHOUT_CARDS: (
        "shows {count:#card} that can be read, of {fewest} at least; scan the page of cards, bars measured, "
        "square on the glass"
    ),
}

SENTENCES = _READINGS | _PHOTOS
