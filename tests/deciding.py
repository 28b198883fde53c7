"""Code that decides by the words of a message, a credit, a name or a source, read off a package's syntax trees.

What was said (a phrase) is followed through assignments, loops and calls within the package; a decision is a
comparison, a look-up, a split, a regular expression, or, for credits, the question whether there is one.
"""

import ast
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

_PHRASES = {"text", "credit", "hole_credit", "source", "pattern", "message", "msg", "words"}
_ASKED_WHETHER_ANY = {"credit", "hole_credit"}
_CUTS = {
    "startswith", "endswith", "split", "rsplit", "partition", "rpartition", "removeprefix", "removesuffix", "replace",
    "find", "index", "count",
}  # fmt: skip
_CUT_OF_NAMES = {"removeprefix", "partition", "rpartition", "split"}
_MATCHES = {"match", "fullmatch", "search", "sub", "findall", "finditer"}
_KEEPS = {"strip", "lower", "upper", "casefold", "lstrip", "rstrip"}
_Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, order=True)
class Decision:
    """A place that decides by words, and how it stands there."""

    module: str
    line: int
    code: str


@dataclass
class _Package:
    """The trees of a package, the types its classes give their fields, and the parameters that get phrases."""

    trees: dict[str, ast.Module]
    fields: dict[str, dict[str, str]] = field(default_factory=lambda: defaultdict(dict))
    told: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))


def decisions(root: Path) -> list[Decision]:
    """Every decision by words of a package, in order."""
    trees = {
        path.relative_to(root).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted(root.rglob("*.py"))
    }
    package = _Package(trees)
    for tree in trees.values():
        for each in (node for node in ast.walk(tree) if isinstance(node, ast.ClassDef)):
            for line in each.body:
                if isinstance(line, ast.AnnAssign) and isinstance(line.target, ast.Name):
                    package.fields[each.name.lower()][line.target.id] = ast.unparse(line.annotation)
                elif isinstance(line, _Function) and line.returns is not None:
                    package.fields[each.name.lower()][line.name] = ast.unparse(line.returns)
    for _ in range(2):  # a phrase handed on by one function is followed into the next
        for tree in trees.values():
            for scope in _scopes(tree):
                _follow_calls(scope, package)
    found = {
        Decision(name, node.lineno, ast.unparse(node)[:100])
        for name, tree in trees.items()
        for scope in _scopes(tree)
        for node in _decided(scope, package)
    }
    return sorted(found)


def _scopes(tree: ast.Module) -> Iterator[ast.AST]:
    yield tree
    yield from (node for node in ast.walk(tree) if isinstance(node, _Function))


@cache
def _own(scope: ast.AST) -> tuple[ast.AST, ...]:
    """What stands in a function itself, not in functions inside it."""
    found: list[ast.AST] = []
    waiting = list(ast.iter_child_nodes(scope))[::-1]
    while waiting:
        node = waiting.pop()
        if not isinstance(node, _Function):
            found.append(node)
            waiting += list(ast.iter_child_nodes(node))[::-1]
    return tuple(found)


def _phrases_in(scope: ast.AST, package: _Package) -> set[str]:
    """The names of a function that hold phrases."""
    names: set[str] = set()
    if isinstance(scope, _Function):
        parameters = [*scope.args.posonlyargs, *scope.args.args]
        shift = 1 if parameters and parameters[0].arg in ("self", "cls") else 0
        names |= {
            each.arg
            for index, each in enumerate(parameters)
            if index - shift in package.told[scope.name]
            and "str" in ast.unparse(each.annotation or ast.Constant("str"))
        }
    caught = {node.name for node in _own(scope) if isinstance(node, ast.ExceptHandler) and node.name}
    for _ in range(3):
        for node in _own(scope):
            match node:
                case ast.Assign(targets=[ast.Name(id=name)], value=value) if _holds(value, names, caught, package):
                    names.add(name)
                case ast.For(target=ast.Name(id=name), iter=each) if _holds(each, names, caught, package):
                    names.add(name)
                case ast.comprehension(target=ast.Name(id=name), iter=each) if _holds(each, names, caught, package):
                    names.add(name)
    return names | {f"str({name})" for name in caught}


