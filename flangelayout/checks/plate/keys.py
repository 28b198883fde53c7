"""The keys of a job file behind what stands on a plate."""

from flangelayout.checks.finding import Place, ref
from flangelayout.flange import Flange, Hole


def hole_key(flange: Flange, hole: Hole) -> str:
    """The job key that places a hole: its circle's diameter, its pattern's or its own table."""
    on_circle = 0 <= hole.group < len(flange.bolt_circles)
    return f"{hole.key}.diameter" if on_circle else hole.key


def circle_place(flange: Flange, group: int, key: str) -> Place:
    """A key of a circle's table."""
    return Place(f"{flange.group_key(group)}.{key}", group)


def hole_place(flange: Flange, hole: Hole, opening: int | None = None) -> Place:
    """Where a hole stands."""
    return Place(hole_key(flange, hole), hole.group, (ref(hole),), opening)
