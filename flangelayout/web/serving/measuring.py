"""What the buttons of Measure and Decide do: pick where the jaws sit, add, redo, delete, use."""

from collections.abc import Callable

from flangelayout.errors import InputError
from flangelayout.job.build.circles import OwnTables
from flangelayout.standards import find
from flangelayout.survey import Survey
from flangelayout.survey.kinds import CHORD_KINDS, Kind
from flangelayout.survey.obstacles import Wanted, obstacles
from flangelayout.units import size_text
from flangelayout.value import replace
from flangelayout.web.content.pad import asked_after
from flangelayout.web.content.picture.sizes import sizes_of
from flangelayout.web.content.survey_of_state import measured
from flangelayout.web.form.address_tables import Table, flatten
from flangelayout.web.form.fields import field_id
from flangelayout.web.form.state import Draft, Stage, State

Deed = tuple[State, str]
"""The next state and the id of what gets the focus; empty leaves it where it is."""
WRITING = "n-value"
_CHORDS = {kind.value for kind in CHORD_KINDS}
_EDGES = {"plate.outside_diameter": Kind.OUTSIDE_DIAMETER, "plate.bore": Kind.BORE}
_MOST_HOLES = 400


def pick(state: State, about: str, _own: OwnTables) -> Deed:
    """Where the jaws sat: two holes one after the other, one hole, the rim or the bore."""
    draft = state.draft
    edge = _EDGES.get(about)
    if edge is not None:
        return replace(state, draft=Draft(edge.value, value=draft.value, within=draft.within)), WRITING
    if not (about.isdecimal() and 0 < len(about) < 4):
        return state, ""
    if draft.from_ and not draft.to and draft.from_ != about:
        kind = draft.kind if draft.kind in _CHORDS else _last_chord(state)
        return replace(state, draft=replace(draft, kind=kind, to=about)), WRITING
    return replace(state, draft=replace(draft, kind=Kind.HOLE_DIAMETER.value, from_=about, to="")), WRITING


def count(state: State, about: str, _own: OwnTables) -> Deed:
    """How many holes there are."""
    if not (about.isdecimal() and 1 < int(about) <= _MOST_HOLES):
        return state, ""
    draft = state.draft
    if max((int(text) for text in (draft.from_, draft.to) if text.isdecimal()), default=0) > int(about):
        state = replace(state, draft=replace(draft, from_="1", to="2"))
    return state.with_text("survey.hole_count", about), ""


def enter(state: State, _about: str, own: OwnTables) -> Deed:
    """The return key: adds the reading if there is one."""
    return add(state, "", own) if state.draft.value.strip() else (state, "")


def add(state: State, _about: str, own: OwnTables) -> Deed:
    """Add the reading, unless it cannot be read; the one that would tell most comes next."""
    if not state.draft.value.strip():
        return state, WRITING
    rows = state.all_readings()
    places = {problem.where for problem in measured(state, own).problems}
    if any(place.startswith(f"survey.reading[{len(rows)}]") for place in places):
        return state, WRITING
    added = replace(state.with_readings(rows), draft=Draft(kind=state.draft.kind, within=state.draft.within))
    return replace(added, draft=_following(added, state.draft, own)), WRITING


def redo(state: State, about: str, _own: OwnTables) -> Deed:
    """Take a reading up again: what is written now replaces it."""
    rows, index = state.readings(), index_of(about)
    if index is None or index >= len(rows):
        return state, ""
    texts = dict(flatten({"survey": {"reading": [rows[index]]}}))
    row = {key.rpartition(".")[2]: text for key, text in texts.items()}
    draft = Draft(*(row.get(name, "") for name in ("kind", "from", "to", "value", "within")))
    kept = state.with_readings(rows[:index] + rows[index + 1 :])
    return replace(kept, draft=draft, step=Stage.MEASURE), WRITING


def delete(state: State, about: str, _own: OwnTables) -> Deed:
    """A reading fewer."""
    rows, index = state.readings(), index_of(about)
    return state.with_readings([row for at, row in enumerate(rows) if at != index]), WRITING


def following(state: State, _about: str, own: OwnTables) -> Deed:
    """Set the caliper to the reading that would tell most; one that is taken again leaves its place to the new one."""
    survey = measured(state, own).survey
    if survey is None or survey.next_reading is None:
        return state, ""
    state, _ = enter(state, "", own)
    wanted = survey.next_reading
    rows, again = state.readings(), wanted.repeats
    draft = _next_draft(survey)
    if again is not None and again < len(rows):
        taken = survey.readings[again]
        if taken.from_hole and taken.to_hole:
            draft = Draft(wanted.kind.value, str(taken.from_hole), str(taken.to_hole))
        state = state.with_readings(rows[:again] + rows[again + 1 :])
    return replace(state, draft=draft, step=Stage.MEASURE), WRITING


