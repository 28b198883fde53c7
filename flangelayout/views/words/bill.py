"""The bill of material: plate, fasteners, nuts, washers, gasket; how each length was worked out; the mass."""

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Drilled, Flange, RoundOutline
from flangelayout.flange.drilling import Drilling, Fastener
from flangelayout.flange.mass import Body, plate_solid
from flangelayout.geometry.shapes import extent
from flangelayout.standards.joints.hardware import (
    FastenerKind,
    Hardware,
    LeftOut,
    NotListed,
    Summand,
    Through,
    hardware_of,
)
from flangelayout.standards.joints.seals import gasket_ring
from flangelayout.standards.joints.stock import StockKind, stock_rule
from flangelayout.standards.shop import density_of, is_gasket_material
from flangelayout.units import Unit, counted, decimal_text, mass_text, size_text
from flangelayout.views.words.lengths import Lengths

_WHY = {
    NotListed.UNKNOWN_SIZE: "is no size of the bolting tables (ISO 4014, ASME B18.2.1): work its length out",
    NotListed.DOES_NOT_PASS: "does not go through its hole",
    NotListed.WITH_OTHER_PART: "is in the bill of the part that this one goes with",
    NotListed.NO_THICKNESS: "has no length, because no thickness is stated",
    NotListed.NO_STOCK: "is sold in no length that engages and stays clear of the bottom of its thread",
    NotListed.NOTHING_HELD: "goes into the thread of a single hole: nothing says what it holds",
    NotListed.OWN_BOLTS: "is the thread of a part with screws of its own: order them with that part",
}
"""The end of the sentence that says why nothing is ordered; a test holds it against the list of reasons."""
_STANDARDS = {
    FastenerKind.HEX_BOLT: ("ISO 4014", "ASME B18.2.1"),
    FastenerKind.HEX_SCREW: ("ISO 4017", "ASME B18.2.1"),
    FastenerKind.STUD: ("EN 1515-1", "ASME B18.31.2"),
    FastenerKind.CAP_SCREW: ("ISO 4762", "ASME B18.3"),
    FastenerKind.FLAT_SCREW: ("ISO 10642", "ASME B18.3"),
    FastenerKind.JACK_SCREW: ("ISO 4017", "ASME B18.2.1"),
    FastenerKind.DOWEL: ("ISO 8734", "ASME B18.8.2"),
}
_NUTS, _WASHERS = ("ISO 4032", "ASME B18.2.2 heavy hex"), ("ISO 7089", "ASME B18.21.1 type A")


class BillRow(Struct, frozen=True):
    """One thing to order.

    Attributes:
        each: How many for one plate.
        part: What it is.
        size: Its size, without a unit.
        standard: That it is made by; empty where there is none.
        mass: In words.
        is_plate: Whether it is the plate itself.
        unit: What its size is in; ``None`` where the size says it, as metric threads do.
    """

    each: int
    part: str
    size: str
    standard: str = ""
    mass: str = ""
    is_plate: bool = False
    unit: Unit | None = None


def bill_table(flange: Flange, quantity: int, lengths: Lengths) -> TextTable:
    """Everything the plate and its joints take: for one piece, and for the quantity of the job."""
    numbered = tuple(
        (str(number), str(row.each), str(row.each * quantity), row.part, row.size, row.standard, row.mass)
        for number, row in enumerate(bill_rows(flange, lengths), 1)
    )
    columns = ("ITEM", "EACH", "TOTAL", "PART", "SIZE", "STANDARD", "MASS")
    return TextTable(f"BILL OF MATERIAL ({lengths.words()})", columns, numbered)


def bill_rows(
    flange: Flange, lengths: Lengths, joined: frozenset[int] = frozenset(), with_gasket: bool = True
) -> tuple[BillRow, ...]:
    """Every thing to order, one by one.

    Args:
        flange: The plate.
        lengths: How lengths are written.
        joined: Circles whose joint is in the bill of another plate.
        with_gasket: Whether what lies between is ordered with it.
    """
    found = [each for each in hardware_of(flange) if isinstance(each, Hardware) and each.group not in joined]
    joints = (row for hardware in found for row in _joint_rows(flange, hardware, lengths, with_gasket))
    return (*_plate_rows(flange, lengths), *joints)


