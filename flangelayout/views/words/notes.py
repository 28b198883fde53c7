"""Everything a layout sheet says in words, in the order of reading."""

from collections.abc import Iterator, Sequence

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import TextTable
from flangelayout.drawing.textwidth import wrapped
from flangelayout.flange import Flange
from flangelayout.units import Unit
from flangelayout.views.page.tables import TEXT_HEIGHT
from flangelayout.views.words.bill import bolt_notes, mass_note
from flangelayout.views.words.call_outs import cautions, circle_note, named_call_out, seen_from
from flangelayout.views.words.joint.lifting import lifting_notes
from flangelayout.views.words.joint.mates import mate_notes
from flangelayout.views.words.joint.pipe import pipe_notes
from flangelayout.views.words.joint.torque import torque_notes
from flangelayout.views.words.joint.turned import turned_notes
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.plate import plate_notes
from flangelayout.views.words.tolerances import tolerance_lines

_COLUMN = 150.0
_UNIT_WORDS = {Unit.MM: "millimeters", Unit.IN: "inches"}


def sheet_notes(
    flange: Flange, info: JobInfo, lengths: Lengths, remarks: Sequence[str], told: Sequence[int]
) -> list[str]:
    """The notes of the first sheet.

    Args:
        flange: What is made.
        info: Title block, with the job's own notes.
        lengths: How lengths are written.
        remarks: What the checks found.
        told: Patterns without a call-out on the drawing.
    """
    thickness = () if flange.thickness is not None else ("THICKNESS: NOT STATED; MEASURE AND WRITE IT HERE: ________",)
    mass = mass_note(flange, lengths)
    return [
        seen_from(flange),
        *((_master(lengths),) if lengths.dual else ()),
        *tolerance_lines(flange, lengths.unit),
        *thickness,
        *pipe_notes(flange, lengths),
        *plate_notes(flange, lengths.unit),
        *turned_notes(flange, lengths),
        *mate_notes(flange, lengths.unit),
        *(named_call_out(flange, group, lengths) for group in told),
        *(line for group in range(len(flange.groups())) if (line := circle_note(flange, group, lengths.unit))),
        *((mass,) if mass else ()),
        *bolt_notes(flange),
        *torque_notes(flange, lengths.unit),
        *lifting_notes(flange),
        *info.notes,
        *remarks,
        *cautions(flange),
    ]


def lines_table(title: str, head: str, texts: Iterator[str] | Sequence[str]) -> TextTable:
    """Texts as rows of one column, broken into lines."""
    lines = [line for text in texts for line in wrapped(text, _COLUMN, TEXT_HEIGHT)]
    return TextTable(title, (head,), tuple((line,) for line in lines))


def revision_table(info: JobInfo) -> TextTable:
    """What was changed, when and by whom; no rows where the job tells no history."""
    rows = tuple((each.revision, each.date, each.change, each.by) for each in info.revision_history)
    return TextTable("REVISIONS", ("REV", "DATE", "CHANGE", "BY"), rows)


def _master(lengths: Lengths) -> str:
    return f"MASTER UNIT: {_UNIT_WORDS[lengths.unit].upper()}; [{_UNIT_WORDS[lengths.other]}] FOR REFERENCE ONLY"
