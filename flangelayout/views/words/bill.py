"""The bill of material: plate, bolts, nuts, washers, gasket, with the bolt length worked out."""

from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Drilled, Flange, RoundOutline
from flangelayout.flange.bolting import Fastener, Joint
from flangelayout.flange.mass import Solid, plate_solid
from flangelayout.standards.bolting import BoltSize, bolt_size, length_rule, next_length
from flangelayout.standards.shop import density_of
from flangelayout.units import Unit, counted, decimal_text, mass_text, size_text, to_mm
from flangelayout.views.words.lengths import Lengths

_USUAL_GASKET = {Unit.MM: 2.0, Unit.IN: to_mm(1 / 8, Unit.IN)}
"""Taken where a joint names no gasket (common practice, no source)."""
_PITCHES_PAST = 2
"""Threads that show beyond a nut (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Worked:
    """A bolt length worked out: the size, what it adds up from, the length bought."""

    size: BoltSize
    parts: tuple[str, ...]
    total: float
    bought: float


def bill_table(flange: Flange, quantity: int, lengths: Lengths) -> TextTable:
    """Everything the plate and its joints take: for one piece, and for the quantity of the job."""
    rows = [*_plate_rows(flange, lengths), *_joint_rows(flange, lengths)]
    numbered = tuple(
        (str(number), str(each), str(each * quantity), part, size, mass)
        for number, (each, part, size, mass) in enumerate(rows, 1)
    )
    columns = ("ITEM", "EACH", "TOTAL", "PART", "SIZE", "MASS")
    return TextTable(f"BILL OF MATERIAL ({lengths.words()})", columns, numbered)


def bolt_notes(flange: Flange) -> Iterator[str]:
    """How every bolt length was worked out, with the rule it is rounded by."""
    for group, circle in enumerate(flange.bolt_circles):
        worked = _worked_length(circle, flange.thickness)
        if worked:
            fastener = circle.joint.fastener
            name = f"Bolt length {flange.group_letter(group)}".strip()
            total = decimal_text(worked.total, worked.size.unit)
            text = f"{name}: {' + '.join(worked.parts)} = {total} {worked.size.unit.value}, "
            text += f"{length_rule(worked.size.unit, fastener)}: {_bolt_name(worked)}."
            yield f"{text} Threads past the nut: common practice, no source."
        elif circle.bolt and flange.thickness is not None and isinstance(circle.kind, Drilled):
            yield f'Bolts "{circle.bolt}": no size of the bolting tables (ISO 4014, ASME B18.2.1); work the length out.'


def mass_words(flange: Flange, unit: Unit) -> str:
    """The mass of one plate for the title block; empty where thickness or density is unknown."""
    solid, density = plate_solid(flange), _density(flange)
    return mass_text(solid.mass(density[0]), unit) if solid and density else ""


def mass_note(flange: Flange, lengths: Lengths) -> str:
    """What the mass rests on and where the center of gravity is; or why there is no mass."""
    solid, density = plate_solid(flange), _density(flange)
    if solid is None:
        return ""
    if density is None:
        named = f'"{flange.material}" is' if flange.material else "no material is stated that is"
        return f"Mass: {named} not in the density table; state plate.density in kg per cubic meter."
    return f"Mass from the true contour, {density[0]:.0f} kg/m³ ({density[1]}); {_gravity(solid, lengths)}."


def _gravity(solid: Solid, lengths: Lengths) -> str:
    x, y = solid.center.x, solid.center.y
    if abs(x) < 0.05 and abs(y) < 0.05:
        return "center of gravity in the middle"
    return f"center of gravity at X {lengths.decimal(x)}, Y {lengths.decimal(y)} {lengths.unit.value} from the middle"


def _density(flange: Flange) -> tuple[float, str] | None:
    if flange.density is not None:
        return flange.density, "as stated"
    found = density_of(flange.material) if flange.material else None
    return (found.kg_per_m3, f"{found.material}, {found.confidence.words}") if found else None


_Row = tuple[int, str, str, str]


def _plate_rows(flange: Flange, lengths: Lengths) -> Iterator[_Row]:
    box = flange.box()
    thick = f" X {lengths.size(flange.thickness)}" if flange.thickness is not None else ""
    if isinstance(flange.outline, RoundOutline):
        size = f"{lengths.diameter(flange.outline.outside_diameter)}{thick}"
    else:
        size = f"{lengths.size(box.width)} X {lengths.size(box.height)}{thick}"
    yield 1, f"plate, {flange.material}" if flange.material else "plate", size, mass_words(flange, lengths.unit)


def _joint_rows(flange: Flange, lengths: Lengths) -> Iterator[_Row]:
    for circle in flange.bolt_circles:
        worked = _worked_length(circle, flange.thickness)
        if not worked:
            continue
        count, size, joint = len(circle.hole_numbers()), worked.size, circle.joint
        stud = joint.fastener is Fastener.STUD
        yield count, "stud" if stud else "hexagon bolt", _bolt_name(worked), ""
        yield count * (2 if stud else 1), "hexagon nut", size.name, ""
        if joint.washers and size.washer_thickness:
            yield count * joint.washers, "washer", f"for {size.name}", ""
        if flange.bore is not None:
            yield 1, "gasket", _gasket(flange, circle, size, lengths), ""


def _gasket(flange: Flange, circle: BoltCircle, size: BoltSize, lengths: Lengths) -> str:
    """Inside the bolts (common practice, no source), as wide as the raised face at most, open as the bore."""
    outside = circle.diameter - size.diameter
    if flange.raised_face_diameter:
        outside = min(outside, flange.raised_face_diameter)
    thick = lengths.size(_gasket_thickness(circle.joint, size.unit)[0])
    return f"{lengths.diameter(outside)} / {lengths.diameter(flange.bore or 0.0)} X {thick}"


def _gasket_thickness(joint: Joint, unit: Unit) -> tuple[float, bool]:
    """Thickness, and whether it was taken because none is stated."""
    stated = joint.gasket_thickness
    return (stated, False) if stated is not None else (_USUAL_GASKET[unit], True)


def _bolt_name(worked: _Worked) -> str:
    return f"{worked.size.name} X {size_text(worked.bought, worked.size.unit)}"


def _worked_length(circle: BoltCircle, thickness: float | None) -> _Worked | None:
    """The length of a bolt through this plate, its gasket and its mate; ``None`` where it cannot be worked out."""
    size = bolt_size(circle.bolt) if circle.bolt else None
    if size is None or thickness is None or not isinstance(circle.kind, Drilled):
        return None
    joint, unit = circle.joint, size.unit
    stud = joint.fastener is Fastener.STUD
    mate = joint.mate_thickness if joint.mate_thickness is not None else thickness
    gasket, taken = _gasket_thickness(joint, unit)
    washers = joint.washers * (size.washer_thickness or 0.0)
    nuts = 2 if stud else 1
    ends = nuts * _PITCHES_PAST * size.pitch

    def said(length: float) -> str:
        return decimal_text(length, unit)

    mate_taken = "" if joint.mate_thickness is not None else " (as thick as this plate: state mate_thickness)"
    gasket_taken = " (taken: state gasket_thickness)" if taken else ""
    parts = [f"plate {said(thickness)}", f"mate {said(mate)}{mate_taken}", f"gasket {said(gasket)}{gasket_taken}"]
    if washers:
        parts.append(f"{counted(joint.washers, 'washer')} {said(washers)}")
    parts += [f"{counted(nuts, 'nut')} {said(nuts * size.nut_height)}"]
    parts += [f"{nuts * _PITCHES_PAST} threads {said(ends)}"]
    total = thickness + mate + gasket + washers + nuts * size.nut_height + ends
    return _Worked(size, tuple(parts), total, next_length(total, unit, joint.fastener))
