"""What is to be noticed about a cut file and a drilling program: small holes, kerf and leads, marks, depth."""

from collections.abc import Iterator, Sequence

from flangelayout.checks.cut_facts import (
    BoreThere,
    CornersRounded,
    CutHoles,
    DrillDepth,
    KerfInGap,
    KerfTaken,
    LeadsDrawn,
    LeadsLeftOff,
    Overcut,
    ProgramLeftOut,
    Signs,
    TabsLeft,
)
from flangelayout.checks.finding import Bound, Finding, Place, Reason, Remedy, Result, judged, not_run, noted, ref
from flangelayout.checks.joint_facts import LeftToMachine
from flangelayout.checks.limits import Base, Ground, Limit, Published
from flangelayout.checks.measuring import form_sizes
from flangelayout.checks.rule import Rule
from flangelayout.drawing.strokes import unmarkable
from flangelayout.flange import Flange, Hole, Slot, SplitOutline, through_shape
from flangelayout.flange.cut_plan import PlannedCut, cut_words, kerf_fits_gap, plan_cut
from flangelayout.flange.cutting import (
    CutOptions,
    DrillingOptions,
    HoleCut,
    Mark,
    NoProgram,
    SmallestHole,
    hole_cut,
    is_drilled,
)
from flangelayout.flange.hole import DRILL_POINT
from flangelayout.geometry.lead import NoLead, lead_size
from flangelayout.geometry.pieces import length_of
from flangelayout.geometry.shapes import Arc, Line
from flangelayout.standards.practice import DRILL_BEYOND
from flangelayout.value import replace

_ALIKE = 1e-6
"""Lengths in mm below which two leads are as long as each other."""


def check_cutting(flange: Flange, options: CutOptions, number: str) -> tuple[Finding, ...]:
    """How a plate is cut, none of it a contradiction; nothing where the job asks for nothing.

    Args:
        flange: What is made.
        options: How it is cut.
        number: Part number, for the marks.
    """
    return (
        *_holes(flange, options),
        *_openings(flange, options),
        *_left(flange),
        *_bore_there(flange),
        *_file(options),
        *_paths(flange, options),
        *_letters(options, number),
        *((noted(Rule.CUT_MACHINED, Place("turned"), LeftToMachine()),) if flange.turned else ()),
    )


def check_drill_depth(flange: Flange, depth: float | None) -> Iterator[Finding]:
    """The depth that a job states for its drilling program, against the plate."""
    if depth is None:
        return
    place = Place("machine.depth")
    if flange.thickness is None:
        yield not_run(Rule.DRILL_DEPTH, place, Reason.THICKNESS)
        return
    widest = max((hole.diameter for hole in flange.holes()), default=0.0)
    limit = Limit(flange.thickness + DRILL_POINT * widest + DRILL_BEYOND, Ground.BREAKTHROUGH)
    facts = DrillDepth(flange.thickness)
    yield judged(Rule.DRILL_DEPTH, place, facts, depth, limit, Remedy.LESS_DEPTH, Bound.AT_MOST)


def check_program(flange: Flange, options: DrillingOptions) -> Iterator[Finding]:
    """Why no drilling program is written, where none can be: one feed and speed serve one drill only."""
    sizes = tuple(sorted({hole.diameter for hole in flange.holes() if is_drilled(hole)}))
    why: NoProgram | None = None
    if not sizes:
        why = NoProgram.NOTHING
    elif options.feed is None or options.speed is None:
        why = NoProgram.FEED_AND_SPEED
    elif len(sizes) > 1:
        why = NoProgram.SEVERAL_DRILLS
    elif any(finding.failed for finding in check_drill_depth(flange, options.depth)):
        why = NoProgram.TOO_DEEP
    if why is not None:
        yield noted(Rule.DRILL_PROGRAM, Place("machine.files"), ProgramLeftOut(why, sizes))


def _holes(flange: Flange, options: CutOptions) -> Iterator[Finding]:
    """One finding for the holes of a group that share size and fate."""
    alike: dict[tuple[int, float, float | None, HoleCut], list[Hole]] = {}
    for hole in flange.holes():
        if not hole.is_hidden:
            is_cut = through_shape(hole) is not None
            choice = hole_cut(hole, options, flange.thickness) if is_cut else HoleCut.CENTER_MARK
            alike.setdefault((hole.group, hole.diameter, _slot_length(hole), choice), []).append(hole)
    for (group, _, _, choice), holes in alike.items():
        holes_at = tuple(map(ref, holes)) if group < 0 else ()
        place = Place(f"{flange.group_key(group)}.cut", group, holes_at)
        yield from _fate(flange, options, choice, holes, place)


def _openings(flange: Flange, options: CutOptions) -> Iterator[Finding]:
    """What is cut beside holes and is as narrow as they are: a bore, an opening; of several alike the first."""
    told: set[int] = set()
    for index, opening in enumerate(flange.cutouts()):
        sizes = [flange.bore] if not opening.number else [size for _, size in form_sizes(opening)]
        width = min((size for size in sizes if size is not None), default=None)
        is_cut = width is not None and not (opening.is_bore and flange.bore_cut)
        if options.smallest is not None and width is not None and is_cut and opening.number not in told:
            told.add(opening.number)
            facts = CutHoles(1, width, options.process)
            yield _cut_well(flange, options, options.smallest, facts, Place("cut.process", opening=index))


