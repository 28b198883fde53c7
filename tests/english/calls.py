"""Every place of the package that raises or collects a problem, read off its syntax trees."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "flangelayout"
_NO_FACTS = {"where", "line", "quote", "cure", "source"}
_ERRORS = {"FlangeLayoutError", "InputError", "UnitError", "GeometryError", "SurveyError", "OutputError"}
_Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Telling:
    """A place that tells problems: of which kinds and cures, and with which facts.

    Attributes:
        place: Module and line.
        kinds: As they are written, such as ``UnitProblem.NO_LENGTH``; empty if none can be seen.
        cures: Likewise.
        facts: Their names.
    """

    place: str
    kinds: frozenset[str]
    cures: frozenset[str]
    facts: frozenset[str]


def modules(root: Path = PACKAGE) -> Iterator[tuple[str, ast.Module]]:
    """Every module that could tell a problem, by its path within the package."""
    for path in sorted(root.rglob("*.py")):
        name = path.relative_to(root).as_posix()
        if not name.startswith(("problems/", "english/", "errors.py")):
            yield name, ast.parse(path.read_text(encoding="utf-8"))


@cache
def tellings(root: Path = PACKAGE) -> tuple[Telling, ...]:
    """Every call that makes a problem or an error of one, with the kinds that can reach it."""
    return tuple(telling for name, tree in modules(root) for telling in _tellings_in(name, tree))


def mentioned_kinds(root: Path = PACKAGE) -> set[str]:
    """Every kind that a module names."""
    return {name for _, tree in modules(root) for name in members(tree, "Problem")}


def sentences(root: Path = PACKAGE) -> list[str]:
    """The places where an error or a problem is made with a finished sentence."""
    return [
        f"{name}:{call.lineno}"
        for name, tree in modules(root)
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
        for told in (call.args[1:2] if call.func.id == "Problem" else call.args if call.func.id in _ERRORS else ())
        if _is_text(told)
    ]


def members(tree: ast.AST, ending: str) -> Iterator[str]:
    """Members of the enums whose names end so."""
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Attribute)
            and isinstance(node.value, ast.Name)
            and node.value.id.endswith(ending)
            and node.attr.isupper()
        ):
            yield f"{node.value.id}.{node.attr}"


def _tellings_in(name: str, tree: ast.Module) -> Iterator[Telling]:
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    for scope in [tree, *(node for node in ast.walk(tree) if isinstance(node, _Function))]:
        for call in _own_calls(scope):
            told = _kind_of(call)
            if told is None:
                continue
            place, facts, cures = f"{name}:{call.lineno}", _facts(call), frozenset(members(call, "Cure"))
            seen = frozenset(members(told, "Problem"))
            if isinstance(told, ast.Name):
                seen = _assigned(tree, scope, told.id)
                if isinstance(scope, _Function) and told.id in _parameters(scope):
                    for outer in (each for each in calls if _called(each) == scope.name):
                        kinds = frozenset(kind for each in _given(outer) for kind in members(each, "Problem"))
                        yield Telling(f"{name}:{outer.lineno}", kinds, cures, facts | _facts(outer))
                    if not seen:
                        continue
            yield Telling(place, seen, cures, facts)


def _own_calls(scope: ast.AST) -> Iterator[ast.Call]:
    """The calls of a function or a module without those of the functions inside it."""
    for child in ast.iter_child_nodes(scope):
        if not isinstance(child, _Function):
            if isinstance(child, ast.Call):
                yield child
            yield from _own_calls(child)


def _kind_of(call: ast.Call) -> ast.expr | None:
    """The argument that is the kind of a problem, where the call makes one."""
    match call:
        case ast.Call(func=ast.Name(id="Problem"), args=[_, told, *_]):
            return told
        case ast.Call(func=ast.Attribute(value=ast.Name(id=error), attr="of"), args=[told, *_]) if error in _ERRORS:
            return told
        case _:
            return None


def _facts(call: ast.Call) -> frozenset[str]:
    return frozenset(each.arg for each in call.keywords if each.arg) - _NO_FACTS


def _given(call: ast.Call) -> list[ast.expr]:
    return [*call.args, *(each.value for each in call.keywords)]


def _called(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")


def _parameters(function: _Function) -> set[str]:
    return {each.arg for each in (*function.args.args, *function.args.kwonlyargs)}


def _assigned(tree: ast.Module, scope: ast.AST, name: str) -> frozenset[str]:
    """The kinds that a name of a function is given there, those of a table of the module among them."""
    values = [
        node.value
        for node in ast.walk(scope)
        if isinstance(node, ast.Assign)
        and any(isinstance(each, ast.Name) and each.id == name for target in node.targets for each in ast.walk(target))
    ]
    named = {each.id for value in values for each in ast.walk(value) if isinstance(each, ast.Name)}
    tables = [
        node.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        and any(isinstance(each, ast.Name) and each.id in named for each in node.targets)
    ]
    return frozenset(kind for value in (*values, *tables) for kind in members(value, "Problem"))


def _is_text(node: ast.expr) -> bool:
    """Whether an argument is a text, however it is put together."""
    if isinstance(node, ast.IfExp):
        return _is_text(node.body) or _is_text(node.orelse)
    if isinstance(node, ast.BinOp):
        return _is_text(node.left) or _is_text(node.right)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("str", "plain_line"):
        return True
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))
