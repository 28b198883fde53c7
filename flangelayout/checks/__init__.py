"""What is wrong or doubtful about a flange, each finding with its numbers."""

from flangelayout.checks.finding import Finding, Severity
from flangelayout.checks.plate.cutting import check_cutting
from flangelayout.checks.plate.drilling import check_drilling, placement_sentence
from flangelayout.checks.plate.font import check_text

__all__ = ["Finding", "Severity", "check_cutting", "check_drilling", "check_text", "placement_sentence"]
