"""How well a published figure is vouched for, and what carries a published pattern, how exactly it is drilled."""

from enum import Enum

from msgspec import Struct

from flangelayout.facts import Unit


class Confidence(Enum):
    """How well the drilling of a row is vouched for."""

    TWO_SOURCES = "two-sources"
    ONE_SOURCE = "one-source"
    MEMORY = "memory"

    @property
    def words(self) -> str:
        """What a person is told beside a row of this confidence."""
        match self:
            case Confidence.TWO_SOURCES:
                return "two sources agree"
            case Confidence.ONE_SOURCE:
                return "one source only"
            case Confidence.MEMORY:
                return "not verified: compare before cutting"

    @property
    def short(self) -> str:
        """The same where a sentence or a table has no room for more, and stands under what says to check."""
        return "not verified: compare" if self is Confidence.MEMORY else self.words


class DrillingTolerance(Struct, frozen=True):
    """The drilling tolerance that a standard publishes, plus and minus in mm.

    Attributes:
        circle: Of the bolt circle.
        chord: Of the centers of adjacent holes; ``None`` where the standard has none.
        standard: Which one publishes it.
        confidence: How well it is vouched for.
        inch_circle: What its inch figure for the bolt circle allows; ``None`` where it has no inch figures.
        inch_chord: Likewise of adjacent holes.
    """

    circle: float
    chord: float | None
    standard: str
    confidence: Confidence
    inch_circle: float | None = None
    inch_chord: float | None = None

    def published_in(self, unit: Unit) -> "DrillingTolerance":
        """Its figures as the standard has them in that unit; those in mm where it has no others."""
        if unit is Unit.MM or self.inch_circle is None:
            return self
        return DrillingTolerance(self.inch_circle, self.inch_chord, self.standard, self.confidence)


class Family(Enum):
    """What carries a pattern; the value is how a table's header and a person write it."""

    PIPE_FLANGE = "pipe flange"
    MOTOR_FLANGE = "motor flange"
    VACUUM_FLANGE = "vacuum flange"
    VALVE_ACTUATOR = "valve actuator"
    HYDRAULIC_PORT = "hydraulic port"
    ROBOT_FLANGE = "robot flange"
    FLYWHEEL_HOUSING = "flywheel housing"
    FLYWHEEL = "flywheel"
    PUMP_MOUNT = "pump mount"
    CHAINRING = "chainring"
    WHEEL_HUB = "wheel hub"
    SAW_BLADE = "saw blade"
    TANK_TRUCK_FLANGE = "tank-truck flange"
    HYGIENIC_FLANGE = "hygienic flange"
    FAN_FLANGE = "fan flange"
    WELLHEAD_FLANGE = "wellhead flange"
    SHOP_PATTERN = "shop pattern"
    PAST_JOB = "past job"
