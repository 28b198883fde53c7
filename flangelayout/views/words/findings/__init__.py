"""What the checks say, in words that name no key of a job file; each door adds its own cures."""

from flangelayout.views.words.findings.facts import fact_text
from flangelayout.views.words.findings.text import (
    check_figures,
    check_words,
    count_text,
    cure_text,
    finding_text,
    for_a_sheet,
    hopeless_text,
    reason_text,
    source_of,
    tally_text,
    turn_text,
    without_standards,
)

__all__ = [
    "check_figures",
    "check_words",
    "count_text",
    "cure_text",
    "fact_text",
    "finding_text",
    "for_a_sheet",
    "hopeless_text",
    "reason_text",
    "source_of",
    "tally_text",
    "turn_text",
    "without_standards",
]
