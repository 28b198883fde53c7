"""What cutting a plate comes to, for a quotation: length of cut, pierces, marks, mass."""

from msgspec import Struct

from flangelayout.drawing.explode import explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Item
from flangelayout.flange import Flange
from flangelayout.flange.mass import Body, MassNeed, mass_needs, plate_solid
from flangelayout.geometry.pieces import length_of
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, extent
from flangelayout.units import Unit, counted, decimal_text, mass_text
from flangelayout.views.words.shopwork import mass_unknown

_CUT = (Layer.CUT_HOLES, Layer.CUT_BORE, Layer.CUT_OUTLINE)


class CutEstimate(Struct, frozen=True):
    """What one part comes to; lengths in mm, masses in kg.

    Attributes:
        cut_length: Of every cut, leads included.
        pierces: One for each way of the cutter.
        mark_length: Of everything scribed.
        mass: Of the finished part, holes taken off; ``None`` where thickness or density is unknown.
        blank_mass: Of the upright rectangle it is cut from, or of those of all its pieces.
        density_source: What the masses rest on, in words; empty where there are none.
        needs: What is missing for the masses.
        pieces: In how many it is made.
    """

    cut_length: float
    pierces: int
    mark_length: float
    mass: float | None = None
    blank_mass: float | None = None
    density_source: str = ""
    needs: tuple[MassNeed, ...] = ()
    pieces: int = 1


def estimate_cut(drawing: Drawing, flange: Flange, density: float | None, density_source: str = "") -> CutEstimate:
    """Lengths and pierces of a finished cut drawing, and the mass of the plate.

    Args:
        drawing: What is cut, options and all.
        flange: What it is made from; the finished part has every hole at its nominal size.
        density: In kg per cubic meter, ``None`` where it is not known.
        density_source: Where that is from.
    """
    marks = [item for item in drawing.items if item.layer is Layer.CUT_MARKS]
    lengths = (*cut_work(drawing), _length(marks))
    solid, boxes = plate_solid(flange), [extent(piece) for piece in flange.pieces()]
    if density is None or solid is None or flange.thickness is None:
        return CutEstimate(*lengths, needs=mass_needs(flange, density), pieces=len(boxes))
    blank = Body(sum(box.width * box.height for box in boxes) * flange.thickness, flange.box().center)
    return CutEstimate(*lengths, solid.mass(density), blank.mass(density), density_source, pieces=len(boxes))


def cut_work(drawing: Drawing) -> tuple[float, int]:
    """Length in mm of every cut of a finished cut drawing, leads included, and a pierce for each way of the cutter."""
    cuts = [item for item in drawing.items if item.layer in _CUT]
    return _length(cuts), sum(len(explode(item.what, 1.0)) for item in cuts)


def cut_work_text(length: float, pierces: int, unit: Unit) -> str:
    """Both in words: ``cut 1891 mm, 10 pierces``."""
    return f"cut {decimal_text(length, unit, 0 if unit is Unit.MM else 1)} {unit.value}, {counted(pierces, 'pierce')}"


def estimate_line(estimate: CutEstimate, unit: Unit) -> str:
    """The estimate in one line, with what it is of."""
    parts = [cut_work_text(estimate.cut_length, estimate.pierces, unit)]
    if estimate.mark_length:
        parts.append(f"marks {decimal_text(estimate.mark_length, unit, 0 if unit is Unit.MM else 1)} {unit.value}")
    if estimate.mass is not None and estimate.blank_mass is not None:
        part, blank = (mass_text(mass, unit) for mass in (estimate.mass, estimate.blank_mass))
        of = f"part {part} of a blank of {blank}" if estimate.pieces == 1 else f"together {part} of {blank} of blanks"
        parts.append(f"{of} ({estimate.density_source})")
    else:
        parts.append(mass_unknown(estimate.needs))
    of_what = "one part" if estimate.pieces == 1 else f"the {estimate.pieces} parts of one"
    return f"estimate for {of_what}: {', '.join(parts)}"


def _length(items: list[Item]) -> float:
    shapes = [primitive for item in items for primitive in explode(item.what, 1.0)]
    return sum(length_of(shape) for shape in shapes if isinstance(shape, Line | Arc | Circle | Contour))
