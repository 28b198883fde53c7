"""What the buttons of the page do: each takes a state to the next one and says where the hand goes then."""

from collections.abc import Callable
from dataclasses import replace

from flangelayout.errors import InputError, UnitError
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.schema.tree import Shape, leaf_at
from flangelayout.standards import find
from flangelayout.survey.kinds import CHORD_KINDS
from flangelayout.survey.obstacles import Wanted, obstacles
from flangelayout.units import Unit, parse_length
from flangelayout.web.content.survey_of_state import measured
from flangelayout.web.form.address_tables import Table, flatten, unflatten
from flangelayout.web.form.fields import field_id, row_tables
from flangelayout.web.form.state import Draft, State

_MOST_ROWS = 50
Step = tuple[State, str]
"""The next state and the id of what gets the focus; empty leaves it where it is."""


def apply(state: State, action: str, own: OwnTables = ()) -> Step:
    """The state after a button was pressed; an unknown action changes nothing.

    Args:
        state: Before.
        action: Name of the button, and after a colon what it is about: ``use:EN 1092-1 PN16 DN150``.
        own: The shop's own patterns.
    """
    name, _, about = action.partition(":")
    if asking := _ASKING.get(name):
        return asking(state, about, own)
    step = _STEPS.get(name)
    return step(state, about) if step else (state, "")


def _enter(state: State, _about: str, own: OwnTables) -> Step:
    """The return key: takes the reading down if there is one."""
    return _add(state, "", own) if state.draft.value.strip() else (state, "")


def _add(state: State, _about: str, own: OwnTables) -> Step:
    """Take the reading down, unless it cannot be read; the next one is taken the same way."""
    if not state.draft.value.strip():
        return state, "n-value"
    rows = state.all_readings()
    places = {problem.where for problem in measured(state, own).problems}
    if any(place.startswith(f"survey.reading[{len(rows)}]") for place in places):
        return state, "n-value"
    kept = Draft(kind=state.draft.kind, within=state.draft.within)
    return replace(state.with_readings(rows), draft=kept), "n-value"


def _edit(state: State, about: str) -> Step:
    """Take a reading up again, to change it."""
    rows, index = state.readings(), _index(about)
    if index is None or index >= len(rows):
        return state, ""
    texts = dict(flatten({"survey": {"reading": [rows[index]]}}))
    row = {key.rpartition(".")[2]: text for key, text in texts.items()}
    draft = Draft(*(row.get(name, "") for name in ("kind", "from", "to", "value", "within")))
    return replace(state.with_readings(rows[:index] + rows[index + 1 :]), draft=draft), "n-value"


def _drop(state: State, about: str) -> Step:
    rows, index = state.readings(), _index(about)
    kept = [row for at, row in enumerate(rows) if at != index]
    return state.with_readings(kept), "n-value"


def _next(state: State, _about: str, own: OwnTables) -> Step:
    """Set the caliper to the reading that would tell most; one that is taken again leaves its place to the new one."""
    survey = measured(state, own).survey
    if survey is None or survey.next_reading is None:
        return state, ""
    state, _ = _enter(state, "", own)
    following = survey.next_reading
    pair = ("1", str(1 + following.pitches)) if following.kind in CHORD_KINDS and following.pitches else ("", "")
    rows, again = state.readings(), following.repeats
    if again is not None and again < len(rows):
        taken = survey.readings[again]
        if taken.from_hole and taken.to_hole:
            pair = (str(taken.from_hole), str(taken.to_hole))
        state = state.with_readings(rows[:again] + rows[again + 1 :])
    return replace(state, draft=Draft(following.kind.value, *pair)), "n-value"


