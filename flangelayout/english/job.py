"""Keys of a job that contradict each other, the plate or the tables."""

from flangelayout.problems.job import JobProblem

SENTENCES = {
    JobProblem.KEY_OF_OTHER_KIND: "belongs to kind = {owner:toml}, not {written:toml}; leave it out or change the kind",
    JobProblem.TAP_DRILL_OF_A_THREAD: (
        "is the tap drill's for a thread; write thread, and tap_drill where the table's will not do"
    ),
    JobProblem.NO_SUCH_THREAD: (
        '"{written}" is no thread of the tables; write for example "M16", "M16x1.5", "5/8-11 UNC" or "1/2 NPT"'
    ),
    JobProblem.SLOT_LENGTH_MISSING: "is missing, the length over all",
    JobProblem.NO_SUCH_FIT: '"{written}" is no fit; use {choices}',
    JobProblem.NO_CLEARANCE_HOLE: (
        'is missing, and the tables have no clearance hole for the bolt "{bolt}"; write the diameter'
    ),
    JobProblem.NO_DOWEL_LIMITS: '"{fit}" has no published limits at {diameter:g}; use {choices}',
    JobProblem.SEAT_MISSING: "is missing, and the tables have none",
    JobProblem.SEAT_MISSING_FOR_BOLT: 'is missing, and the tables have none for the bolt "{bolt}"',
    JobProblem.GRID_PITCH_MISSING: "is missing; write pitch, or pitch_x and pitch_y",
    JobProblem.RING_COUNT_CONTRADICTS: "is {written}, but hole_counts has {counted}; leave one of them out",
    JobProblem.RING_COUNT_MISSING: "is missing; write it, or hole_counts = [6, 12, 18]",
    JobProblem.BORE_OF_RING_IN_PARTS: "is the inside_diameter of a ring in parts; leave it out",
    JobProblem.KEY_OF_OTHER_SHAPE: (
        "does not belong to {chosen_by} = {name:toml} but to {owners:toml or}; leave it out or change the {chosen_by}"
    ),
    JobProblem.MISSING_FOR_SHAPE: "is missing for {chosen_by} = {name:toml}",
    JobProblem.NO_CIRCLE_TO_TAKE_FROM: "there is no bolt circle to take {key} from; write {key}",
    JobProblem.NO_JOINT_BETWEEN_UNEVEN: (
        "the holes are not equally spaced, so no joint is surely between two; write first_joint_angle"
    ),
    JobProblem.JOINTS_DO_NOT_DIVIDE: (
        "{hole_count:#hole} cannot be shared by {part_count} parts with every joint midway between two "
        "holes; use a count that {part_count} divides, other parts, or write first_joint_angle"
    ),
    JobProblem.WINDOW_INSIDE_OUT: "its inner_diameter of {inner:g} is not less than the outer one, {outer:g}",
    JobProblem.PLACE_MISSING: "needs its place: either x and y, or radius and angle",
    JobProblem.FACE_HEIGHT_ALONE: "has no raised_face_diameter beside it; add that",
    JobProblem.FACE_HEIGHT_OVER_THICKNESS: "is not less than the thickness; correct one of them",
    JobProblem.LIMITS_WITHOUT_OUTSIDE: (
        "is of an outside diameter, and this outline has none; leave it out, or state tolerances.general"
    ),
    JobProblem.LIMITS_WITHOUT_BORE: "is of the bore, and the plate has none; write plate.bore or leave it out",
    JobProblem.LIMITS_WITHOUT_THICKNESS: "has no plate.thickness beside it; write that or leave it out",
    JobProblem.LIMITS_WITHOUT_CIRCLE: (
        "is of bolt circles, and there is none; leave it out, or write tolerances.position, which is of every hole"
    ),
    JobProblem.LIMITS_WITHOUT_HOLES: "is of holes, and the plate has none; leave it out",
    JobProblem.LIMITS_WITHOUT_DRILLED_HOLES: (
        "is of drilled holes, and all of these are threads, slots or dowels; leave it out"
    ),
    JobProblem.MATERIAL_WITHOUT_POSITION: (
        "is of the zones that tolerances.position states, and there are none; write that or leave it out"
    ),
    JobProblem.GENERAL_BESIDE_BLOCK: (
        "is of the sizes that the lines of tolerances.block tell by their decimals; leave one of them out"
    ),
    JobProblem.NO_HOLE_ON_SEGMENT: "leaves no hole of a bolt circle on the segment; change it",
    JobProblem.MISSING_AND_NOT_IN_STANDARD: "is missing, and {standard} gives none; measure and write it",
    JobProblem.STANDARD_NO_CIRCLE: (
        "{standard} is no circle of equally spaced holes: {note}; write its holes one by one"
    ),
    JobProblem.ANGLES_FIX_EVERY_HOLE: "fix every hole; leave out placement and centerline",
    JobProblem.PAIR_ANGLE_BESIDE_ANGLES: "has no meaning beside angles; leave one of them out",
    JobProblem.SPACING_WITHOUT_MEASURED: (
        "is of the readings, and so must the diameter be; take both from them, or leave this out"
    ),
    JobProblem.READINGS_MISSING: '"{wanted}" needs the readings: add a [survey] with one [[survey.reading]] or more',
    JobProblem.IN_SURVEY: "{told}",
    JobProblem.READINGS_DISAGREE: (
        "the readings contradict each other, so no band holds; this one is farthest off, by {off_by:d}: "
        "measure it again or take it out, or say that they are used anyway"
    ),
    JobProblem.READING_SUSPECT: (
        "is suspect: {off_by:d} off what the others make it ({cause}); without that the bolt circle is "
        "{circle:d}; measure it again or take it out, or say that it is used anyway"
    ),
    JobProblem.HOLES_UNEVEN: (
        "the holes are not equally spaced: they stand at {angles}; ask for the measured spacing to drill "
        "them so, or say that the readings are used anyway"
    ),
    JobProblem.HOLES_MAYBE_UNEVEN: (
        "the readings contradict each other unless the holes stand at {angles}; measure more of them to tell which"
    ),
    JobProblem.NO_STANDARD_FITS: (
        "the readings fit no published drilling; ask for the measured circle, or write the diameter"
    ),
    JobProblem.ONE_NOT_SURE: (
        "the readings fit one published drilling, that of {name}, but it is not sure; read again, elsewhere on the "
        "part, or write it"
    ),
    JobProblem.SEVERAL_FIT: (
        "the readings leave open which published drilling it is, such as {names:and}; write the one meant"
    ),
    JobProblem.SEVERAL_FIT_MEASURE: (
        "the readings leave open which published drilling it is, such as {names:and}; measure {reading} next, "
        "or write the one meant"
    ),
    JobProblem.SEVERAL_FIT_MEASURE_ACROSS: (
        "the readings leave open which published drilling it is, such as {names:and}; measure {reading} of holes "
        "{pitches:#place} apart next, or write the one meant"
    ),
    JobProblem.STANDARD_OPEN: (
        "which published drilling it is cannot be told while the readings contradict each other; write the one meant, "
        "or ask for the measured circle"
    ),
    JobProblem.HOLE_OF_NO_ROW: (
        "the readings fit one circle, published with other holes than {hole:d}, as in {names:and}; write the standard "
        "that is meant, or its hole"
    ),
    JobProblem.HOLE_OF_ANOTHER_ROW: (
        "holes of {hole:d} are those of {names:and}, whose circle the readings leave possible, but that of {likelier} "
        "is likelier; write the standard that is meant"
    ),
    JobProblem.COUNT_DOUBTED: "nothing published fits {given} holes, but {names:or} with {counts:or}; count them again",
    JobProblem.UNIT_DOUBTED: (
        "nothing published fits the readings, but {names:or} if they were read in {unit}; write them with their unit"
    ),
    JobProblem.DIFFERS_FROM_NOTHING: (
        "says what is meant to differ from a standard, but the circle names none; name it or leave this out"
    ),
    JobProblem.LEAD_OUT_ALONE: "has no lead_in beside it; add for example lead_in = 5",
    JobProblem.SAFE_HEIGHT_TOO_LOW: "is not above the clearance; make it higher",
    JobProblem.DEPTH_MISSING: "is missing, and so is plate.thickness; write one of them",
    JobProblem.NO_SUCH_HEAD: (
        '"{written}" is no head in the tables; use {choices:toml }, or add plates = [[15, 16, 17], [21, 23]]'
    ),
    JobProblem.NO_BORE_TO_GO_WITH: "has no bore to go with; add bore or leave this out",
    JobProblem.CHAMFER_OVER_HALF: "is more than half the thickness; make it smaller",
    JobProblem.STYLE_FOR_CUT_PAPER: '"{style}" is for cut paper, not "{paper}"; set paper to {choices:or}',
    JobProblem.NOTHING_TO_DERIVE_FROM: (
        "a {part} is derived from a plate in one piece with holes for bolts; a ring or a disc inside of them, from a "
        "bolt circle with room inside"
    ),
    JobProblem.NO_MIRROR_OF_EDGE: (
        "a {part} is drawn from the face that lies on this plate, and edge and openings of this plate are not the same "
        "in a mirror: draw it by hand, every x with the other sign"
    ),
    JobProblem.OPENING_TO_BE_SAID: "say how far the {part} is open: this plate has no bore",
    JobProblem.THICKNESS_TO_BE_SAID: "say how thick the {part} is; a qualified person decides it",
    JobProblem.NO_ROOM_FOR_HANDLE: "there is no room for the handle of a {part} between the bolts",
    JobProblem.IN_BORDER: "{file}: {told}",
    JobProblem.BORDER_UNREADABLE: '"{written}" cannot be read ({reason}); check the name',
    JobProblem.BORDER_TOO_LARGE: '"{written}" has {size:#byte}; a border has at most {most}',
    JobProblem.NO_SUCH_BORDER: 'there is no border "{written}"; use {choices}, or the path of a file',
    JobProblem.BORDER_PATH_WITHOUT_FILE: '"{written}" is a path, which only a job in a file can use',
    JobProblem.NO_BORDER_FILE: '"{written}" is no border file; its name must end in .toml',
    JobProblem.CELL_BELOW_LAST_ROW: "runs {rows:#row} below the last one; make it smaller",
    JobProblem.CELLS_DO_NOT_FILL_BLOCK: "its cells take {taken:.2f} of the block's {width:.2f}; make the widths add up",
    JobProblem.BLOCK_OVER_FRAME: (
        "{width:.1f} by {height:.1f} does not fit the frame of {paper}, {frame_width:bare .1f} x "
        "{frame_height:.1f}; make the block or the margins smaller"
    ),
    JobProblem.STRIP_OVER_MARGIN: "a strip of {strip:.1f} is wider than the margin of {margin:.1f}",
    JobProblem.LOGO_SHOWN_NOWHERE: 'is shown by no cell; write show = "logo" in one',
    JobProblem.TURNED_SIZE_OF_OTHER_KIND: "does not go with kind = {what:toml}; write {own}",
    JobProblem.GROOVE_WIDTH: "of a groove is its width or its inner_diameter; write one of the two, as in width = 4",
    JobProblem.WIDTH_OF_A_GROOVE: (
        "belongs to a groove, not to kind = {what:toml}; write inner_diameter or leave it out"
    ),
    JobProblem.TIGHTENING_INCOMPLETE: (
        "makes a torque only together with {missing:and}, which the job does not state; write them or leave this out"
    ),
    JobProblem.NO_SUCH_BOLT_CLASS: '"{written}" has no strength in the tables at that size; use {choices:toml or}',
    JobProblem.NO_CIRCLE_OF_MATE: (
        "names no bolt circle; write its letter, its number or its name, as in {choices:toml or}"
    ),
    JobProblem.CIRCLE_HAS_A_MATE: "is the circle of {other}, too; leave one of the two out",
    JobProblem.MATE_NAMED_TWICE: "is there beside standard; write one of the two",
    JobProblem.SPIGOT_WITHOUT_DIAMETER: "has a height or fit without it; write for example spigot_diameter = 180",
    JobProblem.MATE_JOB_WITHOUT_FILE: '"{written}" is a path, which only a job in a file can use',
    JobProblem.MATE_JOB_UNREADABLE: (
        '"{written}" is no job that can be read; look what is wrong with: flangelayout check'
    ),
    JobProblem.NO_TURNED_FIT: (
        "{fit:toml} is no class for a {what} of {diameter}: a hole's has a capital, a shaft's none; "
        "write for example {choices:toml or}"
    ),
    JobProblem.LOGO_OVER_CELL: "reaches {width:bare .1f} x {height:.1f}, beyond its cell; make it smaller",
}
