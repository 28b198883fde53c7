"""Published drilling tables and their look-up; every row says where it is from and how far to trust it."""

from flangelayout.standards.comparing import Difference, Field, differences, tied_rows
from flangelayout.standards.lookup import find, matching, search
from flangelayout.standards.pattern import Confidence, Family, Pattern, credit
from flangelayout.standards.tables import Table, all_patterns, all_tables, read_table

__all__ = [
    "Confidence",
    "Difference",
    "Family",
    "Field",
    "Pattern",
    "Table",
    "all_patterns",
    "all_tables",
    "credit",
    "differences",
    "find",
    "matching",
    "read_table",
    "search",
    "tied_rows",
]
