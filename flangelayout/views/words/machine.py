"""What the pages of machine settings say: headings, what to set first, the steps, the figures of every hole."""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import groupby
from typing import assert_never

from msgspec import Struct

from flangelayout.flange import BoltCircle, Drilled, Flange, Hole, SegmentOutline, Slot, SlotDirection
from flangelayout.flange.cutting import DrillingOptions, MachineFile, Zero
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.dividing import error_text
from flangelayout.machine.readout import readout_table
from flangelayout.machine.rotary import Sexagesimal, handwheel, sexagesimal
from flangelayout.machine.sides import angle_on, side_holes, worked_sides
from flangelayout.machine.turning import HeadSetting, TurnedCircle, TurnedHole, head_settings, turned_circles
from flangelayout.standards.shop import DividingHead
from flangelayout.units import Unit, angle_text, decimal_text, size_text
from flangelayout.value import replace
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.lengths import DIAMETER_SIGN, Lengths
from flangelayout.views.words.numbering import holes_in_words

_ALONG = {
    SlotDirection.CIRCLE: "along the circle",
    SlotDirection.RADIUS: "along the radius",
    SlotDirection.X: "along X",
    SlotDirection.Y: "along Y",
}


class Setting(Struct, frozen=True):
    """One figure to set before anything turns: what it is, the figure, what it means."""

    name: str
    figure: str
    meaning: str


class SettingList(Struct, frozen=True):
    """What is set for hole after hole, each line with its box to tick.

    Attributes:
        title: Of the circle, or of all holes.
        fixed: What is set once for the whole list, such as the way of the spindle.
        made: What is made at every hole of it, where that is the same.
        heads: Over hole, figures and the small words.
        rows: Label of the hole, the figures that are read at the machine, small words.
    """

    title: str
    fixed: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...], str], ...]
    made: str = ""


class SettingPage(Struct, frozen=True):
    """All that is said of one machine; ``proved`` is what its last line has signed for."""

    heading: str
    about: str
    settings: tuple[Setting, ...]
    steps: tuple[str, ...]
    lists: tuple[SettingList, ...]
    proof: tuple[str, ...]
    side: PlateFace = PlateFace.FACE
    proved: str = "Count proved"


def setting_pages(
    flange: Flange, kind: MachineFile, head: DividingHead, table_ratio: int, drilling: DrillingOptions
) -> tuple[SettingPage, ...]:
    """What is said of a plate on one kind of machine, for each face that holes are made from.

    There is nothing for a face that has no bolt circle to turn to.
    """
    return tuple(
        _sided(
            flange,
            side,
            replace(page, steps=(*page.steps, *_milled(flange, page, drilling.unit), *_left(flange, side, page))),
        )
        for side in worked_sides(flange)
        for page in _pages(flange, side, kind, head, table_ratio, drilling)
    )


def _pages(
    flange: Flange,
    side: PlateFace,
    kind: MachineFile,
    head: DividingHead,
    table_ratio: int,
    drilling: DrillingOptions,
) -> Iterator[SettingPage]:
    match kind:
        case MachineFile.READOUT:
            yield _readout(flange, side, drilling)
        case MachineFile.DIVIDING:
            for setting in head_settings(flange, head, side):
                yield _dividing(flange, setting, head, drilling.unit)
        case MachineFile.ROTARY:
            if circles := turned_circles(flange, side):
                yield _rotary(flange, circles, table_ratio, drilling.unit)
        case MachineFile.PROGRAM | MachineFile.PAGE:
            return
        case _:
            assert_never(kind)


def _sided(flange: Flange, side: PlateFace, page: SettingPage) -> SettingPage:
    """A page that says which face lies up, where the plate has holes of both or of its back."""
    if worked_sides(flange) == (PlateFace.FACE,):
        return page
    if side is PlateFace.FACE:
        return replace(page, heading=f"{page.heading}, FROM {flange.face.upper()}")
    over = "Turn the plate over, left to right: the back up, TOP stays where it was"
    return replace(page, heading=f"{page.heading}, FROM THE BACK", steps=(over, *page.steps), side=side)


