"""Printers, pages, drilling programs and files that cannot be drawn."""

from flangelayout.problems.output import OutputProblem

SENTENCES = {
    OutputProblem.BAR_IN_INCHES: (
        '{bar:g} is far from the bar\'s {nominal:g}; if these are inches, write "{bar:bare g} in"'
    ),
    OutputProblem.BAR_FITTED_TO_PAGE: (
        "{bar:g} is {factor:.3f} of the bar's {nominal:g}, and a printer at 100 % stays within {least} "
        'to {most}; most likely the page was printed with "fit to page": print it again at 100 % / actual size and '
        "measure again"
    ),
    OutputProblem.DIAGONALS_CONTRADICT: (
        "{first:bare g} and {second:g} do not fit bars of {bar_x:bare g} and {bar_y:g}, whose diagonals "
        "are near {expected:.1f}; measure all four again"
    ),
    OutputProblem.PREVIEW_NEEDS: (
        "pictures of pages need {missing:and}, which this installation does not have; install it with: "
        'pip install "flangelayout[preview]"'
    ),
    OutputProblem.NOTHING_TO_CUT: '"{title}" holds nothing to cut',
    OutputProblem.NOT_FOR_A_CUT_FILE: "a {shape} on layer {layer} cannot stand in a cut file: geometry only",
    OutputProblem.CUT_TWICE: (
        "a {shape} on layer {layer} is the same as one on layer {other}, about X{x:bare .3f} Y{y:.3f}; "
        "it would be cut twice: remove one of them"
    ),
    OutputProblem.LAYER_SIGNS: '"{name}" cannot be a layer name in DXF {version}: the signs {signs} are not allowed',
    OutputProblem.LAYER_LENGTH: '"{name}" cannot be a layer name in DXF {version}: it must have 1 to {most} characters',
    OutputProblem.SHEET_BEYOND_PDF: (
        "one sheet of {width:bare .0f} x {height:.0f} is beyond the {most:.0f} ({points} pt) a PDF page "
        "can have; use the tiled template instead, it is as true"
    ),
    OutputProblem.NO_SCALE_FITS: "the layout fits {paper} at no scale of ISO 5455; choose a larger paper for the sheet",
    OutputProblem.STRIP_OFF_THE_PAGE: (
        'a strip with a whole hole on it does not fit on {paper}; use larger paper or style = "tiles"'
    ),
    OutputProblem.OVERLAP_TOO_WIDE: "pages that overlap by {overlap:g} cannot show more than they share",
    OutputProblem.MARK_WITHOUT_ROOM: '"{text}" finds no room on the plate, even {least} high; leave out "{mark}"',
    OutputProblem.TOP_MARK_WITHOUT_ROOM: (
        '"{text}" finds no room in the upper part of the plate, even {least} high; leave out "{mark}"'
    ),
    OutputProblem.HEAD_WITHOUT_PLATE: "{head} has no index plate; name its hole circles",
    OutputProblem.PRINTER_NOT_GIVEN: 'is "{printer}", and what that printer does to a length is not given',
    OutputProblem.NOTHING_TO_NEST: "there is no job to nest",
    OutputProblem.DOES_NOT_FIT: "{part} does not fit on the plate; name a larger one",
    OutputProblem.THICKNESSES_DIFFER: (
        "{first} is {one} thick and {second} is {other}: one plate cannot give both; nest them apart"
    ),
    OutputProblem.NEST_KEY_DIFFERS: "differs between {first} and {second}, and the nest is one file; make it one",
    OutputProblem.OUTSIDE_EVERY_PART: "{item} lies outside every part of the plate; it cannot be nested",
    OutputProblem.NOT_FOR_A_NEST: "a {shape} cannot be nested; geometry only",
}
