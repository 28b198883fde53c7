"""What the buttons of the page do: each takes a state to the next one and says where the hand goes then."""

from collections.abc import Callable

from flangelayout.flange.origin import Figure
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.schema.tree import Shape, leaf_at
from flangelayout.packet.names import next_revision
from flangelayout.survey.kinds import Kind
from flangelayout.units import Unit, names_no_unit
from flangelayout.value import replace
from flangelayout.web.content.pad import asked_after, is_number
from flangelayout.web.content.picture.sizes import sizes_of
from flangelayout.web.content.survey_of_state import measured
from flangelayout.web.form.address_tables import Table, flatten, unflatten
from flangelayout.web.form.fields import field_id
from flangelayout.web.form.names import row_words
from flangelayout.web.form.state import Draft, Picture, Stage, State
from flangelayout.web.serving.measuring import MEASURING, WRITING, Deed, index_of

_MOST_ROWS = 50
_CALLED = {"bolt_circle": "circle"}


def apply(state: State, action: str, own: OwnTables = (), suggested: str = "") -> Deed:
    """The state after a button was pressed; an unknown action changes nothing.

    Args:
        state: Before.
        action: Name of the button, and after a colon what it is about: ``use:EN 1092-1 PN16 DN150``.
        own: The shop's own patterns.
        suggested: A job number that no job has yet, for a job that is begun.
    """
    name, _, about = action.partition(":")
    if name == "begin":
        return _begin(state, about, suggested)
    if asking := MEASURING.get(name) or _ASKING.get(name):
        return asking(state, about, own)
    deed = _DEEDS.get(name)
    return deed(state, about) if deed else (state, "")


def _begin(state: State, about: str, suggested: str) -> Deed:
    """Through one of the three doors, with nothing but the unit and a job number."""
    data: Table = {"units": state.unit.value}
    if suggested:
        data["job"] = {"number": suggested}
    fresh = State(data=data, show=state.show)
    match about:
        case "hand":
            counted = fresh.with_table("survey", hole_count=8)
            return replace(counted, step=Stage.MEASURE, draft=Draft(Kind.CENTERS.value, "1", "2")), WRITING
        case "name":
            return replace(fresh, step=Stage.NAME), "find"
        case "sizes":
            return _edit(replace(fresh, step=Stage.FLANGE), "bolt_circle.1.diameter")
        case _:
            return state, ""


def _step(state: State, about: str) -> Deed:
    """To another step; what is written stays."""
    step = next((step for step in Stage if step.value == about), state.step)
    if step is Stage.MEASURE and not state.draft.from_ and state.draft.kind == Kind.CENTERS.value:
        state = replace(state, draft=replace(state.draft, from_="1", to="2"))
    return replace(state, step=step, edit="", group=""), WRITING if step is Stage.MEASURE else ""


def _view(state: State, about: str) -> Deed:
    """Look at another drawing."""
    return replace(state, picture=next((each for each in Picture if each.value == about), state.picture)), ""


def _group(state: State, about: str) -> Deed:
    """Open a group of everything the job may hold, or close them all."""
    return replace(state, group=about[:40], edit=""), "sought" if about and not state.group else ""


def _edit(state: State, about: str) -> Deed:
    """Write a size on the picture, or what is no number in its group."""
    if not about:
        return replace(state, edit=""), ""
    if about.startswith(("survey.", "n.")):
        return replace(state, step=Stage.MEASURE, edit="", group=""), WRITING
    if leaf_at(about) is None:
        table = about.partition(".")[0]
        return (replace(state, group=table), "") if leaf_at(about) is None and table in _GROUPED else (state, "")
    if is_number(about) and about.startswith(_ON_THE_PICTURE):
        return replace(state, step=Stage.FLANGE, edit=about, group=""), field_id(about)
    return replace(state, group=about.partition(".")[0], edit=""), field_id(about)


_ON_THE_PICTURE = ("plate.outside_diameter", "plate.bore", "plate.thickness", "bolt_circle.")
_GROUPED = ("plate", "job", "survey", "checks", "cut", "machine", "template", "sheet", "tolerances", *row_words())


def _done(state: State, _about: str, own: OwnTables) -> Deed:
    """A size is written: on to the next one that is asked for."""
    asked = [size.key for size in asked_after(sizes_of(state, None, measured(state, own).survey, own))]
    later = [key for key in asked if key != state.edit]
    edit = later[0] if later else ""
    return replace(state, edit=edit), field_id(edit) if edit else "take-packet"


def _set(state: State, about: str) -> Deed:
    """One press that puts something right: a value written, or taken out."""
    key, _, text = about.partition("=")
    return (state.with_text(key, text), "") if leaf_at(key) is not None else (state, "")


