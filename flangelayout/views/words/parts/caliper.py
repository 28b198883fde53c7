"""What an inspection by caliper says."""

import math
from collections.abc import Callable, Iterator, Sequence
from typing import assert_never

from msgspec import Struct

from flangelayout.checks.inspection.caliper_results import (
    Between,
    BoltsResult,
    CaliperInspection,
    CaliperVerdict,
    CircleOf,
    Judged,
    LimitResult,
    PlacesResult,
    ReadingResult,
    SizeOf,
    Standing,
    WantedReading,
    WidthOf,
)
from flangelayout.checks.inspection.stated import stated_limits
from flangelayout.checks.inspection.tolerances import InspectionLimits
from flangelayout.flange import Flange, Jack, Slot, Tapped
from flangelayout.survey.form import FormBox
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, Kind
from flangelayout.units import Unit, counted, decimal_text, size_text, to_mm
from flangelayout.views.words.bench.measuring import BETWEEN_SLOTS
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.numbering import holes_in_words, labels_in_words
from flangelayout.views.words.parts.inspection import ends_text, left_to, mate_lines
from flangelayout.views.words.tolerances import zone_text

_MOST_NAMED = 3
_CALIPER, _FEW_STEPS = {Unit.MM: 2, Unit.IN: 3}, 9.5
"""Decimals of what a caliper reads, and how many of its steps are few for limits to lie apart."""
_SEARCHED = 1e-4
"""How far in mm a searched end may be past what readings allow: a hundredth of the last figure read, and no more."""
_SAME_LENGTH = 0.01
"""How near in mm a chord as drawn is to a bolt circle to be one across it."""
_STANDING = {Standing.KEPT: "pass", Standing.BROKEN: "FAIL", Standing.OPEN: "open"}


def standing_text(standing: Standing) -> str:
    """Pass, fail or open."""
    return _STANDING[standing]


def caliper_verdict_text(found: CaliperInspection) -> str:
    """How the part stands, and what that means for bolting it up."""
    is_told = found.verdict is CaliperVerdict.FAIL or not found.are_bolts_stopped
    return f"{_verdict(found)}{'' if is_told else '; bolts do not pass'}"


def _verdict(found: CaliperInspection) -> str:
    match found.verdict:
        case CaliperVerdict.PASS if found.out:
            return f"Part passes by all readings together, but {_out_as_read(found)}: measure again"
        case CaliperVerdict.PASS:
            return f"Part passes: every part that these readings allow keeps all limits{_by_gauge(found)}"
        case CaliperVerdict.UNJUDGED:
            return "No tolerance is stated to judge the part by"
        case CaliperVerdict.CONTRADICTORY:
            return "The readings contradict each other: no part gives all of them"
        case CaliperVerdict.FAIL:
            return f"Part does not pass: {_broken_text(found)}{_bolted_up(found)}"
        case CaliperVerdict.OPEN:
            return _open_text(found)
        case _:
            assert_never(found.verdict)


def _open_text(found: CaliperInspection) -> str:
    """What a check card says of the same readings, then what they leave open."""
    open_ones = f"{found.standings.count(Standing.OPEN)} of {counted(len(found.standings), 'limit')}"
    if found.out:
        return f"Put it aside and measure again: {_out_as_read(found)}, if not by more than the caliper may be off"
    bare = f"; no limits for the width of {holes_in_words(found.unlimited)}" if found.unlimited else ""
    unheld = [each.value for each in found.other_sizes if not each.is_known]
    bare = f"; hold against the drawing yourself: {', '.join(unheld)}" if unheld else bare
    if found.is_usable:
        return f"{_usable_text(found, open_ones)}{bare}{_by_gauge(found)}"
    held = "nothing is out of limits for certain" if found.standings else "nothing read has limits"
    held += f", {open_ones} open" if Standing.OPEN in found.standings else ""
    lead = f"Open: {held}{bare}"
    if found.places is not None and found.places.is_stated and not found.unread:
        return f"{lead}; places of holes are not decided by distances alone"
    if not found.unread:
        return lead
    of_card = " of the check card" if found.has_card else ""
    return f"{lead}; not read{of_card}: {some_of([judged_text(each) for each in found.unread])}"


