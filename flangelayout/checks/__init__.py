"""What was looked at on a flange and how it came out, each finding with its numbers."""

from flangelayout.checks.finding import Finding, Result, Tally, tally
from flangelayout.checks.plate.cutting import check_cutting, check_drill_depth, check_program
from flangelayout.checks.plate.drilling import check_drilling
from flangelayout.checks.plate.font import check_text
from flangelayout.checks.plate.measured import MeasuredPlate, measured
from flangelayout.checks.plate.paper import check_paper
from flangelayout.checks.plate.rules import check_shop
from flangelayout.checks.rule import Rule

__all__ = [
    "Finding",
    "MeasuredPlate",
    "Result",
    "Rule",
    "Tally",
    "check_cutting",
    "check_drill_depth",
    "check_drilling",
    "check_paper",
    "check_program",
    "check_shop",
    "check_text",
    "measured",
    "tally",
]
