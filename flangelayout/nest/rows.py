"""Plain rows and columns: what anyone would chalk on the plate, and what every nest is measured against."""

from collections.abc import Sequence

from flangelayout.geometry.shapes import Box, Point

_ROUNDING = 1e-7


def lay_rows(
    sizes: Sequence[Box], order: Sequence[int], room: Box, spacing: float, columns: bool
) -> tuple[list[tuple[int, Point]], list[int]]:
    """Boxes in rows along the plate, or in columns across it, each put into the first one that has room.

    Args:
        sizes: What each kind of part takes up about its own origin.
        order: The kind of each piece in the order of laying.
        room: The plate inside its margins.
        spacing: Between boxes.
        columns: Whether to fill the width first.

    Returns:
        The kind of each piece laid with the place of its part's origin, and the kinds of those without a place.
    """
    long, wide = (room.height, room.width) if columns else (room.width, room.height)
    lanes: list[tuple[float, float, float]] = []
    laid: list[tuple[int, Point]] = []
    left: list[int] = []
    for index in order:
        box = sizes[index]
        length, depth = (box.height, box.width) if columns else (box.width, box.height)
        number = _lane_for(lanes, length, depth, long, wide, spacing)
        if number is None:
            left.append(index)
            continue
        start, size, filled = lanes[number]
        lanes[number] = (start, size, filled + length + spacing)
        x, y = (start, filled) if columns else (filled, start)
        laid.append((index, Point(room.left + x - box.left, room.bottom + y - box.bottom)))
    return laid, left


def _lane_for(
    lanes: list[tuple[float, float, float]], length: float, depth: float, long: float, wide: float, spacing: float
) -> int | None:
    """The first lane (start, depth, filled) with room, or a new one; ``None`` where the plate is full."""
    for number, (_, size, filled) in enumerate(lanes):
        if depth <= size + _ROUNDING and filled + length <= long + _ROUNDING:
            return number
    start = lanes[-1][0] + lanes[-1][1] + spacing if lanes else 0.0
    if start + depth > wide + _ROUNDING or length > long + _ROUNDING:
        return None
    lanes.append((start, depth, 0.0))
    return len(lanes) - 1
