"""Published drilling tables and their look-up; every row says where it is from and how far to trust it.

Whole tables, the look-up and the comparing are loaded when they are first used: a survey needs some rows alone.
"""

from typing import TYPE_CHECKING

from flangelayout.provenance import Confidence, Family
from flangelayout.standards.pattern import Pattern

if TYPE_CHECKING:
    from flangelayout.standards.comparing import published_row, row_called
    from flangelayout.standards.designations.lookup import find, matching, search
    from flangelayout.standards.tables import PublishedTable, all_patterns, all_tables

_HOMES = {
    **dict.fromkeys(("published_row", "row_called"), "flangelayout.standards.comparing"),
    **dict.fromkeys(("find", "matching", "search"), "flangelayout.standards.designations.lookup"),
    **dict.fromkeys(("PublishedTable", "all_patterns", "all_tables"), "flangelayout.standards.tables"),
}
__all__ = [
    "Confidence",
    "Family",
    "Pattern",
    "PublishedTable",
    "all_patterns",
    "all_tables",
    "find",
    "matching",
    "published_row",
    "row_called",
    "search",
]


def __getattr__(name: str) -> object:
    """A name of the tables, the look-up or the comparing, from the module that holds it."""
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
