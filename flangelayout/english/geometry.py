"""Lengths and angles that cannot be read; points, edges and contours that do not make the shape asked for."""

from flangelayout.problems.geometry import GeometryProblem, UnitProblem

_LENGTH = 'write for example "22 mm", "7/8 in" or "2-3/8 in"'
_ANGLE = 'write degrees, for example "22.5 deg"'

SENTENCES = {
    UnitProblem.UNKNOWN_UNIT: '"{written}" has no unit this program knows ("{unit}"); use mm, cm, m or in',
    UnitProblem.NOT_DEGREES: '"{written}" is not in degrees ("{unit}"); write for example "22.5 deg"',
    UnitProblem.NO_LENGTH: f'"{{written}}" is not a length; {_LENGTH}',
    UnitProblem.NO_ANGLE: f'"{{written}}" is not an angle; {_ANGLE}',
    UnitProblem.LENGTH_BY_ZERO: f'"{{written}}" divides by zero; {_LENGTH}',
    UnitProblem.ANGLE_BY_ZERO: f'"{{written}}" divides by zero; {_ANGLE}',
    UnitProblem.COMMA_OF_TWO_MEANINGS: "its comma can mean {pointed} or {joined}; write the one you mean",
    UnitProblem.THOUSANDS: '"{written}" has a sign for thousands; write it without, as in {plain}',
    UnitProblem.SEVERAL_NUMBERS: '"{written}" is more than one number; write one',
    UnitProblem.BEYOND_FLOATS: "a whole number past 1e308 is not a finite number this program can hold",
    UnitProblem.NOT_FINITE: "{written} is not a finite number",
    UnitProblem.BEYOND_LENGTHS: '"{written}" is not a length this program can hold',
    GeometryProblem.TOO_FEW_POINTS: "{count:#point} fix no circle; 3 are needed",
    GeometryProblem.POINTS_ON_A_LINE: "the points lie on one line and fix no circle",
    GeometryProblem.CORNERS_LONGER_THAN_SIDE: "the corner radii need {needed:.2f} of a side that is {side:.2f} long",
    GeometryProblem.SETBACK_LEAVES_NOTHING: "a setback of {setback:.2f} leaves nothing of the ring piece",
    GeometryProblem.SETBACK_OVER_INNER: (
        "half a gap of {setback:.2f} is no less than the inner radius of {inner:.2f}: no end face is left; make the "
        "gap smaller or the inside larger"
    ),
    GeometryProblem.CORNER_OVER_HALF: "a corner radius of {corner:.2f} is more than half the {across:.2f} across",
    GeometryProblem.CORNER_MISSES_INNER_END: (
        "a corner radius of {corner:.2f} does not fit the inner end of the opening"
    ),
    GeometryProblem.NO_TANGENT: "a circle of radius {one:.2f} and one of {other:.2f} have no tangent",
    GeometryProblem.CIRCLE_TOO_SMALL_TO_MOVE: "a circle of radius {radius:.3f} has no room for {by:.3f}",
    GeometryProblem.EDGE_CLOSES_OUTWARD: "the edge closes up when moved out by {by:.3f}",
    GeometryProblem.EDGE_CLOSES_INWARD: "the edge closes up when moved in by {by:.3f}",
    GeometryProblem.EDGE_FALLS_APART_OUTWARD: "the edge falls apart into {pieces} when moved out by {by:.3f}",
    GeometryProblem.EDGE_FALLS_APART_INWARD: "the edge falls apart into {pieces} when moved in by {by:.3f}",
}
