"""What is said of the section: its sizes, the names of both faces, its own name, what was turned into it."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, product

from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import arrow_head, explode, items_box, without_extensions
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Leader, LinearDimension, MeasuredText
from flangelayout.drawing.references import Feature, FeatureRef, Furniture, TurnedRef
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import SplitOutline
from flangelayout.flange.turning import PlateFace, Turned
from flangelayout.geometry.shapes import Line, Point
from flangelayout.units import angle_text
from flangelayout.value import replace
from flangelayout.views.page.text_clearance import Ink, corners_of, grown
from flangelayout.views.sheet.face import edge_items
from flangelayout.views.sheet.look import Option, placed, placed_apart
from flangelayout.views.sheet.section.drawn import Section
from flangelayout.views.sheet.sizes.bores import allowed, center_diameters
from flangelayout.views.words.joint.turned import turned_call_out

_FIRST, _STEP, _FINE_TRIES, _TRIES = 7.5, 0.5, 100, 40
_LONG = 30.0
"""Printed mm above which what a level size says behind its value stands under it: it takes no room from the views."""
_STEEP_TRIES = 8
"""Places of a chamfer's words below each other, before one farther out."""
_UNDER_TITLE, _PITCH = 2.1, 1.6
_JUST_BELOW = 1e-6
_BESIDE = (6.0, 12.0)
"""Printed mm right of the section that the name of its face takes anyway, and that dimensions mostly do: words under it
reach no farther if they can."""
_WIDEST = 50.0
"""Printed mm that a line under the section's name is wide at the most."""
_ASIDE, _SLIGHTLY = (4.0, 8.0, 12.0), 2.0
"""Printed mm right of the section's middle where its name is tried, and how much wider the views may be for one that
stands so much higher."""
_NARROW = 25.0
"""Likewise of a leader right of the section: its words take no room from the views."""
_NEAR, _LESS_NEAR, _FAR = (3.0, 4.5, 7.0, 10.0), (11.5, 13.0), (14.0, 19.0, 25.0, 31.0, 37.0)
"""Printed mm from a face to its name: beside it if that can be, then in line with it beyond its ends; a little farther
where it would else be read with other words."""
_LEVELS = (0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.7, 0.8, 0.85, 0.9, 0.95, 1.0, 0.5)
"""Where along a face its name is tried, from its lower end."""
_PAST, _FAR_PAST = (3.0,), (10.0, 17.0, 24.0)
"""Printed mm beyond the ends of a face to its name there, and where that finds no place."""
_ALONE, _NEARLY_ALONE = 3.0, 2.0
"""Printed mm from a face's name to any other text, if that can be, and where it would else stand beyond its face."""
_OWN_WORDS, _OWN_LINE = 2.5, 6.0
"""Printed mm from the words of a leader or of the section's name to others above and below, which is more than between
lines, and to others on the line of the name, if that can be."""


def section_dimensions(section: Section, ink: Ink, others: Iterable[Item]) -> list[Item]:
    """Thickness, bore, raised face, chamfer and the section's name, each where it crosses no text.

    Args:
        section: What is shown.
        ink: What stands there; what is placed is added to it.
        others: What stands beside the section: no arrow from a face's name crosses the sizes among them.
    """
    found: list[Item] = list(placed(ink, _thickness(section)) or ())
    flange, look = section.look.flange, section.look
    for size in center_diameters(look):
        depth = section.step if size.is_raised else section.thickness
        ways = tuple(_upright(section, size.diameter / 2, depth, size.said, size.source))
        found += placed(ink, chain((way for way in ways if not _runs_on(ink, way, _NEARLY_ALONE, 0.0)), ways)) or ()
    if section.step:
        found += placed(ink, _face_height(section)) or ()
    if flange.bore is not None and flange.bore_chamfer:
        found += placed(ink, _chamfer(section, flange.bore / 2, flange.bore_chamfer)) or ()
    for number, each in enumerate(flange.turned, 1):
        lines = Ink(look.scale)
        lines.add(found)
        ways = tuple(_turned(section, each, TurnedRef(number)))
        alone = (way for way in ways if not _runs_on(ink, way, _OWN_WORDS, _OWN_WORDS))
        found += placed_apart(ink, alone, lines) or placed_apart(ink, ways, lines) or ()
    right = items_box(found, look.scale).right if found else section.right
    reaches = [max(right, section.right + look.real(beside)) for beside in _BESIDE]
    titles = (title for title in _title(section, reaches) if not _runs_on(ink, title, _OWN_LINE, _OWN_WORDS))
    found += placed(ink, chain(titles, _title(section, reaches))) or ()
    sizes = [*found, *(each for each in others if each.layer is Layer.DIMENSION)]
    edges = Ink(look.scale)
    edges.add(edge_items(flange))
    lines, measures = edges.copy(), edges.copy()
    lines.add(sizes)
    measures.add(map(without_extensions, sizes))
    for face in PlateFace:
        found += placed(ink, _apart_first(ink, (lines, measures, edges), section, face)) or ()
    return found


