"""Parting a drawing into bands and the bands into cells, each no larger than a page shows.

One direction is parted right across (the bands), the other band by band, so that every band has its
own seams, clear of its own holes only, and leaves out what is empty in it. Neighbors share a strip as wide
as the overlap; the seam lies in its middle, or off it, but inside, where a hole stands in the way.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from operator import itemgetter
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.views.template.seams import NEAR, NO_WAY, BandStops, Chain, Seam, SeamSpacing, blocked, following

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from flangelayout.geometry.arrays import FloatArray

    BoolArray = NDArray[np.bool_]

_LEAST_GAP = 20.0
"""An empty stretch shorter than this, in mm, is printed: neighbors then have a seam to join on."""


class Run(Struct, frozen=True):
    """Cells of one band that join each other: where the run begins and ends, and the seams between, rising."""

    low: float
    high: float
    seams: tuple[Seam, ...]

    @property
    def cells(self) -> int:
        """Pages it takes."""
        return len(self.seams) + 1


class Band(Struct, frozen=True):
    """A stretch right across the drawing; a side where it joins another band has that seam."""

    low: float
    high: float
    low_seam: Seam | None
    high_seam: Seam | None
    runs: tuple[Run, ...]

    @property
    def cells(self) -> int:
        """Pages it takes."""
        return sum(run.cells for run in self.runs)


@dataclass(frozen=True, slots=True)
class InkField:
    """What is parted: ink in bins (first axis along, second across) and hole centers as (along, across).

    ``lines`` are places along and places across on which no seam lies, such as the centerlines of the plate;
    ``avoided`` those and the centers along, in rising order, ``stops`` those and the centers in rising order across;
    ``bin`` is the size of a bin along, in mm.
    """

    ink: "BoolArray"
    along: tuple[float, float]
    across: tuple[float, float]
    centers: tuple[tuple[float, float], ...]
    lines: tuple[tuple[float, ...], tuple[float, ...]] = ((), ())
    bin: float = field(init=False)
    avoided: "FloatArray" = field(init=False, repr=False)
    stops: tuple[tuple[float, ...], tuple[float, ...]] = field(init=False, repr=False)
    _stop_places: "FloatArray" = field(init=False, repr=False)
    _packed: "tuple[NDArray[np.uint8], ...]" = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Lay the ink of 1, 2, 4, ... bins along over each other, so that two of these tell that of any band."""
        import numpy as np

        packed = [np.packbits(self.ink, axis=1, bitorder="little")]
        while (step := 1 << (len(packed) - 1)) < len(packed[-1]):
            packed.append(packed[-1][:-step] | packed[-1][step:])
        object.__setattr__(self, "_packed", tuple(packed))
        object.__setattr__(self, "bin", (self.along[1] - self.along[0]) / len(self.ink))
        places, lines = np.array(self.centers).reshape(-1, 2), ((math.nan, across) for across in self.lines[1])
        object.__setattr__(self, "avoided", np.sort(np.append(places[:, 0], self.lines[0])))
        stops = sorted((*self.centers, *lines), key=itemgetter(1))
        object.__setattr__(self, "stops", tuple(zip(*stops, strict=True)) or ((), ()))
        object.__setattr__(self, "_stop_places", np.array(self.stops))

    def stretches(self, low: float, high: float) -> list[tuple[float, float]]:
        """Where a band has ink, across, with short gaps closed."""
        first = max(0, math.floor((low - self.along[0]) / self.bin + NEAR))
        last = min(len(self.ink), math.ceil((high - self.along[0]) / self.bin - NEAR))
        if last <= first:
            return []
        rank = (last - first).bit_length() - 1
        held = self._packed[rank]
        begin, size = self.across[0], (self.across[1] - self.across[0]) / self.ink.shape[1]
        inked = int.from_bytes((held[first] | held[last - (1 << rank)]).tobytes(), "little")
        return [(begin + start * size, begin + end * size) for start, end in _runs_of(inked, int(_LEAST_GAP / size))]

    def stops_of(self, low: float, high: float) -> "FloatArray":
        """Where, across, the hole centers of a band and the lines stand, in rising order."""
        along, across = self._stop_places
        held: FloatArray = across[~((along < low) | (along > high))]
        return held


def part(ink: InkField, along: SeamSpacing, across: SeamSpacing, most: int = NO_WAY) -> tuple[Band, ...] | None:
    """The bands with the fewest cells that seams right across allow, evenly wide where that costs none.

    For n = 1, 2, ... cells the bands that reach farthest are found from those of fewer cells, until the
    end is reached. Two ways of spending n cells are compared by seam and by strip; only where each is
    ahead in one of the two are both kept.

    Args:
        ink: What is parted; it has ink all the way along, as a plate has.
        along: What pages allow in the direction in which bands follow each other.
        across: Likewise in the direction of a band.
        most: Cells that are worth it; more are not looked for.

    Returns:
        The bands in rising order; ``None`` where the clearance cannot be kept with so many cells.
    """
    return _Parting(ink, along, across, most).bands()


