"""The page of the shop checks: every check with its numbers, limit, source and result, a picture, and the curves."""

from collections.abc import Iterator, Sequence

from flangelayout.checks import Finding, Result
from flangelayout.checks.facts import Shortage
from flangelayout.checks.plate.clocking import Clocking, clocked
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp
from flangelayout.flange import Flange
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.reports.check_picture import check_figure
from flangelayout.views.reports.clocking_chart import clocking_figure
from flangelayout.views.reports.flow import Block, Words, page_width, report_sheets
from flangelayout.views.words.findings import finding_text, hopeless_text, tally_text, turn_text

_HEADINGS = (
    (Result.FAILED, "FAILED"),
    (Result.NOTED, "TO NOTICE"),
    (Result.NOT_RUN, "NOT RUN"),
    (Result.PASSED, "PASSED"),
)


def check_sheets(
    flange: Flange,
    findings: Sequence[Finding],
    clockings: Sequence[Clocking],
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    paper_name: str,
) -> SheetSet:
    """Every check by its result, then one curve for each two bolt circles."""
    failed = [finding for finding in findings if finding.failed]
    blocks: list[Block] = [
        Words((tally_text(findings),), height_paper=3.2),
        check_figure(flange, failed, page_width(paper_name)),
    ]
    for result, heading in _HEADINGS:
        texts = [_text(flange, finding, unit) for finding in findings if finding.result is result]
        if result is Result.FAILED:
            texts = [f"{number}. {text}" for number, text in enumerate(texts, 1)]
        if texts:
            blocks.append(Words(tuple(texts), heading))
    for found in clockings:
        figure = clocking_figure(found, unit, page_width(paper_name))
        keep = figure.height_paper + 3.0
        blocks += [Words(tuple(_clocking_words(flange, found, unit)), "CLOCKING", keep_paper=keep), figure]
    return report_sheets("SHOP CHECKS", blocks, info, stamp, paper_name)


def _text(flange: Flange, finding: Finding, unit: Unit) -> str:
    return f"{finding.rule.value}: {finding_text(flange, finding, unit)}."


def _clocking_words(flange: Flange, found: Clocking, unit: Unit) -> Iterator[str]:
    a, b = flange.group_name(found.group_a), flange.group_name(found.group_b)
    metal = f"{decimal_text(found.present.metal, unit)} {unit.value}"
    yield f"A: {a}. B: {b}. As drawn {angle_text(found.present_angle)} from hole to hole, metal left {metal}."
    facts = clocked(flange, found, Shortage.METAL)
    yield f"Best: {turn_text(flange, facts, unit)}."
    why = hopeless_text(flange, facts, unit)
    if why:
        yield f"{why[0].upper()}{why[1:]}."
