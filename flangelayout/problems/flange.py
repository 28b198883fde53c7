"""What can be wrong with holes, their groups, and the outline of a plate."""

from enum import auto

from flangelayout.problems.kind import ProblemKind


class FlangeProblem(ProblemKind):
    """Of one hole, one group or one outline."""

    CHORD_FIXES_NO_CIRCLE = auto()
    CIRCLE_SIZE_NOT_ABOVE_ZERO = auto()
    HOLE_COUNT_OUT_OF_RANGE = auto()
    ANGLES_FOR_OTHER_COUNT = auto()
    SKIPPED_HOLE_UNKNOWN = auto()
    EVERY_HOLE_SKIPPED = auto()
    NO_COMMON_CHORD = auto()
    NO_PAIRS = auto()
    NO_THREAD_LEFT = auto()
    COUNTERSINK_NO_CONE = auto()
    COUNTERSINK_NOT_WIDER = auto()
    COUNTERBORE_NOT_WIDER = auto()
    SPOTFACE_NOT_WIDER = auto()
    SLOT_NOT_LONGER = auto()
    SLOT_IN_THE_MIDDLE = auto()
    HOLE_NOT_WIDER_THAN_ZERO = auto()
    RECTANGLE_TOO_FEW = auto()
    GRID_TOO_FEW = auto()
    STAGGERED_TOO_FEW = auto()
    RING_WITHOUT_HOLE = auto()
    RING_OF_NO_DIAMETER = auto()
    TOO_MANY_HOLES = auto()
    NO_HOLE_WITHIN_LIMITS = auto()
    OVAL_ENDS_WIDER = auto()
    OVAL_NOT_LONGER = auto()
    LOZENGE_ENDS_INSIDE = auto()
    LUGS_MEET = auto()
    LUGS_INSIDE = auto()
    LUG_WITHIN_ROOT = auto()
    LUG_WIDER_THAN_BODY = auto()
    HANDLE_CORNERS = auto()
    HANDLE_TOO_SHORT = auto()
    DISCS_OVERLAP = auto()
    WEB_RADII_MEET = auto()
    CORNER_ON_CORNER = auto()
    ROUNDED_BESIDE_ARC = auto()
    CORNER_RADII_TOO_LARGE = auto()
    ARC_TOO_SHORT = auto()
    PATH_CROSSES_ITSELF = auto()
    PATH_ENCLOSES_NOTHING = auto()
