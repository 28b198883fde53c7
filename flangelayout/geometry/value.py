"""Values that are made by the ten thousand: frozen to the type check, plain at run time.

A frozen dataclass sets each field past its own guard, which takes three times as long as to set it; a packet of eight
holes makes 13,000 points. What is decorated here may be changed by nobody: mypy holds every line of the package to it.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass as value
else:
    from dataclasses import dataclass

    def value(*, frozen: bool, slots: bool):  # noqa: ANN201 - the type check reads the branch above
        """A dataclass with the equality and the hash of a frozen one."""
        return dataclass(slots=slots, unsafe_hash=frozen)


__all__ = ["value"]
