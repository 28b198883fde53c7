"""The page of the checks: a picture with the place of each, the list, failures first, their cures, what was not run."""

from collections.abc import Iterator, Sequence

from flangelayout.checks import Finding, Result
from flangelayout.checks.finding import Reason
from flangelayout.checks.limits import Ground
from flangelayout.checks.plate.clocking import Clocking
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp
from flangelayout.flange import Flange
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.reports.check_picture import check_figure
from flangelayout.views.reports.check_table import NumberedCheck, check_rows
from flangelayout.views.reports.clocking_chart import clocking_figure
from flangelayout.views.reports.flow import Block, Words, page_width, report_sheets
from flangelayout.views.words.findings import check_words, count_text, finding_text, reason_text, source_of

_TEXT, _TALLY = 2.5, 3.5
_PICTURES = (105.0, 78.0, 52.0)
"""Printed mm of the plate in the picture, tried in turn: a smaller one where it saves a page."""


def check_sheets(
    flange: Flange,
    findings: Sequence[Finding],
    clockings: Sequence[Clocking],
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    paper_name: str,
) -> SheetSet:
    """Every check by its result, then each two bolt circles, with the curve of their turns where they do not clear."""
    width, run = page_width(paper_name), _numbered(findings)
    told = tuple(_told(flange, findings, clockings, unit, width))
    tally = Words((count_text(findings),), height_paper=_TALLY)
    tries = (
        report_sheets("SHOP CHECKS", (tally, check_figure(flange, run, width, size), *told), info, stamp, paper_name)
        for size in _PICTURES
    )
    return min(tries, key=lambda pages: len(pages.sheets))


def _told(
    flange: Flange, findings: Sequence[Finding], clockings: Sequence[Clocking], unit: Unit, width: float
) -> Iterator[Block]:
    """The list of the checks and the words below it."""
    run = _numbered(findings)
    yield from check_rows(flange, run, unit, width)
    yield from _words("WHAT FAILED", _failures(flange, run, unit))
    yield from _words("TO NOTICE", _notes(flange, findings, unit))
    yield from _words("NOT RUN", _not_run(flange, findings, unit))
    yield from _words("WHO SETS THE LIMITS", _sources(run))
    for place, found in enumerate(clockings):
        figures = () if _clears(found) else (clocking_figure(flange, found, unit, width),)
        keep = sum(figure.height_paper + 3.0 for figure in figures)
        yield Words(tuple(_clocking_words(flange, found, unit)), "" if place else "CLOCKING", _TEXT, keep)
        yield from figures


def _numbered(findings: Sequence[Finding]) -> tuple[NumberedCheck, ...]:
    """The checks that were run, failed ones first, numbered from 1."""
    failed = [finding for finding in findings if finding.failed]
    passed = [finding for finding in findings if finding.result is Result.PASSED]
    return tuple(NumberedCheck(number, finding) for number, finding in enumerate((*failed, *passed), 1))


def _words(heading: str, texts: Iterator[str]) -> Iterator[Words]:
    told = tuple(texts)
    if told:
        yield Words(told, heading, _TEXT)


def _failures(flange: Flange, run: Sequence[NumberedCheck], unit: Unit) -> Iterator[str]:
    for check in run:
        if check.finding.failed:
            yield f"{check.number}. {finding_text(flange, check.finding, unit)}."


def _notes(flange: Flange, findings: Sequence[Finding], unit: Unit) -> Iterator[str]:
    for finding in findings:
        if finding.result is Result.NOTED:
            yield f"{finding_text(flange, finding, unit)}."


def _not_run(flange: Flange, findings: Sequence[Finding], unit: Unit) -> Iterator[str]:
    """One line a reason, with every check that it kept from being run."""
    kept: dict[Reason, list[str]] = {}
    for finding in findings:
        if finding.reason is not None:
            kept.setdefault(finding.reason, []).append(check_words(flange, finding, unit))
    for reason, checks in kept.items():
        yield f"{reason_text(reason)}: {'; '.join(checks)}."


def _sources(run: Sequence[NumberedCheck]) -> Iterator[str]:
    """Who sets the limit of which checks; plain geometry needs nobody."""
    cited: dict[str, list[int]] = {}
    for check in run:
        limit = check.finding.limit
        if limit is not None and limit.source is not Ground.GEOMETRY:
            cited.setdefault(source_of(check.finding), []).append(check.number)
    for source, numbers in cited.items():
        yield f"{', '.join(map(str, numbers))}: {source}."


def _clears(found: Clocking) -> bool:
    """Whether two circles clear each other as they are drawn, nuts and all."""
    seats = (found.present.seat_a, found.present.seat_b)
    return found.present.metal >= found.limit.value and all(seat is None or seat >= 0.0 for seat in seats)


def _clocking_words(flange: Flange, found: Clocking, unit: Unit) -> Iterator[str]:
    a, b = flange.group_name(found.group_a), flange.group_name(found.group_b)
    metal = f"{decimal_text(found.present.metal, unit)} {unit.value}"
    yield f"{b} on {a}: as drawn {angle_text(found.present_angle)} from hole to hole, {metal} of metal between them."
    most = f"{decimal_text(found.best.metal, unit)} {unit.value}"
    yield f"Most metal, {most}, stands at {angle_text(found.best_angle)}. What they are bolted to decides the turn."
