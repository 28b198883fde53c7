"""What a layout sheet says in words beside its drawing: notes, cautions, where figures come from."""

from collections.abc import Collection, Iterator, Sequence

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Flange, Slot, Spotfaced
from flangelayout.flange.claims import families, is_sealed, may_be_pipe_flange, may_seal
from flangelayout.flange.cutting import CutProcess
from flangelayout.flange.drilling import Fastener
from flangelayout.flange.turning import TurnedKind
from flangelayout.provenance import Family
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit
from flangelayout.views.words.bill import bolt_notes, mass_note
from flangelayout.views.words.call_outs import LAYOUT_AID, seen_from
from flangelayout.views.words.hole_tables import are_listed
from flangelayout.views.words.joint.lifting import lifting_notes
from flangelayout.views.words.joint.mates import mate_notes
from flangelayout.views.words.joint.pipe import pipe_notes
from flangelayout.views.words.joint.torque import torque_notes
from flangelayout.views.words.joint.turned import turned_notes
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.numbering import numbering_notes
from flangelayout.views.words.origins import claim_sentences, row_sources, size_sources
from flangelayout.views.words.plate import plate_notes
from flangelayout.views.words.tolerances import tolerance_lines

MOST_NOTES = 8
"""Notes of the first sheet; more go on to a further one."""
_UNIT_WORDS = {Unit.MM: "millimeters", Unit.IN: "inches"}
_PLATE_FLANGE = (
    "Some codes allow plate only for blind and hubless reducing flanges (ASME B16.5); "
    "this plate carries no class or rating."
)
_EXTRA_HOLE = "An extra or off-center hole takes a standard blind out of its standard; the local code decides."
_WHEEL = "Wheel adapters and spacers: no claim of fitness for the road; local law and the vehicle maker's data decide."
_THERMAL = "Thermally cut bolt holes: not for fatigue or where the code forbids them."
_HOT_WORK = "Hot work: never presume a line, drum or tank is clean."


def sheet_notes(
    flange: Flange,
    info: JobInfo,
    lengths: Lengths,
    remarks: Sequence[str],
    numbered: Collection[str],
    process: CutProcess | None = None,
    every_hole: bool = False,
) -> list[str]:
    """The notes of the sheet in the order of their rank, the shop's own first.

    Args:
        flange: What is made.
        info: Title block, with the job's own notes.
        lengths: How lengths are written.
        remarks: What the checks noticed.
        numbered: The labels of the holes that bear their number in the view.
        process: What cuts the plate; ``None`` where the job does not say.
        every_hole: Whether every hole is listed on the sheets, however many there are.
    """
    listed = () if are_listed(flange, every_hole) else (f"{len(flange.holes())} holes: each in the hole list (CSV)",)
    thickness = () if flange.thickness is not None else ("Thickness not stated: measure it, write it here: ________",)
    notes = [
        *info.notes,
        *((_master(lengths),) if lengths.dual else ()),
        seen_from(flange),
        *numbering_notes(flange, numbered),
        *((_slots(lengths),) if any(isinstance(hole.kind, Slot) for hole in flange.holes()) else ()),
        *thickness,
        *listed,
        *lifting_notes(flange, lengths),
        *tolerance_lines(flange, lengths.unit),
        *(line for group in range(len(flange.groups())) if (line := group_note(flange, group, lengths.unit))),
        *pipe_notes(flange, lengths),
        *plate_notes(flange),
        *turned_notes(flange, lengths),
        *mate_notes(flange, lengths.unit),
        *torque_notes(flange, lengths.unit),
        " ".join(cautions(flange, process)),
        *remarks,
    ]
    return [sentence(note) for note in notes]


