"""The shop checks: what will not go together, or not well, found before steel is cut."""

from flangelayout.checks.finding import Finding
from flangelayout.checks.limits import USUAL_LIMITS, CheckLimits
from flangelayout.checks.plate.clocking import check_clocking
from flangelayout.checks.plate.metal import check_metal
from flangelayout.checks.plate.seats import check_seats
from flangelayout.checks.plate.threads import check_threads
from flangelayout.flange import Flange
from flangelayout.units import Unit

RULES = (
    *("ligament", "edge-metal", "bore-metal"),
    *("seat-on-plate", "seat-clear-of-bore", "seat-clear-of-hub", "seat-clear-of-raised-face"),
    *("seat-over-hole", "seats-apart", "seats-unchecked", "wrench-room", "bolt-spacing"),
    *("tap-depth", "tap-bottom", "clocking"),
)
"""Every rule of the shop checks, as a job can leave it out."""


def check_shop(flange: Flange, limits: CheckLimits = USUAL_LIMITS, unit: Unit = Unit.MM) -> tuple[Finding, ...]:
    """Findings beyond plain contradictions: metal left, nut seats, wrench room, bolt spacing, threads, clocking.

    Args:
        flange: A plate on which every hole lies whole on the metal.
        limits: What it is held against; the usual limits unless told.
        unit: Unit of the numbers in the findings.

    Returns:
        Warnings and notes, none an error; those of rules in ``limits.off`` left out.
    """
    holes = flange.holes()
    found = (
        *check_metal(flange, holes, limits, unit),
        *check_seats(flange, holes, limits, unit),
        *check_threads(flange, holes, limits, unit),
        *check_clocking(flange, limits, unit),
    )
    return tuple(finding for finding in found if finding.rule not in limits.off)
