"""Whether a plate is too heavy for the hands of the shop that handles it."""

from collections.abc import Iterator

from flangelayout.checks.facts import Heavy
from flangelayout.checks.finding import Finding, Place, noted
from flangelayout.checks.limits import CheckLimits
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.mass import plate_solid
from flangelayout.standards.shop import density_of

USUAL_HAND_LIFT = 25.0
"""The most in kg that one person lifts by hand: common practice, no source; local rules may allow less."""


def check_lifting(flange: Flange, limits: CheckLimits) -> Iterator[Finding]:
    """That the plate weighs more than the shop lifts by hand, or than one person usually does where it does not say."""
    solid = plate_solid(flange)
    found = density_of(flange.material) if flange.material else None
    density = flange.density or (found.kg_per_m3 if found else None)
    if solid is None or density is None:
        return
    pieces = len(flange.pieces())
    mass = solid.mass(density) / pieces
    most = USUAL_HAND_LIFT if limits.hand_lift is None else limits.hand_lift
    if mass > most:
        facts = Heavy(mass, most, pieces, limits.hand_lift is not None, bool(flange.lifting_holes()))
        yield noted(Rule.HEAVY, Place("plate"), facts)
