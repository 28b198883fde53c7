"""What an inspection says."""

import math
from collections.abc import Iterator, Sequence
from typing import assert_never

from flangelayout.checks.inspection.results import (
    BoltSeat,
    HoleResult,
    Inspection,
    MateResult,
    Mending,
    OtherSize,
    PartVerdict,
    PlateSize,
    Rework,
    SizeResult,
    Way,
)
from flangelayout.checks.inspection.rework import PASSES
from flangelayout.units import Unit, angle_text, counted, decimal_text, from_mm, size_text
from flangelayout.views.words.mating import apart_text
from flangelayout.views.words.numbering import holes_in_words

_MOST_DECIMALS = 6
_MIRROR = "holes lie as the mirror image of the drawing (drilled from the other face, or named the other way round)"
REWORK_CAUTION = (
    "Whoever owns the drawing decides on rework; on a pressure part its code and a competent person do, "
    "above all before anything is welded"
)


def verdict_text(found: Inspection) -> str:
    """Whether the part keeps what is stated, what does not, and what that means for bolting it up."""
    is_told = found.verdict is PartVerdict.FAIL or not found.are_bolts_stopped
    return f"{_verdict(found)}{'' if is_told else '; bolts do not pass'}"


def _verdict(found: Inspection) -> str:
    match found.verdict:
        case PartVerdict.PASS:
            return f"Part passes{_by_gauge(found)}"
        case PartVerdict.USABLE:
            return f"Holes good to use: what was measured of them keeps its limits{_by_card(found)}{_by_gauge(found)}"
        case PartVerdict.OPEN:
            lead = "what was measured keeps its limits" if found.answers else "nothing that was measured has limits"
            return f"Open: {lead}{_not_measured(found)}{_by_card(found)}{_by_gauge(found)}"
        case PartVerdict.UNJUDGED:
            return "No tolerance is stated to judge the part by"
        case PartVerdict.FAIL:
            hand = _MIRROR if found.is_mirrored else ""
            out = " and ".join(part for part in (hand, _places_out(found), _sizes_out(found)) if part)
            return f"Part does not pass: {out}{_bolted_up(found)}"
        case _:
            assert_never(found.verdict)


def _not_measured(found: Inspection) -> str:
    """What would have to be measured, too."""
    left = found.left
    parts = [f"holes {holes_in_words(left.holes)}"] if left.holes else []
    parts += [f"width of {holes_in_words(left.widths)}"] if left.widths else []
    unheld = [each.value for each in left.sizes if not each.is_known]
    unheld_text = f"; hold against the drawing yourself: {', '.join(unheld)}" if unheld else ""
    return (f"; not measured: {', '.join(parts)}" if parts else "") + unheld_text


def _by_card(found: Inspection) -> str:
    """What the check card has to be asked."""
    left = found.left
    parts = [each.value for each in left.sizes if each.is_on_card]
    those = "each other" if len(left.apart) == len(found.holes) else "the others"
    parts += [f"place of {holes_in_words(left.apart)} against {those}"] if left.apart else []
    bare = f"; no limits for the width of {holes_in_words(left.unlimited)}" if left.unlimited else ""
    return left_to(parts, left.sizes, has_card=left.has_card) + bare


def left_to(asked: Sequence[str], sizes: Sequence[OtherSize], *, has_card: bool) -> str:
    """What is left to the check card, which asks it, and what to the drawing: all where there is no card."""
    told = [each.value for each in sizes if each.is_known and not each.is_on_card]
    lists = (("card alone", asked), ("drawing", told)) if has_card else (("drawing", [*asked, *told]),)
    return "".join(f"; by the {who}: {', '.join(names)}" for who, names in lists if names)


def _by_gauge(found: Inspection) -> str:
    """Which threads are left to a gauge."""
    return f"; threads of {holes_in_words(found.left.threaded)} by a gauge" if found.left.threaded else ""


