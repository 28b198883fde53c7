"""Published drilling tables and their look-up; every row says where it is from and how far to trust it."""

from flangelayout.provenance import Confidence, Family
from flangelayout.standards.comparing import published_row, row_called, tied_rows
from flangelayout.standards.designations.lookup import find, matching, search
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.tables import Table, all_patterns, all_tables, read_table

__all__ = [
    "Confidence",
    "Family",
    "Pattern",
    "Table",
    "all_patterns",
    "all_tables",
    "find",
    "matching",
    "published_row",
    "read_table",
    "row_called",
    "search",
    "tied_rows",
]
