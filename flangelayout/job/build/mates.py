"""From ``[[mate]]`` to what lies on the faces of the plate: a row, another job or sizes, and its circle."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct

from flangelayout.checks.limits import CheckLimits
from flangelayout.checks.plate.clocking import clock, is_clocked
from flangelayout.errors import InputError, Problem
from flangelayout.flange import DRILLED, BoltCircle, Flange
from flangelayout.flange.groups import group_letter
from flangelayout.flange.joints import Mate, MateSource, Spigot
from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.build.hole_kinds import keyed
from flangelayout.job.build.turned import fitted
from flangelayout.job.schema.joint import MateTable
from flangelayout.problems.job import JobProblem
from flangelayout.standards import find
from flangelayout.standards.holes import thread
from flangelayout.standards.joints.row_mates import mate_of_row
from flangelayout.value import replace


class MateJob(Struct, frozen=True):
    """Another job that a mate names: its number, its plate, the digest of its file, and how that is named."""

    number: str
    flange: Flange
    digest: str
    file: str


class MatesKnown(Struct, frozen=True):
    """What mates may name beside published rows: jobs by the key of the mate's table, and a shop's own patterns."""

    jobs: Mapping[str, MateJob]
    own: OwnTables


NO_MATE_JOBS: Mapping[str, MateJob] = MappingProxyType({})


def build_mates(
    tables: Sequence[MateTable],
    circles: Sequence[BoltCircle],
    known: MatesKnown,
    problems: list[Problem],
) -> tuple[Mate, ...]:
    """Every mate; what is wrong is told ``problems``.

    Args:
        tables: What is written.
        circles: The bolt circles of the plate.
        known: The jobs and the own patterns that mates may name; a mate whose job is not among them is not known.
        problems: Where what is wrong is told.
    """
    found: list[Mate] = []
    for where, table in keyed("mate", tables):
        if table.job and not table.standard and where not in known.jobs:
            continue
        try:
            mate = _mate(table, where, circles, known)
        except InputError as wrong:
            problems += wrong.problems
            continue
        twice = next((each for each in found if each.group == mate.group), None)
        if twice:
            problems.append(Problem(f"{where}.circle", JobProblem.CIRCLE_HAS_A_MATE, other=twice.key))
        found.append(mate)
    return tuple(found)


def clocked_freely(flange: Flange, tables: Sequence[MateTable], limits: CheckLimits) -> Flange:
    """The plate with each circle whose mate may be turned freely turned for the most metal to the nearest other one.

    Args:
        flange: The plate, its circles as they are written.
        tables: The mates, as they are written.
        limits: What metal and seats are held against.
    """
    free = {where for where, table in keyed("mate", tables) if table.clocking == "most metal"}
    for mate in flange.mates:
        others = [group for group in range(len(flange.bolt_circles)) if is_clocked(flange, group, mate.group)]
        if mate.key in free and others:
            circles = list(flange.bolt_circles)
            own = circles[mate.group]
            nearest = min(others, key=lambda group: abs(flange.bolt_circles[group].diameter - own.diameter))
            turn = clock(flange, nearest, mate.group, limits).best_turn
            circles[mate.group] = replace(own, start_angle=(own.start_angle + turn + 180.0) % 360.0 - 180.0)
            flange = replace(flange, bolt_circles=tuple(circles))
    return flange


def _mate(table: MateTable, where: str, circles: Sequence[BoltCircle], known: MatesKnown) -> Mate:
    group = _group(table, where, circles)
    face = table.face or usual_face(group)
    if table.standard and table.job:
        raise InputError.of(JobProblem.MATE_NAMED_TWICE, f"{where}.job")
    if table.standard:
        try:
            mate = mate_of_row(find(table.standard, own=known.own), group, face, where, table.face is not None)
        except InputError as unknown:
            raise InputError(*unknown.placed(f"{where}.standard")) from None
    elif table.job:
        mate = _of_job(known.jobs[where], circles[group], Mate(group, face, "", MateSource.JOB, where))
    else:
        mate = Mate(group, face, table.name or "mate", MateSource.SIZES, where)
    return _with_sizes(replace(mate, is_face_said=table.face is not None), table, where, circles[group])


def usual_face(group: int) -> PlateFace:
    """Where a mate lies that says nothing of it: the first circle's on the named face, any other's on the back."""
    return PlateFace.FACE if group == 0 else PlateFace.BACK


def _group(table: MateTable, where: str, circles: Sequence[BoltCircle]) -> int:
    """The circle meant by its letter, its number or its name; the only one where nothing is written."""
    if not table.circle and len(circles) == 1:
        return 0
    names = [(group_letter(at, 2).casefold(), str(at + 1), each.name.casefold()) for at, each in enumerate(circles)]
    wanted = table.circle.strip().casefold()
    fits = [index for index, each in enumerate(names) if wanted and wanted in each]
    if len(fits) != 1:
        choices = tuple(group_letter(index, 2) for index in range(len(circles)))
        raise InputError.of(JobProblem.NO_CIRCLE_OF_MATE, f"{where}.circle", choices=choices)
    return fits[0]


def _of_job(job: MateJob, own: BoltCircle, mate: Mate) -> Mate:
    """The plate of another job, by its named face, with the circle that is most like the one it bolts to."""
    flange = job.flange
    circle = min(
        flange.bolt_circles,
        key=lambda each: (abs(each.diameter - own.diameter), abs(each.hole_count - own.hole_count)),
        default=None,
    )
    group = flange.bolt_circles.index(circle) if circle else None
    hole = next((each for each in flange.holes() if each.group == group), None)
    thickness = flange.metal_at(hole, flange.thickness) if hole and flange.thickness is not None else flange.thickness
    own_face = [each for each in flange.all_turned() if each.face is PlateFace.FACE]
    spigot = next((each for each in own_face if each.kind is TurnedKind.SPIGOT), None)
    raised = next((each for each in own_face if each.kind is TurnedKind.RAISED_FACE), None)
    return replace(
        mate,
        called=job.number,
        circle=circle,
        outside_diameter=flange.round_diameter,
        thickness=thickness,
        bore=_opening(flange),
        raised_face_diameter=raised.diameter if raised else flange.raised_face_diameter,
        spigot=Spigot(spigot.diameter, spigot.size, spigot.fit) if spigot else None,
    )


def _opening(flange: Flange) -> float | None:
    """The widest opening in the middle of the named face: the bore, or a recess round it."""
    own = (each for each in flange.turned if each.face is PlateFace.FACE and not each.inner_diameter)
    sunk = [each.diameter for each in own if each.kind.is_sunk]
    return max([*sunk, *([flange.bore] if flange.bore else [])], default=None)


def _with_sizes(mate: Mate, table: MateTable, where: str, own: BoltCircle) -> Mate:
    """A mate with the sizes that are written for it."""
    names = ("outside_diameter", "thickness", "bore", "hub_diameter", "raised_face_diameter", "gasket_thickness")
    sizes = {name: value for name in names if (value := getattr(table, name)) is not None}
    called = table.name if table.name and mate.source is MateSource.SIZES else mate.called
    circle = _holes(table, where, mate.circle, own)
    spigot, is_own = _spigot(table, where, mate.spigot), mate.circle is not None
    return replace(mate, called=called, circle=circle, has_own_places=is_own, spigot=spigot, **sizes)


def _holes(table: MateTable, where: str, found: BoltCircle | None, own: BoltCircle) -> BoltCircle | None:
    """The mate's holes: as written, on its own circle, or on the plate's where it has none."""
    circle = found or own
    if table.thread:
        known = thread(table.thread)
        if known is None:
            raise InputError.of(JobProblem.NO_SUCH_THREAD, f"{where}.thread", written=table.thread)
        tapped = known.tapped(table.thread_depth)
        return replace(circle, drilling=replace(circle.drilling, diameter=known.tap_drill, kind=tapped))
    if table.hole_diameter is not None:
        plain = replace(circle.drilling, diameter=table.hole_diameter, kind=DRILLED)
        return replace(circle, drilling=plain)
    return found


def _spigot(table: MateTable, where: str, found: Spigot | None) -> Spigot | None:
    diameter = table.spigot_diameter or (found.diameter if found else None)
    if diameter is None:
        if table.spigot_height or table.spigot_fit:
            raise InputError.of(JobProblem.SPIGOT_WITHOUT_DIAMETER, f"{where}.spigot_diameter")
        return None
    height = table.spigot_height or (found.height if found else None)
    fit = found.fit if found else None
    if table.spigot_fit:
        fit = fitted(table.spigot_fit, diameter, TurnedKind.SPIGOT, f"{where}.spigot_fit")
    return Spigot(diameter, height, fit)