def _apart_first(ink: Ink, lines: tuple[Ink, Ink, Ink], section: Section, face: PlateFace) -> Iterator[Option]:
    """Places of a face's name where no text stands by it, as if the two were one; then all.

    Where none is left, beyond its ends with an arrow over lines of sizes, or alone. No arrow crosses the plate's view.

    Args:
        ink: What stands there.
        lines: Of the plate's edges and of sizes, those that an arrow to the face crosses none of from beside it, and
            from beyond its ends; of edges alone.
        section: Where the face is.
        face: Which.
    """
    usual = _NEAR + _FAR
    nearest = (usual, _ALONE), (_LESS_NEAR, _ALONE), (usual, _NEARLY_ALONE), ((), _ALONE)
    for away, apart in (*nearest, (usual, 0.0), ((), 0.0)):
        for option in _face_names(section, face, lines[not away], away):
            name, *_ = (corners_of(each.what, ink.scale) for each in option if isinstance(each.what, Label))
            if not apart or not ink.has_text_near(name, apart):
                yield option
    for led, past in ((True, _PAST), (True, _FAR_PAST), (False, _PAST)):
        options = _face_names(section, face, lines[2], past=past)
        yield from (option if led else option[:1] for option in options)


def _thickness(section: Section) -> Iterator[Option]:
    """Over the section, from the uppermost corner of either face's outermost plane."""
    look = section.look
    first, last = sorted((_corner(section, face) for face in PlateFace), key=lambda corner: corner.x)
    off = allowed(look, look.flange.tolerances.thickness).rstrip()
    said = look.lengths.measured(section.thickness, after=f" {off}" if off else "")
    for step in range(_TRIES):
        at = Point(section.left, max(look.box.top, section.metal[-1][1]) + look.real(6.0 + step))
        size = LinearDimension(first, last, at, 0.0, said, look.style)
        yield (Item(Layer.DIMENSION, size, FeatureRef(Feature.THICKNESS)),)


def _corner(section: Section, face: PlateFace) -> Point:
    top = section.metal[-1][1]
    heights = sorted((top, *(wall for wall in section.walls(face) if wall < top)), reverse=True)
    outermost = (y for y in heights if section.surface(face, y - _JUST_BELOW) < _JUST_BELOW)
    return section.place(section.below(face, 0.0), next(outermost, top))


def _upright(section: Section, radius: float, depth: float, said: MeasuredText, source: FeatureRef) -> Iterator[Option]:
    """A diameter at the right of the section; where its text finds no place there, a leader from its upper edge."""
    look = section.look
    low, high = section.place(depth, -radius), section.place(depth, radius)
    if look.style is DimensionStyle.LEVEL and text_width(said.text(2 * radius), look.letter) > _LONG:
        said = replace(said, after=said.after.replace(" ", "\n"))
    for step in range(_FINE_TRIES):
        at = Point(section.right + look.real(_FIRST + _STEP * step), 0.0)
        for ends in ((low, high), (high, low)):
            size = LinearDimension(*ends, at, 90.0, said, look.style)
            yield (Item(Layer.DIMENSION, size, source),)
    for step in range(_TRIES):
        elbow = Point(section.right + look.real(6.0), look.box.top + look.real(8.0 + step))
        yield (Item(Layer.DIMENSION, Leader(high, elbow, (said.text(2 * radius),), style=look.style), source),)


