"""The traveller: what goes with the steel from step to step, with boxes to sign."""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp
from flangelayout.flange import Flange, SegmentOutline
from flangelayout.shopwork.operations import Cutting, HoleWork, Operation, ShopStep, TurningWork, place_of, step_of
from flangelayout.shopwork.quote import Quote, QuoteLine
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit, counted
from flangelayout.views.page.grid import Grid, GridRow
from flangelayout.views.reports.flow import Block, Words, report_sheets
from flangelayout.views.reports.office.quote import QuotedJob, failed_lines
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.shopwork import mass_words, minutes_text, operation_words, place_words

_BOX, _STEP = 10.0, 8.0
_STEEL = ("heat number", "certificate", "plate tag", "remnant tag, size left")
_SHEET = ("batch number", "certificate", "sheet tag", "remnant tag, size left")
_COPY = "Copy the {} onto the blank and onto the remnant BEFORE the cut."
_SHARES = (10.0, 97.0, 24.0, 15.0, 13.0, 23.0)
_MINUTES = 3
_HOLES_RIGHT = "STOP: read the chords on the plate.\nGo on only if each is within its limits and signed."
_ALL_RIGHT = "STOP: nothing leaves before every line of the\ninspection is signed. It stays with this traveller."
_TURNED_FIRST = "Turned before drilled: holes are set out from what is turned (common practice)."
_TRUE_TO_HOLES = "Set up on the lathe by the holes that the table has cut or marked, true to them (common practice)."
_DO_NOT_CUT = "DO NOT CUT: THE CHECK FAILED"
_ALL_THE_SAME = ("cut all the same because", "name, date")
_RELEASED = ("changed on the way (what, who said so)", "released: as drawn / with the change noted", "name, date")


def traveller_sheets(job: QuotedJob, cut_files: Sequence[str], stamp: Stamp, paper_name: str) -> SheetSet:
    """The traveller of a job; what its check failed stands over everything else.

    Args:
        job: Its operations, with their minutes where the shop has stated them.
        cut_files: Names of the files it may be cut from.
        stamp: Its identity: what was cut must carry the same.
        paper_name: One of ``papers.PAPER_NAMES``.
    """
    flange, quote, info, unit = job.flange, job.quote, job.info, job.unit
    rows = tuple(_rows(flange, quote, cut_files, Lengths(unit)))
    heading, traced = ("THE SHEET", _SHEET) if is_gasket_material(flange.material) else ("THE STEEL", _STEEL)
    blocks: list[Block] = [
        *_stopped(job),
        Words((_part(flange, quote, info, unit),), height_paper=2.5),
        Words((_COPY.format(traced[0]),), heading, 2.5, keep_paper=_BOX),
        Grid(("", "", "", ""), (1.0, 1.0, 1.0, 1.0), (GridRow(traced, _BOX),)),
        Words((_identity(info, stamp),), "WHAT IS CUT", 2.5, keep_paper=_BOX),
        Grid(("", ""), (1.0, 1.0), (GridRow(("digest read on the cut file", "read by, date"), _BOX),)),
        *((Words(notes, "NOTES OF THE JOB", 2.5),) if (notes := _notes(flange, info)) else ()),
        Words((_planned(quote), *_order(quote)), "STEPS", 2.5, keep_paper=40.0),
        Grid(_head(quote), _SHARES, rows, figures=frozenset({_MINUTES})),
        Grid(("", "", ""), (2.0, 1.4, 1.0), (GridRow(_RELEASED, _BOX),)),
    ]
    return report_sheets("JOB TRAVELLER", blocks, info, stamp, paper_name)


def _head(quote: Quote) -> tuple[str, ...]:
    minutes = "min each" if quote.quantity > 1 else "min"
    return ("step", "what, and by which page", "where", minutes, "good", "by, date")


def _rows(flange: Flange, quote: Quote, cut_files: Sequence[str], lengths: Lengths) -> Iterator[GridRow]:
    """The steps numbered by tens, what is done to the same holes in one; a stop at the end, and after the last hole.

    Where there are two holes or more, that is: else there is no chord to read.
    """
    lines = [line for line in quote.lines if line.operation is not None]
    steps = [tuple(same) for _, same in groupby(enumerate(lines), key=_set_up_of)]
    for number, step in enumerate(steps, 1):
        done = [line.operation for _, line in step if line.operation is not None]
        told = [operation_words(each, flange, lengths) for each in done]
        page, minutes = _page(done[0], cut_files), _minutes([line for _, line in step], quote.quantity)
        text = "\n".join([*told, page] if page else told)
        yield GridRow((str(10 * number), text, place_words(place_of(done[0])), minutes, "", ""), _STEP)
        if step_of(done[0]) is ShopStep.INSPECT:
            yield GridRow(("", _ALL_RIGHT, "", "", "", ""), _STEP)
        elif step[-1][0] == _last_hole(lines) and len(flange.holes()) > 1:
            yield GridRow(("", _HOLES_RIGHT, "", "", "", ""), _STEP)