def _holds(node: ast.expr, names: set[str], caught: set[str], package: _Package) -> bool:
    """Whether an expression is a phrase, or a collection of them."""
    known = names | {f"str({name})" for name in caught}
    if isinstance(node, ast.ListComp | ast.SetComp | ast.GeneratorExp):
        return _is_phrase(node.elt, known, package)
    if isinstance(node, ast.DictComp):
        return _is_phrase(node.key, known, package)
    return _is_phrase(node, known, package)


def _is_phrase(node: ast.AST, names: set[str], package: _Package) -> bool:  # noqa: PLR0911 - one way of being one each
    match node:
        case ast.Name(id=name):
            return name in names
        case ast.Call(func=ast.Name(id="str"), args=[ast.Name(id=name)]):
            return f"str({name})" in names
        case ast.Call(func=ast.Attribute(value=value, attr=method)) if method in _KEEPS | _CUTS:
            return _is_phrase(value, names, package)
        case ast.Call(func=ast.Attribute(attr="sub"), args=[*_, last]):
            return _is_phrase(last, names, package)
        case ast.Call(func=ast.Name(id=called), args=[first, *_]) if called in package.told:
            return _is_phrase(first, names, package)
        case ast.Attribute(value=value, attr=attr) if attr in _PHRASES:
            owner = package.fields.get(_owner(value), {}).get(attr)
            return owner is None or owner.startswith("str")
        case _:
            return False


def _owner(node: ast.AST) -> str:
    """The class that a variable is most likely of: ``item`` of Item."""
    if isinstance(node, ast.Subscript):
        return _owner(node.value).removesuffix("s")
    name = node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else ""
    return name.replace("_", "").lower()


def _follow_calls(scope: ast.AST, package: _Package) -> None:
    """Remember the parameters that phrases are handed to."""
    names = _phrases_in(scope, package)
    for call in (node for node in _own(scope) if isinstance(node, ast.Call)):
        called = call.func.id if isinstance(call.func, ast.Name) else ""
        for index, given in enumerate(call.args):
            if called and _is_phrase(given, names, package):
                package.told[called].add(index)


def _decided(scope: ast.AST, package: _Package) -> Iterator[ast.expr]:
    names = _phrases_in(scope, package)
    for node in _own(scope):
        match node:
            case ast.Compare(left=left, ops=ops, comparators=others):
                sides = [left, *others]
                if any(isinstance(op, ast.Eq | ast.NotEq | ast.In | ast.NotIn) for op in ops) and (
                    any(_is_phrase(side, names, package) for side in sides) or _is_word_of(sides)
                ):
                    yield node
            case ast.Call(func=ast.Attribute(value=value, attr=method), args=given) if _takes(
                method, value, given, names, package
            ):
                yield node
            case ast.Subscript(slice=key) if not isinstance(key, ast.Slice) and _is_phrase(key, names, package):
                yield node
            case ast.IfExp(test=test) | ast.If(test=test) if _asks_for_credit(test):
                yield test
            case ast.Call(func=ast.Name(id="any"), args=[given]) if _is_phrase(given, names, package):
                yield node


def _takes(method: str, value: ast.expr, given: list[ast.expr], names: set[str], package: _Package) -> bool:
    """Whether a call takes a phrase apart, matches one or looks one up."""
    if method in _CUTS:
        of_a_file = isinstance(value, ast.Name) and value.id == "name" and method in _CUT_OF_NAMES
        return of_a_file or _is_phrase(value, names, package)
    return method in (*_MATCHES, "get") and any(_is_phrase(each, names, package) for each in given)


def _is_word_of(sides: list[ast.expr]) -> bool:
    """Whether the name of a thing, or the word behind a choice, is held against a text."""
    words = any(isinstance(side, ast.Constant) and isinstance(side.value, str) and side.value for side in sides)
    named = [side for side in sides if isinstance(side, ast.Attribute) and side.attr in ("name", "value")]
    return words and any(ast.unparse(side.value) != "os" for side in named)


def _asks_for_credit(test: ast.expr) -> bool:
    return isinstance(test, ast.Attribute) and test.attr in _ASKED_WHETHER_ANY