def _milled(flange: Flange, page: SettingPage, unit: Unit) -> Iterator[str]:
    """Which holes are slots, set by their middles, and how far to both sides the cutter goes from there."""
    told = {label for each in page.lists for label, _, _ in each.rows}
    found: dict[tuple[Slot, float], list[Hole]] = {}
    for hole in flange.holes():
        if isinstance(hole.kind, Slot) and hole.label in told:
            found.setdefault((hole.kind, hole.diameter), []).append(hole)
    for (kind, wide), holes in found.items():
        way = f"±{decimal_text((kind.length - wide) / 2, unit)} {unit.value} {_ALONG[kind.along]}"
        yield f"{holes_in_words(holes)} are slots, set by their middles: mill from there {way}"


def _left(flange: Flange, side: PlateFace, page: SettingPage) -> Iterator[str]:
    """What of the picture is not set on a page, and where it is."""
    told = {label for each in page.lists for label, _, _ in each.rows}
    circles = {group for group, pattern in enumerate(flange.groups()) if isinstance(pattern, BoltCircle)}
    left = [hole for hole in side_holes(flange, side) if hole.label not in told]
    for turned, elsewhere in ((True, "to the page with a zero of its own"), (False, "to the readout: set by X and Y")):
        if holes := [hole for hole in left if (hole.group in circles) is turned]:
            yield f"Leave {holes_in_words(holes)} {elsewhere}"


def _dividing(flange: Flange, setting: HeadSetting, head: DividingHead, unit: Unit) -> SettingPage:
    plate, spaces = setting.division.circle, setting.division.circle.holes if setting.division.circle else 1

    def crank(share: Fraction) -> str:
        turns, rest = divmod(round(share * head.ratio * spaces), spaces)
        return f"{turns} + {rest}"

    def crank_to(hole: TurnedHole) -> str:
        return "{} + {}".format(*cranked[hole.label])

    def crank_back(hole: TurnedHole) -> str:
        turns, on = cranked[hole.label]
        return "{} + {}".format(*divmod(head.ratio * spaces - turns * spaces - on, spaces))

    index = Setting("hole circle", f"{plate.holes} holes", plate.plate) if plate else _ANY_HOLE
    cranked = setting.cranked
    lists = tuple(
        SettingList(
            _circle_name(flange, circle.group),
            f"X {decimal_text(circle.radius, unit)}",
            ("hole", "turns + spaces from 0", "turned"),
            tuple((hole.label, (crank_to(hole),), _turned(hole.share)) for hole in circle.holes),
            _circle_made(flange, circle, unit),
        )
        for circle in setting.circles
    )
    step = _step(setting.circles, crank, "turns + spaces")
    off = () if setting.division.is_exact else (_off(flange, setting, unit),)
    about = f"{head.ratio}:1 head, {head.name}; spaces are counted without the hole that the pin stands in"
    turning = _turning(setting.circles, "pin in hole 0, count 0 turns")
    *centered, moved = _centered(flange, setting.circles, unit)
    steps = (*centered, *_marked_first(flange, setting), moved, *turning)
    proof = _proof(setting.circles, crank_to, crank_back, unit, "the pin in hole 0")
    return SettingPage(
        "DIVIDING HEAD SETTINGS",
        about,
        (index, step, _clocking(flange, setting.circles, crank)),
        steps,
        lists,
        off + proof,
    )


def _marked_first(flange: Flange, setting: HeadSetting) -> Iterator[str]:
    """How the zero of a setting is found that does not begin with the first circle of its face."""
    group, zero = setting.circles[0].group, setting.circles[0].holes[0].label
    first, *others = turned_circles(flange, flange.bolt_circles[group].drilling.made_from)
    for share in (hole.share for circle in others for hole in circle.holes if hole.label == zero):
        if group != first.group:
            yield f"Mark hole {zero} by X and Y: {_turned(share)} on from {first.holes[0].label}, no count of the head"


