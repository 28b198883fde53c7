"""Spigots: whether bore or recess takes the mate's, how deep, the plate's own in the mate, two that meet."""

import math
from collections.abc import Iterator
from itertools import combinations

from flangelayout.checks.facts import MateSpigot
from flangelayout.checks.finding import Finding, Place, Reason, Remedy, judged, not_run
from flangelayout.checks.joint.assembled import Assembly
from flangelayout.checks.joint.mates import contact_plane
from flangelayout.checks.joint_facts import MatesMeet, SpigotDepth, SpigotInMate
from flangelayout.checks.limits import GEOMETRY, Ground, Limit, Published
from flangelayout.checks.rule import Rule
from flangelayout.flange.joints import Mate, MateSource, Spigot
from flangelayout.flange.turning import PlateFace, TurnedKind


def check_spigots(joint: Assembly) -> Iterator[Finding]:
    """Everything about spigots of mates and of the plate."""
    for known in joint.mates.values():
        if known.spigot is not None:
            yield from _taken_in(joint, known, known.spigot)
        if known.group in joint.told:
            yield from _own(joint, known)
    for one, other in combinations(joint.mates.values(), 2):
        if one.face is not other.face and {one.group, other.group} <= joint.told:
            yield from _meeting(joint, one, other)


def _taken_in(joint: Assembly, known: Mate, spigot: Spigot) -> Iterator[Finding]:
    """Bore or recess as wide as the mate's spigot, and as deep."""
    flange = joint.flange
    place, faces = Place("plate.bore", known.group), [known.face] if known.is_face_said else list(PlateFace)
    opening = max(_opening(joint, known, face) for face in faces)
    if flange.bore is None and opening <= 0 and known.group not in joint.told:
        yield not_run(Rule.MATE_SPIGOT, place, Reason.BORE)
        return
    source = Published(known.called) if known.source is MateSource.ROW else Ground.STATED
    facts, limit = MateSpigot(known.called, spigot.diameter), Limit(spigot.diameter, source)
    taken = judged(Rule.MATE_SPIGOT, place, facts, opening, limit, Remedy.BORE_FOR_SPIGOT)
    yield taken
    through = flange.bore is not None and flange.bore >= spigot.diameter
    if not taken.failed and not through and known.is_face_said and spigot.height is not None:
        profile = flange.profile.of(known.face)
        depth = profile.highest((flange.bore or 0.0) / 2, spigot.diameter / 2) - contact_plane(joint, known)
        deep, height = SpigotDepth(known.called), Limit(spigot.height, source)
        yield judged(Rule.SPIGOT_DEPTH, place, deep, depth, height, Remedy.DEEPER_FOR_SPIGOT)


def _opening(joint: Assembly, known: Mate, face: PlateFace) -> float:
    """How wide in mm the plate is open below the plane of a mate: by its bore, or by a recess in that face."""
    flange = joint.flange
    spigot = known.spigot.diameter if known.spigot else 0.0
    outer = max(known.outside_diameter or math.inf, spigot) / 2
    profile = flange.profile.of(face)
    plane = profile.highest(min(max(spigot, flange.bore or 0.0) / 2, outer * 0.999), outer)
    return 2 * profile.opening((flange.bore or 0.0) / 2, plane)


def _own(joint: Assembly, known: Mate) -> Iterator[Finding]:
    """The plate's own spigots on the face of a mate."""
    for index, each in enumerate(joint.flange.turned):
        if each.face is not known.face or each.kind is not TurnedKind.SPIGOT:
            continue
        place = Place(f"{each.key or 'turned'}.diameter", known.group)
        if known.bore is None:
            yield not_run(Rule.SPIGOT_IN_MATE, place, Reason.MATE_BORE)
            continue
        facts, limit = SpigotInMate(known.called, index, known.bore), GEOMETRY
        yield judged(Rule.SPIGOT_IN_MATE, place, facts, known.bore - each.diameter, limit, Remedy.SPIGOT_FOR_MATE)


def _meeting(joint: Assembly, one: Mate, other: Mate) -> Iterator[Finding]:
    """Spigots of two mates that come from both faces through one bore."""
    spigots = [each.spigot for each in (one, other)]
    heights = [each.height for each in spigots if each is not None and each.height is not None]
    if joint.flange.thickness is None or len(heights) < 2:
        return
    apart = joint.flange.thickness - contact_plane(joint, one) - contact_plane(joint, other) - sum(heights)
    place, facts = Place("plate.thickness"), MatesMeet(one.called, other.called)
    yield judged(Rule.MATES_MEET, place, facts, apart, GEOMETRY, Remedy.MATES_APART)