def _keep(state: State, about: str) -> Deed:
    """A figure differs from the standard on purpose, and the sheet will say so."""
    lead, _, name = about.rpartition(".")
    if name not in {figure.value for figure in Figure} or leaf_at(f"{lead}.differs") is None:
        return state, ""
    kept = [each for each in state.text(f"{lead}.differs").splitlines() if each]
    return state.with_text(f"{lead}.differs", "\n".join(dict.fromkeys([*kept, name]))), ""


def _off(state: State, about: str, own: OwnTables) -> Deed:
    """Take the standard off a circle and keep its numbers."""
    index = index_of(about)
    rows = state.rows("bolt_circle")
    if index is None or index >= len(rows) or "standard" not in rows[index]:
        return state, ""
    shown = sizes_of(state, None, None, own).circles[index]
    lead = f"bolt_circle.{index + 1}"
    for size in (shown.diameter, shown.hole_count, shown.hole_diameter):
        if size.text and not state.text(size.key):
            state = state.with_text(
                size.key, _suffixed(size.text, state.show) if "count" not in size.key else size.text
            )
    return state.with_text(f"{lead}.standard", "").with_text(f"{lead}.differs", ""), ""


def _revise(state: State, _about: str) -> Deed:
    """The next revision, for contents that are not those of the one that was saved."""
    following = next_revision(state.text("job.revision") or "A")
    return (state.with_text("job.revision", following), "take-packet") if following else (state, "job-revision")


def _show(state: State, about: str) -> Deed:
    """Show lengths in another unit; a job that has none yet is in it from now on."""
    unit = Unit.IN if about == Unit.IN.value else Unit.MM
    lengths = any(_is_length(key) for key, _ in flatten(state.data))
    return _units(state, about) if not lengths and not state.draft.value else (replace(state, show=unit), "")


def _units(state: State, about: str) -> Deed:
    """Make another unit the job's own; lengths already written keep theirs, named from now on."""
    new = Unit.IN if about == Unit.IN.value else Unit.MM
    if new is state.unit:
        return replace(state, show=new), ""
    pairs = [(key, _suffixed(text, state.unit) if _is_length(key) else text) for key, text in flatten(state.data)]
    draft = replace(
        state.draft, value=_suffixed(state.draft.value, state.unit), within=_suffixed(state.draft.within, state.unit)
    )
    return replace(state, data={**unflatten(pairs), "units": new.value}, show=new, draft=draft), ""


def _more(state: State, about: str) -> Deed:
    """One more table of an array of tables, such as a bolt circle, a hole, or a corner of the outline."""
    words = row_words()
    if about not in words:
        return state, ""
    rows = state.rows_at(about) or [{}] * (about == "bolt_circle" and not state.group)
    number = len(rows) + 1
    if number > _MOST_ROWS:
        return state, ""
    named = leaf_at(f"{about}.{number}.name") is not None
    fresh: Table = {"name": f"{_CALLED.get(about, words[about])} {number}"} if named else {_FIRST[about]: ""}
    added = state.with_rows(about, [*rows, fresh])
    if about == "bolt_circle" and not state.group:
        return replace(added, onto=number, edit="", step=Stage.FLANGE), "find"
    return replace(added, group=about.partition(".")[0]), field_id(f"{about}.{number}.{next(iter(fresh))}")


_FIRST = {"plate.path": "x", "job.revision_history": "revision", "survey.reading": "value", "turned": "kind"}
"""The first key of a table that has no name."""


def _less(state: State, about: str) -> Deed:
    """One table of an array of tables fewer."""
    path, _, number = about.rpartition(".")
    index = index_of(number)
    if path not in row_words():
        return state, ""
    kept = [row for at, row in enumerate(state.rows_at(path)) if at != index]
    left = state.with_rows(path, kept)
    return replace(left, onto=max(1, min(left.onto, len(left.rows("bolt_circle")))), edit=""), ""


def _look(state: State, _about: str) -> Deed:
    """Only make the fields anew, because a choice decides which there are."""
    return state, ""


_ASKING: dict[str, Callable[[State, str, OwnTables], Deed]] = {"done": _done, "off": _off}
"""Deeds that ask the readings or the tables."""

_DEEDS: dict[str, Callable[[State, str], Deed]] = {
    "step": _step,
    "view": _view,
    "group": _group,
    "edit": _edit,
    "set": _set,
    "keep": _keep,
    "revise": _revise,
    "show": _show,
    "units": _units,
    "more": _more,
    "less": _less,
    "look": _look,
}


def _is_length(key: str) -> bool:
    leaf = leaf_at(key)
    return leaf is not None and leaf.shape is Shape.LENGTH


def _suffixed(text: str, unit: Unit) -> str:
    """A length with the unit it was written in, if it names none."""
    return f"{text} {unit.value}" if names_no_unit(text) else text
