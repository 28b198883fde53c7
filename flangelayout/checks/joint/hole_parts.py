"""What a hole is made of beside its drilling, and where the plate is thinnest below a group of holes."""

import math
from collections.abc import Iterator
from typing import assert_never

from flangelayout.checks.joint_facts import Recess
from flangelayout.flange import (
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Flange,
    Hole,
    Jack,
    Slot,
    Spotfaced,
    Tapped,
)


def recess_of(hole: Hole) -> Recess | None:
    """What is made of a hole beside drilling it through; ``None`` for nothing wider or less deep."""
    match hole.kind:
        case Counterbored():
            return Recess.COUNTERBORE
        case Countersunk():
            return Recess.COUNTERSINK
        case Spotfaced():
            return Recess.SPOTFACE
        case Tapped() | Jack():
            return Recess.THREAD
        case Drilled() | Slot() | Dowel():
            return None
        case _:
            assert_never(hole.kind)


def recess_depth(hole: Hole) -> float | None:
    """How deep a recess or a blind thread goes in mm; ``None`` where it goes through or just makes a seat flat.

    A cone of angle a and width D round a hole d is (D - d) / (2 tan(a / 2)) deep.
    """
    match hole.kind:
        case Counterbored(depth=depth):
            return depth
        case Countersunk(head_diameter=head, angle_deg=angle):
            return (head - hole.diameter) / (2 * math.tan(math.radians(angle) / 2))
        case Tapped(depth=depth):
            return depth
        case Jack() | Spotfaced() | Drilled() | Slot() | Dowel():
            return None
        case _:
            assert_never(hole.kind)


def one_of_each(holes: tuple[Hole, ...]) -> Iterator[Hole]:
    """The first hole of every group, whose holes are all alike, and every single hole."""
    told: set[int] = set()
    for hole in holes:
        if hole.group < 0 or hole.group not in told:
            told.add(hole.group)
            yield hole


def thinnest_of_each(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[tuple[Hole, float | None]]:
    """Of every group the hole where the plate is thinnest, with its thickness there in mm, if one is stated."""
    thickness = flange.thickness
    if thickness is None or flange.profile.is_flat:
        yield from ((hole, thickness) for hole in one_of_each(holes))
        return
    least: dict[tuple[int, int], tuple[Hole, float]] = {}
    for hole in holes:
        group, there = (hole.group, hole.number if hole.group < 0 else 0), flange.metal_at(hole, thickness)
        if group not in least or there < least[group][1] - 1e-9:
            least[group] = (hole, there)
    yield from least.values()