def bolt_notes(flange: Flange, lengths: Lengths) -> Iterator[str]:
    """How every length was worked out, with the rule it is rounded by, and what is not in the bill, and why."""
    for found in hardware_of(flange):
        letter = _letter(flange, found)
        if isinstance(found, LeftOut):
            yield _left_out(letter, found)
            continue
        worked = " + ".join(_summand_text(each, found) for each in found.summands)
        total = decimal_text(found.wanted, found.unit)
        rule = stock_rule(found.unit, _stock(found))
        ordered = _size_text(found, lengths)
        text = f"{f'Bolt length {letter}'.strip()}: {worked} = {total} {found.unit.value}, {rule}: {ordered}."
        yield f"{text} Threads past the nut: common practice, no source." if found.nuts else text


def left_out_notes(flange: Flange) -> Iterator[str]:
    """What is not in the bill, and why."""
    yield from (_left_out(_letter(flange, each), each) for each in hardware_of(flange) if isinstance(each, LeftOut))


def unlisted_notes(flange: Flange, with_gasket: bool = True) -> Iterator[str]:
    """What a person may miss in the bill of a plate: bolts of circles that name none, a gasket nobody asked for.

    ``with_gasket`` says whether its gasket would be in its own bill, and in no other one of a list.
    """
    found = hardware_of(flange)
    known = {each.group for each in found}
    circles = () if is_gasket_material(flange.material) else flange.bolt_circles
    for group, circle in enumerate(circles):
        if group not in known and circle.joint.fastener is not Fastener.NONE:
            yield f"{f'Bolts {flange.group_letter(group)}'.strip()} are not in the bill: no bolt is named for them."
    alone = Counter(each.drilling.bolt for each in flange.single_holes if _is_plain(each.drilling))
    yield from (
        f"{counted(count, 'single hole')} for {bolt}: nothing says what goes through, so no bolt is in the bill."
        for bolt, count in alone.items()
    )
    joints = [each for each in found if isinstance(each, Hardware) and each.nuts and 0 <= each.group < len(circles)]
    open_joints = [each for each in joints if each.gasket is None and not each.gasket_stated]
    for each in open_joints if with_gasket else ():
        letter = _letter(flange, each)
        where = f" for {letter}" if letter else ""
        yield f"No gasket{where} is in the bill: nothing says that the joint is sealed."


def _is_plain(drilling: Drilling) -> bool:
    """Whether a bolt is named for a hole that is no more than drilled."""
    goes_through = drilling.bolt.strip() and isinstance(drilling.kind, Drilled) and not drilling.is_lifting
    return bool(goes_through) and drilling.joint.fastener is not Fastener.NONE


def _left_out(letter: str, found: LeftOut) -> str:
    return f"{f'Bolts {letter}'.strip()} are not in the bill: {found.name} {_WHY[found.why]}."


def _letter(flange: Flange, found: Hardware | LeftOut) -> str:
    return flange.group_letter(found.group) if found.group >= 0 else "X"


def _stock(found: Hardware) -> StockKind:
    match found.kind:
        case FastenerKind.DOWEL:
            return StockKind.PIN
        case FastenerKind.STUD:
            return StockKind.STUD
        case _:
            return StockKind.BOLT if found.nuts else StockKind.SCREW


def _summand_text(each: Summand, found: Hardware) -> str:
    """One part of a length: ``plate 22.00``, ``2 washers 6.00``, ``mate 22.00 (assumed ...)``."""
    what = each.what.value
    if each.what in (Through.WASHERS, Through.NUTS, Through.THREADS):
        what = counted(each.count, "thread" if each.what is Through.THREADS else what)
    said = f"{what} {decimal_text(each.length, found.unit)}"
    if not each.assumed:
        return said
    taken = {
        Through.MATE: "assumed as thick as this plate: measure the mate",
        Through.GASKET: "usual: measure it",
    }
    return f"{said} ({taken.get(each.what, 'assumed: measure the mate')})"


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
    return f"Mass from the true contour, {density[0]:.0f} kg/m³ ({density[1]}); {gravity_text(solid, lengths)}."


