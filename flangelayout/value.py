"""Values of the model: frozen records, changed only by making another.

A plain record is a ``Struct`` of msgspec: declared by its fields like a dataclass, frozen, compared and hashed by its
fields, and made in a sixth of the time; a packet of eight holes makes 13,000 points, and a command declares 400 records
before it draws a line. Those that are made by the thousand (points, shapes, items, holes) say ``gc=False``: they hold
numbers, words and each other only, so Python's search for cycles passes over them. A record that works a part of itself
out when it is made (``Flange``, an outline) is a frozen dataclass, which can hide that part from its maker. ``replace``
knows both.
"""

import dataclasses
from typing import TYPE_CHECKING, TypeVar

from msgspec import Struct, structs

if TYPE_CHECKING:
    from dataclasses import replace
else:
    V = TypeVar("V")

    def replace(value: V, /, **changes: object) -> V:
        """The value with some of its fields changed; mypy knows them by name and type.

        Raises:
            TypeError: ``value`` has no such field.
        """
        return (structs if isinstance(value, Struct) else dataclasses).replace(value, **changes)


__all__ = ["replace"]