def _minutes(lines: Sequence[QuoteLine], quantity: int) -> str:
    """Minutes of a step, as far as they are known; that they are once for all parts, where there are several."""
    known = [line.minutes for line in lines if line.minutes is not None]
    if not known:
        return ""
    once = "\nonce" if quantity > 1 and lines[0].once else ""
    return f"{minutes_text(math.fsum(known))}{once}" + ("\nand ?" if len(known) < len(lines) else "")


def _set_up_of(numbered: tuple[int, QuoteLine]) -> tuple[int, int, bool]:
    """What neighboring lines share that are one step: the same holes from the same face."""
    at, line = numbered
    work = line.operation
    return (-1, work.group, work.is_from_back) if isinstance(work, HoleWork) else (at, 0, False)


def _last_hole(lines: Sequence[QuoteLine]) -> int:
    """The last line on which a hole is made; the cut where the table makes them all."""
    return max((at for at, line in enumerate(lines) if isinstance(line.operation, HoleWork)), default=0)


def _page(operation: Operation, cut_files: Sequence[str]) -> str:
    """Which page or file says how."""
    step = step_of(operation)
    if step is ShopStep.CUT:
        return " or ".join(cut_files)
    if isinstance(operation, HoleWork) and operation.hole.is_hidden:
        return "hole table of the sheet, template or machine page of the back"
    if isinstance(operation, HoleWork):
        return "hole table of the sheet, template or machine page"
    return "section of the sheet" if isinstance(operation, TurningWork) else ""


def _part(flange: Flange, quote: Quote, info: JobInfo, unit: Unit) -> str:
    made_of = flange.material or "material not stated"
    thick = f", {Lengths(unit).size(flange.thickness)} {unit.value} thick" if flange.thickness else ""
    many = counted(quote.quantity, "part") if quote.work.pieces == 1 else f"{quote.quantity}"
    return f"{many} of {info.number}: {made_of}{thick}; {mass_words(quote.work, unit)}."


def _identity(info: JobInfo, stamp: Stamp) -> str:
    return (
        f"{info.number} rev {info.revision}, digest {stamp.digest[:10]}, as in the comments of the cut file. "
        "Another digest is another part: stop."
    )


def _notes(flange: Flange, info: JobInfo) -> tuple[str, ...]:
    """What the job itself says to whoever makes it, and how its parts are joined."""
    joint = flange.outline.joint if isinstance(flange.outline, SegmentOutline) else ""
    return (*info.notes, *((f"Joint: {joint}",) if joint else ()))


def _stopped(job: QuotedJob) -> Iterator[Block]:
    """That a job whose check failed is not to be cut, why, and who says that it is all the same."""
    if job.failed:
        yield Words((_DO_NOT_CUT,), height_paper=5.0)
        yield Words(failed_lines(job.flange, job.failed, job.unit), height_paper=2.5)
        yield Grid(("", ""), (2.0, 1.0), (GridRow(_ALL_THE_SAME, _BOX),))


def _order(quote: Quote) -> tuple[str, ...]:
    """By what a part that has holes is set up to be turned: by those the table has made, or it is turned first."""
    done = [line.operation for line in quote.lines if line.operation is not None]
    if not any(isinstance(each, TurningWork) for each in done):
        return ()
    if any(isinstance(each, Cutting) and each.holes + each.undersize + each.marked for each in done):
        return (_TRUE_TO_HOLES,)
    return (_TURNED_FIRST,) if any(isinstance(each, HoleWork) for each in done) else ()


def _planned(quote: Quote) -> str:
    if quote.without_time == sum(line.operation is not None for line in quote.lines):
        return "No times: the shop file states no rates."
    left = f", without {counted(quote.without_time, 'operation')} of unknown time" if quote.without_time else ""
    whole = f"{minutes_text(quote.minutes)} min planned for"
    if quote.quantity == 1:
        return f"{whole} the part{left}."
    once = math.fsum(line.minutes or 0.0 for line in quote.lines if line.once)
    each = math.fsum(line.minutes or 0.0 for line in quote.lines if not line.once)
    set_up = f"set-up {minutes_text(once)} min once, " if once else ""
    told = f"{set_up}{minutes_text(each)} min each of {quote.quantity}"
    return f"{whole} all {counted(quote.quantity, 'part')}: {told}{left}."
