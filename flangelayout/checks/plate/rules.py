"""Every check of a plate in one go."""

from flangelayout.checks.finding import Finding, Place, Reason, not_run
from flangelayout.checks.joint.assembled import assemble
from flangelayout.checks.joint.lengths import check_lengths
from flangelayout.checks.joint.lifting import check_lifting
from flangelayout.checks.joint.mates import check_mates
from flangelayout.checks.joint.spigots import check_spigots
from flangelayout.checks.joint.turned import check_walls
from flangelayout.checks.limits import USUAL_LIMITS, CheckLimits
from flangelayout.checks.plate.bolts import check_bolts
from flangelayout.checks.plate.clocking import check_clocking
from flangelayout.checks.plate.measured import MeasuredPlate
from flangelayout.checks.plate.metal import check_metal
from flangelayout.checks.plate.recesses import check_floors, check_raised_face
from flangelayout.checks.plate.seats import check_seats
from flangelayout.checks.plate.sizes import check_sizes
from flangelayout.checks.plate.standard import check_standard, met_patterns, note_rows
from flangelayout.checks.plate.threads import check_threads
from flangelayout.checks.rule import Rule


def check_shop(plate: MeasuredPlate, limits: CheckLimits = USUAL_LIMITS) -> tuple[Finding, ...]:
    """Checks beyond plain contradictions: standard, bolts, recesses, metal, seats, threads, clocking, mates.

    Args:
        plate: One on which every hole lies whole on the metal.
        limits: What it is held against; the usual limits unless told.

    Returns:
        Findings, none a contradiction; those of rules in ``limits.off`` told as left out.
    """
    flange = plate.flange
    joint = assemble(flange, limits)
    found = (
        *check_standard(flange),
        *note_rows(flange),
        *check_sizes(flange),
        *check_bolts(flange),
        *check_floors(flange, plate.holes),
        *check_raised_face(flange, plate.holes),
        *check_walls(flange, plate.holes),
        *check_metal(plate, limits),
        *check_seats(plate, joint, met_patterns(flange, limits.own)),
        *check_threads(flange, plate.holes, limits),
        *check_clocking(flange, limits),
        *check_mates(joint),
        *check_spigots(joint),
        *check_lengths(joint),
        *check_lifting(flange, limits),
    )
    return without_left_out(found, limits.off)


def without_left_out(found: tuple[Finding, ...], off: tuple[Rule, ...]) -> tuple[Finding, ...]:
    """The findings, those of rules that a job leaves out told once for each rule as not run."""
    left_out = dict.fromkeys(finding.rule for finding in found if finding.rule in off)
    kept = (finding for finding in found if finding.rule not in left_out)
    return (*kept, *(not_run(rule, Place("checks.off"), Reason.LEFT_OUT) for rule in left_out))
