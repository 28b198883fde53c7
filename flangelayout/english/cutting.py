"""Kerfs that do not fit, and cuts that run into each other."""

from flangelayout.problems.cutting import CuttingProblem

_NARROWER = "use a process with a narrower kerf"

SENTENCES = {
    CuttingProblem.UNDERSIZE_LEAVES_NOTHING: (
        "{undersize} less leaves too little to cut of {of}, {size}; use less, or mark the center only "
        '(cut = "center mark only")'
    ),
    CuttingProblem.KERF_CLOSES: (
        "a kerf of {kerf} closes {of}, {size}; use a process with a narrower kerf, or mark the center only "
        '(cut = "center mark only")'
    ),
    CuttingProblem.KERF_CLOSES_NOTCH: (
        "a kerf of {kerf} does not fit into a notch of the {of}, {size}; widen the notch"
    ),
    CuttingProblem.KERF_LEAVES_UNCUT: (
        "a kerf of {kerf} does not fit into a notch, slot or corner of {of}, {size}: about X {x:bare d} Y {y:d} "
        f"it stops {{short:d}} short of the edge; widen the place, or {_NARROWER}"
    ),
    CuttingProblem.KERF_MEETS_ITSELF: (
        "a kerf of {kerf} is as wide as a notch or slot of {of}: about X {x:bare d} Y {y:d} its path runs into "
        f"itself; widen the place, or {_NARROWER}"
    ),
    CuttingProblem.KERF_OVER_GAP: (
        "a kerf of {kerf} is wider than the gap of {gap} between the parts: every cut would take metal of the part "
        "beside it; make plate.gap at least {kerf}, or cut the parts apart from each other (flangelayout nest)"
    ),
    CuttingProblem.CUTS_MEET_BY_KERF: (
        "with a kerf of {kerf} the cuts of {of} and {other} run into each other about X {x:bare d} Y {y:d}; "
        f"move them apart, or {_NARROWER}"
    ),
    CuttingProblem.CUTS_MEET: (
        "the cuts of {of} and {other} run into each other about X {x:bare d} Y {y:d}; move them apart"
    ),
    CuttingProblem.CUT_MEETS_ITSELF: ("the cut of {of} runs into itself about X {x:bare d} Y {y:d}; correct its edge"),
}
