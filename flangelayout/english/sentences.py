"""A problem in English: the sentence of its kind, and the cure in the words of the door it is told at."""

from collections.abc import Callable, Mapping
from enum import Enum
from importlib import import_module

from msgspec import Struct, field

from flangelayout.english import cures
from flangelayout.english.phrases import phrase
from flangelayout.errors import FlangeLayoutError, Problem
from flangelayout.facts import Fact
from flangelayout.problems import ProblemKind
from flangelayout.problems.cures import Cure

_KEYS = ("key", "chosen_by")
"""The facts that are keys of a job file."""
_LONGEST_FACT = 300
_KINDS, _LANGUAGE = "flangelayout.problems.", "flangelayout.english."


def _as_written(where: str) -> str:
    return where


class Door(Struct, frozen=True):
    """What one door says in its own words, over what is said everywhere.

    Attributes:
        cures: Its words for what can be done.
        kinds: Its words for what is wrong.
        place: How it names a place.
        key: How it names a key of a job file within a sentence.
    """

    cures: Mapping[Cure, str] = field(default_factory=dict)
    kinds: Mapping[ProblemKind, str] = field(default_factory=dict)
    place: Callable[[str], str] = _as_written
    key: Callable[[str], str] = _as_written


PYTHON = Door()
"""The door of those who use the package from Python."""


def sentence(problem: Problem, door: Door = PYTHON) -> str:
    """What is wrong and what to do, without the place."""
    if isinstance(problem.kind, str):
        return problem.kind
    given = {name: line_of(fact, door) if isinstance(fact, Problem) else _short(fact) for name, fact in problem.facts}
    facts = {"where": problem.where, "quote": problem.quote, **{name: _termed(fact) for name, fact in given.items()}}
    facts |= {name: door.key(str(facts[name])) for name in _KEYS if name in facts}
    found = phrase(door.kinds.get(problem.kind) or template_of(problem.kind), facts)
    if problem.cure is None:
        return found
    return f"{found}; {phrase(door.cures.get(problem.cure) or cures.SENTENCES[problem.cure], facts)}"


def _short(fact: Fact) -> Fact:
    """A fact as it is, of an endless text its beginning."""
    if not isinstance(fact, str) or len(fact) <= _LONGEST_FACT:
        return fact
    return f"{fact[:_LONGEST_FACT]} ... ({len(fact)} characters)"


def _termed(fact: Fact) -> Fact:
    """A member of a choice whose words stand beside the sentences, as these; any other fact as it is."""
    room = type(fact).__module__
    if not isinstance(fact, Enum) or not room.startswith(_KINDS):
        return fact
    terms: Mapping[Enum, str] = import_module(_LANGUAGE + room.removeprefix(_KINDS)).TERMS
    return terms[fact]


def line_of(problem: Problem, door: Door = PYTHON) -> str:
    """The problem in one line, with the line of the file and the place."""
    place = f"line {problem.line}: " if problem.line else ""
    where = door.place(problem.where)
    told = f"{place}{where}: {sentence(problem, door)}" if where else f"{place}{sentence(problem, door)}"
    return "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in told)


def lines_of(wrong: FlangeLayoutError, door: Door = PYTHON) -> tuple[str, ...]:
    """One line per problem of an error, each led by the file it stands in."""
    lead = f"{wrong.source}: " if wrong.source else ""
    return tuple(f"{lead}{line_of(problem, door)}" for problem in wrong.problems)


def template_of(kind: ProblemKind) -> str:
    """The sentence of a kind with its facts by name, from the module that is called as the kind's own."""
    template: str = import_module(_LANGUAGE + type(kind).__module__.removeprefix(_KINDS)).SENTENCES[kind]
    return template