def _runs_on(ink: Ink, option: Option, along: float, aside: float) -> bool:
    """Whether a text stands so near one of an option that the two are read as one.

    Args:
        ink: What stands there.
        option: It.
        along: Printed mm before and behind a text of the option in which none may stand.
        aside: As much above and below it.
    """
    for label in (part for each in option for part in explode(each.what, ink.scale) if isinstance(part, Label)):
        (a, b), (c, d), (e, f), (g, h) = grown(corners_of(label, ink.scale), aside)
        x, y = ((along - aside) * step / math.hypot(c - a, d - b) for step in (c - a, d - b))
        if ink.has_text_near(((a - x, b - y), (c + x, d + y), (e + x, f + y), (g - x, h - y)), 0.0):
            return True
    return False


def _face_height(section: Section) -> Iterator[Option]:
    look, bottom = section.look, section.look.box.bottom
    ends = section.place(0.0, -section.half_face), section.place(section.step, bottom)
    first, last = sorted(ends, key=lambda end: end.x)
    for step in range(_TRIES):
        at = Point(section.left, bottom - look.real(6.0 + step))
        size = LinearDimension(first, last, at, 0.0, look.lengths.measured(section.step), look.style)
        yield (Item(Layer.DIMENSION, size, FeatureRef(Feature.RAISED_FACE_HEIGHT)),)


def _chamfer(section: Section, bore: float, size: float) -> Iterator[Option]:
    """A leader from the chamfer at the lower edge of the bore, out to the right and down."""
    look = section.look
    tip = section.place(section.surface(PlateFace.FACE, bore + size) + size / 2, -bore - size / 2)
    text = (f"{look.lengths.size(size)}{look.lengths.by}45°",)
    for down, out in (*product(range(_STEEP_TRIES), (5.0,)), *product(range(_TRIES), (5.0, 12.0, 20.0))):
        elbow = Point(section.right + look.real(out), look.box.bottom - look.real(3.0 + 1.5 * down))
        yield (Item(Layer.DIMENSION, Leader(tip, elbow, text, style=look.style), FeatureRef(Feature.BORE_CHAMFER)),)


def _turned(section: Section, each: Turned, source: TurnedRef) -> Iterator[Option]:
    """A leader from the upper or the lower wall of what is turned, out to the right, with all its sizes.

    Its words stand above or below the section, or beside it under the lower wall.
    """
    look, y = section.look, section.height(each.diameter / 2)
    profile = section.profile(each.face)
    inside, outside = (profile.depth_at(each.diameter / 2 + aside) for aside in (-1e-6, 0.0))
    depth = section.below(each.face, (inside + outside) / 2)
    lines = (turned_call_out(each, look.lengths), *((each.name.upper(),) if each.name else ()))
    text = tuple(part for line in lines for part in wrapped(line, _NARROW, look.letter))
    for step in range(_TRIES):
        for level, side in ((look.box.top, 1), (look.box.bottom, -1), (-y, -1)):
            elbow = Point(section.right + look.real(3.5), level + side * look.real(4.0 + step))
            yield (
                Item(Layer.DIMENSION, Leader(section.place(depth, side * y), elbow, text, style=look.style), source),
            )


def _face_names(
    section: Section, face: PlateFace, lines: Ink, beside: tuple[float, ...] = (), past: tuple[float, ...] = _PAST
) -> Iterator[Option]:
    """The name of a face along its edge, from the lower end up, or farther off and beyond it with an arrow to it.

    Args:
        section: Where the face is.
        face: Which.
        lines: Of edges and sizes, which an arrow does not cross.
        beside: How far from the face in printed mm; none where the name stands beyond the ends of the face instead.
        past: How far beyond them.
    """
    look = section.look
    text = look.flange.face.upper() if face is PlateFace.FACE else "BACK"
    depth = 0.0 if face is PlateFace.FACE else section.thickness
    edge = section.place(depth, 0.0).x
    out = 1.0 if edge == section.right else -1.0
    half = look.real(text_width(text, look.letter) / 2)
    bottom, top = section.metal[0][0], section.metal[-1][1]
    low, high = bottom + half, max(top - half, bottom + half)
    levels = [low + (high - low) * share for share in _LEVELS]
    ends = [end for out_by in past for end in (low - 2 * half - look.real(out_by), high + 2 * half + look.real(out_by))]
    for away, y in product(beside or _NEAR + _FAR, levels if beside else ends):
        at = Point(edge + out * look.real(away), y)
        name = Item(Layer.TEXT, Label(at, text, look.letter, 90.0, Anchor.MIDDLE), Furniture("face"))
        if not beside:
            led = _arrow_to_end(section, face, Line(Point(edge, 0.0), Point(at.x, y)), half, lines)
            yield from [(name, *led)] if led else []
            continue
        if away not in _FAR:
            yield (name,)
            continue
        for height in (y - half * 0.8, y + half * 0.8, y):
            tip = Point(edge, min(max(height, bottom + look.real(1.0)), top - look.real(1.0)))
            line = Line(tip, Point(at.x - out * look.real(look.letter / 2 + 1.0), tip.y))
            if not lines.is_near(line):
                arrow = line, arrow_head(tip, 180.0 if out > 0 else 0.0, look.scale)
                yield (name, *(Item(Layer.DIMENSION, what, Furniture("face")) for what in arrow))


