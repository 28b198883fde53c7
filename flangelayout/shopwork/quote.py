"""What a part takes and costs: a line for the plate and one for each operation, by the rates of the shop.

Every figure is rounded once, as it is shown, and what follows is reckoned with it: a page adds up by what stands on it.

Where a rate is not stated the line says so by an empty place; a total counts only what is known, and says how
many lines it leaves out.
"""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.flange.mass import MassNeed
from flangelayout.shopwork.operations import Operation, ShopStep, count_of, place_of, step_of
from flangelayout.shopwork.rates import RateKey, Rates, hour_key, minutes_key

_SECONDS = 60.0
_HALF = 0.5 + 1e-9
"""Of a step, so that what is half a step for people (2.675) is not less in binary."""


class PlateWork(Struct, frozen=True):
    """What one part comes to, lengths in mm and masses in kg.

    Attributes:
        cut_length: Of every cut, leads included.
        pierces: One for each way of the cutter.
        mark_length: Of everything scribed.
        mass: Of the finished part; ``None`` where thickness or density is unknown.
        blank_mass: Of the upright rectangle it is cut from; of a nested part, of its share of the plate that is used.
        is_nested: Whether it is laid out on stock plate with others.
        needs: What is missing for the masses.
        pieces: In how many parts one of it is made; lengths and masses are of all of them.
    """

    cut_length: float
    pierces: int
    mark_length: float
    mass: float | None
    blank_mass: float | None
    is_nested: bool = False
    needs: tuple[MassNeed, ...] = ()
    pieces: int = 1

    @property
    def paid_mass(self) -> float | None:
        """Kilograms of plate that are paid for: to 10 g, of less than a kilogram to three figures."""
        return None if self.blank_mass is None else rounded(self.blank_mass, paid_places(self.blank_mass))

    @property
    def used_share(self) -> float | None:
        """What of the blank becomes the part, 0 to 1."""
        return None if self.mass is None or not self.blank_mass else self.mass / self.blank_mass


class QuoteLine(Struct, frozen=True):
    """One line: the plate where ``operation`` is ``None``.

    Attributes:
        operation: What is done.
        minutes: It takes, to a hundredth; of what is done once a job, for the job. ``None`` where a rate is missing,
            0 for the plate.
        cost: In the shop's money, to a hundredth, likewise; ``None`` where a rate is missing.
        rates: What it was reckoned with.
        missing: Rates that would be needed for what is ``None``.
        once: Whether it is done once a job, however many parts there are.
    """

    operation: Operation | None
    minutes: float | None
    cost: float | None
    rates: tuple[RateKey, ...] = ()
    missing: tuple[RateKey, ...] = ()
    once: bool = False


class Quote(Struct, frozen=True):
    """What a job takes.

    Attributes:
        quantity: Parts of it.
        work: What one part comes to.
        lines: The plate, then every operation in order; of one part, or of the job where it is done once.
    """

    quantity: int
    work: PlateWork
    lines: tuple[QuoteLine, ...]

    @property
    def minutes(self) -> float:
        """Minutes of the whole job, as far as they are known."""
        return math.fsum(self._times(line) * (line.minutes or 0.0) for line in self.lines)

    @property
    def cost(self) -> float:
        """Money for the whole job, as far as it is known."""
        return math.fsum(self._times(line) * (line.cost or 0.0) for line in self.lines)

    @property
    def each(self) -> float:
        """Money for one part where all are made together, as far as it is known."""
        return math.fsum(self.each_of(line) or 0.0 for line in self.lines)

    @property
    def one_off(self) -> float:
        """Money for one part where only one is made, as far as it is known."""
        return math.fsum(line.cost or 0.0 for line in self.lines)

    @property
    def has_time(self) -> bool:
        """Whether the time of anything is known."""
        return any(line.minutes is not None for line in self.lines if line.operation)

    @property
    def has_cost(self) -> bool:
        """Whether the cost of anything is known."""
        return any(line.cost is not None for line in self.lines)

    @property
    def without_time(self) -> int:
        """Lines whose time is not known."""
        return sum(line.minutes is None for line in self.lines)

    @property
    def without_cost(self) -> int:
        """Lines whose cost is not known."""
        return sum(line.cost is None for line in self.lines)

    def each_of(self, line: QuoteLine) -> float | None:
        """Money that one of the parts bears of a line, to a hundredth; ``None`` where it is not known."""
        return None if line.cost is None else rounded(line.cost / (self.quantity if line.once else 1))

    def _times(self, line: QuoteLine) -> int:
        return 1 if line.once else self.quantity


def rounded(value: float, places: int = 2) -> float:
    """What is not below 0 to so many decimals, a half upward."""
    step: float = 10**places
    return math.floor(value * step + _HALF) / step


def paid_places(kilograms: float) -> int:
    """Decimals of a mass that is paid for."""
    return max(2, 2 - math.floor(math.log10(kilograms))) if kilograms > 0 else 2


def quote(made: Sequence[Operation], work: PlateWork, quantity: int, rates: Rates) -> Quote:
    """The quote of a job.

    Args:
        made: The operations of one part.
        work: What one part comes to.
        quantity: Parts of it, at least 1.
        rates: Of the shop.
    """
    lines = (_plate(work, rates), *(_line(operation, work, rates) for operation in made))
    return Quote(quantity, work, lines)


def _plate(work: PlateWork, rates: Rates) -> QuoteLine:
    price = rates.value(RateKey.PLATE)
    if price is None:
        return QuoteLine(None, 0.0, None, missing=(RateKey.PLATE,))
    if work.paid_mass is None:
        return QuoteLine(None, 0.0, None)
    return QuoteLine(None, 0.0, rounded(price * work.paid_mass), (RateKey.PLATE,))


def _line(operation: Operation, work: PlateWork, rates: Rates) -> QuoteLine:
    step = step_of(operation)
    needed = tuple(_time_keys(step, work))
    hour = hour_key(place_of(operation))
    missing = tuple(key for key in (*needed, hour) if rates.value(key) is None)
    minutes = None if set(needed) & set(missing) else rounded(_minutes(step, count_of(operation), work, rates))
    price = rates.value(hour)
    cost = None if minutes is None or price is None else rounded(minutes / 60 * price)
    used = tuple(key for key in (*needed, hour) if key not in missing)
    return QuoteLine(operation, minutes, cost, used, missing, once=step is ShopStep.SET_UP)


def _time_keys(step: ShopStep, work: PlateWork) -> Iterator[RateKey]:
    """The rates that a step's time hangs on."""
    key = minutes_key(step)
    if key is not None:
        yield key
        return
    yield RateKey.CUTTING_SPEED
    yield RateKey.PIERCE
    if work.mark_length:
        yield RateKey.SCRIBING_SPEED


def _minutes(step: ShopStep, count: int, work: PlateWork, rates: Rates) -> float:
    """Minutes of a step whose rates are all stated."""
    key = minutes_key(step)
    if key is not None:
        return count * (rates.value(key) or 0.0)
    cutting = work.cut_length / (rates.value(RateKey.CUTTING_SPEED) or math.inf)
    scribing = work.mark_length / (rates.value(RateKey.SCRIBING_SPEED) or math.inf)
    return cutting + scribing + work.pierces * (rates.value(RateKey.PIERCE) or 0.0) / _SECONDS