def _left(flange: Flange) -> Iterator[Finding]:
    """One finding for the holes of a group of which the table makes nothing: they are blind from the other face."""
    alike: dict[tuple[int, float], list[Hole]] = {}
    for hole in flange.holes():
        if hole.is_hidden:
            alike.setdefault((hole.group, hole.diameter), []).append(hole)
    for (group, diameter), holes in alike.items():
        place = Place(f"{flange.group_key(group)}.worked_from", group, tuple(map(ref, holes)) if group < 0 else ())
        yield noted(Rule.CUT_LEFT, place, CutHoles(len(holes), diameter))


def _bore_there(flange: Flange) -> Iterator[Finding]:
    if flange.bore is not None and flange.bore_cut:
        yield noted(Rule.CUT_BORE_THERE, Place("plate.bore_cut"), BoreThere(flange.bore))


def _fate(flange: Flange, options: CutOptions, choice: HoleCut, holes: list[Hole], place: Place) -> Iterator[Finding]:
    facts = CutHoles(len(holes), holes[0].diameter, options.process, slot_length=_slot_length(holes[0]))
    match choice:
        case HoleCut.AS_DRAWN:
            if options.smallest is not None:
                yield _cut_well(flange, options, options.smallest, facts, place)
        case HoleCut.UNDERSIZE:
            yield noted(Rule.CUT_UNDERSIZE, place, replace(facts, undersize=options.undersize))
        case HoleCut.CENTER_MARK:
            yield noted(Rule.CUT_CENTER_MARK, place, facts)


def _slot_length(hole: Hole) -> float | None:
    return hole.kind.length if isinstance(hole.kind, Slot) else None


def _cut_well(flange: Flange, options: CutOptions, smallest: SmallestHole, facts: CutHoles, place: Place) -> Finding:
    """A hole that is cut as drawn against the least that the process cuts well."""
    place = replace(place, key="cut.process")
    least = smallest.diameter(flange.thickness)
    if least is None:
        return not_run(Rule.SMALLEST_CUT_HOLE, replace(place, key="plate.thickness"), Reason.THICKNESS)
    by_thickness = bool(smallest.per_thickness) and least > smallest.at_least
    share, base = (smallest.per_thickness, Base.THICKNESS) if by_thickness else (None, None)
    limit = Limit(least, Published(smallest.origin), share, base)
    cure = Remedy.DRILL_SMALL_HOLES if place.opening is None else Remedy.FINER_CUT
    return judged(Rule.SMALLEST_CUT_HOLE, place, facts, facts.diameter, limit, cure)


def _file(options: CutOptions) -> Iterator[Finding]:
    """What the operator must know before the file runs: that the controller must not do it again."""
    if options.kerf > 0:
        yield noted(Rule.CUT_KERF, Place("cut.kerf"), KerfTaken(options.kerf))


def _paths(flange: Flange, options: CutOptions) -> Iterator[Finding]:
    """What the kerf makes of gaps and corners, and the leads as they can be drawn."""
    if options.is_nominal:
        return
    outline, apart = flange.outline, False
    if isinstance(outline, SplitOutline) and options.kerf > 0:
        apart = not kerf_fits_gap(outline, options.kerf)
        gap, facts = Limit(outline.gap, Ground.GEOMETRY), KerfInGap(options.kerf)
        yield judged(Rule.KERF_IN_GAP, Place("cut.kerf"), facts, options.kerf, gap, Remedy.WIDER_GAP, Bound.AT_MOST)
    cuts = plan_cut(flange, options, apart=apart).cuts
    for cut in cuts:
        if cut.rounded:
            short = max(each.short for each in cut.rounded)
            rounded = CornersRounded(cut_words(cut.of), len(cut.rounded), options.kerf / 2, short)
            yield noted(Rule.CUT_CORNERS, Place("cut.kerf"), rounded)
    if options.lead_in > 0:
        yield from _leads(cuts)
    if options.overcut > 0:
        yield noted(Rule.CUT_OVERCUT, Place("cut.overcut"), Overcut(options.overcut))
    if options.tabs:
        count = sum(max(len(cut.ways) - 1, 0) for cut in cuts)
        yield noted(Rule.CUT_TABS, Place("cut.tabs"), TabsLeft(count, options.tab_width, options.kerf > 0))


def _leads(cuts: Sequence[PlannedCut]) -> Iterator[Finding]:
    place = Place("cut.lead_in")
    leads = [cut.lead_in for cut in cuts if isinstance(cut.lead_in, Line | Arc)]
    if leads:
        into = [lead_size(lead) for lead in leads]
        arc_length = max((length_of(lead) for lead in leads if isinstance(lead, Arc)), default=None)
        out = max((lead_size(cut.lead_out) for cut in cuts if cut.lead_out is not None), default=0.0)
        some_shorter = max(into) - min(into) > _ALIKE
        yield noted(Rule.CUT_LEADS, place, LeadsDrawn(max(into), out, arc_length, some_shorter))
    for why in NoLead:
        bare = tuple(cut_words(cut.of) for cut in cuts if cut.lead_in is why)
        if bare:
            yield noted(Rule.CUT_NO_LEAD, place, LeadsLeftOff(bare, why))


def _letters(options: CutOptions, number: str) -> Iterator[Finding]:
    """Whether the part number can be marked."""
    if Mark.NUMBER in options.marks:
        missing = unmarkable(number)
        result, cure = (Result.FAILED, Remedy.LETTERS_WITH_STROKES) if missing else (Result.PASSED, None)
        yield Finding(Rule.MARK_LETTERS, result, Place("job.number"), Signs(missing), cure=cure)
