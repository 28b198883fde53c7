"""The bill of material: plate, bolts, nuts, washers, gasket, with the bolt length worked out."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Dowel, Flange, Jack, RoundOutline, Tapped
from flangelayout.flange.claims import named_rows
from flangelayout.flange.drilling import Fastener
from flangelayout.flange.mass import Body, plate_solid
from flangelayout.geometry.shapes import extent
from flangelayout.provenance import Family
from flangelayout.standards.bolting import BoltSize, bolt_size, length_rule, next_length
from flangelayout.standards.practice import USUAL_GASKET_INCH, USUAL_GASKET_MM
from flangelayout.standards.shop import density_of, is_gasket_material
from flangelayout.units import Unit, counted, decimal_text, mass_text, size_text
from flangelayout.views.words.lengths import Lengths

_USUAL_GASKET = {Unit.MM: USUAL_GASKET_MM, Unit.IN: USUAL_GASKET_INCH}
"""Taken where a sealed joint names no gasket (common practice, no source)."""
_PITCHES_PAST = 2
"""Threads that show beyond a nut (common practice, no source)."""
_SEALED = frozenset({Family.PIPE_FLANGE, Family.TANK_TRUCK_FLANGE, Family.WELLHEAD_FLANGE})
"""Families whose joints have a flat gasket inside the bolts; vacuum and hygienic joints bring seals of their own."""


@dataclass(frozen=True, slots=True)
class _Worked:
    """A bolt length worked out: the size, what it adds up from, the length bought."""

    size: BoltSize
    parts: tuple[str, ...]
    total: float
    bought: float


class _NotListed(Enum):
    """Why nothing is ordered for the holes of a circle; the value is the sentence's end."""

    UNKNOWN_SIZE = "is no size of the bolting tables (ISO 4014, ASME B18.2.1): work its length out"
    DOES_NOT_PASS = "does not go through its hole"
    WITH_OTHER_PART = "is in the bill of the part that this one goes with"
    TAPPED = "goes into the thread: its length hangs on the part it holds"
    SEATED = "has its head in the seat: its length hangs on what it goes into"
    NO_THICKNESS = "has no length, because no thickness is stated"


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
    """How every bolt length was worked out, with the rule it is rounded by, and what is not in the bill, and why."""
    for group, circle in enumerate(flange.bolt_circles):
        worked = _worked(flange, circle)
        letter = flange.group_letter(group)
        if isinstance(worked, _Worked):
            total = decimal_text(worked.total, worked.size.unit)
            text = f"{f'Bolt length {letter}'.strip()}: {' + '.join(worked.parts)} = {total} {worked.size.unit.value}, "
            text += f"{length_rule(worked.size.unit, circle.joint.fastener)}: {_bolt_name(worked)}."
            yield f"{text} Threads past the nut: common practice, no source."
        elif worked:
            name = circle.bolt.strip() or (circle.kind.thread if isinstance(circle.kind, Tapped | Jack) else "")
            yield f"{f'Bolts {letter}'.strip()} are not in the bill: {name} {worked.value}."


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
        why = (
            f'"{flange.material}" is in no density table; state its density'
            if flange.material
            else "no material is stated"
        )
        return f"No mass is given: {why}."
    return f"Mass from the true contour, {density[0]:.0f} kg/m³ ({density[1]}); {_gravity(solid, lengths)}."


def _gravity(solid: Body, lengths: Lengths) -> str:
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
    """The plate, or every part of a plate made in parts."""
    pieces = flange.pieces()
    box = extent(pieces[0])
    thick = f" X {lengths.size(flange.thickness)}" if flange.thickness is not None else ""
    if isinstance(flange.outline, RoundOutline):
        size = f"{lengths.diameter(flange.outline.outside_diameter)}{thick}"
    else:
        size = f"{lengths.size(box.width)} X {lengths.size(box.height)}{thick}"
    what = "plate" if len(pieces) == 1 else "part of the plate"
    mass = mass_words(flange, lengths.unit) if len(pieces) == 1 else _part_mass(flange, lengths.unit)
    yield len(pieces), f"{what}, {flange.material}" if flange.material else what, size, mass


def _part_mass(flange: Flange, unit: Unit) -> str:
    """The mass of one of the equal parts of a plate."""
    solid, density = plate_solid(flange), _density(flange)
    return mass_text(solid.mass(density[0]) / len(flange.pieces()), unit) if solid and density else ""


