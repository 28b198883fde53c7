"""Points, edges and contours that do not make the shape asked for."""

from flangelayout.problems.geometry import GeometryProblem

SENTENCES = {
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
