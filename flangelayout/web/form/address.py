"""The address of the page: the whole job and what is shown, in a query that can be kept as a bookmark."""

import re
from collections.abc import Iterable
from enum import Enum
from typing import TypeVar
from urllib.parse import parse_qsl, quote, urlencode

from flangelayout.errors import InputError, Problem
from flangelayout.job.schema.tree import leaf_at
from flangelayout.problems.page import PageProblem
from flangelayout.survey.kinds import Kind
from flangelayout.units import Unit, names_no_unit
from flangelayout.web.form.address_tables import Pairs, flatten, unflatten
from flangelayout.web.form.lengths import shown_text
from flangelayout.web.form.state import Draft, Picture, Stage, State

LONGEST = 24_000
"""Characters of an address; browsers and servers carry at least that."""
_MOST_FIELDS = 3_000
_WAS = "was."
_DRAFT = "n."
_CHORD = "d."
_REMARK = "c."
_PAGE = ("step", "show", "view", "edit", "set", "find", "onto", "do")
_PAIR = re.compile(r"\d{1,3}-\d{1,3}")
_E = TypeVar("_E", bound=Enum)


def read_address(query: str) -> tuple[State, str]:
    """The state of a query and what was asked to be done with it (empty for nothing).

    Args:
        query: What stands after the question mark: job keys such as ``plate.bore`` and keys of the page.

    Raises:
        InputError: If it is longer than an address may be.
    """
    if len(query) > LONGEST:
        raise InputError(too_long(len(query)))
    try:
        given = parse_qsl(query, keep_blank_values=True, max_num_fields=_MOST_FIELDS)
    except ValueError:
        raise InputError.of(PageProblem.ADDRESS_TOO_MANY_FIELDS, most=_MOST_FIELDS) from None
    last = dict(given)
    master = Unit.IN if last.get("units") == Unit.IN.value else Unit.MM
    show = _choice(Unit, last.get("show", ""), master)
    texts = {key: text for key, text in given if key not in _PAGE and not key.startswith(_WAS)}
    texts |= {key: _kept(texts[key], was, master, show) for key, was in _masters(given) if key in texts}
    draft = {key.removeprefix(_DRAFT): text.strip() for key, text in texts.items() if key.startswith(_DRAFT)}
    chords = {key.removeprefix(_CHORD): text.strip() for key, text in texts.items() if key.startswith(_CHORD)}
    job = [
        (key, _unless_usual(key, text)) for key, text in texts.items() if not key.startswith((_DRAFT, _CHORD, _REMARK))
    ]
    data = {**unflatten(job), "units": master.value}
    state = State(
        data=data,
        draft=_draft(draft),
        step=_choice(Stage, last.get("step", ""), Stage.FLANGE if len(data) > 1 else Stage.START),
        show=show,
        picture=_choice(Picture, last.get("view", ""), Picture.FLANGE),
        edit=last.get("edit", "") if leaf_at(last.get("edit", "")) else "",
        group=last.get("set", "")[:40],
        find=last.get("find", "").strip(),
        onto=_number(last.get("onto", "")),
        remarks=tuple(
            (key.removeprefix(_REMARK), "\n".join(text.splitlines()))
            for key, text in texts.items()
            if key.startswith(_REMARK) and text
        ),
        drilled=tuple((pair, text) for pair, text in chords.items() if text and _PAIR.fullmatch(pair)),
    )
    return state, last.get("do", "")


def write_address(state: State) -> str:
    """The query of a state, without what needs not be said; equal states have equal queries.

    Raises:
        InputError: If the job holds more than an address can carry.
    """
    pairs = [(key, text) for key, text in flatten(state.data) if text]
    draft = state.draft
    page = [
        (f"{_DRAFT}kind", draft.kind if draft.kind != Draft().kind else ""),
        *((f"{_DRAFT}{name}", getattr(draft, name.replace("from", "from_"))) for name in _DRAFT_TEXTS),
        *((f"{_CHORD}{pair}", text) for pair, text in state.drilled),
        *((f"{_REMARK}{place}", said) for place, said in state.remarks),
        ("step", state.step.value),
        ("show", state.show.value if state.show is not state.unit else ""),
        ("view", state.picture.value if state.picture is not Picture.FLANGE else ""),
        ("edit", state.edit),
        ("set", state.group),
        ("find", state.find),
        ("onto", str(state.onto) if state.onto != 1 else ""),
    ]
    query = _encoded([*pairs, *(pair for pair in page if pair[1])])
    if len(query) > LONGEST:
        raise InputError(too_long(len(query)))
    return query


def too_long(length: int) -> Problem:
    """That an address is longer than the page takes."""
    return Problem("", PageProblem.ADDRESS_TOO_LONG, size=length, most=LONGEST)


_DRAFT_TEXTS = ("from", "to", "value", "within")


def _encoded(pairs: Pairs) -> str:
    return urlencode(pairs, quote_via=quote, encoding="utf-8", errors="replace")


def _masters(given: Iterable[tuple[str, str]]) -> Pairs:
    return [(key.removeprefix(_WAS), text) for key, text in given if key.startswith(_WAS)]


def _kept(text: str, was: str, master: Unit, show: Unit) -> str:
    """The master text of a length shown in another unit: the old one if untouched, else what was typed."""
    typed = text.strip()
    if typed == shown_text(was, master, show):
        return was
    return f"{typed} {show.value}" if show is not master and names_no_unit(typed) else typed


def _unless_usual(key: str, text: str) -> str:
    """The text, or nothing where it is the choice a job file means anyway."""
    leaf = leaf_at(key)
    return "" if leaf is not None and leaf.choices and text.strip() == leaf.usual_choice else text


def _draft(texts: dict[str, str]) -> Draft:
    kind = _choice(Kind, texts.get("kind", ""), Kind.CENTERS).value
    from_, to, value, within = (texts.get(name, "") for name in _DRAFT_TEXTS)
    return Draft(kind, from_, to, value, within)


def _choice(kind: type[_E], text: str, otherwise: _E) -> _E:
    return next((each for each in kind if each.value == text), otherwise)


def _number(text: str) -> int:
    return max(1, min(int(text), 50)) if text.isdecimal() and len(text) < 5 else 1
