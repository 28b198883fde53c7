"""Problems and hints at the fields they concern, in words."""

import re
from collections.abc import Iterable

from msgspec import Struct

from flangelayout.english.page import PAGE
from flangelayout.english.sentences import sentence
from flangelayout.errors import InputError, Problem
from flangelayout.flange import Flange
from flangelayout.flange.claims import against
from flangelayout.job.build.circles import OwnTables
from flangelayout.problems import ProblemKind
from flangelayout.problems.job import JobProblem
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards import find
from flangelayout.survey import Survey
from flangelayout.units import Unit
from flangelayout.views.words.origins import difference_words
from flangelayout.web.form.fields import field_id, label_of, row_tables
from flangelayout.web.form.lengths import decimals, with_unit
from flangelayout.web.form.state import State

_READING = re.compile(r"survey\.reading\.(\d+)(?:\.(\w+))?")
_DRAFT_KEYS = {"value": "n.value", "from": "n.from", "to": "n.to", "within": "n.within"}

STILL_TO_FILL_IN: frozenset[ProblemKind | str] = frozenset(
    {
        SchemaProblem.MISSING,
        JobProblem.SLOT_LENGTH_MISSING,
        JobProblem.NO_CLEARANCE_HOLE,
        JobProblem.SEAT_MISSING,
        JobProblem.SEAT_MISSING_FOR_BOLT,
        JobProblem.GRID_PITCH_MISSING,
        JobProblem.RING_COUNT_MISSING,
        JobProblem.MISSING_FOR_SHAPE,
        JobProblem.MISSING_AND_NOT_IN_STANDARD,
        JobProblem.DEPTH_MISSING,
    }
)
"""Problems of a field that is only still to be filled in."""


class Trouble(Struct, frozen=True):
    """A problem as the page tells it.

    Attributes:
        key: The field it concerns; empty if none.
        text: The sentence.
        place: Where that is, in words, for a list of problems; may be empty.
        missing: Whether something is only still to be filled in.
    """

    key: str
    text: str
    place: str
    missing: bool

    @property
    def id(self) -> str:
        """The id of its field."""
        return field_id(self.key)


class Note(Struct, frozen=True):
    """What stands below a field: a problem or a help."""

    css: str
    text: str


def troubles(problems: Iterable[Problem], state: State) -> tuple[Trouble, ...]:
    """The problems of a job or a survey, each with its field, equal ones once."""
    found = {(trouble.key, trouble.text): trouble for trouble in (_trouble(problem, state) for problem in problems)}
    return tuple(found.values())


def field_notes(found: Iterable[Trouble], state: State, survey: Survey | None, own: OwnTables = ()) -> dict[str, Note]:
    """What stands below each field, by key: its first problem, else what fills it where it is empty."""
    notes = {key: Note("help filled", text) for key, text in _filled_in(state, survey, own).items()}
    told: set[str] = set()
    for trouble in found:
        if trouble.key and trouble.key not in told:
            told.add(trouble.key)
            notes[trouble.key] = Note("needed" if trouble.missing else "wrong", trouble.text)
    return notes


def standard_notes(flange: Flange, unit: Unit) -> dict[str, Note]:
    """What is not as the standard that a bolt circle names, below the fields that make it so, by key."""
    notes = {}
    for number, circle in enumerate(flange.bolt_circles, 1):
        stands = against(circle)
        for found in stands.unmeant if stands else ():
            text = f"NOT AS {stands.row.designation}: {difference_words(circle, found, unit)}" if stands else ""
            notes[f"bolt_circle.{number}.{found.figure.value}"] = Note("wrong", text)
    return notes


def _trouble(problem: Problem, state: State) -> Trouble:
    key = field_key(problem.where, len(state.readings()))
    return Trouble(key, sentence(problem, PAGE), place_words(key), problem.kind in STILL_TO_FILL_IN)


def field_key(where: str, taken: int) -> str:
    """The key of the field behind a place of a job file, such as ``bolt_circle[2].diameter``.

    Args:
        where: The place as a problem names it.
        taken: Readings taken down; the one after them is being taken and has its own fields.
    """
    key = re.sub(r"\[(\d+)\]", r".\1", where)
    head, _, rest = key.partition(".")
    if head in {"bolt_circle", *row_tables()} and not rest[:1].isdigit():
        key = f"{head}.1" + (f".{rest}" if rest else "")
    elif match := _READING.fullmatch(key):
        number, name = int(match[1]), match[2] or "value"
        key = _DRAFT_KEYS.get(name, "n.value") if number > taken else f"survey.reading.{number}"
    elif key == "survey.reading":
        key = "n.value"
    elif re.fullmatch(r"job\.notes\.\d+", key):
        key = "job.notes"
    return key


def place_words(key: str) -> str:
    """The field of a key in words, or the row of a table."""
    if not key:
        return ""
    parts = key.split(".")
    if match := _READING.fullmatch(key):
        return f"Reading {match[1]}"
    row = next((part for part in parts if part.isdigit()), "")
    words = {"bolt_circle": "circle", "survey": "readings", "n": "readings", **row_tables()}
    table = f"{words.get(parts[0], '')} {row}".strip()
    if parts[-1] == row:
        return table[:1].upper() + table[1:]
    return f"{label_of(key)} ({table})" if table else label_of(key)


def _filled_in(state: State, survey: Survey | None, own: OwnTables) -> dict[str, str]:
    """What a standard or the readings fill in where nothing is written."""
    notes: dict[str, str] = {}
    plate = state.table("plate")
    if isinstance(plate.get("standard"), str):
        notes |= _from_standard(str(plate["standard"]), "plate", plate, state.show, ("outside_diameter",), own)
    for number, circle in enumerate(state.rows("bolt_circle"), 1):
        lead = f"bolt_circle.{number}"
        if isinstance(circle.get("standard"), str):
            names = ("diameter", "hole_count", "hole_diameter", "bolt")
            notes |= _from_standard(str(circle["standard"]), lead, circle, state.show, names, own)
        if survey is not None and circle.get("diameter") == "measured":
            notes[f"{lead}.diameter"] = f"{decimals(survey.diameter, state.show)} from the readings"
    return notes


def _from_standard(
    designation: str, lead: str, table: dict[str, object], unit: Unit, names: tuple[str, ...], own: OwnTables
) -> dict[str, str]:
    try:
        row = find(designation, own=own)
    except InputError:
        return {}
    lengths = {
        "diameter": row.bolt_circle,
        "hole_diameter": row.hole_diameter,
        "outside_diameter": row.outside_diameter,
    }
    texts = {name: with_unit(value, unit) for name, value in lengths.items() if value is not None}
    texts |= {"hole_count": str(row.hole_count), "bolt": row.bolt or ""}
    return {
        f"{lead}.{name}": f"{texts[name]} from {row.designation}"
        for name in names
        if texts.get(name) and name not in table
    }