def use(state: State, about: str, own: OwnTables) -> Deed:
    """Put what was measured or found on the flange."""
    number = min(state.onto, len(state.rows("bolt_circle")) + 1)
    state, _ = enter(state, "", own)
    state = replace(state, draft=Draft(kind=state.draft.kind))
    survey = measured(state, own).survey
    if about == "measured":
        if survey is None or obstacles(survey, Wanted.CIRCLE):
            return state, ""
        changes: Table = {"diameter": "measured", "hole_count": survey.hole_count, "standard": None}
        return _on_flange(_as_read(with_row(state, "bolt_circle", number, changes), survey), own)
    try:
        row = find(about, own=own)
    except InputError:
        return state, ""
    changes = {"standard": row.designation, "diameter": None, "hole_count": None, "hole_diameter": None}
    state = with_row(state, "bolt_circle", number, changes)
    if row.outside_diameter is not None and "outside_diameter" not in state.table("plate") and number == 1:
        return _on_flange(state.with_table("plate", standard=row.designation), own)
    return _on_flange(_as_read(state, survey) if survey is not None and number == 1 else state, own)


def _as_read(state: State, survey: Survey) -> State:
    """Outside, bore and hole as they were read, where nothing else says them."""
    for kind, key in ((Kind.OUTSIDE_DIAMETER, "plate.outside_diameter"), (Kind.BORE, "plate.bore")):
        read = next((reading.value for reading in survey.readings if reading.kind is kind), None)
        standard = kind is Kind.OUTSIDE_DIAMETER and "standard" in state.table("plate")
        if read is not None and not state.text(key) and not standard:
            state = state.with_text(key, size_text(read, state.unit))
    return state


def _on_flange(state: State, own: OwnTables) -> Deed:
    """On to the flange, to the first size that is still asked for."""
    state = replace(state, step=Stage.FLANGE, find="")
    asked = asked_after(sizes_of(state, None, measured(state, own).survey, own))
    edit = asked[0].key if asked else ""
    return replace(state, edit=edit), field_id(edit) if edit else ""


def index_of(about: str) -> int | None:
    """An index from 0 of a number written from 1."""
    return int(about) - 1 if about.isdecimal() and 0 < len(about) < 5 and int(about) > 0 else None


def with_row(state: State, name: str, number: int, changes: Table) -> State:
    """The state with some keys of one table of an array changed; ``None`` takes a key out."""
    rows = state.rows(name)
    rows += [{} for _ in range(number - len(rows))]
    merged = rows[number - 1] | changes
    rows[number - 1] = {key: value for key, value in merged.items() if value is not None}
    return state.with_data(name, rows)


def _following(state: State, last: Draft, own: OwnTables) -> Draft:
    """The reading to write after one was added: the one that tells most, else the next pair the same way."""
    survey = measured(state, own).survey
    if survey is not None and survey.next_reading is not None and survey.next_reading.repeats is None:
        return _next_draft(survey)
    kind = last.kind if last.kind in _CHORDS else _last_chord(state)
    holes = survey.hole_count if survey is not None else 8
    if last.kind in _CHORDS and last.from_.isdecimal() and last.to.isdecimal():
        first, second = (str(int(each) % holes + 1) for each in (last.from_, last.to))
        return Draft(kind, first, second, within=last.within)
    return Draft(kind, "1", "2")


def _next_draft(survey: Survey) -> Draft:
    wanted = survey.next_reading
    assert wanted is not None
    if wanted.kind not in CHORD_KINDS or not wanted.pitches:
        return Draft(wanted.kind.value)
    taken = sum(reading.kind in CHORD_KINDS for reading in survey.readings)
    first = taken % survey.hole_count + 1
    second = (first - 1 + wanted.pitches) % survey.hole_count + 1
    return Draft(wanted.kind.value, str(first), str(second))


def _last_chord(state: State) -> str:
    """How the jaws sat between two holes the last time."""
    kinds = [str(row.get("kind", "")) for row in state.readings()]
    return next((kind for kind in reversed(kinds) if kind in _CHORDS), Kind.CENTERS.value)


MEASURING: dict[str, Callable[[State, str, OwnTables], Deed]] = {
    "pick": pick,
    "count": count,
    "enter": enter,
    "add": add,
    "redo": redo,
    "delete": delete,
    "next": following,
    "use": use,
}
"""The deeds of measuring, by the names of their buttons."""