_ANY_HOLE = Setting("hole circle", "any", "whole turns are enough")


def _rotary(flange: Flange, circles: tuple[TurnedCircle, ...], ratio: int, unit: Unit) -> SettingPage:
    whole = all(sexagesimal(hole.share * 360).seconds == 0 for circle in circles for hole in circle.holes)

    def angle(share: Fraction) -> str:
        return _dial(sexagesimal(share * 360), whole)

    def wheel(share: Fraction) -> str:
        turns, rest = handwheel(share * 360, ratio)
        return f"{turns} + {_dial(rest, whole)}"

    table = Setting("rotary table", f"{ratio} : 1", f"one turn of the handwheel: {angle_text(360 / ratio)}")
    lists = tuple(
        SettingList(
            _circle_name(flange, circle.group),
            f"X {decimal_text(circle.radius, unit)}",
            ("hole", "table from 0", "turns + dial"),
            tuple((hole.label, (angle(hole.share),), wheel(hole.share)) for hole in circle.holes),
            _circle_made(flange, circle, unit),
        )
        for circle in circles
    )
    settings = (table, _step(circles, angle, "from hole to hole"), _clocking(flange, circles, angle))
    steps = (*_centered(flange, circles, unit), *_turning(circles, "table and dial to 0"))
    proof = _proof(circles, lambda hole: angle(hole.share), lambda hole: angle(1 - hole.share), unit, "the table at 0")
    return SettingPage("ROTARY TABLE SETTINGS", "", settings, steps, lists, proof)


def _readout(flange: Flange, side: PlateFace, drilling: DrillingOptions) -> SettingPage:
    unit = drilling.unit
    table = readout_table(flange, drilling.zero, unit, partial(hole_made, unit), side)
    holes = {hole.label: hole for hole in side_holes(flange, side)}
    runs = groupby(table.rows, key=lambda row: max(holes[row[0]].group, -1))
    lists = tuple(_read_out([holes[row[0]] for row in rows], rows) for rows in (tuple(run) for _, run in runs))
    is_part = isinstance(flange.outline, SegmentOutline)
    names = {
        Zero.CENTER: f"Find the middle of the {'ring by three places on its rim' if is_part else 'plate'}: X 0, Y 0",
        Zero.CORNER: "Touch the left and the lower edge of the plate: X 0, Y 0",
        Zero.FIRST_HOLE: "Find the middle of the first hole: X 0, Y 0",
    }
    true = "the part by its joints as drawn" if is_part else "the centerlines of the plate true to the travels"
    steps = (
        f"Set {true}, TOP away from you",
        names[drilling.zero],
        "Come to every hole from the same side",
        "Center-drill all, measure two chords, then drill",
    )
    settings = (
        Setting("zero", drilling.zero.value, "of X and Y"),
        Setting("unit", unit.value, "of all figures"),
        Setting("holes", str(len(holes)), "on these lists"),
    )
    about = "X to the right, Y toward TOP"
    return SettingPage("READOUT SETTINGS", about, settings, steps, lists, (), proved="Chords measured")


def _read_out(holes: Sequence[Hole], rows: Sequence[tuple[str, ...]]) -> SettingList:
    """The holes of a group; what is made stands over them where it is the same at all."""
    kinds = {made for *_, made in rows}
    same = rows[0][-1] if len(kinds) == 1 else ""
    heads = ("hole", "X", "Y") if same else ("hole", "X", "Y", "what")
    told = tuple((label, (x, y), "" if same else made) for label, x, y, _, made in rows)
    return SettingList(f"HOLES {holes_in_words(holes)}", "", heads, told, same)


def hole_made(unit: Unit, hole: Hole) -> str:
    """What is made at a hole: its drill alone where it is drilled and nothing else."""
    if isinstance(hole.kind, Drilled):
        return f"{DIAMETER_SIGN}{size_text(hole.diameter, unit)}"
    return hole_text(hole.kind, hole.diameter, Lengths(unit))