def _use(state: State, about: str, own: OwnTables) -> Step:
    """Put what was measured or found on the flange."""
    number = min(state.onto, len(state.rows("bolt_circle")) + 1)
    if about == "measured":
        survey = measured(state, own).survey
        if survey is None or obstacles(survey, Wanted.CIRCLE):
            return state, ""
        changes: Table = {"diameter": "measured", "hole_count": survey.hole_count, "standard": None}
        return _with_row(state, "bolt_circle", number, changes), f"bolt_circle-{number}-diameter"
    try:
        row = find(about, own=own)
    except InputError:
        return state, ""
    changes = {"standard": row.designation, "diameter": None, "hole_count": None, "hole_diameter": None}
    state = _with_row(state, "bolt_circle", number, changes)
    plate = state.table("plate")
    if row.outside_diameter is not None and "outside_diameter" not in plate and number == 1:
        state = state.with_table("plate", standard=row.designation)
    return state, f"bolt_circle-{number}-standard"


def _show(state: State, about: str) -> Step:
    """Show lengths in another unit; the job keeps its own."""
    return replace(state, show=Unit.IN if about == Unit.IN.value else Unit.MM), ""


def _units(state: State, about: str) -> Step:
    """Make another unit the job's own; lengths already written keep theirs, named from now on."""
    new = Unit.IN if about == Unit.IN.value else Unit.MM
    if new is state.unit:
        return state, ""
    pairs = [(key, _named(key, text, state.unit)) for key, text in flatten(state.data)]
    draft = replace(
        state.draft, value=_suffixed(state.draft.value, state.unit), within=_suffixed(state.draft.within, state.unit)
    )
    return replace(state, data={**unflatten(pairs), "units": new.value}, show=new, draft=draft), ""


def _more(state: State, about: str) -> Step:
    """One more table of an array of tables, such as a bolt circle or a single hole."""
    words = {"bolt_circle": "circle", **row_tables()}
    if about not in words:
        return state, ""
    rows = state.rows(about) or [{}] * (about == "bolt_circle")
    number = len(rows) + 1
    if number > _MOST_ROWS:
        return state, ""
    first = field_id(f"{about}.{number}.{'standard' if about == 'bolt_circle' else 'name'}")
    added = state.with_data(about, [*rows, {"name": f"{words[about]} {number}"}])
    return (replace(added, onto=number) if about == "bolt_circle" else added), first


def _less(state: State, about: str) -> Step:
    """One table of an array of tables fewer."""
    name, _, number = about.partition(".")
    index = _index(number)
    if name not in {"bolt_circle", *row_tables()}:
        return state, ""
    return state.with_data(name, [row for at, row in enumerate(state.rows(name)) if at != index]), ""


def _look(state: State, _about: str) -> Step:
    """Only make the fields anew, because a choice decides which there are."""
    return state, ""


def _clear(_state: State, _about: str) -> Step:
    return State(), "survey-hole_count"


_ASKING: dict[str, Callable[[State, str, OwnTables], Step]] = {
    "enter": _enter,
    "add": _add,
    "next": _next,
    "use": _use,
}
"""Steps that ask the readings or the tables."""

_STEPS: dict[str, Callable[[State, str], Step]] = {
    "edit": _edit,
    "drop": _drop,
    "show": _show,
    "units": _units,
    "more": _more,
    "less": _less,
    "look": _look,
    "clear": _clear,
}


def _index(about: str) -> int | None:
    """An index from 0 of a number written from 1."""
    return int(about) - 1 if about.isdecimal() and 0 < len(about) < 5 and int(about) > 0 else None


def _with_row(state: State, name: str, number: int, changes: Table) -> State:
    rows = state.rows(name)
    rows += [{} for _ in range(number - len(rows))]
    merged = rows[number - 1] | changes
    rows[number - 1] = {key: value for key, value in merged.items() if value is not None}
    return state.with_data(name, rows)


def _named(key: str, text: str, unit: Unit) -> str:
    leaf = leaf_at(key)
    return _suffixed(text, unit) if leaf is not None and leaf.shape is Shape.LENGTH else text


def _suffixed(text: str, unit: Unit) -> str:
    """A length with the unit it was written in, if it names none."""
    try:
        bare = parse_length(text, Unit.MM) != parse_length(text, Unit.IN)
    except (UnitError, OverflowError):
        return text
    return f"{text} {unit.value}" if bare else text
