"""Whether a bolt goes through its hole, and its nut, head or washer still covers it."""

from collections.abc import Iterator

from flangelayout.checks.facts import BoltHole, BoltName, HoleCover
from flangelayout.checks.finding import Bound, Finding, Place, Reason, Remedy, Result, judged, not_run
from flangelayout.checks.limits import Ground, Limit, Published
from flangelayout.checks.rule import Rule
from flangelayout.flange import Dowel, Drilling, Flange, Jack, Tapped
from flangelayout.standards.bolt_room import nut_flats
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.holes import HoleFit, clearance_hole
from flangelayout.standards.practice import HOLE_BEYOND_COARSE, LARGE_INCH_ROOM, SMALLEST_LARGE_INCH
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit


def check_bolts(flange: Flange) -> Iterator[Finding]:
    """The bolt of every group of holes against the hole: through it, and not lost in it, where nuts bear on it."""
    for group, what in enumerate(flange.groups()):
        found = _of_group(Place(f"{flange.group_key(group)}.bolt", group), what.drilling)
        is_borne = not is_gasket_material(flange.material)
        yield from (each for each in found if is_borne or each.rule is not Rule.HOLE_COVERED)


def _of_group(place: Place, drilling: Drilling) -> Iterator[Finding]:
    bolt, hole = drilling.bolt.strip(), drilling.diameter
    if isinstance(drilling.kind, Tapped | Jack | Dowel):
        return
    if not bolt:
        yield from (not_run(rule, place, Reason.BOLT) for rule in (Rule.BOLT_IN_HOLE, Rule.HOLE_COVERED))
        return
    known = known_bolt(bolt)
    result, cure = (Result.FAILED, Remedy.KNOWN_BOLT) if known is None else (Result.PASSED, None)
    yield Finding(Rule.BOLT_KNOWN, result, place, BoltName(bolt), cure=cure)
    if known is None:
        yield not_run(Rule.BOLT_IN_HOLE, place, Reason.BOLT)
        return
    medium = clearance_hole(bolt, HoleFit.MEDIUM)
    facts = BoltHole(bolt, known.diameter, medium.value if medium else None, medium.standard if medium else "")
    limit = Limit(known.diameter, Ground.GEOMETRY)
    yield judged(Rule.BOLT_IN_HOLE, place, facts, hole, limit, Remedy.SMALLER_BOLT_OR_LARGER_HOLE)
    yield _covered(place, bolt, hole)


def _covered(place: Place, bolt: str, hole: float) -> Finding:
    widest = widest_hole(bolt)
    if widest is None:
        return not_run(Rule.HOLE_COVERED, place, Reason.HOLE_TABLE)
    flats = nut_flats(bolt)
    facts, cure = HoleCover(bolt, flats.value if flats else None), Remedy.LARGER_BOLT_OR_SMALLER_HOLE
    return judged(Rule.HOLE_COVERED, place, facts, hole, widest, cure, Bound.AT_MOST)


def widest_hole(bolt: str) -> Limit | None:
    """The widest hole that a bolt's nut, head or washer still covers well; ``None`` where no table says.

    It is the coarse hole of ISO 273 or the loose one of ASME B18.2.8 and the half millimeter by which
    published pipe flanges go beyond it (JIS B 2220 M12 in 15 and M16 in 19 mm, ASME B16.5 1/2 in 5/8 in).
    Above 1 1/2 in, where ASME B18.2.8 ends, it is the bolt and 1/4 in, as ASME B16.1 drills; B16.5 leaves less.
    """
    coarse = clearance_hole(bolt, HoleFit.COARSE)
    if coarse is not None:
        return Limit(coarse.value + HOLE_BEYOND_COARSE, Ground.HOLE_ROOM)
    size = known_bolt(bolt)
    if size is None or size.unit is not Unit.IN or size.diameter < SMALLEST_LARGE_INCH:
        return None
    return Limit(size.diameter + LARGE_INCH_ROOM, Published("bolt and 1/4 in, as ASME B16.1 drills"))
