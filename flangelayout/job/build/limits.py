"""From the keys of [checks] and [tolerances] to what a plate and a finished part are held against."""

from flangelayout.checks.inspection.limits import Allowed, GroupLimits, InspectionLimits
from flangelayout.checks.limits import ENGAGEMENT, CheckLimits, Ground, Limit
from flangelayout.errors import InputError
from flangelayout.flange import Flange
from flangelayout.job.schema.job_file import JobFile
from flangelayout.standards import Pattern, find


def check_limits(written: JobFile) -> CheckLimits:
    """What the shop checks hold the plate against."""
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
        off=tuple(keys.off),
    )


def inspection_limits(written: JobFile, flange: Flange) -> InspectionLimits:
    """What a finished part is held to: the job's tolerances, else those of the standards its circles name."""
    keys = written.tolerances
    designations = [table.standard for table in written.bolt_circle]
    groups = []
    for index, what in enumerate(flange.groups()):
        pattern = _pattern(designations[index]) if index < len(designations) else None
        groups.append(
            GroupLimits(
                bolt_circle=_allowed(keys.bolt_circle, pattern, "bolt circle"),
                chord=_allowed(keys.chord, pattern, "chord"),
                any_chord=keys.chord is not None,
                bolt=what.drilling.bolt,
            )
        )
    return InspectionLimits(
        position=None if keys.position is None else Allowed(keys.position, "the job"),
        maximum_material=keys.maximum_material,
        hole_plus=keys.hole_plus,
        hole_minus=keys.hole_minus,
        groups=tuple(groups),
    )


def named_rows(written: JobFile) -> tuple[Pattern | None, ...]:
    """The published row that each bolt circle names, ``None`` where it names none."""
    return tuple(_pattern(table.standard) for table in written.bolt_circle)


def _stated(length: float | None) -> Limit | None:
    return None if length is None else Limit(length, Ground.STATED)


def _pattern(designation: str | None) -> Pattern | None:
    if designation is None:
        return None
    try:
        return find(designation)
    except InputError:  # told where the flange was built
        return None


def _allowed(stated: float | None, pattern: Pattern | None, what: str) -> Allowed | None:
    """The job's tolerance, else the standard's with how far to trust it."""
    if stated is not None:
        return Allowed(stated, "the job")
    if pattern is None:
        return None
    value = pattern.circle_tolerance if what == "bolt circle" else pattern.chord_tolerance
    if value is None:
        return None
    trust = f", {pattern.tolerance_confidence.words}" if pattern.tolerance_confidence else ""
    return Allowed(value, f"{pattern.standard}{trust}")
