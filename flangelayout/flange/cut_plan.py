"""What a table cuts of a plate and how: every path with the kerf taken up, its leads, the order of cutting.

No path of a plan crosses, touches or lies in another, and none meets itself: that is held against the finished
paths, whatever the outline is.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.facts import Length, Unit
from flangelayout.flange.cutting import CutOptions, HoleCut, LeadShape, hole_cut
from flangelayout.flange.hole import Hole, through_shape
from flangelayout.flange.plate import Flange, Opening
from flangelayout.flange.segments import SplitOutline, joint_cuts, ring_edges
from flangelayout.geometry.clashes import Clash, Path, clashes
from flangelayout.geometry.lead import LeadsWanted, NoLead, OtherCuts, led, led_line
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.offset import Unreached, grown, unreached
from flangelayout.geometry.pieces import Piece
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, extent
from flangelayout.problems.cutting import CuttingProblem
from flangelayout.units import size_text
from flangelayout.value import replace

LEAD_SPACING = 1.0
"""Metal in mm left between the kerf of a lead and any other cut's (common practice, no source)."""

LEAST_CUT = 1.0
"""Width in mm of the narrowest hole that is cut at all (common practice, no source)."""

_ALIKE = 1e-6
"""Lengths in mm below which a kerf and a gap are the same."""


_MOST_TOLD = 10
"""Clashes that are told one by one."""


class PartEdge(Struct, frozen=True):
    """The edge of a part of the plate: numbered from 1, or 0 where it is in one piece."""

    number: int


class JointCut(Struct, frozen=True):
    """One cut that parts two neighbors of a ring, numbered from 1."""

    number: int


Cut = Hole | Opening | PartEdge | JointCut


class PlannedCut(Struct, frozen=True):
    """One cut.

    Attributes:
        of: What it makes.
        path: What the cutter follows.
        lead_in: From the pierce to the path; why there is none; ``None`` where none is asked for.
        lead_out: From the path into the scrap.
        rounded: Corners that come out rounder than drawn.
        ways: What the cutter follows from pierce to end, leads and all, in order: one open path, or one for each
            stretch between two tabs; none where the file holds the closed path.
        tab_leads: To where a way begins behind a tab.
    """

    of: Cut
    path: Path
    lead_in: Piece | NoLead | None = None
    lead_out: Piece | None = None
    rounded: tuple[Unreached, ...] = ()
    ways: tuple[Contour, ...] = ()
    tab_leads: tuple[Piece, ...] = ()

    @property
    def leads(self) -> tuple[Piece, ...]:
        """Every lead there is, from the pierce on."""
        into = (self.lead_in,) if isinstance(self.lead_in, Line | Arc) else ()
        out = (self.lead_out,) if self.lead_out is not None else ()
        return (*into, *self.tab_leads, *out)

    @property
    def is_inside(self) -> bool:
        """Whether what it cuts out is thrown away."""
        return isinstance(self.of, Hole | Opening)

    @property
    def size(self) -> float:
        """The longer side in mm of what it takes up; alike for what is alike, wherever it lies."""
        if isinstance(self.path, Circle):
            return 2 * self.path.radius
        box = extent(self.path)
        return round(max(box.width, box.height), 6)


class CutPlan(Struct, frozen=True):
    """What the table makes of a plate.

    Attributes:
        cuts: In order.
        marked: Holes whose centers are marked instead.
        left: Holes of which it makes nothing: a mark on this face would have them drilled from the wrong one.
    """

    cuts: tuple[PlannedCut, ...]
    marked: tuple[Hole, ...]
    left: tuple[Hole, ...]


