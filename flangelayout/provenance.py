"""How well a published figure is vouched for, and what carries a published pattern; imports nothing of the package."""

from enum import Enum


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
                return "from memory, check before cutting"


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
