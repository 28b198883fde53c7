"""Operations, times and money in words."""

from typing import assert_never

from flangelayout.flange import Dowel, Flange, HoleKind, Jack, SegmentOutline, Tapped
from flangelayout.flange.mass import MassNeed
from flangelayout.shopwork.operations import Cutting, HoleWork, Once, Operation, ShopStep, TurningWork, WorkPlace
from flangelayout.shopwork.quote import PlateWork, QuoteLine, paid_places, rounded
from flangelayout.shopwork.rates import RateKey, Rates
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit, counted, decimal_text, from_mm, mass_text, mass_unit, size_text, to_mm
from flangelayout.views.words.holes import hole_text, reamed_text
from flangelayout.views.words.joint.turned import turned_call_out
from flangelayout.views.words.keys import key_words
from flangelayout.views.words.lengths import Lengths

_NEEDED = {
    MassNeed.THICKNESS: "the thickness",
    MassNeed.DENSITY: "the density, or a material whose density is in the tables",
}
_ONCE = {
    ShopStep.SET_UP: "Set up",
    ShopStep.DEBURR: "Deburr both faces and every hole",
    ShopStep.INSPECT: "Inspect",
}
_VERBS = {
    ShopStep.DRILL: "Drill",
    ShopStep.SLOT: "Mill",
    ShopStep.TAP: "Tap",
    ShopStep.SEAT: "Seat",
    ShopStep.REAM: "Ream",
}
_MONEY = {
    RateKey.PLATE: "a kilogram",
    RateKey.TABLE_HOUR: "an hour",
    RateKey.MACHINE_HOUR: "an hour",
    RateKey.LATHE_HOUR: "an hour",
    RateKey.BENCH_HOUR: "an hour",
}
_SPEEDS = frozenset({RateKey.CUTTING_SPEED, RateKey.SCRIBING_SPEED})
_DECIMALS = {Unit.MM: 0, Unit.IN: 1}
"""Of a length that is cut or scribed."""


def operation_words(operation: Operation, flange: Flange, lengths: Lengths) -> str:
    """What is done, as a shop says it: ``Drill 8 × ⌀22, bolt circle A``."""
    match operation:
        case Cutting():
            return _cutting(operation)
        case HoleWork():
            where = f", {flange.group_name(operation.group)}" if operation.group >= 0 else ""
            side = " FROM THE BACK, plate turned over" if operation.is_from_back else ""
            work = f"{operation.count}{lengths.times}{_worked(operation, lengths)}"
            return f"{_VERBS[operation.step]} {work}{where}{side}"
        case TurningWork():
            return f"Turn {turned_call_out(operation.turned, lengths)}"
        case Once(step=ShopStep.MARK):
            what = "the number" if isinstance(flange.outline, SegmentOutline) else "the number and TOP"
            if operation.count > 1:
                what = f"the number on each of {operation.count} parts, TOP on the one it is on"
            return f"Write {what} on it" if is_gasket_material(flange.material) else f"Stamp {what}"
        case Once():
            return _ONCE[operation.step] + (f", {operation.count} parts" if operation.count > 1 else "")
        case _:
            assert_never(operation)


def _worked(operation: HoleWork, lengths: Lengths) -> str:
    """What becomes of a hole in one step: the hole itself where it is drilled, its thread where it is tapped."""
    hole, kind = operation.hole, operation.hole.kind
    if operation.step is ShopStep.DRILL:
        less = " less the reaming allowance" if isinstance(kind, Dowel) else ""
        return f"{lengths.named_diameter(hole.diameter)}{_blind(kind, lengths)}{less}"
    if isinstance(kind, Dowel):
        return reamed_text(kind, hole.diameter, lengths)
    if isinstance(kind, Tapped | Jack):
        depth = kind.depth if isinstance(kind, Tapped) else None
        return kind.thread if depth is None else f"{kind.thread}{lengths.by}{lengths.size(depth)} DEEP"
    return hole_text(kind, hole.diameter, lengths)


def _blind(kind: HoleKind, lengths: Lengths) -> str:
    """How deep to drill for a thread that ends in the plate, by the drill's full diameter, and how deep that is."""
    if not isinstance(kind, Tapped) or kind.depth is None:
        return ""
    deep = "" if kind.drill_depth is None else f"{lengths.by}{lengths.size(kind.drill_depth)} DEEP"
    return f"{deep}, THREAD {lengths.size(kind.depth)} DEEP"


def _cutting(work: Cutting) -> str:
    parts = [counted(work.edges, "edge")]
    parts += [counted(work.openings, "opening")] if work.openings else []
    parts += [counted(work.holes, "hole")] if work.holes else []
    parts += [f"{counted(work.undersize, 'hole')} undersize"] if work.undersize else []
    parts += [f"{counted(work.marked, 'center')} marked"] if work.marked else []
    return f"Cut {', '.join(parts)}"


