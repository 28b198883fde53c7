"""What is wrong with a name that the tables cannot follow, as values; the doors make their own sentences of them."""

from enum import Enum, auto

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError


class Fault(Enum):
    """Why a written name of a bolt means nothing, or not one thing."""

    NO_BOLT = auto()
    NO_SUCH_SIZE = auto()
    INCH_OR_MM = auto()
    PITCH_OR_LENGTH = auto()
    NO_SUCH_PITCH = auto()
    UNKNOWN_WORD = auto()


class MisreadName(Struct, frozen=True):
    """A name that could not be read.

    Attributes:
        fault: What is wrong with it.
        written: The whole text as it was written.
        part: The part of it that is at fault; the whole text where no part is.
        choices: What it may have meant, spelled so that it can be read.
    """

    fault: Fault
    written: str
    part: str
    choices: tuple[str, ...] = ()


class StandardsError(FlangeLayoutError, ValueError):
    """A name that no table can follow; `misread` says why, in values."""

    def __init__(self, misread: MisreadName) -> None:
        """Keep what could not be read."""
        self.misread = misread
        super().__init__(_sentence(misread))


def misread(fault: Fault, written: str, part: str | None = None, choices: tuple[str, ...] = ()) -> StandardsError:
    """The error of a text, or of a part of it.

    Args:
        fault: What is wrong.
        written: The whole text.
        part: The part at fault; the whole text unless given.
        choices: What it may have meant.
    """
    return StandardsError(MisreadName(fault, written, written if part is None else part, choices))


def _sentence(misread: MisreadName) -> str:
    """One line for a person who sees the bare error."""
    written, part = _quoted(misread.written), _quoted(misread.part)
    choices = " or ".join(misread.choices)
    match misread.fault:
        case Fault.NO_BOLT:
            return f"{written} names no bolt; write for example M20, M20x2.5x80 or 3/4-10 x 3"
        case Fault.NO_SUCH_SIZE:
            near = f"; the nearest are {choices}" if choices else ""
            return f"{written}: no bolt is made in the size {part}{near}"
        case Fault.INCH_OR_MM:
            return f"{written}: is {part} in inches or in mm? Write {choices}"
        case Fault.PITCH_OR_LENGTH:
            return f"{written}: is {part} the pitch or the length? Write both, as in {choices}"
        case Fault.NO_SUCH_PITCH:
            coarse = f"; the coarse one is {choices}" if choices else ""
            return f"{written}: no thread of that size has the pitch {part}{coarse}"
        case Fault.UNKNOWN_WORD:
            return f"{written}: {part} says nothing about a bolt that is known here; leave it out"


def _quoted(text: str) -> str:
    text = " ".join(text.split())
    return f'"{text if len(text) <= 60 else text[:57] + "..."}"'
