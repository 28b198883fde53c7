"""A chain of seams along one direction: how far each can be from the last, and where all stand evenly."""

import bisect
import math
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

NEAR = 1e-9
NO_WAY = 10**9
_LEAST_FLAP = 3.2
"""Least part in mm of a shared strip on either side of its seam: room for glue, and for half a join mark."""


class Seam(Struct, frozen=True):
    """Where two neighbors meet.

    Attributes:
        at: Where they are trimmed.
        middle: The middle of the strip that both show.
    """

    at: float
    middle: float


class SeamSpacing(Struct, frozen=True):
    """What pages allow along a chain, in mm.

    Attributes:
        window: What one page shows.
        overlap: Strip that neighbors share, less than ``window``.
        clearance: Least distance from a seam to a place to avoid.
    """

    window: float
    overlap: float
    clearance: float

    @property
    def step(self) -> float:
        """From the middle of one strip to that of the next, at most."""
        return self.window - self.overlap

    @property
    def slack(self) -> float:
        """How far a seam may lie off the middle of its strip."""
        return max(self.overlap / 2 - _LEAST_FLAP, 0.0)


class Blocked(Struct, frozen=True):
    """Where no seam may lie: stretches that do not meet, in rising order.

    Attributes:
        lows: Where each begins, itself free.
        highs: Where each ends, itself free.
    """

    lows: tuple[float, ...]
    highs: tuple[float, ...]

    def last_free(self, most: float) -> float:
        """The last free place up to one."""
        index = self._block(most)
        return most if index is None else self.lows[index]

    def first_free(self, least: float) -> float:
        """The first free place from one on."""
        index = self._block(least)
        return least if index is None else self.highs[index]

    def _block(self, place: float) -> int | None:
        """The blocked stretch that a place is in, if any."""
        index = bisect.bisect_right(self.lows, place - NEAR) - 1
        return index if index >= 0 and place < self.highs[index] - NEAR else None


class BandStops(Struct, frozen=True):
    """What seams across one band keep clear of, as :class:`Blocked`, looked for where one is asked for: few are.

    Attributes:
        along: Where the stops of all bands are along; no number for one of every band.
        across: Where they are across, rising.
        low: Where the band begins along.
        high: Where it ends.
        clear: Least distance from a seam to a stop of the band.
    """

    along: Sequence[float]
    across: Sequence[float]
    low: float
    high: float
    clear: float

    def last_free(self, most: float) -> float:
        """The last free place up to one; all are where no distance is kept."""
        if not self.clear:
            return most
        wide = 2 * self.clear - NEAR
        index = self._begun(most - NEAR)
        last = next(self._downward(index, most - self.clear - 1.0), None)
        if last is None:
            return most
        if most >= last + self.clear - NEAR and next(self._upward(index, last + wide), math.inf) - last >= wide:
            return most
        for stop in self._downward(index, -math.inf):
            if last - stop >= wide:
                break
            last = stop
        return last - self.clear

    def _begun(self, place: float) -> int:
        """How many stops there are whose room begins up to a place."""
        index = bisect.bisect_right(self.across, place + self.clear)
        while index < len(self.across) and self.across[index] - self.clear <= place:
            index += 1
        while index and self.across[index - 1] - self.clear > place:
            index -= 1
        return index

    def _downward(self, index: int, least: float) -> Iterator[float]:
        """The stops of the band below an index, down to a place."""
        for at in range(index - 1, -1, -1):
            along, across = self.along[at], self.across[at]
            if across < least:
                return
            if not (along < self.low or along > self.high):
                yield across

    def _upward(self, index: int, most: float) -> Iterator[float]:
        """The stops of the band from an index on, up to a place."""
        for at in range(index, len(self.across)):
            along, across = self.along[at], self.across[at]
            if across > most:
                return
            if not (along < self.low or along > self.high):
                yield across


def blocked(avoid: "FloatArray", clear: float) -> Blocked:
    """What lies nearer than ``clear`` mm to places in rising order."""
    if not len(avoid) or not clear:
        return Blocked((), ())
    (apart,) = (avoid[1:] - avoid[:-1] >= 2 * clear - NEAR).nonzero()
    lows, highs = (avoid[0], *avoid[apart + 1].tolist()), (*avoid[apart].tolist(), avoid[-1])
    return Blocked(tuple(float(low) - clear for low in lows), tuple(float(high) + clear for high in highs))


Price = Callable[[float, float], int]
"""Pages for what lies between two seams: never more for a shorter piece of the same stretch."""


