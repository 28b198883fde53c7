"""Lengths as a sheet writes them: in the master unit and, where asked for, the other one in brackets."""

from msgspec import Struct

from flangelayout.drawing.convention import Convention, usual_convention
from flangelayout.drawing.model import MeasuredText
from flangelayout.flange import Tolerances
from flangelayout.units import Rounding, Unit, decimal_rounding, from_mm, size_rounding
from flangelayout.value import replace

DIAMETER_SIGN = "⌀"
_WHOLE = 0.01
"""Parts of the last decimal that a size which these tell whole is off by arithmetic alone."""


class Lengths(Struct, frozen=True):
    """How lengths are written: the master unit, whether the other one follows in brackets, by which rules.

    On a drawing inches are decimals throughout, by ASME without a zero before the point; a trade fraction stands
    behind them for reference only where :meth:`named` says so. Elsewhere a size in inches is the fraction itself.

    Attributes:
        unit: The master unit.
        dual: Whether the other one follows.
        convention: Of the drawing; ``None`` for anything that is none.
        stated: Of the drawing, whose own block may tell by the decimals of an inch size what holds for it.
    """

    unit: Unit
    dual: bool = False
    convention: Convention | None = None
    stated: Tolerances = Tolerances()

    @property
    def other(self) -> Unit:
        """The unit in the brackets."""
        return Unit.IN if self.unit is Unit.MM else Unit.MM

    @property
    def is_iso(self) -> bool:
        """Whether call-outs speak the language of ISO, else that of ASME: by the drawing's rules, else by the unit."""
        return (self.convention or usual_convention(self.unit)) is Convention.ISO

    @property
    def times(self) -> str:
        """What stands between a count and a size, with its spaces: ``8 × ⌀22`` or ``8X ⌀.875``."""
        return " × " if self.is_iso else "X "

    @property
    def by(self) -> str:
        """What stands between two sizes, with its spaces: ``2 × 45°`` or ``.125 X 45°``."""
        return " × " if self.is_iso else " X "

    def decimal(self, length: float) -> str:
        """Decimals: ``91.84`` or ``91.84 [3.616]``."""
        return self._both(self._decimals(self.unit).text(length), length)

    def to_places(self, length: float, places: int) -> str:
        """So many decimals of the master unit."""
        return replace(self._decimals(self.unit), places=places).text(length)

    def size(self, length: float) -> str:
        """A nominal size: ``240`` or ``240 [9.449]``."""
        return self._both(self._nominal(length).text(length), length)

    def named(self, length: float) -> str:
        """A nominal size as a call-out writes it, an inch size with its trade fraction: ``.875 (7/8)``."""
        fraction = size_rounding(length, self.unit)
        if self.convention is None or not fraction.is_fraction:
            return self.size(length)
        return f"{self.size(length)} ({fraction.text(length)})"

    def diameter(self, length: float) -> str:
        """A nominal diameter: ``⌀240`` or ``⌀240 [9.449]``."""
        return DIAMETER_SIGN + self.size(length)

    def named_diameter(self, length: float) -> str:
        """A diameter as a call-out writes it: ``⌀22``, ``⌀.875 (7/8)``."""
        return DIAMETER_SIGN + self.named(length)

    def measured(self, length: float, before: str = "", after: str = "") -> MeasuredText:
        """What a dimension of a nominal size says, written as :meth:`size` and :meth:`diameter` write it.

        Args:
            length: What the dimension measures, in mm: a fraction is written where it is one.
            before: In front of the value, such as the diameter sign.
            after: Behind it.
        """
        return MeasuredText(self._nominal(length), before, after, self._decimals(self.other) if self.dual else None)

    def reckoned(self, length: float, before: str = "", after: str = "") -> MeasuredText:
        """As :meth:`measured`, of what follows from other sizes: more decimals than usual if they tell it whole."""
        said, usual = self.measured(length, before, after), self._decimals(self.unit)
        if self.unit is Unit.MM or said.rounding.is_fraction or said.rounding.places <= usual.places:
            return said
        parts = from_mm(length, self.unit) * 10.0**said.rounding.places
        return said if abs(parts - round(parts)) < _WHOLE else replace(said, rounding=usual)

    def words(self) -> str:
        """Which unit a table is in."""
        return f"{self.unit.value} [{self.other.value}]" if self.dual else self.unit.value

    def _decimals(self, unit: Unit) -> Rounding:
        bare = unit is Unit.IN and self.convention is Convention.ASME
        return replace(decimal_rounding(unit), leading_zero=not bare)

    def _nominal(self, length: float) -> Rounding:
        if self.unit is Unit.MM or self.convention is None:
            return size_rounding(length, self.unit)
        return replace(self._decimals(self.unit), places=self.stated.inch_decimals(length))

    def _both(self, text: str, length: float) -> str:
        return f"{text} [{self._decimals(self.other).text(length)}]" if self.dual else text
