"""Nothing decides by the text of a message, a credit, a name or a source: found in the syntax tree of the package.

Text may be printed, joined and laid out. What is asked of it here is whether code *asks* it something: compares it with
words, looks for a piece in it, takes it apart or matches it.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import flangelayout

PACKAGE = Path(flangelayout.__file__).parent
SENTENCES = frozenset(
    {
        "text",
        "message",
        "credit",
        "hole_credit",
        "density_source",
        "source",
        "sentence",
        "remark",
        "cure",
        "reason",
        "said",
    }
)
"""Names of fields and variables that hold what is said, or where something comes from."""
ASKING = frozenset(
    {"split", "rsplit", "partition", "rpartition", "startswith", "endswith", "find", "index", "count", "removeprefix"}
    | {"removesuffix", "replace"}
)
MATCHING = frozenset({"match", "search", "fullmatch", "findall", "finditer", "sub", "split"})


def _holds_words(node: ast.expr) -> bool:
    """Whether an expression is a sentence: ``finding.text``, ``credit``, ``str(error)``, ``error.args[0]``."""
    match node:
        case ast.Attribute(attr=name):
            return name in SENTENCES - {"text", "source"} or (name in SENTENCES and not _is_input(node.value))
        case ast.Call(func=ast.Name(id="str"), args=[ast.Name(id=name)]):
            return name in ("error", "exc", "problem", "finding", "fault")
        case ast.Call(func=ast.Attribute(value=inner, attr="lower" | "upper" | "strip" | "casefold")):
            return _holds_words(inner)
    return False


def _is_input(node: ast.expr) -> bool:
    """What a person wrote or a file holds is there to be read: cells, tokens, labels to be laid out."""
    return isinstance(node, ast.Name) and node.id in ("cell", "label", "token", "statement", "self")


def _asked(tree: ast.AST) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            sides = (node.left, *node.comparators)
            words = any(isinstance(each, ast.Constant) and isinstance(each.value, str) and each.value for each in sides)
            if words and any(_holds_words(each) for each in sides):
                yield node.lineno, ast.unparse(node)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            laid_out = node.func.attr == "split" and not node.args  # all white space alike: broken into lines anew
            on_words = node.func.attr in ASKING and not laid_out and _holds_words(node.func.value)
            matched = node.func.attr in MATCHING and any(_holds_words(each) for each in node.args)
            if on_words or matched:
                yield node.lineno, ast.unparse(node)


@pytest.mark.slow
def test_no_code_asks_a_sentence_what_it_means() -> None:
    found = [
        f"{path.relative_to(PACKAGE)}:{line}: {code}"
        for path in sorted(PACKAGE.rglob("*.py"))
        for line, code in _asked(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert found == []


def test_the_search_finds_what_it_is_for() -> None:
    asking = (
        "'wheel hub' in circle.credit",
        "finding.text.rpartition('; ')[2]",
        "re.search('is missing', problem.text)",
        "item.source.removeprefix('lead-in of ')",
        "'pairs' in str(error)",
        "circle.credit.lower() == 'measured'",
    )
    assert [len(list(_asked(ast.parse(code)))) for code in asking] == [1] * len(asking)
    laid_out = ("f'{finding.text} [{finding.source}]'", "text_width(label.text, 2.5)", "lines.append(problem.text)")
    assert [list(_asked(ast.parse(code))) for code in laid_out] == [[]] * len(laid_out)