def _usable_text(found: CaliperInspection, open_ones: str) -> str:
    """That holes are good to use, what else the card has to be asked, and what is proven of no part."""
    read = {label for each in found.readings for label in each.labels}
    unread = [hole for hole in found.apart if hole.label not in read]
    loose = [hole for hole in found.apart if hole.label in read]
    others = [each.value for each in found.other_sizes if each.is_on_card]
    wide = [hole for hole in found.unasked if hole not in unread]
    others += [f"width of {holes_in_words(wide)}"] if wide else []
    others += [f"all of {holes_in_words(unread)}"] if unread else []
    those = "each other" if {hole.label for hole in loose} == read else "the others"
    others += [f"place of {holes_in_words(loose)} against {those}"] if loose else []
    if found.unlimited:
        holes = "Nothing that was read is out of limits"
    else:
        holes = "Holes that were read are good to use" if unread else "Holes good to use"
    by_card = left_to(others, found.other_sizes, has_card=found.has_card)
    proven = f"; not proven: {open_ones}" if Standing.OPEN in found.standings else ""
    asked = "that the check card asks of them reads" if found.has_card else "that was read of them is"
    return f"{holes}: all {asked} inside its limits{by_card}{proven}"


def _by_gauge(found: CaliperInspection) -> str:
    """Which threads are left to a gauge: their drill is all that a caliper reads."""
    return f"; threads of {holes_in_words(found.threaded)} by a gauge" if found.threaded else ""


def _out_as_read(found: CaliperInspection) -> str:
    """The readings that lie outside of their limits, as a check card sees them."""
    names = [" - ".join(each.labels) or reading_name(each) for each in found.out]
    return f"{some_of(names)} {'reads' if len(names) == 1 else 'read'} out of limits"


def _broken_text(found: CaliperInspection) -> str:
    broken = [judged_text(each.what) for each in found.limits if each.standing is Standing.BROKEN]
    if found.places is not None and found.places.standing is Standing.BROKEN:
        broken.append("places of holes")
    if not broken:
        return "no part that these readings allow keeps all limits at once"
    return f"{some_of(broken)} out of limits{ends_text(found.suspects)}"


def some_of(names: Sequence[str]) -> str:
    """The first few of many, and how many more there are."""
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return f"{', '.join(names[:_MOST_NAMED])}{more}"


def is_held(limit: LimitResult) -> bool:
    """Whether readings hold a length at both ends."""
    return math.isfinite(limit.low) and math.isfinite(limit.high)


def _bolted_up(found: CaliperInspection) -> str:
    """What a part that fails is worth all the same, where its bolts were tried."""
    standings = {each.places.standing for each in found.bolts}
    if not standings:
        return ""
    if Standing.BROKEN in standings:
        return "; bolts do not pass either"
    if Standing.OPEN in standings:
        return "; whether bolts pass is open"
    return "; bolts pass all the same: it goes together, and whoever owns the drawing decides whether it may"


def judged_text(what: Judged) -> str:
    """A length in words."""
    match what:
        case Between(first=first, second=second):
            return f"{first} - {second}"
        case CircleOf(name=name):
            return name
        case SizeOf(kind=kind):
            return KINDS[kind].words
        case WidthOf(label=label, is_slot=is_slot):
            return f"width of slot {label}" if is_slot else f"hole {label}"
        case _:
            assert_never(what)


def range_of(low: float, high: float, unit: Unit) -> str:
    """The least and the greatest that a length can be, rounded outward; a stroke where no reading holds it."""
    if math.isinf(low) or math.isinf(high):
        return "-"
    return f"{_stepped(low + _SEARCHED, unit, math.floor)} to {_stepped(high - _SEARCHED, unit, math.ceil)}"


