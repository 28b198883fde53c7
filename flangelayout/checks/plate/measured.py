"""A plate with everything the checks measure on it more than once, measured once."""

from collections.abc import Iterator

from msgspec import Struct

from flangelayout.checks.plate.fit import into_opening, over_edge
from flangelayout.flange import Flange, Hole, Opening


class MeasuredPlate(Struct, frozen=True):
    """A plate, its holes, and the metal beside each.

    Attributes:
        flange: The plate.
        holes: Its holes, in order.
        openings: The bore, where there is one, and every other opening.
        edge_metal: From each hole to the edge of the plate in mm, negative where it runs over.
        opening_metal: For each opening, from each hole to it in mm, negative where it runs in.
    """

    flange: Flange
    holes: tuple[Hole, ...]
    openings: tuple[Opening, ...]
    edge_metal: tuple[float, ...]
    opening_metal: tuple[tuple[float, ...], ...]

    def to_edge(self) -> Iterator[tuple[Hole, float]]:
        """Every hole with the metal to the edge."""
        return zip(self.holes, self.edge_metal, strict=True)

    def to_opening(self, opening: int) -> Iterator[tuple[Hole, float]]:
        """Every hole with the metal to an opening."""
        return zip(self.holes, self.opening_metal[opening], strict=True)


def measured(flange: Flange) -> MeasuredPlate:
    """A plate, measured; the cost grows linearly with its holes."""
    holes, openings = flange.holes(), flange.cutouts()
    return MeasuredPlate(
        flange=flange,
        holes=holes,
        openings=openings,
        edge_metal=tuple(-over_edge(flange, hole) for hole in holes),
        opening_metal=tuple(tuple(-into_opening(opening, hole) for hole in holes) for opening in openings),
    )
