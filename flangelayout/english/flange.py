"""Holes, their groups and outlines that contradict themselves."""

from flangelayout.problems.flange import FlangeProblem

SENTENCES = {
    FlangeProblem.CIRCLE_SIZE_NOT_ABOVE_ZERO: "bolt circle {key} must be greater than 0, not {value:g}",
    FlangeProblem.HOLE_COUNT_OUT_OF_RANGE: "hole_count must be 1 to {most}, not {hole_count}",
    FlangeProblem.ANGLES_FOR_OTHER_COUNT: "{angle_count:#angle} are given for {hole_count:#hole}",
    FlangeProblem.SKIPPED_HOLE_UNKNOWN: "hole {number} cannot be skipped: the holes are numbered 1 to {hole_count}",
    FlangeProblem.EVERY_HOLE_SKIPPED: "every hole is skipped; leave the bolt circle out instead",
    FlangeProblem.NO_COMMON_CHORD: "an unequally spaced circle has no common chord",
    FlangeProblem.NO_PAIRS: (
        "{hole_count:#hole} cannot stand in pairs {pair_angle:g} degrees apart; the count must be even "
        "and the angle less than {pitch:g} degrees"
    ),
    FlangeProblem.NO_THREAD_LEFT: "a tap drill of {diameter:g} leaves no thread of {thread}",
    FlangeProblem.COUNTERSINK_NO_CONE: "a countersink of {angle:g} degrees is no cone; 90 or 82 is usual",
    FlangeProblem.COUNTERSINK_NOT_WIDER: "a countersink of {wide:g} is not wider than its hole of {hole:g}",
    FlangeProblem.COUNTERBORE_NOT_WIDER: "a counterbore of {wide:g} is not wider than its hole of {hole:g}",
    FlangeProblem.SPOTFACE_NOT_WIDER: "a spotface of {wide:g} is not wider than its hole of {hole:g}",
    FlangeProblem.SLOT_NOT_LONGER: "a slot {length:g} long is not longer than its width of {width:g}",
    FlangeProblem.SLOT_IN_THE_MIDDLE: "a slot along the circle cannot stand in the middle of the plate",
    FlangeProblem.HOLE_NOT_WIDER_THAN_ZERO: "a hole must be wider than 0, not {diameter:g}",
    FlangeProblem.RECTANGLE_TOO_FEW: "a rectangle has 2 or more holes along each side, corners included",
    FlangeProblem.GRID_TOO_FEW: "a grid has one column and one row at least",
    FlangeProblem.STAGGERED_TOO_FEW: "a staggered grid has two columns at least",
    FlangeProblem.RING_WITHOUT_HOLE: "every ring has one hole at least",
    FlangeProblem.RING_OF_NO_DIAMETER: "{hole_count:#hole} cannot stand on a ring of no diameter; write 1",
    FlangeProblem.TOO_MANY_HOLES: "{count:#hole} are more than the {most} one pattern can have",
    FlangeProblem.NO_HOLE_WITHIN_LIMITS: "no hole of the pattern lies within its limits; change them",
    FlangeProblem.OVAL_ENDS_WIDER: "ends of radius {end_radius:g} are wider than the oval, {width:g}",
    FlangeProblem.OVAL_NOT_LONGER: "an oval {length:g} long is not longer than its width of {width:g}",
    FlangeProblem.LOZENGE_ENDS_INSIDE: (
        "ends of radius {end_radius:g} on {length:g} do not stand out of a middle of {middle_diameter:g}"
    ),
    FlangeProblem.LUGS_MEET: (
        "{lug_count:#lug} with their root radii take {taken:.2f} degrees each of a body of "
        "{body_diameter:g}, and only {pitch:.2f} are there"
    ),
    FlangeProblem.LUGS_INSIDE: "lugs on a circle of {lug_circle:g} do not stand out of the body",
    FlangeProblem.LUG_WITHIN_ROOT: (
        "a lug on a circle of {lug_circle:g} ends within its root radius of {root_radius:g}; make the "
        "circle larger or the radius smaller"
    ),
    FlangeProblem.LUG_WIDER_THAN_BODY: "a lug {width:g} wide is wider than its body of {body_diameter:g}",
    FlangeProblem.HANDLE_CORNERS: "corners of {corner:g} are more than half the handle's {handle_width:g}",
    FlangeProblem.HANDLE_TOO_SHORT: (
        "a handle that ends {length:g} from the middle has no straight side left beyond a disc of "
        "{outside_diameter:g} with its radii; make it longer"
    ),
    FlangeProblem.DISCS_OVERLAP: (
        "discs of {outside_diameter:g} overlap {center_distance:g} apart; set them farther apart"
    ),
    FlangeProblem.WEB_RADII_MEET: (
        "the root radii of {root_radius:g} reach {reach:.2f} from the middle of a disc and meet half "
        "way, at {half_way:.2f}; make them smaller"
    ),
    FlangeProblem.CORNER_ON_CORNER: "corner {corner} lies on the one before it; leave one of them out",
    FlangeProblem.ROUNDED_BESIDE_ARC: (
        "the corner at ({x:bare g}, {y:bare g}) has an arc beside it; only a corner of two lines can be rounded"
    ),
    FlangeProblem.CORNER_RADII_TOO_LARGE: (
        "the radii at the ends of the side to corner {corner} need more than its {side:.2f}; make them smaller"
    ),
    FlangeProblem.ARC_TOO_SHORT: (
        "an arc of radius {radius:g} cannot reach corner {corner}, {chord:.3f} away; the least radius is {least:.3f}"
    ),
    FlangeProblem.PATH_CROSSES_ITSELF: (
        "the path crosses itself near ({x:bare .1f}, {y:bare .1f}); put the corners in order"
    ),
    FlangeProblem.PATH_ENCLOSES_NOTHING: "the path encloses nothing",
    FlangeProblem.HOLE_SAID_TWICE_OR_NEVER: "a bolt circle needs either its hole_diameter or its whole drilling",
    FlangeProblem.NO_SUCH_CHOICE: '{key} must be {choices:or}, not "{written}"',
    FlangeProblem.ANGLE_NO_NUMBER: "an angle of a bolt circle must be a number of degrees",
    FlangeProblem.PAIRS_BESIDE_ANGLES: "angles fix every hole; a pair_angle has no meaning beside them",
    FlangeProblem.PATTERN_SIZE_NO_NUMBER: "a size of a pattern must be a number",
    FlangeProblem.NO_DRILLING: "a single hole is made from a drilling such as Drilling(10.0), not {given}",
    FlangeProblem.SIZE_NOT_ABOVE_ZERO: "{key} must be greater than 0, not {value:g}",
    FlangeProblem.SIZE_BELOW_ZERO: "{key} must be 0 or more, not {value:g}",
    FlangeProblem.DIRECTION_NO_NUMBER: "{key} must be a number of degrees, not {value:g}",
    FlangeProblem.PARTS_TOO_FEW: "a ring in parts has 2 or more of them, not {part_count}",
    FlangeProblem.NOTHING_OF_RING: "an inside of {inside:g} leaves nothing of a ring of {outside:g}",
    FlangeProblem.NO_OUTLINE: "the outline of a flange is an outline such as RoundOutline(285.0), not {given}",
    FlangeProblem.NO_GROUPS: "{key} of a flange must be a tuple of such holes, not {given}",
    FlangeProblem.SINGLE_HOLES_DO_NOT_REPEAT: "single holes do not repeat round the plate",
    FlangeProblem.UNEVEN_HOLES_DO_NOT_REPEAT: (
        "holes that are not equally spaced, or skipped, do not repeat round the plate"
    ),
    FlangeProblem.SLOTS_DO_NOT_REPEAT: "slots along a centerline do not repeat round the plate",
    FlangeProblem.COUNTS_DO_NOT_REPEAT: "{counts:and} holes have no sector that repeats",
    FlangeProblem.NO_RAY_BETWEEN_HOLES: "no ray passes between its holes to step a sector by",
    FlangeProblem.STRIPS_WITHOUT_BORE: (
        "strips are laid to the edge of a bore that is already cut, and this plate has none"
    ),
    FlangeProblem.SLOTS_NOT_ON_STRIPS: "slots along a centerline would stand another way on every strip",
    FlangeProblem.RING_NOT_ROUND: "only a round plate is drilled by sectors or strips",
    FlangeProblem.RING_WITH_MORE: (
        "only a plate with nothing but bolt circles and a bore is drilled by sectors or strips"
    ),
    FlangeProblem.RING_WITHOUT_CIRCLE: "a plate without a bolt circle is not drilled by sectors or strips",
    FlangeProblem.TURNED_INSIDE_OUT: (
        "an inner diameter of {inner:g} does not lie inside a diameter of {outer:g}; make it smaller"
    ),
    FlangeProblem.TURNED_ACROSS_AN_EDGE: (
        "the {what} of {diameter:g} crosses the edge of something else on its face; "
        "keep it whole inside or outside of that"
    ),
}
