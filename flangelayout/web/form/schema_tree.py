"""What a job file can hold, as a tree read off its schema: the page asks for nothing the schema does not know."""

import inspect
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from flangelayout.job.schema.job_file import JobFile
from flangelayout.units import Unit, parse_length


class Shape(Enum):
    """What a single value is: a text, a length (with or without its unit), another number, or a list."""

    TEXT = "text"
    FLAG = "flag"
    LENGTH = "length"
    NUMBER = "number"
    TEXTS = "texts"
    NUMBERS = "numbers"


@dataclass(frozen=True, slots=True)
class Leaf:
    """A key with a value.

    Attributes:
        shape: What the value is.
        choices: The texts it may be; empty where any will do.
        usual: The text it is taken as where it is left out, if it has choices.
    """

    shape: Shape
    choices: tuple[str, ...] = ()
    usual: str = ""


@dataclass(frozen=True, slots=True)
class Branch:
    """A table of keys; ``many`` if it is an array of tables."""

    children: Mapping[str, "Leaf | Branch"]
    many: bool = False


@cache
def job_keys() -> Branch:
    """The tree of a whole job file."""
    return _branch(JobFile)


def leaf_at(key: str) -> Leaf | None:
    """The leaf of a dotted key such as ``bolt_circle.2.diameter``, or ``None`` if the schema has none there."""
    node: Leaf | Branch | None = job_keys()
    for part in key.split("."):
        if not isinstance(node, Branch):
            return None
        if not (node.many and part.isdigit()):
            node = node.children.get(part)
    return node if isinstance(node, Leaf) else None


def _branch(model: type[BaseModel], many: bool = False) -> Branch:
    return Branch({field.alias or name: _node(field) for name, field in model.model_fields.items()}, many)


def _node(field: FieldInfo) -> Leaf | Branch:
    parts = list(_parts(field.annotation))
    for part in parts:
        if inspect.isclass(part) and issubclass(part, BaseModel):
            return _branch(part)
        if get_origin(part) is list:
            inner = _node(FieldInfo.from_annotation(get_args(part)[0]))
            if isinstance(inner, Branch):
                return Branch(inner.children, many=True)
            return Leaf(Shape.TEXTS if inner.shape is Shape.TEXT else Shape.NUMBERS)
    choices = tuple(str(choice) for part in parts for choice in _choices(part))
    usual = field.default.value if isinstance(field.default, Enum) else field.default
    return Leaf(_shape(field, parts), choices, usual if isinstance(usual, str) else "")


def _choices(part: object) -> tuple[object, ...]:
    """What a literal or an enumeration may be."""
    if get_origin(part) is Literal:
        return get_args(part)
    return tuple(each.value for each in part) if inspect.isclass(part) and issubclass(part, Enum) else ()


def _shape(field: FieldInfo, parts: list[object]) -> Shape:
    if bool in parts:
        return Shape.FLAG
    if not any(part in (int, float) for part in parts):
        return Shape.TEXT
    return Shape.LENGTH if _takes_lengths(field) else Shape.NUMBER


def _takes_lengths(field: FieldInfo) -> bool:
    """Whether a key reads a text with a unit of length, which tells lengths from angles and counts."""
    kind: Any = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    try:
        read = TypeAdapter(kind).validate_python("1 in", context={"unit": Unit.MM})
    except ValidationError:
        return False
    return bool(read == parse_length("1 in"))


def _parts(annotation: object) -> Iterator[object]:
    """The plain types of an annotation, unions taken apart."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _parts(get_args(annotation)[0])
    elif origin in (Union, UnionType):
        for part in get_args(annotation):
            yield from _parts(part)
    elif annotation is not type(None):
        yield annotation
