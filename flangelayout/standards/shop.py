"""What a shop looks up beside drilling tables: index plates, smallest cut holes, densities."""

import re
from functools import cache

from msgspec import Struct

from flangelayout.flange.cutting import CutProcess, SmallestHole
from flangelayout.provenance import Confidence
from flangelayout.standards.rows import shipped


class IndexPlate(Struct, frozen=True):
    """One side of a plate of a dividing head: its name and how many holes each of its circles has."""

    name: str
    hole_circles: tuple[int, ...]


class DividingHead(Struct, frozen=True):
    """A head that turns the work by a worm.

    Attributes:
        name: What the shop calls it.
        ratio: Turns of the crank for one turn of the work.
        plates: Its index plates.
    """

    name: str
    ratio: int
    plates: tuple[IndexPlate, ...]


class Density(Struct, frozen=True):
    """Density in kg per cubic meter, the words it was found by, and where it is from.

    ``seals`` says that the material is one that gaskets are made of.
    """

    material: str
    kg_per_m3: float
    confidence: Confidence
    source: str
    seals: bool = False


@cache
def dividing_heads() -> tuple[DividingHead, ...]:
    """The heads whose index plates are published, in the order of the table."""
    plates: dict[tuple[str, int], list[IndexPlate]] = {}
    for row in _rows("dividing_plates.csv"):
        circles = tuple(int(count) for count in row["hole_circles"].split())
        plates.setdefault((row["head"], int(row["ratio"])), []).append(IndexPlate(row["plate"], circles))
    return tuple(DividingHead(name, ratio, tuple(found)) for (name, ratio), found in plates.items())


@cache
def smallest_hole(process: CutProcess) -> SmallestHole:
    """The least hole a process cuts well, with where the figure is from."""
    row = next(row for row in _rows("cut_holes.csv") if row["process"] == process.value)
    origin = f"{Confidence(row['confidence']).words}: {row['sources']}"
    return SmallestHole(float(row["per_thickness"]), float(row["at_least_mm"]), origin)


@cache
def density_of(material: str) -> Density | None:
    """The density of a material as a person writes it; ``None`` where no word of the table is in it.

    The longest word found decides: ``"316L stainless plate"`` is 316L, not any stainless.
    """
    text = material.lower()
    found = [(word.strip(), row) for row in _rows("densities.csv") for word in row["words"].split(";")]
    fits = [(word, row) for word, row in found if re.search(rf"(?<![\w.]){re.escape(word)}(?![\w.]\w)(?!\w)", text)]
    if not fits:
        return None
    word, row = max(fits, key=lambda pair: (pair[0][0].isdigit(), len(pair[0])))
    return Density(word, float(row["kg_per_m3"]), Confidence(row["confidence"]), row["sources"], row["seals"] == "yes")


def is_gasket_material(material: str) -> bool:
    """Whether gaskets are made of a material: such a part is bolted up with its joint and has no bolts of its own."""
    found = density_of(material) if material else None
    return found is not None and found.seals


def _rows(name: str) -> tuple[dict[str, str], ...]:
    return tuple(row.cells for row in shipped("shop", name).rows)
