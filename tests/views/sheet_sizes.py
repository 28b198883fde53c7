"""The sizes of a sheet as a reader finds them: each dimension with what it says, taken once."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from flangelayout.drawing.model import (
    AngularDimension,
    DiameterDimension,
    Item,
    Leader,
    LinearDimension,
    RadiusDimension,
)
from flangelayout.drawing.references import Feature, FeatureRef, GroupRef
from flangelayout.geometry.shapes import Point
from flangelayout.units import Unit

FINE = 160
_SIZE = re.compile(r"(?P<bracket>\()?(?:(?P<count>\d+)(?: × |X ))?(?P<sign>⌀|R)?(?P<value>[\d.]+)(?P<degrees>°)?")
TIMES = r"(\d+)(?: × |X )"
NUMBER = r"([\d.]+)(?: \([^)]*\))?"
ENDS = {"RIGHT": 0.0, "TOP": 90.0, "LEFT": 180.0, "BOTTOM": 270.0}
_LAYOUT_ONLY = frozenset({Feature.THICKNESS, Feature.BORE_CHAMFER, Feature.RAISED_FACE, Feature.RAISED_FACE_HEIGHT})
"""Sizes that no outline and no hole hangs on."""


class AuditError(Exception):
    """The dimensions do not make the plate."""


@dataclass(frozen=True, slots=True)
class Told:
    """A dimension: what it says, in mm or degrees, and where it stands."""

    feature: Feature
    text: str
    value: float
    is_reference: bool
    what: LinearDimension | DiameterDimension | RadiusDimension | AngularDimension


@dataclass(slots=True)
class Dimensions:
    """What a sheet says, and what of it has been used."""

    unit: Unit
    told: list[Told]
    leaders: dict[object, str]
    notes: str
    used: set[int] = field(default_factory=set)

    def take(self, feature: Feature) -> float:
        """The one size of a feature, used by this.

        Raises:
            AuditError: If there is none, or more than one.
        """
        found = [each for each in self.told if each.feature is feature and not each.is_reference]
        if len(found) != 1:
            raise AuditError(f"{feature.value}: {'missing' if not found else 'given twice'}")
        self.used.add(id(found[0]))
        return found[0].value

    def maybe(self, feature: Feature) -> float | None:
        """As :meth:`take`, ``None`` where there is none."""
        return (
            self.take(feature) if any(each.feature is feature and not each.is_reference for each in self.told) else None
        )

    def say(self, ref: object) -> str:
        """What a leader says of a feature, a group, a hole or an opening."""
        if ref not in self.leaders:
            raise AuditError(f"{ref}: no call-out")
        return self.leaders.pop(ref)

    def call_out(self, group: int, letter: str) -> str:
        """What a leader says of a group of holes, or else a note that begins with its letter."""
        if GroupRef(group) in self.leaders or not letter:
            return self.say(GroupRef(group)).removeprefix(f"{letter}: ")
        found = re.search(rf"\b{letter}: (\d+(?: × |X ).*?)(?:\. |$|(?= [A-Z]: \d))", self.notes)
        if not found:
            raise AuditError(f"{letter}: no call-out")
        return found[1]

    def length(self, text: str) -> float:
        """A written length in mm."""
        return float(text) * (25.4 if self.unit is Unit.IN else 1.0)

    def leftover(self) -> list[str]:
        """What nothing needed."""
        idle = [each for each in self.told if not each.is_reference and id(each) not in self.used]
        idle = [each for each in idle if each.feature not in _LAYOUT_ONLY]
        return [f"{each.feature.value} {each.text}" for each in idle]


def dimensions_of(unit: Unit, items: Iterable[Item], notes: str) -> Dimensions:
    """What dimensions say."""
    found = Dimensions(unit, [], {}, notes)
    for item in items:
        what = item.what
        if isinstance(what, LinearDimension | DiameterDimension | RadiusDimension | AngularDimension):
            if isinstance(item.source, FeatureRef):
                found.told.append(_told(found, item.source.feature, what))
        elif isinstance(what, Leader):
            key: object = item.source.feature if isinstance(item.source, FeatureRef) else item.source
            if key in found.leaders:
                raise AuditError(f"{key}: called out twice")
            found.leaders[key] = re.sub(",,", ",", ", ".join(what.text))
    return found


def _told(
    found: Dimensions, feature: Feature, what: LinearDimension | DiameterDimension | RadiusDimension | AngularDimension
) -> Told:
    match = _SIZE.match(what.text)
    if not match:
        raise AuditError(f"{what.text}: no size")
    value = float(match["value"]) if match["degrees"] else found.length(match["value"])
    drawn = what.measure
    if abs(drawn - value) > (0.0006 if match["degrees"] else 0.013):
        raise AuditError(f"{what.text} measures {drawn}")
    return Told(feature, what.text, value, bool(match["bracket"]), what)


def place_at(radius: float, degrees: float) -> tuple[float, float]:
    return radius * math.cos(math.radians(degrees)), radius * math.sin(math.radians(degrees))


def placed(sizes: Dimensions, seen: Point, feature: Feature) -> tuple[float, float]:
    """Where dimensions from the centerlines, or across them, put a point that is seen about there."""
    return _along(sizes, seen.x, feature, 0.0), _along(sizes, seen.y, feature, 90.0)


def _along(sizes: Dimensions, seen: float, feature: Feature, angle: float) -> float:
    if abs(seen) < 1e-6:
        return 0.0
    for each in sizes.told:
        what = each.what
        if each.feature is not feature or not isinstance(what, LinearDimension) or what.angle_deg != angle:
            continue
        ends = sorted((what.start.x, what.end.x) if angle == 0.0 else (what.start.y, what.end.y))
        if not any(abs(end - seen) < 0.05 for end in ends):
            continue
        across = ends[0] < -0.05 and ends[1] > 0.05
        sizes.used.add(id(each))
        return math.copysign(each.value / 2 if across else each.value, seen)
    raise AuditError(f"{feature.value} at {seen:.2f}: missing")


def circle_of(sizes: Dimensions, text: str) -> float:
    found = re.search(f"PCD {NUMBER}", text) or re.search(f"⌀{NUMBER} BC", text)
    if not found:
        raise AuditError(f"{text}: no circle")
    return sizes.length(found[1])
