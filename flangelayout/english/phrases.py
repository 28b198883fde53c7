"""Facts put into a sentence: lengths in their unit, lists with their last word, counts with their plural."""

import string
from collections.abc import Mapping
from enum import Enum
from typing import Any

from flangelayout.drawing.textwidth import plain_line
from flangelayout.facts import Fact, Length, Unit
from flangelayout.units import counted, decimal_text, from_mm, range_text, size_text

_BARE = "bare"
_TOML = "toml"
_RANGE = "range"


def phrase(template: str, facts: Mapping[str, Fact]) -> str:
    """A sentence of a template and its facts.

    What may follow a fact's name in the template, after a colon:

    - a length: nothing (``11 3/4 in``), ``g`` (six figures), ``d`` (two decimals of mm, three of inches) or
      ``.3f``; with ``bare`` before it the unit is left out;
    - a list: nothing (commas), ``and`` or ``or`` (before the last); two lengths: ``range``, from one to the other;
    - a text or a list of texts: ``toml`` puts it in quotes as a job file wants it, a number stays as it is;
    - a whole number: ``#hole`` counts, as in ``1 hole``, ``2 holes``;
    - any other number: as Python formats it.

    Example:
        >>> from flangelayout.facts import Unit
        >>> phrase("{count:#hole} on {size}; use {keys:or}",
        ...        {"count": 1, "size": Length(298.45, Unit.IN), "keys": ("x", "y")})
        '1 hole on 11 3/4 in; use x or y'
    """
    return _PHRASES.vformat(template, (), facts)


class _Phrases(string.Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:  # noqa: ANN401 - as the base class has it
        """One fact as its template asks for it."""
        value = plain_line(value) if isinstance(value, str) else value
        match value:
            case Length():
                return _length(value, format_spec)
            case tuple():
                return self._listed(value, format_spec)
            case Enum():
                return self.format_field(value.value, format_spec)
            case str() | float() if format_spec == _TOML:
                return f'"{value}"' if isinstance(value, str) else f"{value:g}"
            case int() if format_spec.startswith("#"):
                return counted(value, format_spec[1:])
        return format(value, "" if format_spec == _TOML else format_spec)

    def _listed(self, values: tuple[Any, ...], spec: str) -> str:
        if spec == _RANGE:
            least, most = values
            return range_text(least.mm, most.mm, least.unit or Unit.MM)
        each, _, word = spec.rpartition(" ")
        texts = [self.format_field(value, each) for value in values]
        if not word or len(texts) < 2:
            return ", ".join(texts)
        return f"{', '.join(texts[:-1])} {word} {texts[-1]}"


_PHRASES = _Phrases()


def _length(length: Length, spec: str) -> str:
    unit = length.unit or Unit.MM
    match spec.removeprefix(_BARE).strip():
        case "":
            text = size_text(length.mm, unit)
        case "d":
            text = decimal_text(length.mm, unit)
        case numbers:
            text = format(from_mm(length.mm, unit), numbers)
    return text if spec.startswith(_BARE) else f"{text} {unit.value}"
