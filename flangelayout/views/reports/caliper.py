"""The report of an inspection by caliper: what was read, how every limit stands, what is open."""

from flangelayout.checks.inspection.allowed_parts import LEAST_REACH, MOST_REACH, reach_of
from flangelayout.checks.inspection.caliper_results import CaliperInspection, LimitResult, Standing
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp, TextTable
from flangelayout.flange import Flange
from flangelayout.survey.kinds import CHORD_KINDS
from flangelayout.units import Unit, decimal_text, size_text
from flangelayout.views.reports.flow import Block, Tables, Words, fewest_pages, page_width, report_sheets
from flangelayout.views.reports.pictures.numbered_plate import NumberedChord, numbered_plate
from flangelayout.views.words.parts.caliper import (
    accept_text,
    bolts_text,
    caliper_verdict_text,
    contradiction_text,
    judged_text,
    places_text,
    range_of,
    reading_name,
    rework_lines,
    standing_text,
    wanted_text,
)
from flangelayout.views.words.parts.inspection import ended

_LOOKED_FOR = (
    "Each hole is looked for up to {near} round where the readings fit best (a quarter of the least distance of two "
    "holes, within {bounds}: a bound of this program, no source); one that is farther off is open."
)
_MEANING = (
    "Pass: every part that the readings allow, with what each is good to, keeps the limit. FAIL: none does. "
    "Open: some do, so the readings do not decide it (as ISO 14253-1 has it, not verified: compare)."
)


def caliper_sheets(
    flange: Flange, found: CaliperInspection, info: JobInfo, stamp: Stamp, unit: Unit, paper_name: str
) -> SheetSet:
    """Verdict, picture of what was read, tables of readings and limits, places and bolts."""
    holes = {hole.label: hole for hole in flange.holes()}
    chords = [
        NumberedChord(
            number, holes[each.labels[0]], holes[each.labels[1]], index in found.contradicting or _fails(each.limit)
        )
        for index, (number, each) in enumerate(enumerate(found.readings, 1))
        if each.reading.kind in CHORD_KINDS
    ]
    caption = f"seen from {flange.face}; numbers are those of the readings, heavy ones are out of limits or in doubt"
    near, least, most = (
        f"{size_text(size, unit)} {unit.value}" for size in (reach_of(flange), LEAST_REACH, MOST_REACH)
    )
    signature = "Inspected by: ______________________   Date: ______________   Instrument: ______________________"

    def drawn(share: float) -> SheetSet:
        blocks: list[Block] = [
            Words((caliper_verdict_text(found),), height_paper=3.2),
            Words(tuple(_told(found, unit))),
            numbered_plate(flange, chords, page_width(paper_name), caption, share),
            Words((_MEANING, _LOOKED_FOR.format(near=near, bounds=f"{least} to {most}"))),
            Words((signature,)),
            Tables((_readings(found, unit), _limits(found.limits, unit))),
        ]
        return report_sheets("INSPECTION BY CALIPER", blocks, info, stamp, paper_name)

    return fewest_pages(drawn)


def _fails(limit: LimitResult | None) -> bool:
    return limit is not None and limit.standing is Standing.BROKEN


def _told(found: CaliperInspection, unit: Unit) -> list[str]:
    if not found.agree:
        return [f"{contradiction_text(found)}."]
    lines = [places_text(found.places, unit)] if found.places is not None else []
    lines += [bolts_text(bolts, unit) for bolts in found.bolts]
    lines += rework_lines(found, unit)
    lines += [wanted_text(found.wanted, unit)] if found.wanted is not None else []
    return [ended(line) for line in lines]


def _readings(found: CaliperInspection, unit: Unit) -> TextTable:
    rows = tuple(
        (
            str(number),
            reading_name(each),
            "-" if each.nominal is None else decimal_text(each.nominal, unit),
            decimal_text(each.reading.value, unit),
            f"±{size_text(each.reading.expanded_uncertainty, unit)}",
        )
        for number, each in enumerate(found.readings, 1)
    )
    return TextTable(f"READINGS ({unit.value})", ("", "WHAT", "DRAWN", "READ", "GOOD TO"), rows)


def _limits(limits: tuple[LimitResult, ...], unit: Unit) -> TextTable:
    rows = tuple(
        (
            judged_text(each.what),
            accept_text(each, unit),
            range_of(each.low, each.high, unit),
            standing_text(each.standing),
        )
        for each in limits
    )
    sources = sorted({each.source for each in limits if each.source})
    stated = f"; stated by {', '.join(sources)}" if sources else ""
    return TextTable(f"LIMITS ({unit.value}{stated})", ("WHAT", "MAY BE", "CAN BE", ""), rows)
