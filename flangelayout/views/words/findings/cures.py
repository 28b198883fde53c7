"""What would put a failed check right, and why a check was not run, in words that name no key of a job file."""

from flangelayout.checks.finding import Cure, Reason

CURES: dict[Cure, str] = {
    Cure.SMALLER_BORE: "make it smaller",
    Cure.SMALLER_FACE: "make it smaller",
    Cure.LARGER_FACE: "make it larger",
    Cure.FACE_OR_SPOTFACE: "make the raised face smaller or spotface",
    Cure.FACE_CLEAR: "make the raised face smaller, or the bolt circle larger",
    Cure.LARGER_PLATE_OR_SMALLER_CIRCLE: "make the plate larger or the circle smaller",
    Cure.FEWER_OR_SMALLER_HOLES: "use fewer or smaller holes",
    Cure.LARGER_PLATE_OR_HOLE_IN: "make the plate larger or move the hole in",
    Cure.SMALLER_OPENING_OR_HOLE_OUT: "make the {opening} smaller or move the hole out",
    Cure.MOVE_OPENING: "make it smaller or move it",
    Cure.MOVE_ONE_OPENING: "make one smaller or move it",
    Cure.TURN_MOVE_OR_SMALLER: "turn one pattern, move it or use smaller holes",
    Cure.SHALLOWER: "make it less deep or the plate thicker",
    Cure.SMALLER_HEAD: "use a smaller screw or a thicker plate",
    Cure.APART_OR_SMALLER: "move the holes apart or use smaller screws",
    Cure.RECESS_IN: "move the hole in or use a smaller screw",
    Cure.FEWER_HOLES_OR_LARGER_CIRCLE: "use fewer or smaller holes, or a larger bolt circle",
    Cure.TURN_OR_TAP: "turn one pattern, move it, or tap the holes of one side for studs (smaller holes)",
    Cure.MORE_EDGE: "make the plate larger, the bolt circle smaller or the holes smaller",
    Cure.MORE_BESIDE_OPENING: "make the {opening} smaller, the bolt circle larger or the holes smaller",
    Cure.SMALLER_BOLT_OR_LARGER_PLATE: "use a smaller bolt or a larger plate",
    Cure.SMALLER_OPENING_OR_LARGER_CIRCLE: "make the {opening} smaller or the bolt circle larger",
    Cure.LARGER_CIRCLE_OR_SMALLER_HUB: "use a larger bolt circle, a smaller hub or weld, or spotface into it",
    Cure.MOVE_TURN_OR_TAP: "move or turn one of them, tap the hole for a stud, or use a smaller bolt",
    Cure.FEWER_BOLTS: "use fewer or smaller bolts, or a larger bolt circle",
    Cure.SOCKET: "use fewer or smaller bolts, or a socket",
    Cure.LARGER_CIRCLE_OR_SOCKET: "use a larger bolt circle, smaller bolts, or turn the nuts with a socket",
    Cure.MORE_BOLTS: "use more bolts, larger bolts, a thicker plate or a softer gasket",
    Cure.TAP_DEEPER: "tap deeper, use a thicker plate, a smaller thread or through bolts",
    Cure.TAP_SHALLOWER: "tap less deep, right through, or use a thicker plate",
    Cure.CLOCK: "{turn}",
    Cure.TAP_ONE_SIDE: (
        "tap one side for studs, use studs welded or screwed in, or a thicker plate with blind tapped holes"
    ),
    Cure.TWO_RINGS: (
        "tap one side for studs (smaller holes), weld in studs, or make the plate of two thinner rings "
        "or thick enough for blind tapped holes from both faces"
    ),
    Cure.KNOWN_BOLT: "write a bolt of the tables, for example M20, 3/4 in or 22 mm",
    Cure.SMALLER_BOLT_OR_LARGER_HOLE: "use a smaller bolt or drill larger holes",
    Cure.LARGER_BOLT_OR_SMALLER_HOLE: "use a larger bolt or drill smaller holes",
    Cure.FIGURE_OF_STANDARD: "drill as the standard does, or name no standard",
    Cure.MATCH_MATE: "drill as the mate is drilled, or name the right mate",
    Cure.CLEAR_OF_MATE: "sink the heads, tap the holes for studs, or use a thicker plate with blind tapped holes",
    Cure.BORE_FOR_SPIGOT: "make the bore as wide, or turn a recess that takes it",
    Cure.RIGHT_UNIT: "is the unit right?",
    Cure.LESS_DEPTH: "drill less deep; is the unit right?",
    Cure.WIDER_GAP: "make the gap as wide as the kerf or wider, or nest the parts apart from each other",
    Cure.DRILL_SMALL_HOLES: "cut them undersize for drilling, or mark the center only",
    Cure.LETTERS_WITH_SIGNS: "write it in Latin, Greek or Cyrillic letters to see it",
    Cure.LETTERS_WITH_STROKES: "use letters and digits without accents",
    Cure.READ_OR_WRITE: "measure again, or draw what the readings say",
}
"""Every cure; ``{opening}`` and ``{turn}`` are filled in by what it is about."""

REASONS: dict[Reason, str] = {
    Reason.LEFT_OUT: "left out by the job or the shop file",
    Reason.HUB_DIAMETER: "needs the diameter of the hub or pipe",
    Reason.THICKNESS: "needs the thickness of the plate",
    Reason.BOLT: "needs the bolt",
    Reason.NUT_TABLE: "no table has a nut for that bolt",
    Reason.WRENCH_TABLE: "no table has room for a wrench on that bolt",
    Reason.HOLE_TABLE: "no table has a hole for that bolt",
    Reason.THREAD_TABLE: "no table has that thread",
    Reason.GASKET: "needs the factor of the gasket, or a greatest bolt spacing",
    Reason.MATE: "needs the mate by its designation",
    Reason.MATE_HOLES: "the mate's table has no through holes at equal angles",
    Reason.MATE_BORE: "needs the bore of the mate, which no table has",
    Reason.BORE: "needs a bore, or a recess that is turned apart from this drawing",
    Reason.CONTRADICTION: "the job contradicts itself; mend that first",
    Reason.READINGS: "the readings contradict each other",
}
