"""The errors the package raises. Every one is a sentence a person can act on; imports nothing."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what was given: where it stands and what to do about it.

    Attributes:
        where: Job key, file or option, as the person wrote it; may be empty.
        text: What was found, why it cannot work and what to do, in one sentence.
        line: Line in the file the person wrote, counted from 1, where it is known.
    """

    where: str
    text: str
    line: int | None = None

    def __str__(self) -> str:
        """The problem in one line."""
        place = f"line {self.line}: " if self.line else ""
        return f"{place}{self.where}: {self.text}" if self.where else f"{place}{self.text}"


class FlangeLayoutError(Exception):
    """Base of everything this package raises on purpose."""


class InputError(FlangeLayoutError):
    """What was given cannot be worked with; carries every problem found, not only the first."""

    def __init__(self, *problems: Problem, source: str = "") -> None:
        """Keep the problems; ``source`` names the file they were found in, if any."""
        self.problems = problems
        self.source = source
        super().__init__("\n".join(self.lines()))

    def lines(self) -> tuple[str, ...]:
        """One line per problem, each led by the file it stands in."""
        lead = f"{self.source}: " if self.source else ""
        return tuple(f"{lead}{problem}" for problem in self.problems)


class UnitError(FlangeLayoutError, ValueError):
    """A length or an angle that cannot be read."""


class GeometryError(FlangeLayoutError, ValueError):
    """Numbers that do not make the shape asked for."""


class SurveyError(FlangeLayoutError, ValueError):
    """Readings that do not fix a bolt circle, or contradict each other."""


class OutputError(FlangeLayoutError):
    """A file that could not be written, or must not be."""
