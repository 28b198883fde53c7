"""Inspection by caliper against brute force: verdicts over every part that the readings allow."""

import math

import numpy as np
import pytest

from checks.inspection.allowed_by_force import Array, Force, Limits
from flangelayout.checks.inspection.caliper import inspect_by_caliper
from flangelayout.checks.inspection.caliper_results import CaliperVerdict
from flangelayout.checks.inspection.tolerances import Allowed, GroupLimits, InspectionLimits
from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.survey import Kind, Reading

_SURE = 0.01
"""How clearly in mm the judge must show that a limit is broken or kept; less is a matter of arithmetic."""


def drawn_case(seed: int) -> tuple[Flange, Array, list[Reading], Limits]:
    """A drawing, a part made after it, readings of it within what they are good to, and limits."""
    rng = np.random.default_rng(seed)
    count, diameter = int(rng.integers(3, 9)), float(rng.uniform(90, 300))
    width = 18.0
    drawn = Flange(RoundOutline(diameter + 50), (BoltCircle(diameter, count, width),), bore=diameter - 60)
    sigma = float(rng.choice([0.02, 0.08, 0.2, 0.4]))
    nominal = np.array([(hole.center.x, hole.center.y) for hole in drawn.holes()])
    true = np.concatenate(
        (
            (nominal + rng.normal(0, sigma, nominal.shape)).ravel(),
            width + rng.uniform(-0.05, 0.15, count),
            [*rng.normal(0, 0.2, 2), diameter - 60 + rng.normal(0, 0.1)],
            [*rng.normal(0, 0.2, 2), diameter + 50 + rng.normal(0, 0.1)],
        )
    )
    good_to = float(rng.choice([0.02, 0.05, 0.1, 0.2]))
    limits = Limits(
        circle=float(rng.uniform(0.3, 1.2)) if rng.random() < 0.7 else None,
        chord=float(rng.uniform(0.2, 0.8)),
        any_chord=bool(rng.random() < 0.3),
        zone=float(rng.uniform(0.4, 2.0)) if rng.random() < 0.6 else None,
        plus=0.2 if rng.random() < 0.3 else None,
        minus=0.1 if rng.random() < 0.3 else None,
    )
    return drawn, true, _readings(rng, drawn, true, good_to, limits), limits


def _readings(rng: np.random.Generator, drawn: Flange, true: Array, good_to: float, limits: Limits) -> list[Reading]:
    count = len(drawn.holes())
    pairs = [(a, b) for step in (1, 2, count // 2) for a in range(1, count + 1) for b in [(a - 1 + step) % count + 1]]
    offered: list[Reading] = []
    whole_set = rng.random() < 0.6
    seen = set()
    for at in rng.permutation(len(pairs)).tolist() if not whole_set else range(len(pairs)):
        a, b = pairs[at]
        if a == b or frozenset((a, b)) in seen:
            continue
        seen.add(frozenset((a, b)))
        kind = Kind.SAME_EDGES if whole_set else Kind(rng.choice(["centers", "same-edges", "near-edges", "far-edges"]))
        offered.append(Reading(kind, 1.0, a, b, within=good_to))
    sizes = [Reading(Kind.HOLE_DIAMETER, 1.0, within=good_to)] if limits.plus or limits.minus or not whole_set else []
    if not whole_set:
        sizes += [Reading(kind, 1.0, int(rng.integers(1, count + 1)), within=good_to) for kind in _RADIAL]
        sizes += [Reading(kind, 1.0, within=good_to) for kind in (Kind.BORE, Kind.OUTSIDE_DIAMETER)]
        sizes = [sizes[at] for at in rng.permutation(len(sizes)).tolist()]
    taken = (
        [*sizes[: int(rng.integers(0, 4))], *offered][: int(rng.integers(4, 17))]
        if not whole_set
        else [*sizes, *offered][:16]
    )
    return [_taken(rng, drawn, true, reading, good_to) for reading in taken]


_RADIAL = (Kind.HOLE_TO_BORE, Kind.HOLE_TO_RIM)


def _taken(rng: np.random.Generator, drawn: Flange, true: Array, reading: Reading, good_to: float) -> Reading:
    """The reading with a value: what it truly is, and an error within what it is good to."""
    if reading.kind is Kind.HOLE_DIAMETER and reading.from_hole is None:
        n = len(drawn.holes())
        widths = true[2 * n : 3 * n]
        middle, spread = (widths.max() + widths.min()) / 2, (widths.max() - widths.min()) / 2
        return Reading(reading.kind, float(middle), within=float(spread + good_to))
    (_, _, length), *_ = Force(drawn, true, [reading], Limits(None, None, False, None, None, None)).read
    value = length(true) + float(rng.uniform(-good_to, good_to))
    return Reading(reading.kind, value, reading.from_hole, reading.to_hole, within=good_to)


def inspection_limits(limits: Limits) -> InspectionLimits:
    def allowed(value: float | None) -> Allowed | None:
        return None if value is None else Allowed(value, "the case")

    group = GroupLimits(allowed(limits.circle), allowed(limits.chord), limits.any_chord)
    return InspectionLimits(allowed(limits.zone), None, limits.plus, limits.minus, (group,))


def disagreement(seed: int) -> str:
    """What is wrong with the verdict of a drawn case, by brute force; empty if nothing is."""
    drawn, true, readings, limits = drawn_case(seed)
    verdict = inspect_by_caliper(drawn, readings, inspection_limits(limits)).verdict
    force = Force(drawn, true, readings, limits)
    assert force.allows(true)
    told = f"{seed}: {verdict.value}"
    match verdict:
        case CaliperVerdict.PASS:
            worst = force.worst(math.inf)
            return f"{told}, but an allowed part is out by {worst:.4f}" if worst > _SURE / 10 else ""
        case CaliperVerdict.FAIL:
            best = force.best()
            return f"{told}, but an allowed part is in by {-best:.4f}" if best < -_SURE / 10 else ""
        case CaliperVerdict.OPEN:
            best, worst = force.best(), force.worst(_SURE)
            if best > _SURE:
                return f"{told}, but the best part is out by {best:.4f}"
            return f"{told}, but the worst part is in by {-worst:.4f}" if worst < -_SURE else ""
        case _:
            return f"{told} of honest readings"


@pytest.mark.parametrize("seed", range(6))
def test_a_verdict_is_that_of_brute_force(seed: int) -> None:
    assert disagreement(seed) == ""