class Chain:
    """Seams between two ends.

    A seam farther on never leaves more behind it to print, and its strip can lie farther on; so of all
    seams that a number of pages can pay for, the last one, with its strip as far on as it goes, is as
    good as any.
    """

    def __init__(self, ends: tuple[float, float], spacing: SeamSpacing, free_of: Blocked, grain: float) -> None:
        """Note the ends, where no seam may lie, and the steps in which prices change."""
        half = spacing.overlap / 2
        self.spacing, self.free_of, self.grain = spacing, free_of, grain
        self.first = Seam(ends[0], ends[0] + half)
        self.last = Seam(ends[1], ends[1] - half)

    def onward(self, seam: Seam, pages: int, price: Price) -> Seam | None:
        """The last seam after ``seam`` that so many pages reach; ``None`` where there is none."""
        most = seam.middle + self.spacing.step
        if most >= self.last.middle - NEAR and price(seam.at, self.last.at) <= pages:
            return self.last
        at = self.free_of.last_free(min(most + self.spacing.slack, self.last.at))
        if at > seam.at + NEAR and price(seam.at, at) > pages:
            edges = self._edges(seam.at, at)
            at = self.free_of.last_free(_last_good(edges, lambda edge: price(seam.at, edge) <= pages, seam.at))
        return Seam(at, min(most, at + self.spacing.slack)) if at > seam.at + NEAR else None

    def _backward(self, seam: Seam, pages: int, price: Price) -> Seam:
        """The first seam from which so many pages reach ``seam``."""
        least = seam.middle - self.spacing.step
        at = self.free_of.first_free(max(least - self.spacing.slack, self.first.at))
        if price(at, seam.at) > pages:
            edges = self._edges(at, seam.at)[::-1]
            at = self.free_of.first_free(_last_good(edges, lambda edge: price(edge, seam.at) <= pages, seam.at))
        return Seam(at, max(least, at - self.spacing.slack))

    def evened(self, pages: Sequence[int], price: Price) -> list[Seam]:
        """The seams between pieces of so many pages each, as near to an even division as they let each other.

        The pages must do when every seam is the last that its pages reach.
        """
        earliest = [self.last]
        for count in reversed(pages[1:]):
            earliest.append(self._backward(earliest[-1], count, price))
        earliest.reverse()
        seam, seams = self.first, []
        share = (self.last.middle - self.first.middle) / len(pages)
        for rank, count in enumerate(pages[:-1]):
            least = earliest[rank]
            most = self.onward(seam, count, price) or least
            at = self._nearest_free(self.first.middle + share * (rank + 1), least.at, max(least.at, most.at))
            low = max(least.middle, at - self.spacing.slack)
            high = min(seam.middle + self.spacing.step, at + self.spacing.slack)
            if low > high + NEAR or price(seam.at, at) > count:
                return self._farthest(pages, price)
            seam = Seam(at, min(max(at, low), high))
            seams.append(seam)
        return seams if price(seam.at, self.last.at) <= pages[-1] else self._farthest(pages, price)

    def _farthest(self, pages: Sequence[int], price: Price) -> list[Seam]:
        """The seams between pieces of so many pages each, every one as far on as it can be."""
        seam, seams = self.first, []
        for count in pages[:-1]:
            seam = self.onward(seam, count, price) or seam
            seams.append(seam)
        return seams

    def _edges(self, low: float, high: float) -> list[float]:
        """The places between two, in rising order, at which a price can change."""
        begin = self.first.at
        first, last = math.floor((low - begin) / self.grain + NEAR) + 1, math.ceil((high - begin) / self.grain - NEAR)
        return [begin + step * self.grain for step in range(first, last)]

    def _nearest_free(self, ideal: float, least: float, most: float) -> float:
        wanted = min(max(ideal, least), most)
        choices = (self.free_of.last_free(wanted), self.free_of.first_free(wanted))
        inside = [place for place in choices if least - NEAR <= place <= most + NEAR]
        return min(inside, key=lambda place: abs(place - ideal), default=least)


def following(seam: Seam, spacing: SeamSpacing, last_free: Callable[[float], float]) -> Seam | None:
    """The last seam that a page from ``seam`` on reaches, whatever lies between; ``None`` where there is none."""
    most, slack = seam.middle + spacing.step, spacing.slack
    at = last_free(most + slack)
    return Seam(at, min(most, at + slack)) if at > seam.at + NEAR else None


def _last_good(places: Sequence[float], good: Callable[[float], bool], nothing: float) -> float:
    """The last of some places that is good, where all good ones come first; ``nothing`` if none is."""
    index = bisect.bisect_left(places, True, key=lambda place: not good(place))
    return places[index - 1] if index else nothing
