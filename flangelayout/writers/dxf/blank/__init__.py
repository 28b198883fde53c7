"""Empty drawings, tag by tag as ezdxf 1.4 writes them, with gaps where what is drawn comes in.

A gap is a line of its own: ``<name>`` for one value, ``[name]`` for any number of whole lines. Filling gaps costs a
twentieth of building such a document and writing it out.
"""

import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files


@cache
def _parts(name: str) -> tuple[str, ...]:
    """The text of a file and the names of its gaps by turns."""
    text = (files(__package__) / f"{name}.txt").read_text("ascii")
    return tuple(re.split(r"^([<\[]\w+)[>\]]\n", text, flags=re.MULTILINE))


def filled(name: str, gaps: Mapping[str, object]) -> str:
    """A drawing, or a part of one, with something in every gap.

    Args:
        name: ``R12``, ``R2000`` or ``R2010`` for a drawing; ``page``, ``no_page`` or ``viewport`` for a part.
        gaps: Values, and texts of whole lines, by the names of the gaps.
    """
    out = []
    for text, gap in zip(*[iter((*_parts(name), ""))] * 2, strict=True):
        out.append(text)
        if gap:
            out.append(f"{gaps[gap[1:]]}\n" if gap[0] == "<" else str(gaps[gap[1:]]))
    return "".join(out)


@cache
def usual_dimension_style() -> tuple[tuple[int, str], ...]:
    """The groups of a dimension style that nothing has been said of, in their order."""
    lines = _parts("dimstyle")[0].splitlines()
    return tuple((int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True))
