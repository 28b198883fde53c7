"""Where blocks stand on a page: each whole, at the highest and then leftmost free place."""

from collections.abc import Sequence
from dataclasses import dataclass

from flangelayout.geometry.shapes import Box

GAP = 5.0
_BELOW = 2.0
_SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Size:
    """Room that a block takes, in printed mm."""

    width: float
    height: float


def packed(sizes: Sequence[Size], room: Box) -> list[Box | None]:
    """A place for each block in turn, ``None`` for those that do not fit beside the ones before."""
    taken: list[Box] = []
    places: list[Box | None] = []
    for size in sizes:
        box = _free_place(size, room, taken)
        places.append(box)
        taken += [box] if box else []
    return places


def _free_place(size: Size, room: Box, taken: list[Box]) -> Box | None:
    """Where a block can stand: in the upper left corner, right of a placed one or below one."""
    corners = [(room.left, room.top)]
    corners += [(box.right + GAP, top) for box in taken for top in (box.top, room.top)]
    corners += [(box.left, box.bottom - _BELOW) for box in taken]
    corners += [(room.left, box.bottom - _BELOW) for box in taken]
    for left, top in sorted(set(corners), key=lambda corner: (-corner[1], corner[0])):
        box = Box(left, top - size.height, left + size.width, top)
        inside = box.right <= room.right + _SLACK and box.bottom >= room.bottom - _SLACK
        if inside and not any(_too_near(box, other) for other in taken):
            return box
    return None


def _too_near(box: Box, other: Box) -> bool:
    wide = Box(box.left - GAP + 0.1, box.bottom - _BELOW + 0.1, box.right + GAP - 0.1, box.top + _BELOW - 0.1)
    return wide.overlaps(other)