def place_words(place: WorkPlace) -> str:
    """Where it is done."""
    return place.value


def rate_name(key: RateKey) -> str:
    """What a rate is called: ``Drilling``, ``Hour at the bench``."""
    words = key_words(f"shop.rates.{key.value}")
    return words.name if words else key.value


def rate_words(key: RateKey, rates: Rates, unit: Unit) -> str:
    """A rate with its unit: ``2 min each``, ``48 an hour``, ``350 mm/min``."""
    value = rates.value(key)
    if value is None:
        return ""
    if key in _SPEEDS:
        return f"{size_text(value, unit)} {unit.value}/min"
    if key in _MONEY:
        return f"{_rate_text(value)} {rates.money}".rstrip() + f" {_MONEY[key]}"
    each = {RateKey.PIERCE: "s a pierce", RateKey.SET_UP: "min a job"}.get(key, "min each")
    return f"{value:g} {each}"


def _rate_text(value: float) -> str:
    """Money to a hundredth, or as finely as the shop has stated it."""
    return min((f"{value:.2f}", f"{value:.10g}"), key=lambda text: abs(float(text) - value))


def rate_source(rates: Rates) -> str:
    """Where every rate is from."""
    return f"as the shop file says{f', stated {rates.stated}' if rates.stated else ''}"


def reckoned(line: QuoteLine, work: PlateWork, rates: Rates, unit: Unit) -> str:
    """How a line was reckoned, or what is missing for it."""
    used = ", ".join(rate_words(key, rates, unit) for key in line.rates)
    missing = ", ".join(rate_name(key).lower() for key in line.missing)
    lacking = f"not stated: {missing}" if missing else ""
    if line.operation is None and work.blank_mass is None:
        lacking = mass_unknown(work.needs)
    return "; ".join(part for part in (used, lacking) if part)


def amount(line: QuoteLine, work: PlateWork, unit: Unit) -> str:
    """How much of it there is: the blank, the length of the cut, how many holes."""
    match line.operation:
        case None:
            return "" if work.blank_mass is None else f"{_blank(work)} {_weighed(work.blank_mass, unit)}"
        case Cutting():
            scribed = f", {_length_text(work.mark_length, unit)} scribed" if work.mark_length else ""
            return f"{_length_text(work.cut_length, unit)}, {counted(work.pierces, 'pierce')}{scribed}"
        case HoleWork(count=count):
            return counted(count, "hole")
        case TurningWork() | Once():
            return ""
        case _:
            assert_never(line.operation)


def told_length(length: float, unit: Unit) -> float:
    """A length in mm that is cut or scribed, as it is told."""
    return to_mm(rounded(from_mm(length, unit), _DECIMALS[unit]), unit)


def _length_text(length: float, unit: Unit) -> str:
    return f"{decimal_text(length, unit, _DECIMALS[unit])} {unit.value}"


def _weighed(mass: float, unit: Unit) -> str:
    """A mass that is paid for by the kilogram: beside pounds in kilograms, too."""
    places = paid_places(mass)
    kilograms = f"{rounded(mass, places):.{places}f} {mass_unit(Unit.MM)}"
    return kilograms if unit is Unit.MM else f"{mass_text(mass, unit)}, {kilograms}"


def _blank(work: PlateWork) -> str:
    return "of the plate" if work.is_nested else "blank"


def minutes_text(minutes: float | None) -> str:
    """Minutes to a hundredth; empty where they are not known."""
    return "" if minutes is None else f"{minutes:.2f}"


def money_text(money: float | None, rates: Rates) -> str:
    """Money to a hundredth; empty where it is not known."""
    return "" if money is None else _money(money, rates)


def mass_unknown(needs: tuple[MassNeed, ...]) -> str:
    """That there is no mass, and what is to be stated for one."""
    return f"mass not known: state {' and '.join(_NEEDED[need] for need in needs)}"


def mass_words(work: PlateWork, unit: Unit) -> str:
    """Mass of the part and of its blank, and what of it becomes the part; of all its parts where it is made in some."""
    if work.mass is None or work.blank_mass is None or work.used_share is None:
        return mass_unknown(work.needs)
    part, blank = mass_text(work.mass, unit), mass_text(work.blank_mass, unit)
    one = work.pieces == 1
    whole, becomes = ("part", "becomes the part") if one else (f"its {work.pieces} parts together", "become the parts")
    if work.is_nested:
        return f"{whole} {part}, the share of the nested plate {blank}: {work.used_share:.0%} {becomes}"
    blanks = "blank" if one else "blanks"
    return f"{whole} {part}, {blanks} {blank}: {work.used_share:.0%} of the {blanks} {becomes}"


def _money(value: float, rates: Rates) -> str:
    return f"{value:.2f} {rates.money}".rstrip()
