"""From the keys of [checks] and [tolerances] to what a plate and a finished part are held against."""

from collections.abc import Iterator

from flangelayout.checks.inspection.tolerances import Allowed, InspectionLimits, drawing_limits
from flangelayout.checks.limits import ENGAGEMENT, CheckLimits, Ground, Limit
from flangelayout.errors import Problem
from flangelayout.flange import Flange, Tolerances
from flangelayout.flange.plate import Deviations
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.build.hole_kinds import hole_tables
from flangelayout.job.schema.checks import TolerancesTable
from flangelayout.job.schema.job_file import JobFile
from flangelayout.job.schema.plate import OUTLINE_KEYS
from flangelayout.problems.job import JobProblem
from flangelayout.standards.tolerances.general import Scope, scope
from flangelayout.units import Unit


def check_limits(written: JobFile, own: OwnTables = ()) -> CheckLimits:
    """What the shop checks hold the plate against; mates are looked up among the shop's ``own`` patterns as well."""
    keys = written.checks
    engagement = keys.thread_engagement
    return CheckLimits(
        ligament=_stated(keys.ligament),
        edge=_stated(keys.edge),
        bore=_stated(keys.bore),
        hub_diameter=keys.hub_diameter,
        weld=keys.weld,
        wrench=keys.wrench,
        nuts_on=keys.nuts_on,
        washers=keys.washers,
        gasket_factor=keys.gasket_factor,
        bolt_spacing=_stated(keys.bolt_spacing),
        thread_engagement=ENGAGEMENT if engagement is None else Limit(engagement, Ground.STATED),
        hand_lift=keys.hand_lift,
        off=tuple(keys.off),
        own=own,
    )


def inspection_limits(flange: Flange, unit: Unit) -> InspectionLimits:
    """What a finished part is held to: the job's tolerances, else those of the standards its circles are drilled to."""
    stated, wide = flange.tolerances, flange.tolerances.hole
    return InspectionLimits(
        position=None if stated.position is None else Allowed(stated.position, "the job"),
        maximum_material=stated.maximum_material,
        hole_plus=None if wide is None else wide.plus,
        hole_minus=None if wide is None else wide.minus,
        groups=drawing_limits(flange, unit),
        general=stated,
    )


def build_tolerances(
    keys: TolerancesTable, decimals: tuple[tuple[float, int], ...] = (), unit: Unit = Unit.MM
) -> Tolerances:
    """What the drawing allows; ``decimals`` are those that sizes are written with, ``unit`` that of the block."""
    return Tolerances(
        bolt_circle=keys.bolt_circle,
        chord=keys.chord,
        position=keys.position,
        maximum_material=keys.maximum_material,
        outside=_deviations(keys.outside_plus, keys.outside_minus),
        bore=_deviations(keys.bore_plus, keys.bore_minus),
        thickness=_deviations(keys.thickness_plus, keys.thickness_minus),
        hole=_deviations(keys.hole_plus, keys.hole_minus),
        general=keys.general,
        block=tuple(line for line in keys.block if line),
        block_unit=unit,
        cut_edges=keys.cut_edges,
        texture=keys.texture,
        edges=keys.edges,
        decimals=decimals,
    )


_NOT_DRILLED = frozenset({"tapped", "jack", "slot", "dowel"})
"""Kinds of holes that are held to something else than the limits of drilled ones: a thread's class, a fit."""


def limits_of_nothing(written: JobFile) -> Iterator[Problem]:
    """A problem for each limit of a size or zone that the plate does not have, and of one that has two."""
    plate = written.plate
    kinds = {"tapped" if table.kind == "lifting" and table.thread else table.kind for _, table in hole_tables(written)}
    outside = "outside_diameter" in OUTLINE_KEYS[plate.outline][0]
    bore = plate.bore is not None or plate.inside_diameter is not None

    def stated(*keys: str) -> Iterator[str]:
        return (f"tolerances.{key}" for key in keys if getattr(written.tolerances, key) is not None)

    if not outside:
        yield from (Problem(at, JobProblem.LIMITS_WITHOUT_OUTSIDE) for at in stated("outside_plus", "outside_minus"))
    if not bore:
        yield from (Problem(at, JobProblem.LIMITS_WITHOUT_BORE) for at in stated("bore_plus", "bore_minus"))
    if plate.thickness is None:
        at_thickness = stated("thickness_plus", "thickness_minus")
        yield from (Problem(at, JobProblem.LIMITS_WITHOUT_THICKNESS) for at in at_thickness)
    if kinds and not written.bolt_circle:
        yield from (Problem(at, JobProblem.LIMITS_WITHOUT_CIRCLE) for at in stated("bolt_circle", "chord"))
    if not kinds:
        of_holes = stated("bolt_circle", "chord", "position", "hole_plus", "hole_minus")
        yield from (Problem(at, JobProblem.LIMITS_WITHOUT_HOLES) for at in of_holes)
    general, block = written.tolerances.general, build_tolerances(written.tolerances).block_decimals
    if general is not None and block and scope(general) is not Scope.WELDED:
        yield Problem("tolerances.general", JobProblem.GENERAL_BESIDE_BLOCK)
    if written.tolerances.position is None:
        at_material = stated("maximum_material")
        yield from (Problem(at, JobProblem.MATERIAL_WITHOUT_POSITION) for at in at_material)
    if kinds and not kinds - _NOT_DRILLED:
        yield from (Problem(at, JobProblem.LIMITS_WITHOUT_DRILLED_HOLES) for at in stated("hole_plus", "hole_minus"))


def _deviations(plus: float | None, minus: float | None) -> Deviations | None:
    """Both ways, 0 where only one is written; ``None`` where neither is, or both are 0."""
    return Deviations(plus or 0.0, minus or 0.0) if plus or minus else None


def _stated(length: float | None) -> Limit | None:
    return None if length is None else Limit(length, Ground.STATED)