def _places_out(found: Inspection) -> str:
    count = sum(each.passed is False for each in found.holes)
    return f"{counted(count, 'hole')} out of place or size" if count else ""


def _sizes_out(found: Inspection) -> str:
    out = [each.what.value for each in found.plate_sizes if not each.passed]
    count = sum(each.passed is False for each in (*found.circles, *found.chords))
    lengths = [f"{counted(count, 'length')} out of tolerance{ends_text(found.suspects)}"] if count else []
    return " and ".join((*(f"{each} out of limits" for each in out), *lengths))


def ends_text(suspects: frozenset[str]) -> str:
    """At which hole every failing length ends, to follow them; empty where there is none."""
    return "".join(f"; those between holes all end at hole {label}" for label in suspects)


def _bolted_up(found: Inspection) -> str:
    """What a part that fails is worth all the same, where its bolts were tried."""
    if not found.mates:
        return ""
    if all(mate.passed for mate in found.mates):
        return "; bolts pass all the same: it goes together, and whoever owns the drawing decides whether it may"
    return "; bolts do not pass either"


def inspection_lines(found: Inspection, unit: Unit) -> Iterator[str]:
    """The inspection in lines for a person."""
    x, y = (decimal_text(shift, unit) for shift in (found.placing.shift_x, found.placing.shift_y))
    yield verdict_text(found)
    yield (
        f"Best fit ({found.freedom.value}): the part lies turned {angle_text(round(found.placing.turn_deg, 3) + 0.0)}, "
        f"shifted {x}, {y} {unit.value}"
    )
    yield f"{'hole':6}{'dx':>9}{'dy':>9}{'position':>10}{'allowed':>10}  "
    for each in found.holes:
        yield hole_line(each, unit)
    for size in (*found.circles, *found.chords):
        if size.passed is not None:
            yield size_line(size, unit)
    yield from (plate_size_line(size, unit) for size in found.plate_sizes)
    for what, value in found.eccentricity:
        yield f"{what}: its middle is {decimal_text(value, unit)} {unit.value} from the middle of the bore"
    for mate in found.mates:
        yield from mate_lines(mate, unit)


def hole_line(each: HoleResult, unit: Unit) -> str:
    """One hole in one line."""
    dx, dy = (decimal_text(step, unit) for step in (each.deviation.x, each.deviation.y))
    allowed = "-" if each.allowed is None else decimal_text(each.allowed, unit)
    words = hole_passed(each)
    return f"{each.hole.label:6}{dx:>9}{dy:>9}{told_apart(each.position, each.allowed, unit):>10}{allowed:>10}  {words}"


def told_apart(value: float, allowed: float | None, unit: Unit) -> str:
    """A length in as few decimals as tell whether it is more than what is allowed."""
    if allowed is not None:
        for places in range(2 if unit is Unit.MM else 3, _MOST_DECIMALS + 1):
            text = decimal_text(value, unit, places)
            said, limit = abs(float(text)), from_mm(allowed, unit)
            if (abs(value) > allowed + PASSES) == (said > limit + 1e-9):
                return text
    return decimal_text(value, unit)


def passed_text(passed: bool | None) -> str:
    """Pass, fail, or a stroke where nothing is stated."""
    return "-" if passed is None else "pass" if passed else "FAIL"


def hole_passed(each: HoleResult) -> str:
    """Pass, fail or a stroke; where but the size is judged or fails, that."""
    if each.size_fits is False:
        return "FAIL, size"
    return "pass, size" if each.passed and each.allowed is None else passed_text(each.passed)


def size_line(size: SizeResult, unit: Unit) -> str:
    """A bolt circle or a chord against its tolerance in one line."""
    stated = f" ± {decimal_text(size.tolerance.value, unit)} ({size.tolerance.source})" if size.tolerance else ""
    return (
        f"{size.what}: {decimal_text(size.measured, unit)} {unit.value} against {decimal_text(size.nominal, unit)}"
        f"{stated}: {passed_text(size.passed)}"
    )