def group_note(flange: Flange, group: int, unit: Unit) -> str:
    """What else is known of a pattern, in one line: its name, bolts, mate, and what it is drilled to match."""
    what = flange.groups()[group]
    is_sunk = isinstance(what.drilling.kind, Counterbored | Countersunk)
    fastened = "studs" if what.drilling.joint.fastener is Fastener.STUD else "screws" if is_sunk else "bolts"
    facts = [
        f"{fastened} {_sized(what.drilling.bolt)}" if what.drilling.bolt else "",
        f"mates with {what.drilling.mates_with}" if what.drilling.mates_with else "",
        "spotfaces clean the face up" if isinstance(what.drilling.kind, Spotfaced) else "",
    ]
    said = "; ".join(fact for fact in facts if fact)
    claims = claim_sentences(what, unit) if isinstance(what, BoltCircle) else ()
    text = " ".join((*((f"{said}.",) if said else ()), *(f"{claim}." for claim in claims)))
    name = flange.group_name(group)
    return f"{name}: {text}" if text else ""


def _sized(bolt: str) -> str:
    """A bolt as it is written; a bare number or fraction, which is of inches, with its unit."""
    return f"{bolt} in" if bolt.replace("/", "").replace(" ", "").replace("-", "").isdigit() else bolt


def source_notes(flange: Flange, lengths: Lengths) -> Iterator[str]:
    """Where the sizes of holes and the mass come from, asked for with the sources."""
    for circle in flange.bolt_circles:
        yield from (f"{source}." for source in row_sources(circle))
    for group, pattern in enumerate(flange.groups()):
        for source in size_sources(pattern.drilling):
            yield sentence(f"{flange.group_name(group)}: {source}")
    for number, hole in enumerate(flange.single_holes, 1):
        for source in size_sources(hole.drilling):
            yield f"Hole X{number}: {source}."
    mass = mass_note(flange, lengths)
    if mass:
        yield mass


def bolt_length_notes(flange: Flange, lengths: Lengths) -> Iterator[str]:
    """How every bolt length is worked out, asked for with the bolt lengths."""
    return bolt_notes(flange, lengths)


def cautions(flange: Flange, process: CutProcess | None = None) -> tuple[str, ...]:
    """The cautions that apply to this plate, the general one first; none of steel for a gasket.

    A pipe flange is spoken of where the job names one, or says by a raised face or a gasket that a ring of plain
    holes seals; heat where it says that the plate is cut by it, hot work where the ring may belong to a line or a tank.
    """
    if is_gasket_material(flange.material):
        return (LAYOUT_AID,)
    groups = flange.groups()
    named = families(groups)
    ring = bool(named) or (flange.bore is not None and flange.round_diameter is not None)
    raised = any(each.kind is TurnedKind.RAISED_FACE for each in flange.turned)
    seals = raised or flange.raised_face_diameter is not None or is_sealed(groups)
    applies = (
        (_PLATE_FLANGE, ring and seals and may_be_pipe_flange(groups)),
        (_WHEEL, Family.WHEEL_HUB in named),
        (_EXTRA_HOLE, flange.bore is None and bool(flange.single_holes) and flange.round_diameter is not None),
        (_THERMAL, process is not None and process.is_thermal and bool(flange.holes())),
        (_HOT_WORK, ring and may_seal(groups)),
    )
    return (LAYOUT_AID, *(text for text, is_so in applies if is_so))


def revision_table(info: JobInfo) -> TextTable:
    """What was changed, when and by whom; no rows where the job tells no history."""
    rows = tuple((each.revision, each.date, each.change, each.by) for each in info.revision_history)
    return TextTable("REVISIONS", ("REV", "DATE", "CHANGE", "BY"), rows)


def sentence(text: str) -> str:
    """Begun with a capital, ended with a stop."""
    begun = text[:1].upper() + text[1:]
    return begun if begun.endswith((".", "!", "?", "_", ":")) else f"{begun}."


def _slots(lengths: Lengths) -> str:
    return f"Slots: width{lengths.by}length over all, rounded ends included."


def _master(lengths: Lengths) -> str:
    return f"Master unit: {_UNIT_WORDS[lengths.unit]}; [{_UNIT_WORDS[lengths.other]}] for reference only"
