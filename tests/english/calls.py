"""Every place of the package that raises or collects a problem, read off its syntax trees."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "flangelayout"
_NO_FACTS = {"where", "line", "quote", "cure", "source"}
_RAISED = {"Problem", "FlangeLayoutError", "InputError", "UnitError", "GeometryError", "SurveyError", "OutputError"}


@dataclass(frozen=True)
class Telling:
    """A call that names a kind: which kinds and cures, and the facts it supplies."""

    place: str
    kinds: tuple[str, ...]
    cures: tuple[str, ...]
    facts: frozenset[str]


def trees(root: Path = PACKAGE) -> Iterator[tuple[Path, ast.Module]]:
    """Every module of a package."""
    for path in sorted(root.rglob("*.py")):
        yield path, ast.parse(path.read_text(encoding="utf-8"))


def tellings(root: Path = PACKAGE) -> list[Telling]:
    """Every call whose arguments name a kind of problem, wherever the call leads."""
    found = []
    for path, tree in trees(root):
        for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            given = [*call.args, *(each.value for each in call.keywords if each.arg in (None, "kind", "cure"))]
            kinds = tuple(name for each in given for name in _members(each, "Problem"))
            cures = tuple(name for each in given for name in _members(each, "Cure"))
            facts = frozenset(each.arg for each in call.keywords if each.arg) - _NO_FACTS
            if kinds:
                found.append(Telling(f"{path.relative_to(root)}:{call.lineno}", kinds, cures, facts))
    return found


def sentences(root: Path = PACKAGE) -> list[str]:
    """The places where an error or a problem is made with a finished sentence."""
    found = []
    for path, tree in trees(root):
        for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            name = call.func.id if isinstance(call.func, ast.Name) else ""
            if name in _RAISED:
                told = call.args[1:2] if name == "Problem" else call.args
                if any(_is_text(each) for each in told):
                    found.append(f"{path.relative_to(root)}:{call.lineno}")
    return found


def _members(node: ast.expr, ending: str) -> Iterator[str]:
    """Members of the enums whose names end so, of an argument that is one or chooses between some."""
    if isinstance(node, ast.IfExp):
        yield from _members(node.body, ending)
        yield from _members(node.orelse, ending)
    elif (
        isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id.endswith(ending)
        and node.attr.isupper()
    ):
        yield f"{node.value.id}.{node.attr}"


def _is_text(node: ast.expr) -> bool:
    """Whether an argument is a text, or anything else that is no problem and no kind."""
    if isinstance(node, ast.IfExp):
        return _is_text(node.body) or _is_text(node.orelse)
    if isinstance(node, ast.BinOp):
        return _is_text(node.left) or _is_text(node.right)
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))
