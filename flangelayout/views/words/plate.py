"""The sizes of a plate in words: what the views alone do not dimension."""

from collections import Counter
from collections.abc import Iterator
from typing import assert_never

from flangelayout.flange import (
    FigureEightOutline,
    Flange,
    LozengeOutline,
    LuggedOutline,
    OvalOutline,
    PaddleOutline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SegmentOutline,
    SplitOutline,
)
from flangelayout.units import Unit, angle_text, size_text
from flangelayout.views.words.lengths import DIAMETER_SIGN
from flangelayout.views.words.origins import size_sources


def plate_notes(flange: Flange, unit: Unit) -> Iterator[str]:
    """Outline, joints, openings and the sources of single holes' sizes, each as a line for the notes."""
    text = outline_text(flange, unit)
    if text:
        yield text
    outline = flange.outline
    if isinstance(outline, SegmentOutline | SplitOutline) and outline.joint:
        yield f"JOINTS: {outline.joint}"
    yield from _opening_notes(flange, unit)
    for number, hole in enumerate(flange.single_holes, 1):
        for source in size_sources(hole.drilling):
            yield f"Hole X{number}: {source}."


def outline_text(flange: Flange, unit: Unit) -> str:
    """The outline's sizes in one line; empty for a round plate, whose diameter is dimensioned."""
    outline = flange.outline
    match outline:
        case RoundOutline():
            text = ""
        case RectangleOutline() | OvalOutline() | LozengeOutline():
            text = _straight(outline, unit)
        case LuggedOutline():
            text = _lugs(outline, unit)
        case PathOutline():
            text = f"OUTLINE OF LINES AND ARCS PER CUT FILE, {len(outline.contour.parts)} PARTS"
        case PaddleOutline() | FigureEightOutline():
            text = _discs(outline, unit)
        case SegmentOutline() | SplitOutline():
            text = _parts(outline, unit)
        case _:
            assert_never(outline)
    return text


def _straight(outline: RectangleOutline | OvalOutline | LozengeOutline, unit: Unit) -> str:
    def size(length: float) -> str:
        return size_text(length, unit)

    match outline:
        case RectangleOutline():
            corners = f"CORNERS R{size(outline.corner_radius)}" if outline.corner_radius else "SHARP CORNERS"
            return f"RECTANGLE {size(outline.width)} X {size(outline.height)}, {corners}"
        case OvalOutline():
            sides = "STRAIGHT" if abs(outline.width - 2 * outline.end_radius) < 1e-6 else "ARCHED"
            ends = f"ENDS R{size(outline.end_radius)}"
            return f"OVAL {size(outline.length)} X {size(outline.width)}, {ends}, {sides} SIDES"
        case LozengeOutline():
            middle = _diameter_text(outline.middle_diameter, unit)
            return f"LOZENGE {size(outline.length)} LONG, MIDDLE {middle}, ENDS R{size(outline.end_radius)}"
        case _:
            assert_never(outline)


def _discs(outline: PaddleOutline | FigureEightOutline, unit: Unit) -> str:
    disc = _diameter_text(outline.outside_diameter, unit)
    if isinstance(outline, FigureEightOutline):
        apart, web = size_text(outline.center_distance, unit), size_text(outline.web_width, unit)
        return f"TWO DISCS {disc}, {apart} APART, WEB {web} WIDE{_roots(outline.root_radius, unit)}"
    reach, width = size_text(outline.handle_length, unit), size_text(outline.handle_width, unit)
    end = f", END R{size_text(outline.end_radius, unit)}" if outline.end_radius else ""
    return f"DISC {disc}, HANDLE {width} WIDE, ENDING {reach} FROM CENTER{end}{_roots(outline.root_radius, unit)}"


def _roots(radius: float, unit: Unit) -> str:
    return f", ROOTS R{size_text(radius, unit)}" if radius else ""


def _lugs(outline: LuggedOutline, unit: Unit) -> str:
    body, circle = (_diameter_text(size, unit) for size in (outline.body_diameter, outline.lug_circle))
    ends = f"{outline.lug_count} LUGS R{size_text(outline.lug_radius, unit)} ON {circle}"
    first = f"FIRST AT {angle_text(outline.first_lug_angle)}"
    wide = outline.width_at_middle
    taper = f", TAPERED FROM {size_text(wide, unit)} AT THE MIDDLE" if wide is not None else ""
    return f"BODY {body} WITH {ends}, {first}{taper}{_roots(outline.root_radius, unit)}"


def _parts(outline: SegmentOutline | SplitOutline, unit: Unit) -> str:
    outside, inside = (_diameter_text(size, unit) for size in (outline.outside_diameter, outline.inside_diameter))
    pitch = 360.0 / outline.part_count
    many = 2 if isinstance(outline, SegmentOutline) else outline.part_count
    angles = ", ".join(angle_text((outline.first_joint_angle + index * pitch) % 360.0) for index in range(many))
    what = f"1 SEGMENT OF {outline.part_count}" if isinstance(outline, SegmentOutline) else f"{many} PARTS"
    gap = f", GAP {size_text(outline.gap, unit)}" if outline.gap else ""
    return f"RING {outside} X {inside}, {what}, JOINTS AT {angles}{gap}"


def _opening_notes(flange: Flange, unit: Unit) -> Iterator[str]:
    """One line for each opening, copies told once."""
    counts = Counter(opening.number for opening in flange.openings)
    for opening in flange.openings:
        copies = counts[opening.number]
        if opening.sizes and opening.copy <= 1:
            sizes = ", ".join(f"{word.upper()} {_shown(word, value, unit)}" for word, value in opening.sizes)
            yield f"{opening.called.upper() if copies == 1 else f'{copies}X {opening.called.upper()}'}: {sizes}"


def _shown(word: str, value: float, unit: Unit) -> str:
    return angle_text(value) if word in ("angle", "sweep") else size_text(value, unit)


def _diameter_text(length: float, unit: Unit) -> str:
    return DIAMETER_SIGN + size_text(length, unit)