def plan_cut(flange: Flange, options: CutOptions, unit: Unit = Unit.MM, apart: bool = False) -> CutPlan:
    """How a plate is cut: inside before outside, small before large; a bore that is there already is not.

    Args:
        flange: The plate.
        options: Kerf, leads, what is made of small holes.
        unit: Of the numbers in messages.
        apart: Whether the parts of a ring are laid apart from each other later, in a nest.

    Raises:
        InputError: If the kerf closes a hole or does not fit into a gap, notch, slot or corner, or if two cuts run
            into each other.
    """
    holes = flange.holes()
    wanted = [(hole, _hole_path(hole, options, flange.thickness, unit)) for hole in holes]
    inside: list[tuple[Cut, Path]] = [(hole, path) for hole, path in wanted if path is not None]
    inside += [(each, each.shape) for each in flange.cutouts() if not (each.is_bore and flange.bore_cut)]
    small_first = sorted((_kerfed(*each, options.kerf, unit) for each in inside), key=lambda cut: cut.size)
    edges = _edges(flange, options.kerf, unit, apart)
    cuts = [*small_first, *(_kerfed(*each, options.kerf, unit) for each in edges)]
    if not apart:
        _refuse_clashes(cuts, options.kerf, unit)
    led_cuts = _with_ways(cuts, options) if options.has_ways else cuts
    uncut = [hole for hole, path in wanted if path is None]
    left = tuple(hole for hole in uncut if hole.is_hidden)
    return CutPlan(tuple(led_cuts), tuple(hole for hole in uncut if not hole.is_hidden), left)


def _edges(flange: Flange, kerf: float, unit: Unit, apart: bool) -> Iterator[tuple[Cut, Path]]:
    """The edge of every part; of a ring whose parts share their joints these, while its middle holds it, and its edges.

    Raises:
        InputError: If the kerf is wider than the gap between the parts of a ring.
    """
    outline, parts = flange.outline, flange.pieces()
    if isinstance(outline, SplitOutline) and not apart and _shares_joints(outline, kerf, unit):
        outside, inside = ring_edges(outline)
        yield from ((JointCut(number), cut) for number, cut in enumerate(joint_cuts(outline, kerf / 2), 1))
        yield Opening(inside, 0, "bore"), inside
        yield PartEdge(0), outside
    else:
        yield from ((PartEdge(number if len(parts) > 1 else 0), part) for number, part in enumerate(parts, 1))


def cut_words(of: Cut) -> str:
    """What a cut is called: ``bolt circle A, hole 3``, ``outline of part 2``."""
    match of:
        case Hole():
            return of.source
        case Opening():
            return of.name
        case PartEdge(number):
            return f"outline of part {number}" if number else "outline"
        case JointCut(number):
            return f"joint {number}"


def _hole_path(hole: Hole, options: CutOptions, thickness: float | None, unit: Unit) -> Edge | None:
    """The hole as drawn, smaller for the drill, or nothing."""
    shape = through_shape(hole)
    choice = hole_cut(hole, options, thickness)
    if shape is None or choice is HoleCut.CENTER_MARK:
        return None
    if choice is HoleCut.AS_DRAWN:
        return shape
    if hole.diameter - options.undersize >= LEAST_CUT:
        return grown(shape, -options.undersize / 2)
    kind, less = CuttingProblem.UNDERSIZE_LEAVES_NOTHING, Length(options.undersize, unit)
    of, size = cut_words(hole), _size_words(shape, unit)
    raise InputError(Problem("cut.undersize", kind, undersize=less, of=of, size=size))


def kerf_fits_gap(outline: SplitOutline, kerf: float) -> bool:
    """Whether the parts of a ring can be cut as they stand together."""
    return kerf <= outline.gap + _ALIKE


def _shares_joints(outline: SplitOutline, kerf: float, unit: Unit) -> bool:
    """Whether one cut parts two neighbors: where the gap is as wide as the kerf, nothing or not.

    Raises:
        InputError: If the kerf is wider than the gap.
    """
    if not kerf_fits_gap(outline, kerf):
        gap, width = Length(outline.gap, unit), Length(kerf, unit)
        raise InputError(Problem("cut.kerf", CuttingProblem.KERF_OVER_GAP, gap=gap, kerf=width))
    return kerf >= outline.gap - _ALIKE


def _kerfed(of: Cut, shape: Path, kerf: float, unit: Unit) -> PlannedCut:
    """The path with half the kerf added outside or taken off inside; a shared joint lies in the middle of its kerf."""
    if kerf <= 0 or isinstance(shape, Line):
        return PlannedCut(of, shape)
    by = kerf / 2 if isinstance(of, PartEdge) else -kerf / 2
    name, size, width = cut_words(of), _size_words(shape, unit), Length(kerf, unit)
    try:
        path = grown(shape, by)
    except GeometryError:
        kind = CuttingProblem.KERF_CLOSES if by < 0 else CuttingProblem.KERF_CLOSES_NOTCH
        raise InputError(Problem("cut.kerf", kind, kerf=width, of=name, size=size)) from None
    missed = unreached(shape, path, by)
    worst = max(missed, key=lambda each: each.short, default=None)
    if worst is not None and worst.short > kerf:
        uncut, short = CuttingProblem.KERF_LEAVES_UNCUT, Length(worst.short, unit)
        x, y = Length(worst.at.x, unit), Length(worst.at.y, unit)
        raise InputError(Problem("cut.kerf", uncut, kerf=width, of=name, size=size, x=x, y=y, short=short))
    return PlannedCut(of, path, rounded=missed)