def gravity_text(solid: Body, lengths: Lengths) -> str:
    """Where the center of gravity is, seen on the named face."""
    x, y = solid.center.x, solid.center.y
    if abs(x) < 0.05 and abs(y) < 0.05:
        return "center of gravity in the middle"
    return f"center of gravity at X {lengths.decimal(x)}, Y {lengths.decimal(y)} {lengths.unit.value} from the middle"


def _density(flange: Flange) -> tuple[float, str] | None:
    if flange.density is not None:
        return flange.density, "as stated"
    found = density_of(flange.material) if flange.material else None
    return (found.kg_per_m3, f"{found.material}, {found.confidence.words}") if found else None


def _plate_rows(flange: Flange, lengths: Lengths) -> Iterator[BillRow]:
    """The plate, or every part of a plate made in parts."""
    pieces = flange.pieces()
    box, is_gasket = extent(pieces[0]), is_gasket_material(flange.material)
    thick = f"{lengths.by}{lengths.size(flange.thickness)}" if flange.thickness is not None else ""
    if isinstance(flange.outline, RoundOutline):
        inside = f" / {lengths.diameter(flange.bore)}" if is_gasket and flange.bore is not None else ""
        size = f"{lengths.diameter(flange.outline.outside_diameter)}{inside}{thick}"
    else:
        size = f"{lengths.size(box.width)}{lengths.by}{lengths.size(box.height)}{thick}"
    whole = "gasket" if is_gasket else "plate"
    what = whole if len(pieces) == 1 else f"part of the {whole}"
    mass = mass_words(flange, lengths.unit) if len(pieces) == 1 else _part_mass(flange, lengths.unit)
    yield BillRow(
        len(pieces),
        f"{what}, {flange.material}" if flange.material else what,
        size,
        mass=mass,
        is_plate=True,
        unit=lengths.unit,
    )


def _part_mass(flange: Flange, unit: Unit) -> str:
    """The mass of one of the equal parts of a plate."""
    solid, density = plate_solid(flange), _density(flange)
    return mass_text(solid.mass(density[0]) / len(flange.pieces()), unit) if solid and density else ""


def _joint_rows(flange: Flange, found: Hardware, lengths: Lengths, with_gasket: bool) -> Iterator[BillRow]:
    """The fasteners of one group, their nuts and washers, and what lies between the two parts."""
    grade = f" {found.grade}" if found.grade else ""
    part = f"{found.kind.value}{grade}{_assumed(found)}"
    unit = None if found.unit is Unit.MM and found.name else found.unit
    yield BillRow(found.count, part, _size_text(found, lengths), _standard(_STANDARDS[found.kind], found), unit=unit)
    if found.nuts:
        yield BillRow(found.nuts, "hexagon nut", found.name, _standard(_NUTS, found), unit=unit)
    if found.washers:
        yield BillRow(found.washers, "washer", f"for {found.name}", _standard(_WASHERS, found), unit=unit)
    ring = gasket_ring(flange, found.group, found.diameter, found.unit) if found.gasket and with_gasket else None
    if ring and found.gasket:
        inside = lengths.diameter(ring.inside) if ring.inside is not None else "bore of the mate"
        usual = "" if found.gasket_stated else ", thickness assumed"
        size = f"{lengths.diameter(ring.outside)} / {inside}{lengths.by}{lengths.size(found.gasket)}"
        yield BillRow(1, f"gasket{usual}", size, unit=lengths.unit)


def _assumed(found: Hardware) -> str:
    """What of the mate is only assumed, to stand in the row."""
    taken = {each.what for each in found.summands if each.assumed} - {Through.GASKET}
    if not taken:
        return ""
    if Through.MATE in taken:
        return ", mate assumed as thick as this plate"
    return ", mate assumed deep enough" if found.kind is FastenerKind.DOWEL else ", mate assumed tapped"


def _standard(pair: tuple[str, str], found: Hardware) -> str:
    return pair[0] if found.unit is Unit.MM else pair[1]


def _size_text(found: Hardware, lengths: Lengths) -> str:
    """Size and length as they are ordered, with the sign of the page: ``M20 × 80``, ``1/2-13 UNC X 2``."""
    length = size_text(found.length, found.unit)
    name = found.name or f"⌀{size_text(found.diameter, found.unit)}"
    return f"{name}{lengths.by}{length}"
