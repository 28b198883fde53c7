"""Lengths as a sheet writes them: in the master unit and, where asked for, the other one in brackets."""

from dataclasses import dataclass

from flangelayout.drawing.model import MeasuredText
from flangelayout.units import Unit, decimal_rounding, decimal_text, size_rounding, size_text
from flangelayout.views.words.holes import DIAMETER_SIGN


@dataclass(frozen=True, slots=True)
class Lengths:
    """How lengths are written: the master unit, and whether the other one follows in brackets."""

    unit: Unit
    dual: bool = False

    @property
    def other(self) -> Unit:
        """The unit in the brackets."""
        return Unit.IN if self.unit is Unit.MM else Unit.MM

    def decimal(self, length: float) -> str:
        """Decimals: ``91.84`` or ``91.84 [3.616]``."""
        return self._both(decimal_text(length, self.unit), length)

    def size(self, length: float) -> str:
        """A nominal size: ``240`` or ``240 [9.449]``."""
        return self._both(size_text(length, self.unit), length)

    def diameter(self, length: float) -> str:
        """A nominal diameter: ``⌀240`` or ``⌀240 [9.449]``."""
        return DIAMETER_SIGN + self.size(length)

    def measured(self, length: float, before: str = "", after: str = "") -> MeasuredText:
        """What a dimension of a nominal size says, written as :meth:`size` and :meth:`diameter` write it.

        Args:
            length: What the dimension measures, in mm: a fraction is written where it is one.
            before: In front of the value, such as the diameter sign.
            after: Behind it.
        """
        other = decimal_rounding(self.other) if self.dual else None
        return MeasuredText(size_rounding(length, self.unit), before, after, other)

    def measured_decimals(self, before: str = "", after: str = "") -> MeasuredText:
        """What a dimension of a derived length says, written as :meth:`decimal` writes it."""
        other = decimal_rounding(self.other) if self.dual else None
        return MeasuredText(decimal_rounding(self.unit), before, after, other)

    def words(self) -> str:
        """Which unit a table is in."""
        return f"{self.unit.value} [{self.other.value}]" if self.dual else self.unit.value

    def _both(self, text: str, length: float) -> str:
        return f"{text} [{decimal_text(length, self.other)}]" if self.dual else text
