"""The errors the package raises, and the problems they carry: facts, which are worded where a person reads them."""

from dataclasses import dataclass
from importlib import import_module
from typing import Any, Self

from flangelayout.facts import Fact, Unit, in_unit
from flangelayout.problems import ProblemKind
from flangelayout.problems.cures import Cure

_LANGUAGE = "flangelayout.english.sentences"
"""What words a problem for a Python user. It is loaded when one is first read: no room below it knows a sentence."""


@dataclass(frozen=True, slots=True, init=False)
class Problem:
    """One thing wrong with what was given.

    Attributes:
        where: Job key, file or option, as the person wrote it; may be empty.
        kind: What is wrong. A finished sentence is taken, too: the command line, a door, makes its own.
        facts: The named values its sentence is made with; one of them may be the problem behind this one.
        cure: What would put it right, where the sentence of the kind does not say so by itself.
        line: Line in the file the person wrote, counted from 1, where it is known.
        quote: That line as it stands there, where it is known.
    """

    where: str
    kind: ProblemKind | str
    facts: tuple[tuple[str, "Fact | Problem"], ...]
    cure: Cure | None
    line: int | None
    quote: str

    def __init__(
        self,
        where: str,
        kind: ProblemKind | str,
        line: int | None = None,
        quote: str = "",
        cure: Cure | None = None,
        **facts: "Fact | Problem",
    ) -> None:
        """A problem of a kind and the facts that its sentence needs, by name."""
        values: dict[str, Any] = {"where": where, "kind": kind, "line": line, "quote": quote, "cure": cure}
        for name, value in values.items():
            object.__setattr__(self, name, value)
        object.__setattr__(self, "facts", tuple(facts.items()))

    @property
    def text(self) -> str:
        """What was found, why it cannot work and what to do, in one English sentence without its place."""
        return str(import_module(_LANGUAGE).sentence(self))

    def placed(self, where: str, line: int | None = None, quote: str = "", cure: Cure | None = None) -> "Problem":
        """The same problem at another place; line, quote and cure stay where none is given."""
        return Problem(where, self.kind, line or self.line, quote or self.quote, cure or self.cure, **dict(self.facts))

    def in_unit(self, unit: Unit) -> "Problem":
        """The same problem with its lengths said in ``unit``, except those given in a unit of their own."""
        facts = {
            name: fact.in_unit(unit) if isinstance(fact, Problem) else in_unit(fact, unit) for name, fact in self.facts
        }
        return Problem(self.where, self.kind, self.line, self.quote, self.cure, **facts)

    def __str__(self) -> str:
        """The problem in one line."""
        return str(import_module(_LANGUAGE).line_of(self))


class FlangeLayoutError(Exception):
    """Base of everything this package raises on purpose; carries every problem found, not only the first."""

    def __init__(self, *problems: Problem | str, source: str = "") -> None:
        """Keep the problems; ``source`` names the file they were found in, if any."""
        self.problems = tuple(Problem("", each) if isinstance(each, str) else each for each in problems)
        self.source = source
        super().__init__(*self.problems)

    @classmethod
    def of(
        cls, kind: ProblemKind, where: str = "", cure: Cure | None = None, source: str = "", **facts: "Fact | Problem"
    ) -> Self:
        """The error of one problem."""
        return cls(Problem(where, kind, None, "", cure, **facts), source=source)

    def placed(self, where: str, cure: Cure | None = None) -> tuple[Problem, ...]:
        """Its problems as they concern a place that whoever raised it could not know."""
        return tuple(problem.placed(where, cure=cure) for problem in self.problems)

    def lines(self) -> tuple[str, ...]:
        """One line per problem, each led by the file it stands in."""
        lead = f"{self.source}: " if self.source else ""
        return tuple(f"{lead}{problem}" for problem in self.problems)

    def __str__(self) -> str:
        """All lines."""
        return "\n".join(self.lines())


class InputError(FlangeLayoutError):
    """What was given cannot be worked with."""


class UnitError(FlangeLayoutError, ValueError):
    """A length or an angle that cannot be read."""


class GeometryError(FlangeLayoutError, ValueError):
    """Numbers that do not make the shape asked for."""


class SurveyError(FlangeLayoutError, ValueError):
    """Readings that do not fix a bolt circle, or contradict each other."""


class OutputError(FlangeLayoutError):
    """A file that could not be written, or must not be."""


def fault_line(fault: BaseException) -> str:
    """A fault of this program in one line: what it was, where it arose, and what to do with the line."""
    from traceback import extract_tb

    files = [frame for frame in extract_tb(fault.__traceback__) if "flangelayout" in frame.filename]
    file = files[-1].filename.replace("\\", "/").rpartition("/")[2] if files else ""
    place = f", {file} line {files[-1].lineno}" if files else ""
    told = " ".join(str(fault).split())[:200]
    return (
        f"this program failed on it ({type(fault).__name__}{f': {told}' if told else ''}{place}); "
        "nothing of it was written; send this line and the job to whoever looks after the program"
    )
