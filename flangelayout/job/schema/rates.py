"""``[shop.rates]`` of the shop file: what a shop reckons with. Nothing here has a usual value."""

from typing import Annotated

from pydantic import Field

from flangelayout.job.schema.values import Positive, SchemaTable, Text

Minutes = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]
Seconds = Annotated[float, Field(ge=0, le=3_600, allow_inf_nan=False)]
Money = Annotated[float, Field(ge=0, le=1_000_000_000, allow_inf_nan=False)]


class RatesTable(SchemaTable):
    """``[shop.rates]``: lengths a minute, minutes and seconds for each, money for an hour and a kilogram."""

    money: Text = ""
    stated: Text = ""
    plate_per_kg: Money | None = None
    cutting_speed: Positive | None = None
    pierce: Seconds | None = None
    scribing_speed: Positive | None = None
    set_up: Minutes | None = None
    drill: Minutes | None = None
    slot: Minutes | None = None
    tap: Minutes | None = None
    seat: Minutes | None = None
    ream: Minutes | None = None
    turn: Minutes | None = None
    deburr: Minutes | None = None
    mark: Minutes | None = None
    inspect: Minutes | None = None
    table_hour: Money | None = None
    machine_hour: Money | None = None
    lathe_hour: Money | None = None
    bench_hour: Money | None = None


class ShopTable(SchemaTable):
    """``[shop]`` of the shop file: what concerns the shop and no drawing."""

    rates: RatesTable = Field(default_factory=RatesTable.model_construct)