def _refuse_clashes(cuts: Sequence[PlannedCut], kerf: float, unit: Unit) -> None:
    problems = [
        _clash_problem(clash, cuts, kerf, unit)
        for clash in clashes([cut.path for cut in cuts], [cut.is_inside for cut in cuts])
        if not _is_meant(cuts[clash.one].of, cuts[clash.other].of)
    ]
    if problems:
        raise InputError(*problems[:_MOST_TOLD])


def _is_meant(one: Cut, other: Cut) -> bool:
    """Whether two cuts are to meet: the joints of a ring end on its edges."""
    joints = [isinstance(each, JointCut) for each in (one, other)]
    return sum(joints) == 1 and not isinstance(one, Hole) and not isinstance(other, Hole)


def _clash_problem(clash: Clash, cuts: Sequence[PlannedCut], kerf: float, unit: Unit) -> Problem:
    one, other = cuts[clash.one], cuts[clash.other]
    name, beside = cut_words(one.of), cut_words(other.of)
    x, y, width = Length(clash.at.x, unit), Length(clash.at.y, unit), Length(kerf, unit)
    if clash.one == clash.other and kerf > 0:
        return Problem("cut.kerf", CuttingProblem.KERF_MEETS_ITSELF, kerf=width, of=name, x=x, y=y)
    if clash.one == clash.other:
        return Problem("plate", CuttingProblem.CUT_MEETS_ITSELF, of=name, x=x, y=y)
    if kerf > 0:
        return Problem("cut.kerf", CuttingProblem.CUTS_MEET_BY_KERF, kerf=width, of=name, other=beside, x=x, y=y)
    return Problem("plate", CuttingProblem.CUTS_MEET, of=name, other=beside, x=x, y=y)


def _with_ways(cuts: Sequence[PlannedCut], options: CutOptions) -> Iterator[PlannedCut]:
    """Each cut with its leads in the scrap, clear of every other cut and of the leads before it, and its ways."""
    others = OtherCuts(options.kerf + LEAD_SPACING)
    for index, cut in enumerate(cuts):
        others.add(index, cut.path)
    for index, cut in enumerate(cuts):
        done = _led(cut, _wanted(cut, options), others, index)
        for lead in done.leads:
            others.add(index, lead)
        yield done


def _wanted(cut: PlannedCut, options: CutOptions) -> LeadsWanted:
    """How a cut is entered, followed and left; what falls out of a bolt hole needs no tab."""
    return LeadsWanted(
        options.lead_in,
        options.lead_out,
        scrap_inside=cut.is_inside,
        straight=options.lead_shape is LeadShape.STRAIGHT,
        overcut=options.overcut,
        tabs=0 if isinstance(cut.of, Hole) else options.tabs,
        gap=options.tab_width + options.kerf,
    )


def _led(cut: PlannedCut, wanted: LeadsWanted, others: OtherCuts, index: int) -> PlannedCut:
    if isinstance(cut.path, Line):
        into = led_line(cut.path, wanted, others, index) if wanted.lead_in else None
        parts = (into, cut.path) if isinstance(into, Line) else (cut.path,)
        return replace(cut, lead_in=into, ways=(Contour(parts, closed=False),))
    found = led(cut.path, wanted, others, index)
    led_cut = replace(cut, path=found.path, lead_in=found.lead_in, lead_out=found.lead_out)
    return replace(led_cut, ways=found.ways, tab_leads=found.tab_leads)


def _size_words(shape: Path, unit: Unit) -> str:
    if isinstance(shape, Circle):
        return f"{size_text(2 * shape.radius, unit)} {unit.value} in diameter"
    box = extent(shape)
    return f"{size_text(box.width, unit)} x {size_text(box.height, unit)} {unit.value} over all"
