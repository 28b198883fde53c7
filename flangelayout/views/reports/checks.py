"""The page of the shop checks: every finding with its numbers and its cure, and the curves of adapters."""

from collections.abc import Sequence

from flangelayout.checks import Finding, Severity
from flangelayout.checks.plate.clocking import Clocking, clocking_cure
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp
from flangelayout.flange import Flange
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.reports.clocking_chart import clocking_figure
from flangelayout.views.reports.flow import Block, Words, page_width, report_sheets

_HEADINGS = ((Severity.ERROR, "CONTRADICTIONS"), (Severity.WARNING, "WARNINGS"), (Severity.NOTE, "NOTES"))


def check_sheets(
    flange: Flange,
    findings: Sequence[Finding],
    clocked: Sequence[Clocking],
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    paper_name: str,
) -> SheetSet:
    """The findings by severity, then one curve for each two bolt circles."""
    failed = sum(finding.failed for finding in findings)
    verdict = "No check failed" if not failed else f"{failed} {'check' if failed == 1 else 'checks'} failed"
    blocks: list[Block] = [Words((verdict,), height_paper=3.2)]
    for severity, heading in _HEADINGS:
        texts = tuple(_text(finding) for finding in findings if finding.severity is severity)
        if texts:
            blocks.append(Words(texts, heading))
    for found in clocked:
        figure = clocking_figure(found, unit, page_width(paper_name))
        keep = figure.height_paper + 3.0
        blocks += [Words(tuple(_clocking_words(flange, found, unit)), "CLOCKING", keep_paper=keep), figure]
    return report_sheets("SHOP CHECKS", blocks, info, stamp, paper_name)


def _text(finding: Finding) -> str:
    source = f" [{finding.source}]" if finding.source and finding.source not in finding.text else ""
    return f"{finding.rule}: {finding.text}{source}."


def _clocking_words(flange: Flange, found: Clocking, unit: Unit) -> list[str]:
    a, b = flange.group_name(found.group_a), flange.group_name(found.group_b)
    metal = f"{decimal_text(found.present.metal, unit)} {unit.value}"
    now = f"A: {a}. B: {b}. As drawn {angle_text(found.present_angle)} from hole to hole, metal left {metal}."
    best = clocking_cure(flange, found, unit)
    words = [now, f"Best: {best}."]
    return [*words, f"{found.reason[0].upper()}{found.reason[1:]}."] if found.reason else words
