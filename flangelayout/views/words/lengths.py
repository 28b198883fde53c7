"""Lengths as a sheet writes them: in the master unit and, where asked for, the other one in brackets."""

from dataclasses import dataclass

from flangelayout.units import Unit, decimal_text, size_text
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

    def words(self) -> str:
        """Which unit a table is in."""
        return f"{self.unit.value} [{self.other.value}]" if self.dual else self.unit.value

    def _both(self, text: str, length: float) -> str:
        return f"{text} [{decimal_text(length, self.other)}]" if self.dual else text
