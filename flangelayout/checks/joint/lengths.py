"""Whether the length of bolts and screws hangs on a mate that nobody has measured, and whether screws end in metal."""

from collections.abc import Iterator

from flangelayout.checks.finding import Finding, Place, Reason, Remedy, circle_place, judged, not_run, noted
from flangelayout.checks.joint.assembled import Assembly
from flangelayout.checks.joint_facts import LengthAssumed, ScrewEnd
from flangelayout.checks.limits import GEOMETRY
from flangelayout.checks.rule import Rule
from flangelayout.flange import Tapped
from flangelayout.standards.joints.hardware import FastenerKind, Hardware, LeftOut, NotListed, Through, hardware_of

_SCREWS = frozenset({FastenerKind.HEX_SCREW, FastenerKind.CAP_SCREW, FastenerKind.FLAT_SCREW})


def check_lengths(joint: Assembly) -> Iterator[Finding]:
    """The length that is ordered for every bolt circle, as far as something is known of what it goes through."""
    for found in hardware_of(joint.flange):
        if not 0 <= found.group < len(joint.flange.bolt_circles):
            continue
        place = circle_place(joint.flange, found.group, "mate_thickness")
        if isinstance(found, Hardware):
            yield from _of_hardware(joint, found, place)
        elif found.why is NotListed.NO_STOCK and found.assumed:
            yield not_run(Rule.SCREW_END, place, Reason.MATE_THICKNESS)
        elif found.why is NotListed.NO_STOCK:
            yield judged(Rule.SCREW_END, place, _end(joint, found), -found.over, GEOMETRY, Remedy.OTHER_SCREW)


def _of_hardware(joint: Assembly, found: Hardware, place: Place) -> Iterator[Finding]:
    """A length that is assumed, where that is worth a word; else the end of a screw against the end of its thread."""
    assumed = next((each.length for each in found.summands if each.what is Through.MATE and each.assumed), None)
    is_screw = found.kind in _SCREWS and not found.nuts
    if assumed is None:
        if is_screw and found.spare is not None:
            yield judged(Rule.SCREW_END, place, _end(joint, found), found.spare, GEOMETRY, Remedy.OTHER_SCREW)
    elif is_screw or _is_told(joint, found.group):
        least = assumed - found.spare if is_screw and found.spare is not None else None
        yield noted(Rule.LENGTH_ASSUMED, place, LengthAssumed(found.name, found.length, found.unit, assumed, least))


def _is_told(joint: Assembly, group: int) -> bool:
    """Whether a mate is likely to be no plate like this one: of adapters, tapped holes, mates with a name."""
    circles = joint.flange.bolt_circles
    return len(circles) > 1 or isinstance(circles[group].kind, Tapped) or not joint.is_own_row(group)


def _end(joint: Assembly, found: Hardware | LeftOut) -> ScrewEnd:
    """What a screw meets: the bottom of a blind thread, or the far face of the plate."""
    kind = joint.flange.bolt_circles[found.group].kind
    return ScrewEnd(found.name, found.length, isinstance(kind, Tapped) and kind.depth is None)
