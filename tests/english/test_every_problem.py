"""Every kind of problem has words, every word has its facts, and no room that is done makes sentences."""

import re
import string
from importlib import import_module

import pytest

from english.calls import PACKAGE, mentioned_kinds, sentences, tellings
from flangelayout.english import cures
from flangelayout.english.command_line import COMMAND_LINE
from flangelayout.english.page import PAGE
from flangelayout.english.sentences import PYTHON, Door, template_of
from flangelayout.problems import ProblemKind
from flangelayout.problems.cures import Cure
from flangelayout.web.content.field_notes import STILL_TO_FILL_IN
from rows import every_row

_ROOMS = sorted(
    path.stem for path in (PACKAGE / "problems").glob("*.py") if path.stem not in ("__init__", "kind", "cures")
)
_DOORS: tuple[Door, ...] = (PYTHON, COMMAND_LINE, PAGE)
_ALWAYS = {"where", "quote"}
_TO_DO: tuple[str, ...] = (
    "cli/",
    "lessons/",
    "standards/rows",
    "standards/table_file",
)
"""Where finished sentences still stand: the command line, which is a door, and rooms that are not done."""


def _kinds() -> dict[str, ProblemKind]:
    for room in _ROOMS:
        import_module(f"flangelayout.problems.{room}")
    return {f"{room.__name__}.{kind.name}": kind for room in ProblemKind.__subclasses__() for kind in room}


def _fields(template: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(template) if name is not None}


def _needed(kind: ProblemKind) -> set[str]:
    worded = [template_of(kind), *(door.kinds[kind] for door in _DOORS if kind in door.kinds)]
    return {name for template in worded for name in _fields(template)} - _ALWAYS


def _needed_by_cure(cure: Cure) -> set[str]:
    worded = [cures.SENTENCES[cure], *(door.cures[cure] for door in _DOORS if cure in door.cures)]
    return {name for template in worded for name in _fields(template)} - _ALWAYS


def test_the_words_of_a_room_are_those_of_its_kinds() -> None:
    assert sorted({kind.__module__.rpartition(".")[2] for kind in map(type, _kinds().values())}) == _ROOMS
    for room in _ROOMS:
        worded = import_module(f"flangelayout.english.{room}").SENTENCES
        here = {kind for kind in _kinds().values() if type(kind).__module__ == f"flangelayout.problems.{room}"}
        assert set(worded) == here, room
        assert all(template.strip() == template != "" for template in worded.values())


def test_every_cure_has_words() -> None:
    assert set(cures.SENTENCES) == set(Cure)


@pytest.mark.slow
def test_every_place_that_tells_a_problem_supplies_the_facts_of_its_sentence() -> None:
    kinds = _kinds()
    lacking = [
        f"{telling.place}: {name} needs {', '.join(sorted(lack))}"
        for telling in tellings()
        for name in telling.kinds
        if (lack := _needed(kinds[name]) - telling.facts)
    ]
    lacking += [
        f"{telling.place}: {name} needs {', '.join(sorted(lack))}"
        for telling in tellings()
        for name in telling.cures
        if (lack := _needed_by_cure(Cure[name.rpartition(".")[2]]) - telling.facts)
    ]
    assert lacking == []


@pytest.mark.slow
def test_no_kind_is_left_that_nothing_tells() -> None:
    told = {name for telling in tellings() for name in telling.kinds}
    assert sorted(set(_kinds()) - told) == []
    assert sorted(mentioned_kinds() - set(_kinds())) == []


@pytest.mark.slow
def test_every_problem_shows_its_kind_where_it_is_told() -> None:
    unseen = [telling.place for telling in tellings() if not telling.kinds]
    assert [place for place in unseen if not place.startswith(_TO_DO)] == []


@pytest.mark.slow
def test_no_room_that_is_done_makes_a_sentence() -> None:
    assert [place for place in sentences() if not place.startswith(_TO_DO)] == []


@every_row("room", _ROOMS)
def test_words_for_a_problem_stand_nowhere_but_in_the_language(room: str) -> None:
    lines = (PACKAGE / "problems" / f"{room}.py").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if "=" in line and "auto()" not in line] == []


_ON_THE_PAGE = ("schema", "flange", "geometry", "job", "survey")
_FROM_FILES_OR_PYTHON = {
    "FlangeProblem.HOLE_SAID_TWICE_OR_NEVER",
    "FlangeProblem.NO_SUCH_CHOICE",
    "FlangeProblem.NO_GROUPS",
    "SchemaProblem.NO_LAYER_NAME",
    "SchemaProblem.NOT_A_TABLE",
    "SchemaProblem.NOT_A_LIST",
    "SchemaProblem.NOT_TABLES",
}
"""Kinds that no field of the page can bring about."""
_SYNTAX = re.compile(r"\w+ = |\[|--|[a-z]+_[a-z]+|\"[^\"{]+\"|:toml")


def _said_on_the_page() -> dict[str, str]:
    said = {
        name: PAGE.kinds.get(kind) or template_of(kind)
        for name, kind in _kinds().items()
        if kind.__module__.rpartition(".")[2] in _ON_THE_PAGE
        and name not in _FROM_FILES_OR_PYTHON
        and not name.startswith("TomlProblem")
    }
    told = {name for telling in tellings() if not telling.place.startswith(_FILE_READERS) for name in telling.cures}
    return said | {cure.name: PAGE.cures.get(cure) or cures.SENTENCES[cure] for cure in map(_cure, told)}


_FILE_READERS = ("job/toml_slips", "files/", "batch/", "cli/")


def _cure(name: str) -> Cure:
    return Cure[name.rpartition(".")[2]]


@pytest.mark.slow
def test_the_page_never_speaks_the_language_of_the_job_file_nor_of_the_command_line() -> None:
    lapses = {
        name: template
        for name, template in _said_on_the_page().items()
        if _SYNTAX.search(re.sub(r"\{(\w+)(:(?!toml)[^}]*)?\}", "{}", template).replace('"{}"', "{}"))
    }
    assert lapses == {}


def test_what_is_only_still_to_be_filled_in_is_known_by_its_kind() -> None:
    fields = {name: kind for name, kind in _kinds().items() if name.startswith(("SchemaProblem", "JobProblem"))}
    missing = {kind for kind in fields.values() if template_of(kind).startswith("is missing")}
    assert missing == STILL_TO_FILL_IN