def _arrow_to_end(section: Section, face: PlateFace, to: Line, half: float, lines: Ink) -> Option:
    """An arrow from a name beyond the ends of a face to the end of its outermost plane; none that crosses lines.

    Args:
        section: Where the face is.
        face: Which.
        to: From anywhere on the face's edge to the middle of its name.
        half: Half of the name's length in mm.
        lines: What is not crossed.
    """
    look, name = section.look, to.end
    high = _corner(section, face).y
    side, end = (1.0, high) if name.y > high else (-1.0, max(-high, section.metal[0][0]))
    tip = Point(to.start.x, end - side * look.real(1.0))
    line = Line(tip, Point(name.x, name.y - side * (half + look.real(1.0))))
    if lines.is_near(line):
        return ()
    head = arrow_head(tip, line.end.direction_to(tip), look.scale)
    return tuple(Item(Layer.DIMENSION, what, Furniture("face")) for what in (line, head))


def turned_words(section: Section) -> tuple[str, ...]:
    """What of the section does not stand on its plane."""
    labels = [cut.label for cut in section.cuts if cut.is_turned_in]
    lettered = not labels or labels[0][0].isalpha()
    name = "" if lettered else f"HOLE{'S' if len(labels) > 1 else ''} "
    into = "TURNED INTO THE PLANE" if section.look.convention.first_angle else "ROTATED INTO PLANE"
    lines = [f"{name}{', '.join(labels)}", into] if labels else []
    if section.turned_by:
        word = "TURNED" if section.look.convention.first_angle else "ROTATED"
        lines.append(f"{word} {angle_text(abs(section.turned_by))} {'CW' if section.turned_by > 0 else 'CCW'}")
    outline = section.look.flange.outline
    if isinstance(outline, SplitOutline) and any(abs((angle % 180.0) - 90.0) < 1e-6 for angle in _joints(outline)):
        lines.append("JOINT NOT SHOWN")
    return tuple(part for line in lines for part in wrapped(line, _WIDEST, section.look.letter))


def _joints(outline: SplitOutline) -> Iterator[float]:
    return (outline.first_joint_angle + 360.0 * index / outline.part_count for index in range(outline.part_count))


def _title(section: Section, reaches: Sequence[float]) -> Iterator[Option]:
    """The section's name, and under it what was turned in, as high as one that ends at a reach, in mm, can stand.

    One that must stand much lower under the section's middle stands beside that middle rather.
    """
    look = section.look
    name = f"{look.section_letter}-{look.section_letter}"
    text = name if look.convention.first_angle else f"SECTION {name}"
    middle = (section.left + section.right) / 2
    under = turned_words(section)
    half = max(text_width(text, look.heading), *(text_width(line, look.letter) for line in ("", *under))) / 2
    inward = dict.fromkeys(min((right - middle) * look.scale - half, 0.0) for right in reaches)
    most = (max(reaches) - middle) * look.scale - half + _SLIGHTLY
    beside = (aside for aside in _ASIDE if aside <= most)
    places = sorted(product(range(_TRIES // 2), (*inward, *beside)), key=lambda at: at[0] + max(at[1], 0.0))
    places += product(range(_TRIES), (0.0, *_ASIDE))
    for step, aside in places:
        at = Point(middle + look.real(aside), section.metal[0][0] - look.real(8.0 + step))
        labels = [Label(at, text, look.heading, 0.0, Anchor.CENTER)]
        for row, line in enumerate(under):
            below = Point(at.x, at.y - look.real(_UNDER_TITLE + look.letter * (1 + _PITCH * row)))
            labels.append(Label(below, line, look.letter, 0.0, Anchor.CENTER))
        yield tuple(Item(Layer.TEXT, label, Furniture("section")) for label in labels)