def _joint_rows(flange: Flange, lengths: Lengths) -> Iterator[_Row]:
    for circle in flange.bolt_circles:
        worked = _worked(flange, circle)
        if not isinstance(worked, _Worked):
            continue
        count, size, joint = len(circle.hole_numbers()), worked.size, circle.joint
        stud = joint.fastener is Fastener.STUD
        assumed = "" if joint.mate_thickness is not None else ", mate assumed as thick as this plate"
        yield count, ("stud" if stud else "hexagon bolt") + assumed, _bolt_name(worked), ""
        yield count * (2 if stud else 1), "hexagon nut", size.name, ""
        if joint.washers and size.washer_thickness:
            yield count * joint.washers, "washer", f"for {size.name}", ""
        if _gasket_thickness(circle, flange, size.unit):
            yield 1, "gasket", _gasket(flange, circle, size, lengths), ""


def _gasket(flange: Flange, circle: BoltCircle, size: BoltSize, lengths: Lengths) -> str:
    """Inside the bolts (common practice, no source), as wide as the raised face at most, open as the bore."""
    outside = circle.diameter - size.diameter
    if flange.raised_face_diameter:
        outside = min(outside, flange.raised_face_diameter)
    thick = lengths.size(_gasket_thickness(circle, flange, size.unit) or 0.0)
    inside = lengths.diameter(flange.bore) if flange.bore is not None else "bore of the mate"
    return f"{lengths.diameter(outside)} / {inside} X {thick}"


def _gasket_thickness(circle: BoltCircle, flange: Flange, unit: Unit) -> float | None:
    """Of the gasket of a joint, stated or usual; ``None`` for a joint that nothing says is sealed."""
    stated = circle.joint.gasket_thickness
    if stated is not None:
        return stated or None
    sealed = flange.raised_face_diameter or any(row.family in _SEALED for row in named_rows(circle))
    return _USUAL_GASKET[unit] if sealed else None


def _bolt_name(worked: _Worked) -> str:
    return f"{worked.size.name} X {size_text(worked.bought, worked.size.unit)}"


def _worked(flange: Flange, circle: BoltCircle) -> _Worked | _NotListed | None:
    """The length of a bolt through plate, gasket and mate, or why there is none; ``None`` if nothing is bolted."""
    kind = circle.kind
    named = circle.bolt.strip() or isinstance(kind, Tapped | Jack)
    if is_gasket_material(flange.material) or isinstance(kind, Dowel) or not named:
        return None
    if circle.joint.bolts_with:
        return _NotListed.WITH_OTHER_PART
    size = bolt_size(circle.bolt) if circle.bolt.strip() else None
    why = _not_listed(circle, size, flange.thickness)
    if why or size is None or flange.thickness is None:
        return why
    return _length(circle, size, flange.thickness, _gasket_thickness(circle, flange, size.unit))


def _not_listed(circle: BoltCircle, size: BoltSize | None, thickness: float | None) -> _NotListed | None:
    """What keeps the bolts of a circle out of the bill."""
    if isinstance(circle.kind, Tapped | Jack):
        return _NotListed.TAPPED
    if isinstance(circle.kind, Counterbored | Countersunk):
        return _NotListed.SEATED
    if size is None:
        return _NotListed.UNKNOWN_SIZE
    if size.diameter > circle.drilling.diameter + 1e-6:
        return _NotListed.DOES_NOT_PASS
    return _NotListed.NO_THICKNESS if thickness is None else None


def _length(circle: BoltCircle, size: BoltSize, thickness: float, gasket: float | None) -> _Worked:
    joint, unit = circle.joint, size.unit
    mate = joint.mate_thickness if joint.mate_thickness is not None else thickness
    washers = joint.washers * (size.washer_thickness or 0.0)
    nuts = 2 if joint.fastener is Fastener.STUD else 1
    ends = nuts * _PITCHES_PAST * size.pitch

    def said(length: float) -> str:
        return decimal_text(length, unit)

    assumed = "" if joint.mate_thickness is not None else " (assumed as thick as this plate: measure the mate)"
    parts = [f"plate {said(thickness)}", f"mate {said(mate)}{assumed}"]
    if gasket:
        taken = "" if joint.gasket_thickness is not None else " (usual: measure it)"
        parts.append(f"gasket {said(gasket)}{taken}")
    if washers:
        parts.append(f"{counted(joint.washers, 'washer')} {said(washers)}")
    parts += [f"{counted(nuts, 'nut')} {said(nuts * size.nut_height)}"]
    parts += [f"{nuts * _PITCHES_PAST} threads {said(ends)}"]
    total = thickness + mate + (gasket or 0.0) + washers + nuts * size.nut_height + ends
    return _Worked(size, tuple(parts), total, next_length(total, unit, joint.fastener))
