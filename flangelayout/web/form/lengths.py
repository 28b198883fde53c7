"""Lengths as the page shows them: in the unit asked for, whatever the job's own unit is."""

from flangelayout.errors import UnitError
from flangelayout.units import Unit, decimal_text, parse_length, size_text


def shown_text(text: str, master: Unit, show: Unit) -> str:
    """A length as typed, for a field: untouched in the master unit, else converted, with its unit.

    What is no length stays as typed.
    """
    typed = text.strip()
    if show is master or not typed:
        return typed
    try:
        length = parse_length(typed, master)
    except (UnitError, OverflowError):
        return typed
    return with_unit(length, show) if abs(length) < 1e9 else typed


def with_unit(length: float, unit: Unit) -> str:
    """A nominal size with its unit: ``285 mm``, ``11 3/4 in``."""
    return f"{size_text(length, unit)} {unit.value}"


def decimals(length: float, unit: Unit) -> str:
    """A measured or computed length with its unit: ``91.84 mm``, ``3.616 in``."""
    return f"{decimal_text(length, unit)} {unit.value}"


def signed(length: float, unit: Unit) -> str:
    """A difference with its sign, without a unit: ``+0.31``."""
    text = decimal_text(length, unit)
    return text if text.startswith("-") else f"+{text}"
