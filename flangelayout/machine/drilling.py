"""A drilling program in the address letters of ISO 6983-1: canned cycles G81 and G83, one tool for each hole size.

Absolute coordinates (G90), feed per minute (G94), X and Y from the chosen zero, Z zero at the face. Between
holes the tool travels at the safe height (G98).
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import assert_never

from flangelayout.drawing.info import JobInfo
from flangelayout.flange import (
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Flange,
    Hole,
    Jack,
    RoundOutline,
    Slot,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.cutting import DrillingOptions, is_drilled, zero_point
from flangelayout.flange.hole import DRILL_POINT
from flangelayout.flange.turning import PlateFace
from flangelayout.standards.practice import DRILL_THROUGH
from flangelayout.units import Unit, decimal_text, size_text

DEEP = 3.0
"""From a depth of this many diameters on, the drill is drawn back to clear its chips (common practice, no source)."""


def drilling_program(flange: Flange, info: JobInfo, digest: str, options: DrillingOptions) -> str:
    """The program as text, one block a line, between two lines of ``%``.

    What it leaves to be done, threads, recesses, slots and reamed holes, is named in comments, as are the holes of
    each tool.

    Args:
        flange: What is drilled; its thickness gives the depth unless the options do.
        info: For the comments at the head.
        digest: Of the job.
        options: Heights, depth, feed and speed.

    Raises:
        ValueError: If neither the flange has a thickness nor the options a depth.
    """
    if options.depth is None and flange.thickness is None:
        raise ValueError("a drilling program needs the thickness of the plate or a depth")
    by_size: dict[float, list[Hole]] = {}
    for hole in flange.holes():
        if is_drilled(hole):
            by_size.setdefault(hole.diameter, []).append(hole)
    blocks = [*_setup(options), *_all_sizes(flange, by_size, options), _height(options), "M5", "M30"]
    numbered = (f"N{10 * index} {block}" for index, block in enumerate(blocks, 1))
    return "\n".join(["%", *_head(flange, info, digest, by_size, options), *numbered, "%", ""])


def depth_of(diameter: float, flange: Flange, options: DrillingOptions) -> float:
    """How far below the face in mm the point of a drill of ``diameter`` mm goes."""
    if options.depth is not None:
        return options.depth
    return (flange.thickness or 0.0) + DRILL_POINT * diameter + DRILL_THROUGH


def _head(
    flange: Flange, info: JobInfo, digest: str, by_size: dict[float, list[Hole]], options: DrillingOptions
) -> Iterator[str]:
    """Comments: what it is for, the stock, the zero, the tools, and that it must be proved first."""
    unit = options.unit
    box = flange.box()
    across = size_text(box.width, unit)
    size = (
        f"ROUND {across}" if isinstance(flange.outline, RoundOutline) else f"{across} X {size_text(box.height, unit)}"
    )
    thick = f" X {size_text(flange.thickness, unit)} THICK" if flange.thickness is not None else ""
    lines = [
        f"JOB {info.number} REV {info.revision} {info.title}",
        f"DIGEST {digest[:10]}",
        "WARNING: PROVE THIS PROGRAM IN AIR, ABOVE THE WORK, BEFORE IT CUTS METAL",
        f"STOCK: {size}{thick} {unit.value} {flange.material}",
        f"ZERO: X Y AT THE {options.zero.value}, Z AT THE TOP FACE; SEEN FROM {flange.face}",
        f"UNITS: {unit.value}; SAFE HEIGHT {size_text(options.safe_height, unit)}",
    ]
    lines += [_tool_line(tool, diameter, holes, options) for tool, (diameter, holes) in enumerate(by_size.items(), 1)]
    if options.feed is None or options.speed is None:
        lines.append("FEED AND SPEED ARE NOT STATED: SET THEM AT THE CONTROL")
    lines += (f"STILL TO DO: {each}" for each in _still_to_do(flange.holes(), unit))
    return (f"({_plain(line)})" for line in lines)


def _tool_line(tool: int, diameter: float, holes: list[Hole], options: DrillingOptions) -> str:
    """A tool with the holes it drills and, where they are stated, its speed and feed."""
    unit = options.unit
    line = f"T{tool} WITH LENGTH OFFSET H{tool}: DRILL {size_text(diameter, unit)} {unit.value}, HOLES {_labels(holes)}"
    if options.feed is None or options.speed is None:
        return line
    return f"{line}; S{options.speed:.0f} PER MINUTE, F{_number(options.feed, unit)} {unit.value} PER MINUTE"


def _still_to_do(holes: Iterable[Hole], unit: Unit) -> Iterator[str]:
    """What is made of the holes after this program, one line for holes that are made alike."""
    alike: dict[str, list[Hole]] = {}
    for hole in holes:
        work = _work(hole, unit)
        if work and hole.made_from is PlateFace.BACK:
            work += " FROM THE BACK"
        if work:
            alike.setdefault(work, []).append(hole)
    return (f"{work}, HOLES {_labels(same)}" for work, same in alike.items())


def _work(hole: Hole, unit: Unit) -> str:
    kind = hole.kind
    match kind:
        case Drilled():
            text = ""
        case Tapped(depth=None) | Jack():
            text = f"TAP {kind.thread}"
        case Tapped(depth=depth, drill_depth=drilled):
            drill = f"DRILL {size_text(drilled, unit)} DEEP" if drilled else "DRILL"
            text = f"{drill} AND TAP {kind.thread}, THREAD {size_text(depth or 0.0, unit)} DEEP"
        case Countersunk(head_diameter=head, angle_deg=angle):
            text = f"COUNTERSINK {size_text(head, unit)}, {angle:g} DEG"
        case Counterbored(bore_diameter=bore, depth=depth):
            text = f"COUNTERBORE {size_text(bore, unit)}, {size_text(depth, unit)} DEEP"
        case Spotfaced(seat_diameter=seat):
            text = f"SPOTFACE {size_text(seat, unit)}"
        case Dowel(fit=fit):
            text = f"DRILL AND REAM {size_text(hole.diameter, unit)} {fit}"
        case Slot(length=length):
            text = f"MILL SLOT {size_text(hole.diameter, unit)} X {size_text(length, unit)}"
        case _:
            assert_never(kind)
    return text


def _labels(holes: list[Hole]) -> str:
    """Labels of holes; those of one group that follow each other as first and last."""
    runs: list[list[Hole]] = []
    for hole in holes:
        last = runs[-1][-1] if runs else None
        if last is not None and (last.group, last.number + 1) == (hole.group, hole.number):
            runs[-1].append(hole)
        else:
            runs.append([hole])
    return " ".join(run[0].label if len(run) == 1 else f"{run[0].label}-{run[-1].label}" for run in runs)


def _setup(options: DrillingOptions) -> Iterator[str]:
    yield f"G17 {'G21' if options.unit is Unit.MM else 'G20'} G40 G49 G80 G90 G94"


def _all_sizes(flange: Flange, by_size: dict[float, list[Hole]], options: DrillingOptions) -> Iterator[str]:
    box = flange.box()
    zero = zero_point(options.zero, (box.left, box.bottom), flange.holes())
    for tool, (diameter, holes) in enumerate(by_size.items(), 1):
        yield f"T{tool} M6"
        yield "M3" if options.speed is None else f"S{options.speed:.0f} M3"
        yield f"G43 H{tool} {_height(options)}"
        yield from _cycles(holes, depth_of(diameter, flange, options), zero, options)


def _cycles(holes: list[Hole], depth: float, zero: tuple[float, float], options: DrillingOptions) -> Iterator[str]:
    """To the first hole at the safe height, then one cycle block and a place for every further hole."""
    unit, diameter = options.unit, holes[0].diameter
    places = [f"X{_number(hole.center.x - zero[0], unit)} Y{_number(hole.center.y - zero[1], unit)}" for hole in holes]
    yield f"G0 {places[0]}"
    feed = f" F{_number(options.feed, unit)}" if options.feed is not None else ""
    reach = f"Z{_number(-depth, unit)} R{_number(options.clearance, unit)}"
    if depth > DEEP * diameter:
        bite = options.peck if options.peck is not None else diameter / 2
        yield f"G98 G83 {places[0]} {reach} Q{_number(bite, unit)}{feed}"
    else:
        yield f"G98 G81 {places[0]} {reach}{feed}"
    yield from places[1:]
    yield "G80"


def _height(options: DrillingOptions) -> str:
    return f"G0 Z{_number(options.safe_height, options.unit)}"


def _number(length: float, unit: Unit) -> str:
    """A length with the decimals that keep it within half a thousandth of a mm."""
    return decimal_text(length, unit, 3 if unit is Unit.MM else 5)


def _plain(text: str) -> str:
    """Capitals, digits and plain signs only, no bracket that could end the comment early."""
    flat = unicodedata.normalize("NFKD", text.upper()).replace("⌀", "DIA ")
    flat = "".join(sign for sign in flat if not unicodedata.combining(sign))
    return re.sub(r"[^A-Z0-9 .,:;+*/=_-]", "-", " ".join(flat.split()))