def _circle_made(flange: Flange, circle: TurnedCircle, unit: Unit) -> str:
    label = circle.holes[0].label
    return hole_made(unit, next(hole for hole in flange.holes() if hole.label == label))


def _step(circles: tuple[TurnedCircle, ...], words: Callable[[Fraction], str], meaning: str) -> Setting:
    """The step that is the same from hole to hole, where there is one."""
    steps = {circle.step for circle in circles}
    step = steps.pop() if len(steps) == 1 else None
    if step is None:
        return Setting("one step", "see list", "not the same all round")
    name = "one step" if len(circles) == 1 else "one step, every circle"
    return Setting(name, words(step), f"{meaning} = {_turned(step)}")


def _clocking(flange: Flange, circles: tuple[TurnedCircle, ...], words: Callable[[Fraction], str]) -> Setting:
    """How far on the second circle begins; of a single circle, where on the plate its first hole stands."""
    first = circles[0].holes[0].label
    if len(circles) > 1:
        other = circles[1].holes[0]
        return Setting(f"from {first} on to {other.label}", words(other.share), f"= {_turned(other.share)}")
    angle = next(angle_on(hole.made_from, hole.angle) for hole in flange.holes() if hole.label == first)
    return Setting(f"hole {first} on the plate", angle_text(angle % 360), "from 3 o'clock, TOP up")


def _centered(flange: Flange, circles: tuple[TurnedCircle, ...], unit: Unit) -> tuple[str, ...]:
    match flange.outline:
        case SegmentOutline():
            true = "its rim runs true, the middle of the whole ring on the axis"
        case _ if flange.bore is not None:
            true = "the bore runs true"
        case _:
            true = "its middle on the axis" if flange.round_diameter is None else "the rim runs true"
    way = decimal_text(circles[0].radius, unit)
    up = flange.face if flange.bolt_circles[circles[0].group].drilling.made_from is PlateFace.FACE else "the back"
    return (
        f"Center the {'part' if isinstance(flange.outline, SegmentOutline) else 'plate'}, {up} up: {true}",
        "Spindle over the axis that the work turns on: X 0, Y 0",
        f"Move X to {way} {unit.value} and lock it",
    )


def _turning(circles: tuple[TurnedCircle, ...], zero: str) -> tuple[str, ...]:
    return (
        f"Turn to hole {circles[0].holes[0].label}: {zero}",
        "Turn so that the next number comes up",
        "Come to every hole from the same side, lock, drill",
    )


def _proof(
    circles: tuple[TurnedCircle, ...],
    to: Callable[[TurnedHole], str],
    back: Callable[[TurnedHole], str],
    unit: Unit,
    zero: str,
) -> tuple[str, ...]:
    """What shows after each circle that no step was lost, and the way from there to the next one."""
    told = []
    for circle, following in zip(circles, (*circles[1:], None), strict=True):
        last = circle.holes[-1]
        line = f"After {last.label} on {back(last)}: {zero} proves the count."
        if following:
            first = following.holes[0]
            line += f" Then X {decimal_text(following.radius, unit)}, and on {to(first)} to {first.label}."
        told.append(line)
    return tuple(told)


def _off(flange: Flange, setting: HeadSetting, unit: Unit) -> str:
    widest = max((flange.bolt_circles[circle.group] for circle in setting.circles), key=lambda circle: circle.diameter)
    return f"No hole circle divides this exactly; on this one {error_text(setting.division.worst_error, widest, unit)}."


def _circle_name(flange: Flange, group: int) -> str:
    return f"CIRCLE {flange.group_letter(group)}".rstrip()


def _turned(share: Fraction) -> str:
    return angle_text(float(share * 360))


def _dial(angle: Sexagesimal, whole: bool) -> str:
    return f"{angle.degrees}° {angle.minutes:02d}′" if whole else str(angle)