def accept_text(limit: LimitResult, unit: Unit) -> str:
    """What a length may be, rounded inward; to a micrometer's last figure where a caliper has under ten steps of it."""
    if math.isinf(limit.least):
        return f"up to {_stepped(limit.most, unit, math.floor)}"
    if math.isinf(limit.most):
        return f"{_stepped(limit.least, unit, math.ceil)} and up"
    places = _CALIPER[unit] + (limit.most - limit.least < _FEW_STEPS * to_mm(10.0 ** -_CALIPER[unit], unit))
    return f"{_stepped(limit.least, unit, math.ceil, places)} to {_stepped(limit.most, unit, math.floor, places)}"


def _stepped(length: float, unit: Unit, toward: Callable[[float], int], places: int | None = None) -> str:
    """A length in hundredths of a mm or thousandths of an inch, or to so many places, rounded one way."""
    places = _CALIPER[unit] if places is None else places
    step = to_mm(10.0**-places, unit)
    whole = toward(round(length / step, 4))
    return decimal_text(whole * step, unit, places)


def caliper_lines(found: CaliperInspection, unit: Unit) -> Iterator[str]:
    """The inspection in lines for a person."""
    yield caliper_verdict_text(found)
    for each in found.readings:
        yield reading_line(each, unit)
    if not found.agree:
        yield contradiction_text(found)
        return
    held = [limit for limit in found.limits if is_held(limit)]
    read = [each.limit.what for each in found.readings if each.limit is not None]
    for limit in held:
        if limit.standing is not Standing.KEPT and limit.what not in read:
            yield limit_line(limit, unit)
    if len(held) < len(found.limits):
        free = [
            f"{judged_text(limit.what)}{_across(found, limit, unit)}" for limit in found.limits if not is_held(limit)
        ]
        yield f"Held by no reading, so open: {some_of(free)}"
    kept = sum(each.standing is Standing.KEPT for each in found.limits)
    if kept:
        yield f"{counted(kept, 'length')} within limits in every part that the readings allow"
    if found.places is not None:
        yield places_text(found.places, unit)
    for bolts in found.bolts:
        yield bolts_text(bolts, unit)
    yield from rework_lines(found, unit)
    if found.wanted is not None:
        yield wanted_text(found.wanted, unit)


def _across(found: CaliperInspection, limit: LimitResult, unit: Unit) -> str:
    """What was read across a circle that is held by nothing: its holes may still shift against one another."""
    if not isinstance(limit.what, CircleOf):
        return ""
    alike = (each for each in found.readings if each.nominal is not None and each.reading.kind in CHORD_KINDS)
    read = [each.reading.value for each in alike if abs((each.nominal or 0.0) - limit.nominal) < _SAME_LENGTH]
    if not read:
        return ""
    values = dict.fromkeys(decimal_text(value, unit) for value in (min(read), max(read)))
    return f" (across it reads {' to '.join(values)} {unit.value}; the readings leave its holes loose)"


def reading_name(each: ReadingResult) -> str:
    """What a reading is of: its kind and its holes."""
    kind = "slot width" if each.of_slot else KINDS[each.reading.kind].words
    return " ".join(part for part in (kind, " - ".join(each.labels)) if part)


def reading_line(each: ReadingResult, unit: Unit) -> str:
    """One reading against the drawing in one line."""
    within = size_text(each.reading.expanded_uncertainty, unit)
    lead = f"{reading_name(each)}: {decimal_text(each.reading.value, unit)} ± {within} {unit.value}"
    drawn = "" if each.nominal is None else f", drawn {decimal_text(each.nominal, unit)}"
    if each.limit is None:
        return f"{lead}{drawn}"
    source = f" ({each.limit.source})" if each.limit.source and each.limit.standing is not Standing.KEPT else ""
    return f"{lead}{drawn}, may be {accept_text(each.limit, unit)}{source}: {standing_text(each.limit.standing)}"


