"""How tight: the torque of each circle whose job states everything it takes, with its working and its cautions."""

from collections.abc import Iterator

from flangelayout.flange import Flange
from flangelayout.flange.drilling import Tightening
from flangelayout.provenance import Confidence
from flangelayout.standards.joints.hardware import Hardware, hardware_of
from flangelayout.standards.joints.tightening import ROUNDS, Torque, strength_of, torque
from flangelayout.units import Unit, size_text

_CAUTION = (
    "Torque by the plain formula T = K F d: the load of the bolt may differ by a quarter and more. Gasket and service "
    "may ask for another load: a qualified person decides, by the local code."
)
_TRUST = {
    Confidence.TWO_SOURCES: "two sources agree",
    Confidence.ONE_SOURCE: "one source only: check it",
    Confidence.MEMORY: "not verified: compare",
}
_LBF_FT, _LBF, _SQUARE_IN = 1.3558179, 4.4482216, 645.16


def torque_notes(flange: Flange, unit: Unit) -> Iterator[str]:
    """One line for each circle, then the caution; nothing where no circle states all of it."""
    said = [line for found in hardware_of(flange) if isinstance(found, Hardware) for line in _line(flange, found, unit)]
    yield from said
    if said:
        yield _CAUTION


def _line(flange: Flange, found: Hardware, unit: Unit) -> Iterator[str]:
    stated = flange.groups()[found.group].drilling.joint.tightening if found.group >= 0 else None
    strength = strength_of(stated.bolt_class, found.diameter) if stated else None
    if stated is None or strength is None:
        return
    result = torque(found.diameter, found.pitch, found.unit, strength, stated.nut_factor, stated.bolt_load)
    name = f"Torque {flange.group_letter(found.group)}".strip()
    rounds = ", ".join(_torque_text(share * result.torque, unit) for share in ROUNDS)
    bolt, tight = f"{found.name} {stated.bolt_class}", _torque_text(result.torque, unit)
    yield (
        f"{name}, {bolt}: {tight} = {_working(result, stated, unit)}; "
        f"crosswise in {len(ROUNDS)} rounds of {rounds} (ASME PCC-1, not verified: compare), then once round."
    )


def _working(result: Torque, stated: Tightening, unit: Unit) -> str:
    """What the torque was multiplied from, each figure with its source."""
    strength = result.strength
    what = "proof" if strength.is_proof else "yield"
    bolt = f"{result.diameter:g} mm" if unit is Unit.MM else f"{size_text(result.diameter, unit)} in"
    load = f"{result.load / 1000:.1f} kN" if unit is Unit.MM else f"{result.load / _LBF:.0f} lbf"
    area = f"{result.area:.1f} mm²" if unit is Unit.MM else f"{result.area / _SQUARE_IN:.4f} in²"
    trust = f"{strength.standard}, {_TRUST[strength.confidence]}"
    return (
        f"nut factor {stated.nut_factor:g} ({stated.lubrication}) × {load} × {bolt}, with "
        f"{100 * stated.bolt_load:g} % of the {what} strength of {strength.value:.0f} MPa ({trust}) on {area}"
    )


def _torque_text(value: float, unit: Unit) -> str:
    """N m or lbf ft, in whole ones from 20 up."""
    shown = value if unit is Unit.MM else value / _LBF_FT
    places = 0 if shown >= 20 else 1
    return f"{shown:.{places}f} {'N·m' if unit is Unit.MM else 'lbf·ft'}"
