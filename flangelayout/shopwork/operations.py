"""The operations that make a part, in order, derived from the part and from what its cut file leaves to be done."""

from collections.abc import Iterator
from enum import Enum
from typing import TypeAlias, assert_never

from msgspec import Struct

from flangelayout.flange import Flange
from flangelayout.flange.cut_plan import JointCut, PartEdge, plan_cut
from flangelayout.flange.cutting import CutOptions, HoleCut, Mark, hole_cut
from flangelayout.flange.hole import (
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Hole,
    HoleKind,
    Jack,
    Slot,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.plate import Opening
from flangelayout.flange.turning import PlateFace, Turned
from flangelayout.standards.shop import is_gasket_material


class ShopStep(Enum):
    """What is done."""

    CUT = "cut"
    SET_UP = "set up"
    DRILL = "drill"
    SLOT = "mill the slots"
    TAP = "tap"
    SEAT = "counterbore, countersink or spotface"
    REAM = "ream"
    TURN = "turn"
    DEBURR = "deburr"
    MARK = "mark"
    INSPECT = "inspect"


class WorkPlace(Enum):
    """Where it is done."""

    TABLE = "cutting table"
    MACHINE = "drilling machine"
    LATHE = "lathe"
    BENCH = "bench"


class Cutting(Struct, frozen=True):
    """What the table cuts of one part.

    Attributes:
        edges: Outer edges and joints.
        openings: The bore and other openings.
        holes: Holes cut to their size.
        undersize: Holes cut small, to be drilled afterwards.
        marked: Holes whose centers are marked only.
    """

    edges: int
    openings: int
    holes: int
    undersize: int
    marked: int


class HoleWork(Struct, frozen=True):
    """What is done to every hole of a group.

    Attributes:
        step: What.
        group: Whose holes, as :attr:`Hole.group` counts.
        count: How many.
        hole: One of them.
    """

    step: ShopStep
    group: int
    count: int
    hole: Hole

    @property
    def is_from_back(self) -> bool:
        """Whether the plate lies face down for it: a hole right through is drilled from either face."""
        if self.step is ShopStep.DRILL:
            return self.hole.is_hidden
        return self.hole.made_from is PlateFace.BACK


class TurningWork(Struct, frozen=True):
    """One thing that is turned on a face."""

    turned: Turned


class Once(Struct, frozen=True):
    """What is done once to a part, or once to a job, and where; ``count`` times to one that is made in so many."""

    step: ShopStep
    place: WorkPlace = WorkPlace.BENCH
    count: int = 1


Operation: TypeAlias = Cutting | HoleWork | TurningWork | Once


def operations(flange: Flange, options: CutOptions) -> tuple[Operation, ...]:
    """What makes one part, in order; what is made on the back after what is made on the face.

    Turned before drilled: holes are set out from what is turned, and no turning tool runs over open holes (common
    practice, no source).

    Args:
        flange: The part.
        options: What its cut file leaves small, marks only, and scribes.

    Raises:
        InputError: If the cut file cannot be made.
    """
    drilled = sorted(_hole_work(flange, options), key=lambda work: work.is_from_back)
    turned = tuple(map(TurningWork, sorted(flange.all_turned(), key=lambda each: each.face is PlateFace.BACK)))
    set_up = (Once(ShopStep.SET_UP, WorkPlace.MACHINE if drilled else WorkPlace.LATHE),) if drilled or turned else ()
    machined = (*turned, *set_up, *drilled) if drilled else (*set_up, *turned)
    pieces = len(flange.pieces())
    burrs = () if is_gasket_material(flange.material) else (Once(ShopStep.DEBURR, count=pieces),)
    marks = () if Mark.NUMBER in options.marks else (Once(ShopStep.MARK, count=pieces),)
    return (_cutting(flange, options), *machined, *burrs, *marks, Once(ShopStep.INSPECT))


def step_of(operation: Operation) -> ShopStep:
    """What is done."""
    match operation:
        case Cutting():
            return ShopStep.CUT
        case HoleWork() | Once():
            return operation.step
        case TurningWork():
            return ShopStep.TURN
        case _:
            assert_never(operation)


def count_of(operation: Operation) -> int:
    """How many times it is done to one part."""
    return operation.count if isinstance(operation, HoleWork | Once) else 1


def place_of(operation: Operation) -> WorkPlace:
    """Where it is done."""
    match operation:
        case Cutting():
            return WorkPlace.TABLE
        case HoleWork():
            return WorkPlace.MACHINE
        case TurningWork():
            return WorkPlace.LATHE
        case Once():
            return operation.place
        case _:
            assert_never(operation)


def _cutting(flange: Flange, options: CutOptions) -> Cutting:
    plan = plan_cut(flange, options)
    holes = [each.of for each in plan.cuts if isinstance(each.of, Hole)]
    undersize = sum(hole_cut(hole, options, flange.thickness) is HoleCut.UNDERSIZE for hole in holes)
    return Cutting(
        edges=sum(isinstance(each.of, PartEdge | JointCut) for each in plan.cuts),
        openings=sum(isinstance(each.of, Opening) for each in plan.cuts),
        holes=len(holes) - undersize,
        undersize=undersize,
        marked=len(plan.marked),
    )


def _hole_work(flange: Flange, options: CutOptions) -> Iterator[HoleWork]:
    """Drilling what the table does not finish, then threads, seats and fits, group by group."""
    plan = plan_cut(flange, options)
    uncut = {(hole.group, hole.number) for hole in (*plan.marked, *plan.left)}
    groups: dict[tuple[int, HoleKind, float, PlateFace], list[Hole]] = {}
    for hole in flange.holes():
        groups.setdefault((hole.group, hole.kind, hole.diameter, hole.made_from), []).append(hole)
    for (group, kind, *_), holes in groups.items():
        unfinished = [hole for hole in holes if _is_left(hole, options, flange.thickness, uncut)]
        if unfinished:
            step = ShopStep.SLOT if isinstance(kind, Slot) else ShopStep.DRILL
            yield HoleWork(step, group, len(unfinished), unfinished[0])
        if (further := _further(kind)) is not None:
            yield HoleWork(further, group, len(holes), holes[0])


def _is_left(hole: Hole, options: CutOptions, thickness: float | None, uncut: set[tuple[int, int]]) -> bool:
    """Whether the table leaves a hole to be drilled."""
    return (hole.group, hole.number) in uncut or hole_cut(hole, options, thickness) is HoleCut.UNDERSIZE


def _further(kind: HoleKind) -> ShopStep | None:
    """What is done to a hole that is drilled."""
    match kind:
        case Tapped() | Jack():
            return ShopStep.TAP
        case Counterbored() | Countersunk() | Spotfaced():
            return ShopStep.SEAT
        case Dowel():
            return ShopStep.REAM
        case Drilled() | Slot():
            return None
        case _:
            assert_never(kind)
