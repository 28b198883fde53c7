"""Whether a plate is too heavy for the hands of the shop that handles it."""

from collections.abc import Iterator

from flangelayout.checks.facts import Heavy
from flangelayout.checks.finding import Finding, Place, noted
from flangelayout.checks.limits import CheckLimits
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.mass import plate_solid
from flangelayout.standards.shop import density_of


def check_lifting(flange: Flange, limits: CheckLimits) -> Iterator[Finding]:
    """That the plate weighs more than the shop lifts by hand, where the shop says how much that is."""
    solid = plate_solid(flange)
    found = density_of(flange.material) if flange.material else None
    density = flange.density or (found.kg_per_m3 if found else None)
    if limits.hand_lift is None or solid is None or density is None:
        return
    mass = solid.mass(density) / len(flange.pieces())
    if mass > limits.hand_lift:
        yield noted(Rule.HEAVY, Place("plate"), Heavy(mass, limits.hand_lift, bool(flange.lifting_holes())))
