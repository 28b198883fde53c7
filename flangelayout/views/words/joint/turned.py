"""What is turned on the faces of a plate, in words: its name, its call-out, its limits, the table of it all."""

from collections.abc import Iterator

from flangelayout.flange import Flange
from flangelayout.flange.turning import Fitted, PlateFace, Turned
from flangelayout.provenance import Confidence
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.views.words.lengths import Lengths

_SIDES = {PlateFace.FACE: "NEAR SIDE", PlateFace.BACK: "FAR SIDE"}


def side_text(face: PlateFace) -> str:
    """A face as a drawing calls it, seen from the named one."""
    return _SIDES[face]


def turned_name(each: Turned, unit: Unit) -> str:
    """What a sentence calls it: ``register of 180 mm on the back (motor spigot)``."""
    where = "on the named face" if each.face is PlateFace.FACE else "on the back"
    named = f" ({each.name})" if each.name else ""
    return f"{each.kind.value} of {size_text(each.diameter, unit)} {unit.value} {where}{named}"


def turned_call_out(each: Turned, lengths: Lengths) -> str:
    """What a drawing says of it: ``REGISTER ⌀180 H7 (+0.040/0) × 5 DEEP FAR SIDE``."""
    fit = f" {fit_text(each.fit, lengths.unit)}" if each.fit else ""
    inner = f" / {lengths.named_diameter(each.inner_diameter)}" if each.inner_diameter else ""
    size = f"{lengths.size(each.size)} {'DEEP' if each.kind.is_sunk else 'HIGH'}"
    wall = f"{lengths.named_diameter(each.diameter)}{fit}{inner}"
    return f"{each.kind.value.upper()} {wall}{lengths.by}{size} {side_text(each.face)}"


def fit_text(fit: Fitted, unit: Unit) -> str:
    """A tolerance class with its limit deviations, the upper first: three decimals of mm, four of inches."""
    places = 3 if unit is Unit.MM else 4
    lower, upper = (_signed(decimal_text(value, unit, places)) for value in (fit.lower, fit.upper))
    return f"{fit.name} ({upper}/{lower})"


def turned_notes(flange: Flange, lengths: Lengths) -> Iterator[str]:
    """What thickness means on a plate of which something stands out, and where its fits are from.

    Without a thickness there is no section to call out what is turned: then each has a line here.
    """
    if not flange.turned:
        return
    for each in flange.turned if flange.thickness is None else ():
        named = f" ({each.name})" if each.name else ""
        yield f"{turned_call_out(each, lengths)}{named}"
    if any(not each.kind.is_sunk for each in flange.turned):
        yield "Thickness is over all: what stands out of a face is left when the rest is turned away."
    if any(each.fit for each in flange.turned):
        yield f"Limits of fits by ISO 286-1{_trust(flange)}."


def machining_lines(flange: Flange, lengths: Lengths) -> tuple[str, ...]:
    """What is left to be machined on a plate that was cut and drilled by the template."""
    return tuple(turned_call_out(each, lengths) for each in flange.all_turned())


def _trust(flange: Flange) -> str:
    """What to do about its fits where not every one is vouched for by two sources."""
    vouched = all(each.fit.confidence is Confidence.TWO_SOURCES for each in flange.turned if each.fit)
    return "" if vouched else ": check them before machining"


def _signed(number: str) -> str:
    if float(number) == 0:
        return "0"
    return number if number.startswith("-") else f"+{number}"
