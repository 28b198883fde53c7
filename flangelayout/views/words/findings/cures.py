"""What would put a failed check right, and why a check was not run, in words that name no key of a job file."""

from flangelayout.checks.finding import Reason, Remedy

CURES: dict[Remedy, str] = {
    Remedy.SMALLER_BORE: "make it smaller",
    Remedy.SMALLER_FACE: "make it smaller",
    Remedy.LARGER_FACE: "make it larger",
    Remedy.FACE_OR_SPOTFACE: "make the raised face smaller or spotface",
    Remedy.FACE_CLEAR: "make the raised face smaller, or the bolt circle larger",
    Remedy.LARGER_PLATE_OR_SMALLER_CIRCLE: "make the plate larger or the circle smaller",
    Remedy.FEWER_OR_SMALLER_HOLES: "use fewer or smaller holes",
    Remedy.LARGER_PLATE_OR_HOLE_IN: "make the plate larger or move the hole in",
    Remedy.SMALLER_OPENING_OR_HOLE_OUT: "make the {opening} smaller or move the hole out",
    Remedy.MOVE_OPENING: "make it smaller or move it",
    Remedy.MOVE_ONE_OPENING: "make one smaller or move it",
    Remedy.TURN_MOVE_OR_SMALLER: "turn one pattern, move it or use smaller holes",
    Remedy.SHALLOWER: "make it less deep or the plate thicker",
    Remedy.SMALLER_HEAD: "use a smaller screw or a thicker plate",
    Remedy.APART_OR_SMALLER: "move the holes apart or use smaller screws",
    Remedy.RECESS_IN: "move the hole in or use a smaller screw",
    Remedy.FEWER_HOLES_OR_LARGER_CIRCLE: "use fewer or smaller holes, or a larger bolt circle",
    Remedy.TURN_OR_TAP: "turn one pattern, move it, or tap the holes of one side for studs (smaller holes)",
    Remedy.MORE_EDGE: "make the plate larger, the bolt circle smaller or the holes smaller",
    Remedy.MORE_BESIDE_OPENING: "make the {opening} smaller, the bolt circle larger or the holes smaller",
    Remedy.SMALLER_BOLT_OR_LARGER_PLATE: "use a smaller bolt or a larger plate",
    Remedy.SMALLER_OPENING_OR_LARGER_CIRCLE: "make the {opening} smaller or the bolt circle larger",
    Remedy.LARGER_CIRCLE_OR_SMALLER_HUB: "use a larger bolt circle, a smaller hub or weld, or spotface into it",
    Remedy.MOVE_TURN_OR_TAP: "move or turn one of them, tap the hole for a stud, or use a smaller bolt",
    Remedy.FEWER_BOLTS: "use fewer or smaller bolts, or a larger bolt circle",
    Remedy.SOCKET: "use fewer or smaller bolts, or a socket",
    Remedy.LARGER_CIRCLE_OR_SOCKET: "use a larger bolt circle, smaller bolts, or turn the nuts with a socket",
    Remedy.MORE_BOLTS: "use more bolts, larger bolts, a thicker plate or a softer gasket",
    Remedy.TAP_DEEPER: "tap deeper, use a thicker plate, a smaller thread or through bolts",
    Remedy.TAP_SHALLOWER: "tap less deep, right through, or use a thicker plate",
    Remedy.CLOCK: "{turn}",
    Remedy.TAP_ONE_SIDE: (
        "tap one side for studs, use studs welded or screwed in, or a thicker plate with blind tapped holes"
    ),
    Remedy.TWO_RINGS: (
        "tap one side for studs (smaller holes), weld in studs, or make the plate of two thinner rings "
        "or thick enough for blind tapped holes from both faces"
    ),
    Remedy.KNOWN_BOLT: "write a bolt of the tables, for example M20, 3/4 in or 22 mm",
    Remedy.SMALLER_BOLT_OR_LARGER_HOLE: "use a smaller bolt or drill larger holes",
    Remedy.LARGER_BOLT_OR_SMALLER_HOLE: "use a larger bolt or drill smaller holes",
    Remedy.FIGURE_OF_STANDARD: "drill as the standard does, or name no standard",
    Remedy.MATCH_MATE: "drill as the mate is drilled, or name the right mate",
    Remedy.CLEAR_OF_MATE: "sink the heads, tap the holes for studs, or use a thicker plate with blind tapped holes",
    Remedy.BORE_FOR_SPIGOT: "make the bore as wide, or turn a recess that takes it",
    Remedy.RIGHT_UNIT: "is the unit right?",
    Remedy.LESS_DEPTH: "drill less deep; is the unit right?",
    Remedy.WIDER_GAP: "make the gap as wide as the kerf or wider, or nest the parts apart from each other",
    Remedy.DRILL_SMALL_HOLES: "cut them undersize for drilling, or mark the center only",
    Remedy.LETTERS_WITH_SIGNS: "write it in Latin, Greek or Cyrillic letters to see it",
    Remedy.LETTERS_WITH_STROKES: "use letters and digits without accents",
    Remedy.READ_OR_WRITE: "measure again, or draw what the readings say",
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
