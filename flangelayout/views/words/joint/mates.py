"""What lies on the faces of a plate, in words: each mate with its face, where heads bear, how its spigot fits."""

from collections.abc import Iterator

from flangelayout.flange import Counterbored, Countersunk, Flange, Jack, Tapped
from flangelayout.flange.joints import Mate
from flangelayout.flange.turning import Turned, TurnedKind
from flangelayout.standards.tolerances.fits import Clearance, FitLimits, clearance
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.views.words.call_outs import face_word
from flangelayout.views.words.joint.turned import fit_text


def mate_notes(flange: Flange, unit: Unit) -> Iterator[str]:
    """One line for each mate that the job tells: which circle, on which face, what bears where; then how it centers."""
    for mate in flange.mates:
        where = face_word(flange, mate.face)
        taken = "" if mate.is_face_said else " (taken: the job does not say)"
        name = flange.group_name(mate.group)
        yield f"{name[0].upper()}{name[1:]}: {mate.called} lies on the {where}{taken}; {_fastened(flange, mate)}."
        yield from _centering(flange, mate, unit)


def _fastened(flange: Flange, mate: Mate) -> str:
    """What goes where, seen from the plate."""
    circle, across = flange.bolt_circles[mate.group], face_word(flange, mate.face.other)
    match circle.kind:
        case Tapped() | Jack():
            return "its bolts come through it into the plate's threads"
        case Counterbored() | Countersunk():
            return f"heads are sunk in the {face_word(flange, circle.drilling.worked_from)}"
        case _:
            return f"heads {'' if mate.is_tapped else 'or nuts '}bear on the {across}"


def _centering(flange: Flange, mate: Mate, unit: Unit) -> Iterator[str]:
    """The clearance of a register on the mate's spigot, where the fits of both are known."""
    spigot = mate.spigot
    if spigot is None or spigot.fit is None:
        return
    for each in flange.turned:
        if each.face is mate.face and each.kind is TurnedKind.REGISTER and each.fit is not None:
            between = _between(
                each, spigot.diameter, FitLimits(spigot.fit.lower, spigot.fit.upper, spigot.fit.confidence)
            )
            register = f"register {size_text(each.diameter, unit)} {fit_text(each.fit, unit)}"
            stands = f"spigot {size_text(spigot.diameter, unit)} {fit_text(spigot.fit, unit)} of {mate.called}"
            yield f"{register[0].upper()}{register[1:]} on {stands}: {_clearance_text(between, unit)}."


def _between(each: Turned, spigot: float, shaft: FitLimits) -> Clearance:
    """Between a register and a spigot, nominal sizes and limits together."""
    fit = each.fit
    hole = FitLimits(fit.lower, fit.upper, fit.confidence) if fit else FitLimits(0.0, 0.0, shaft.confidence)
    return clearance(hole, shaft, each.diameter - spigot)


def _clearance_text(between: Clearance, unit: Unit) -> str:
    """Clearance or interference on the diameter, from the least to the most."""
    places = 3 if unit is Unit.MM else 4
    least, most = (decimal_text(abs(value), unit, places) for value in (between.least, between.most))
    if between.least >= 0:
        return f"clearance {least} to {most} {unit.value}"
    if between.most <= 0:
        return f"interference {most} to {least} {unit.value}"
    return f"from interference {least} to clearance {most} {unit.value}"