def contradiction_text(found: CaliperInspection) -> str:
    """Which readings may be the wrong ones."""
    names = [reading_name(found.readings[index]) for index in found.contradicting]
    if not names:
        return "At least two readings are wrong; measure again"
    if len(names) == 1:
        return f"Without {names[0]} the others agree; measure it again"
    if len(names) <= _MOST_NAMED:
        return f"Without {' or '.join(names)} the others agree; measure these again"
    return f"Which one is wrong cannot be told: leaving out any of {len(names)} lets the others agree; measure again"


def limit_line(limit: LimitResult, unit: Unit) -> str:
    """A limit that is not kept for certain, in one line."""
    can_be = f"can be {range_of(limit.low, limit.high, unit)}"
    source = f" ({limit.source})" if limit.source else ""
    may_be = f"may be {accept_text(limit, unit)}{source}"
    return f"{judged_text(limit.what)}: {can_be}, {may_be}: {standing_text(limit.standing)}"


def places_text(places: PlacesResult, unit: Unit) -> str:
    """Whether all holes keep their zones."""
    zone = f"zones of ⌀{decimal_text(places.zone, unit)} {unit.value} ({places.source})"
    held = f"holes {labels_in_words(places.what.labels)}"
    match places.standing:
        case Standing.KEPT:
            return f"Places: {held} all in their {zone}, {_spare(places, unit)}: pass"
        case Standing.BROKEN:
            short = decimal_text(places.least, unit)
            return f"Places: not all of {held} in their {zone}, {_out_text(places, f'{short} {unit.value}')}: FAIL"
        case Standing.OPEN:
            return f"Places: {_open_by(places, unit)}, {zone}: open"
        case _:
            assert_never(places.standing)


def _out_text(places: PlacesResult, short: str) -> str:
    """How far a hole is out at best, and which the readings allow to be the one."""
    if places.alone is None:
        return f"one is {short} out at best"
    if not places.alone:
        return f"at least two are out, the worst by {short} at best"
    if len(places.alone) == len(places.what.labels):
        return f"one is {short} out at best; it may be any of them"
    names = " or ".join(places.alone)
    return f"one is {short} out at best; only hole {names} can be the one, or more than one is out"


def _spare(places: PlacesResult, unit: Unit) -> str:
    return f"{decimal_text(max(-places.most, 0.0), unit)} {unit.value} to spare at least"


def _open_by(places: PlacesResult, unit: Unit) -> str:
    if math.isinf(places.most):
        return "the readings do not fix where all holes are"
    return f"a hole may be {_up_to(places.most, unit)} out of its zone"


def _up_to(length: float, unit: Unit) -> str:
    """A length at most, which is not told as none."""
    least = to_mm(10.0 ** -_CALIPER[unit], unit)
    lead = "less than" if length < least / 2 else "up to"
    return f"{lead} {decimal_text(max(length, least), unit)} {unit.value}"


def bolts_text(bolts: BoltsResult, unit: Unit) -> str:
    """Whether the bolts of a group pass."""
    mate = "a mate drilled as drawn" if bolts.mate_drawn else "the given mate"
    lead = f"{bolts.bolt} through this part and {mate}"
    taken = f"; width of {_holes_text(bolts.unread)} taken as drawn" if bolts.unread else ""
    match bolts.places.standing:
        case Standing.KEPT:
            room = f"{decimal_text(max(-bolts.places.most, 0.0), unit)} {unit.value}"
            return f"{lead}: bolts pass; the holes may lie {room} farther apart at least{taken}"
        case Standing.BROKEN:
            return (
                f"{lead}: bolts do not pass, {decimal_text(bolts.places.least, unit)} {unit.value} short at best{taken}"
            )
        case Standing.OPEN:
            return f"{lead}: open, {_open_bolts(bolts.places, unit)}{taken}"
        case _:
            assert_never(bolts.places.standing)