class _Parting:
    def __init__(self, ink: InkField, along: SeamSpacing, across: SeamSpacing, most: int) -> None:
        self.ink, self.across, self.most = ink, across, most
        self.chain = Chain(ink.along, along, blocked(ink.avoided, along.clearance), ink.bin)
        self.known: dict[tuple[float, float], int] = {}

    def bands(self) -> tuple[Band, ...] | None:
        pages = self._pages()
        if pages is None:
            return None
        seams = self.chain.evened(pages, self._price)
        edges = [self.ink.along[0], *(seam.at for seam in seams), self.ink.along[1]]
        joints = [None, *seams, None]
        return tuple(
            Band(low, high, joints[rank], joints[rank + 1], self._runs(low, high))
            for rank, (low, high) in enumerate(pairwise(edges))
        )

    def _pages(self) -> list[int] | None:
        """Pages of each band from the first on, in the cheapest parting.

        What has no band left that takes more pages is let go, and a new seam is held against the farthest ones only.
        """
        going: list[tuple[Seam, tuple[int, ...], int]] = [(self.chain.first, (), 0)]
        farthest = [self.chain.first]
        reaches: dict[Seam, tuple[Seam, int]] = {}
        for count in range(1, self.most + 1):
            found: list[tuple[Seam, tuple[int, ...]]] = []
            for seam, spent, used in going:
                if seam not in reaches:
                    reaches[seam] = self._reach(seam)
                end, pages = reaches[seam]
                if count - used < pages:
                    end = self.chain.onward(seam, count - used, self._price) or seam
                if count - used <= pages:
                    found.append((end, (*spent, count - used)))
            going = [each for each in going if count - each[2] < reaches[each[0]][1]]
            for seam, spent in found:
                if seam == self.chain.last:
                    return list(spent)
                left = math.ceil((self.chain.last.middle - seam.middle) / self.chain.spacing.step - NEAR)
                if count + left <= self.most and not any(_reaches(other, seam) for other in farthest):
                    going.append((seam, spent, count))
                    farthest = [seam, *(other for other in farthest if not _reaches(seam, other))]
            if not going:
                return None
        return None

    def _reach(self, seam: Seam) -> tuple[Seam, int]:
        """The last seam that any number of pages reaches, and how many do; 0 where no seam is possible."""
        farthest = self.chain.onward(seam, NO_WAY - 1, self._price)
        return (seam, 0) if farthest is None else (farthest, self._price(seam.at, farthest.at))

    def _price(self, low: float, high: float) -> int:
        """Pages of the band between two seams; past all counting where the clearance cannot be kept."""
        key = low, high
        if key not in self.known:
            pieces = self._pieces(low, high)
            self.known[key] = NO_WAY if pieces is None else sum(count for _, count in pieces)
        return self.known[key]

    def _runs(self, low: float, high: float) -> tuple[Run, ...]:
        """The runs of a band that is known to be possible."""
        runs = []
        for ends, count in self._pieces(low, high) or ():
            chain = self._chain_across(ends, low, high)
            runs.append(Run(*ends, tuple(chain.evened([1] * count, _single))))
        return tuple(runs)

    def _chain_across(self, ends: tuple[float, float], low: float, high: float) -> Chain:
        """Seams across a band, off the holes that it holds."""
        free_of = blocked(self.ink.stops_of(low, high), self.across.clearance)
        return Chain(ends, self.across, free_of, self.ink.bin)

    def _pieces(self, low: float, high: float) -> list[tuple[tuple[float, float], int]] | None:
        """The ends and the pages of each run of a band; ``None`` where the clearance cannot be kept.

        A run ends where a window shows all up to a gap and the next one reaches farther from beyond the gap
        than with a strip in common.
        """
        stretches = self.ink.stretches(low, high)
        if not stretches:
            return []
        window, half = self.across.window, self.across.overlap / 2
        begin, final = stretches[0][0], stretches[-1][1]
        if final - begin <= window:
            return [((begin, final), 1)]
        last_free = BandStops(*self.ink.stops, low, high, self.across.clearance).last_free
        seam, count, shown = Seam(begin, begin + half), 1, 0
        pieces: list[tuple[tuple[float, float], int]] = []
        while True:
            reach = seam.middle - half + window + NEAR
            while shown < len(stretches) and stretches[shown][1] <= reach:
                shown += 1
            if shown == len(stretches):
                return [*pieces, ((begin, final), count)]
            onward = following(seam, self.across, last_free)
            start = stretches[shown][0]
            if start > seam.at and (onward is None or onward.middle < start + half):
                pieces.append(((begin, stretches[shown - 1][1]), count))
                begin, seam, count = start, Seam(start, start + half), 1
            elif onward is None:
                return None
            else:
                seam, count = onward, count + 1


def _runs_of(bits: int, gap: int) -> Iterator[tuple[int, int]]:
    """Where runs of set bits begin and end, rising; gaps of up to so many clear bits are run over."""
    reach = 0
    while reach < gap:
        step = min(reach + 1, gap - reach)
        bits, reach = bits | bits << step, reach + step
    end = 0
    while bits:
        start = end + (bits & -bits).bit_length() - 1
        bits >>= start - end
        end = start + (~bits & (bits + 1)).bit_length() - 1
        bits >>= end - start
        yield start, end - gap


def _reaches(one: Seam, other: Seam) -> bool:
    """Whether a seam is as far on as another, by its cut and by its strip."""
    return one.at >= other.at and one.middle >= other.middle


def _single(_low: float, _high: float) -> int:
    return 1
