"""What a shop reckons with: minutes and money, every one of them its own; nothing here has a usual value."""

from enum import Enum
from typing import assert_never

from msgspec import Struct

from flangelayout.shopwork.operations import ShopStep, WorkPlace


class RateKey(Enum):
    """A rate, by its key in the shop file."""

    PLATE = "plate_per_kg"
    CUTTING_SPEED = "cutting_speed"
    PIERCE = "pierce"
    SCRIBING_SPEED = "scribing_speed"
    SET_UP = "set_up"
    DRILL = "drill"
    SLOT = "slot"
    TAP = "tap"
    SEAT = "seat"
    REAM = "ream"
    TURN = "turn"
    DEBURR = "deburr"
    MARK = "mark"
    INSPECT = "inspect"
    TABLE_HOUR = "table_hour"
    MACHINE_HOUR = "machine_hour"
    LATHE_HOUR = "lathe_hour"
    BENCH_HOUR = "bench_hour"


class Rates(Struct, frozen=True):
    """The rates of a shop.

    Attributes:
        values: What it has stated: mm per minute for speeds, minutes for what is done once or to each hole, money
            for an hour and for a kilogram of plate.
        money: What its money is called; empty where it says nothing.
        stated: When or by whom they were stated, as written; empty where nothing is said.
    """

    values: tuple[tuple[RateKey, float], ...] = ()
    money: str = ""
    stated: str = ""

    def value(self, key: RateKey) -> float | None:
        """One of them; ``None`` where the shop has not stated it."""
        return dict(self.values).get(key)


def minutes_key(step: ShopStep) -> RateKey | None:
    """The rate that says how long a step takes; ``None`` for cutting, which is reckoned from its length."""
    match step:
        case ShopStep.CUT:
            return None
        case _:
            return RateKey[step.name]


def hour_key(place: WorkPlace) -> RateKey:
    """The rate of an hour at a place."""
    match place:
        case WorkPlace.TABLE:
            return RateKey.TABLE_HOUR
        case WorkPlace.MACHINE:
            return RateKey.MACHINE_HOUR
        case WorkPlace.LATHE:
            return RateKey.LATHE_HOUR
        case WorkPlace.BENCH:
            return RateKey.BENCH_HOUR
        case _:
            assert_never(place)