def plate_size_line(size: PlateSize, unit: Unit) -> str:
    """A diameter of the plate against its limits in one line."""
    least = "" if math.isinf(size.least) else f"at least {decimal_text(size.least, unit)}"
    most = "" if math.isinf(size.most) else f"at most {decimal_text(size.most, unit)}"
    allowed = ", ".join(end for end in (least, most) if end)
    text = f"{size.what.value}: {decimal_text(size.measured, unit)} {unit.value}, {allowed} ({size.source})"
    return f"{text}: {passed_text(size.passed)}"


def mate_lines(mate: MateResult, unit: Unit) -> Iterator[str]:
    """Whether bolts pass a group, and the rework where they do not."""
    room = f"{decimal_text(abs(mate.room), unit)} {unit.value}"
    lead = f"{mate.bolt} through {'this part' if mate.is_whole else 'the holes that were measured'} and {mate.mate}"
    if mate.passed:
        yield f"{lead}: bolts pass; {apart_text(room)}"
        return
    yield f"{lead}: bolts do not pass, {room} short at best"
    if not mate.rework:
        yield "The holes of the mate are smaller than the bolt; nothing done to this part cures that"
        return
    for each in mate.rework:
        ways = [way for way in mate.ways if way.label == each.label]
        yield lacking_text(each, mate.bolt, unit, any(way.way is Way.DRILL for way in ways))
        for number, way in enumerate(ways, 1):
            yield f"  {number} {mending_text(way, each, unit)}"
    yield REWORK_CAUTION


def ended(line: str) -> str:
    """A line as a sentence on paper."""
    return line if line.endswith(":") else f"{line}."


def _toward(rework: Rework) -> str:
    """A direction as the drawing has it."""
    return f"{angle_text(round(rework.direction_deg % 360.0, 1))} counter-clockwise from 3 o'clock of the drawing"


def lacking_text(rework: Rework, bolt: str, unit: Unit, drilled: bool) -> str:
    """What one hole lacks, before the ways to mend it; ``drilled`` where a larger drill is one of them."""
    round_hole = f"the bolt alone asks for a round hole of {decimal_text(rework.open_to, unit)} {unit.value}"
    if not drilled:
        round_hole += ", but no stock drill of it leaves metal and seat enough"
    if rework.slot_by is None:
        return f"Hole {rework.label}: {bolt} does not enter; {round_hole}. Ways to mend it, the least harmful first:"
    lacks = f"lacks {decimal_text(rework.slot_by, unit)} {unit.value} toward {_toward(rework)}"
    return f"Hole {rework.label} {lacks}; {round_hole}. Ways to mend it, the least harmful first:"


def mending_text(way: Mending, rework: Rework, unit: Unit) -> str:
    """One way to mend a hole: what is done, what it leaves, what it means for the joint."""
    size = f"{size_text(way.size, unit)} {unit.value}"
    washer = "" if way.seat is BoltSeat.COVERED else ", thick or hardened plate washers over it"
    metal, needed = (decimal_text(length, unit) for length in (way.metal, way.needed))
    left = f"leaves {metal} {unit.value} of metal where {needed} is wanted"
    match way.way:
        case Way.SLOT:
            long = f"{decimal_text(way.size, unit)} {unit.value}"
            return f"slot it to {long} over all toward {_toward(rework)}{washer}; {left}"
        case Way.DRILL:
            return f"drill it {size}{washer}; {left}; the bolt no longer centers there"
        case Way.SMALLER_BOLT:
            return f"leave it and use {way.bolt} there{washer}; a weaker bolt: to be judged"
        case Way.BOTH_LARGER:
            return f"drill both parts {size} together in place and use {way.bolt} there{washer}; {left}"
        case Way.REDRILL:
            return f"plug or weld it up, dress both faces and drill {size} at its drawn place"
        case _:
            assert_never(way.way)
