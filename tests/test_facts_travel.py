"""Facts travel, sentences are made at the door: no code decides by the words of a message, a credit or a source."""

from functools import cache
from pathlib import Path

import pytest

from deciding import Decision, decisions
from rows import every_row

PACKAGE = Path(__file__).parents[1] / "flangelayout"

READERS = {
    "job/toml_slips.py": "reads the lines of a file as a person wrote them",
    "standards/designations/reading.py": "reads a designation as a person wrote it",
    "batch/columns.py": "reads the cells of a list as a person wrote them",
    "units.py": "reads a length as a person wrote it",
    "job/toml_lines.py": "finds the line of a dotted key in a file that a person wrote",
    "vision/cards.py": "reads the number that is printed in the code of a card",
    "files/printers.py": "puts the spaces of a name that a person typed in order",
    "drawing/textwidth.py": "measures letters; what they say does not matter",
}
"""Modules whose work is the letters of a text, each with its reason."""
MEANT = {
    "before.source == asked.source": "file names: whether a job was drawn from the same file",
    "name.rpartition('.')": "the ending of a file name, as a browser wants it told",
    "name.replace('_', ' ')": "a key of the schema as words, where no words stand for it",
    "part.name == 'without'": "the name of a field of a form",
    "part.name == 'added'": "the name of a field of a form",
    "part.name == 'photos'": "the name of a field of a form",
    "text.split('\\n')": "the lines of a size that is written in several",
    "each.source == CUTTING_PLANE": "what an item of a drawing shows, which is no credit",
    "each.source == _FIRST_ANGLE": "what an item of a drawing shows, which is no credit",
    "each.source == Furniture('section')": "what an item of a drawing shows, which is no credit",
    "what.text not in taken": "two numbers on one map, which may not be alike to the eye",
    "name.split('.', maxsplit=1)": "the stem of a file name, which some systems reserve",
}
"""Single places that compare or cut what is no sentence, each with its reason."""


@cache
def of_the_package() -> tuple[Decision, ...]:
    return tuple(decisions(PACKAGE))


def left(found: tuple[Decision, ...]) -> list[str]:
    unmeant = (each for each in found if each.module not in READERS and each.code not in MEANT)
    return [f"{each.module}:{each.line}: {each.code}" for each in unmeant]


@pytest.mark.slow
def test_nothing_in_the_package_decides_by_words() -> None:
    assert left(of_the_package()) == []


@pytest.mark.slow
def test_every_exception_is_still_needed() -> None:
    found = of_the_package()
    assert {each.module for each in found} >= set(READERS)
    assert {each.code for each in found} >= set(MEANT)


HABITS = {
    "a severity by whether there is a credit": ("def f(circle):\n    return 1 if circle.credit else 2\n"),
    "a caution by a word in a credit": (
        "def f(circles):\n"
        "    credits = [c.credit for c in circles]\n"
        "    return any('hub' in credit for credit in credits)\n"
    ),
    "a place by a word in an error": (
        "def f():\n"
        "    try:\n"
        "        g()\n"
        "    except ValueError as wrong:\n"
        "        return 'a' if 'pairs' in str(wrong) else 'b'\n"
    ),
    "an option taken out of an error": (
        "def f():\n"
        "    try:\n"
        "        g()\n"
        "    except ValueError as wrong:\n"
        "        return str(wrong).replace('--into', '')\n"
    ),
    "a cure cut out of a sentence": ("def f(finding):\n    return finding.text.rpartition('; ')[2]\n"),
    "a state by how a sentence begins": (
        "def f(problem):\n"
        "    text = clean(problem.text)\n"
        "    return text.startswith('is missing')\n"
        "def clean(text: str):\n"
        "    return text\n"
    ),
    "a kind by how a sentence begins": (
        "def f(problems):\n    return [p for p in problems if p.text.startswith('unknown')]\n"
    ),
    "a sentence mended by a pattern": (
        "import re\n"
        "def f(problem):\n"
        "    return g(problem.text)\n"
        "def g(text: str):\n"
        "    return re.sub('--\\\\w+', '', text)\n"
    ),
    "a hole looked up by its words": (
        "def f(flange, items):\n"
        "    holes = {hole.source: hole for hole in flange.holes()}\n"
        "    return [holes.get(item.source) for item in items]\n"
    ),
    "an owner told by what stands before its words": (
        "def f(item):\n    return g(item.source)\ndef g(source: str):\n    return source.removeprefix('lead-in of ')\n"
    ),
    "items chosen by their words": (
        "def f(piece, items):\n"
        "    sources = {hole.source for hole in piece.holes}\n"
        "    return [item for item in items if item.source in sources]\n"
    ),
    "a field by the words of a dimension": ("FIELDS = {'bore': 1}\ndef f(item):\n    return FIELDS[item.source]\n"),
    "a letter cut out of a name": ("def f(side):\n    return side.pattern.partition(' (')[0]\n"),
    "a kind cut out of a file name": ("def f(name):\n    return name.partition('_')[2]\n"),
    "an opening by its name": ("def f(opening):\n    return opening.name == 'bore'\n"),
    "a choice by the word behind it": ("def f(survey):\n    return survey.verdict.value != 'one'\n"),
}


@every_row("habit", HABITS)
def test_every_way_of_deciding_by_words_is_found(habit: str, tmp_path: Path) -> None:
    (tmp_path / "module.py").write_text(HABITS[habit])
    assert decisions(tmp_path), habit


def test_facts_are_no_words(tmp_path: Path) -> None:
    (tmp_path / "module.py").write_text(
        "from dataclasses import dataclass\n@dataclass\nclass Item:\n    source: Ref\n"
        "def f(item, owners, problem, survey):\n"
        "    told = f'{problem.text}'\n"
        "    return owners.get(item.source), problem.kind is MISSING, survey.verdict is Verdict.ONE, told\n"
    )
    assert decisions(tmp_path) == []
