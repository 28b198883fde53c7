"""What a sheet says of the pipe that a flange goes on: which pipe, how the bore follows, which holes stand level."""

from collections.abc import Iterator
from typing import assert_never

from flangelayout.flange import Flange, Hole
from flangelayout.flange.joints.pipe import PipeBore, PipeFit
from flangelayout.views.words.lengths import Lengths

_NEAR = 1e-3


def pipe_notes(flange: Flange, lengths: Lengths) -> Iterator[str]:
    """The pipe and its fit, and the two holes to level by; nothing for a bore that is no longer the pipe's."""
    pipe = flange.bore_fit
    if pipe is None or flange.bore is None or abs(flange.bore - pipe.bore) > _NEAR:
        return
    yield f"Bore {lengths.diameter(pipe.bore)}: {_fit_text(pipe, lengths)}."
    for group in range(len(flange.bolt_circles)):
        told = orientation_text(tuple(hole for hole in flange.holes() if hole.group == group))
        if told:
            yield told


def _fit_text(pipe: PipeBore, lengths: Lengths) -> str:
    schedule = f" {pipe.schedule}" if pipe.schedule else ""
    wall = f"{lengths.by}{lengths.size(pipe.wall)}" if pipe.wall is not None else ""
    written = " as written" if pipe.wall is not None and not pipe.schedule else ""
    outside = f"{lengths.size(pipe.outside)}{wall}{written} {lengths.unit.value}"
    named = f"pipe {pipe.size}{schedule}, {outside} ({pipe.standard}, {pipe.confidence.words})"
    match pipe.fit:
        case PipeFit.SLIP_ON:
            plus = f", +{lengths.size(pipe.plus)}/-0" if pipe.plus is not None else ""
            return f"slip-on over {named}; as slip-on flanges of ASME B16.5{plus} ({pipe.bore_confidence.words})"
        case PipeFit.WELD_NECK:
            return f"weld neck, as wide as {named} inside"
        case _:
            assert_never(pipe.fit)


def orientation_text(holes: tuple[Hole, ...]) -> str:
    """Which holes stand level or plumb when the flange is hung with TOP up; empty where none of the top ones do."""
    if len(holes) < 2:
        return ""
    top = max(hole.center.y for hole in holes)
    highest = sorted((hole for hole in holes if hole.center.y > top - _NEAR), key=lambda hole: hole.center.x)
    if len(highest) == 2 and abs(highest[0].center.x + highest[1].center.x) < _NEAR:
        return f"TWO-HOLED: HOLES {highest[0].label} AND {highest[1].label} LEVEL ACROSS THE TOP"
    low = min(hole.center.y for hole in holes)
    lowest = [hole for hole in holes if hole.center.y < low + _NEAR]
    if len(highest) == len(lowest) == 1 and abs(highest[0].center.x) < _NEAR and abs(lowest[0].center.x) < _NEAR:
        return f"ONE-HOLED: HOLES {highest[0].label} AND {lowest[0].label} PLUMB"
    return ""
