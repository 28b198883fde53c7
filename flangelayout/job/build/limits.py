"""From the keys of [checks] and [tolerances] to what a plate and a finished part are held against."""

from flangelayout.checks.inspection.tolerances import Allowed, InspectionLimits, drawing_limits
from flangelayout.checks.limits import ENGAGEMENT, CheckLimits, Ground, Limit
from flangelayout.flange import Flange, Tolerances
from flangelayout.flange.plate import Deviations
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.schema.checks import TolerancesTable
from flangelayout.job.schema.job_file import JobFile
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


def inspection_limits(written: JobFile, flange: Flange) -> InspectionLimits:
    """What a finished part is held to: the job's tolerances, else those of the standards its circles are drilled to."""
    keys, wide = written.tolerances, flange.tolerances.hole
    return InspectionLimits(
        position=None if keys.position is None else Allowed(keys.position, "the job"),
        maximum_material=keys.maximum_material,
        hole_plus=None if wide is None else wide.plus,
        hole_minus=None if wide is None else wide.minus,
        groups=drawing_limits(flange, Unit(written.units)),
    )


def build_tolerances(keys: TolerancesTable) -> Tolerances:
    """What the drawing allows."""
    return Tolerances(
        bolt_circle=keys.bolt_circle,
        chord=keys.chord,
        outside=_deviations(keys.outside_plus, keys.outside_minus),
        bore=_deviations(keys.bore_plus, keys.bore_minus),
        thickness=_deviations(keys.thickness_plus, keys.thickness_minus),
        hole=_deviations(keys.hole_plus, keys.hole_minus),
        general=keys.general,
        block=tuple(line for line in keys.block if line),
        cut_edges=keys.cut_edges,
        texture=keys.texture,
        edges=keys.edges,
    )


def _deviations(plus: float | None, minus: float | None) -> Deviations | None:
    """Both ways, 0 where only one is written; ``None`` where neither is, or both are 0."""
    return Deviations(plus or 0.0, minus or 0.0) if plus or minus else None


def _stated(length: float | None) -> Limit | None:
    return None if length is None else Limit(length, Ground.STATED)