def rework_lines(found: CaliperInspection, unit: Unit) -> Iterator[str]:
    """The ways to mend what bolts do not pass for certain, worked out at the places that fit the readings best."""
    broken = {each.group for each in found.bolts if each.places.standing is Standing.BROKEN}
    mates = found.likeliest.mates if found.likeliest is not None else ()
    for mate in mates:
        if mate.group in broken and not mate.passed:
            yield "At the places that fit the readings best:"
            yield from mate_lines(mate, unit)


def _open_bolts(places: PlacesResult, unit: Unit) -> str:
    if math.isinf(places.most):
        return "the readings do not fix where all holes are"
    return f"{_up_to(places.most, unit)} may be short"


def _holes_text(labels: tuple[str, ...]) -> str:
    return f"hole {labels[0]}" if len(labels) == 1 else f"{len(labels)} holes"


def wanted_text(wanted: WantedReading, unit: Unit) -> str:
    """The next reading, and what it should be."""
    what = " ".join(part for part in (KINDS[wanted.kind].words, " - ".join(wanted.labels)) if part)
    drawn = f"drawn {decimal_text(wanted.expected, unit)} {unit.value}"
    return f"Measure next: {what}, {drawn}; it narrows most of what is open"


class FormLine(Struct, frozen=True):
    """A box of a form, with what the drawing says of it where there is one."""

    box: FormBox
    drawn: str = ""
    accept: str = ""


def form_lines(flange: Flange, limits: InspectionLimits, boxes: Sequence[FormBox], unit: Unit) -> tuple[FormLine, ...]:
    """The boxes of an inspection form with what each length is drawn as and what it may be."""
    holes = flange.holes()
    stated = stated_limits(flange, limits)
    chords = {frozenset((each.what.first, each.what.second)): each for each in stated if isinstance(each.what, Between)}
    widths = {each.what.label: each for each in stated if isinstance(each.what, WidthOf)}
    sizes = {each.what.kind: each for each in stated if isinstance(each.what, SizeOf)}
    found = []
    for box in boxes:
        ends = [holes[end - 1] for end in (box.from_hole, box.to_hole) if end is not None]
        if box.kind in sizes:
            nominal, limit = sizes[box.kind].nominal, sizes.get(box.kind)
        elif box.kind is Kind.HOLE_DIAMETER:
            nominal = (ends or [holes[0]])[0].diameter
            limit = widths.get(ends[0].label) if ends else None
        else:
            nominal = ends[0].center.distance_to(ends[1].center)
            limit = chords.get(frozenset(hole.label for hole in ends))
        found.append(FormLine(box, decimal_text(nominal, unit), "" if limit is None else accept_text(limit, unit)))
    return tuple(found)


def form_words(name: str, lines: Sequence[FormLine], flange: Flange, unit: Unit) -> tuple[str, ...]:
    """What to do with an inspection form of such boxes; ``name`` is the job file of the plate."""
    doubted = "outside what it may be" if any(line.accept for line in lines) else "far from the size drawn"
    holes = flange.holes()
    read = [holes[end - 1] for line in lines for end in (line.box.from_hole, line.box.to_hole) if end is not None]
    threaded = [hole for hole in holes if isinstance(hole.kind, Tapped | Jack)]
    in_parts, zone = len(flange.pieces()) > 1, zone_text(flange, Lengths(unit))
    held = f"Every hole center has to lie in a zone of {zone} ({unit.value}): typed back, the readings tell."
    return (
        *(("Lay the parts together at their gaps and hold them so before you read across them.",) if in_parts else ()),
        *((held,) if zone else ()),
        "Read the boxes in their order, as many as you can. Two holes: from the edge of one to the SAME edge of the "
        f"other. A reading {doubted}: measure it again before going on.",
        *((BETWEEN_SLOTS,) if any(isinstance(hole.kind, Slot) for hole in read) else ()),
        *((f"Threads of {holes_in_words(threaded)}: by a gauge.",) if threaded else ()),
        f'Type them back in order (- for an empty one) or by number: flangelayout inspect {name} --boxes "1=... 2=..."',
    )
