"""What a job file can hold, as a tree read off its schema: page and reference know nothing the schema does not."""

import inspect
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import cache
from types import UnionType
from typing import Annotated, Literal, Union, get_args, get_origin

from msgspec import Struct
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from flangelayout.job.schema.job_file import JobFile
from flangelayout.job.schema.rates import ShopTable
from flangelayout.job.schema.values import Measure


class Shape(Enum):
    """What a single value is: a text, a length (with or without its unit), an angle, a number, a list, rows of it."""

    TEXT = "text"
    FLAG = "flag"
    LENGTH = "length"
    ANGLE = "angle"
    NUMBER = "number"
    TEXTS = "texts"
    NUMBERS = "numbers"
    ROWS = "rows of numbers"


class Leaf(Struct, frozen=True):
    """A key with a value.

    Attributes:
        shape: What the value is.
        choices: The texts it may be, or each of a list; empty where any will do.
        usual: What it is taken as where it is left out, lengths in mm; ``None`` where nothing is.
        required: Whether it must be written.
    """

    shape: Shape
    choices: tuple[str, ...] = ()
    usual: str | float | bool | None = None
    required: bool = False

    @property
    def usual_choice(self) -> str:
        """The text it is taken as where it is left out; empty where it is no text, or nothing is meant."""
        return self.usual if isinstance(self.usual, str) else ""


class Branch(Struct, frozen=True):
    """A table of keys; ``many`` if it is an array of tables."""

    children: Mapping[str, "Leaf | Branch"]
    many: bool = False


@cache
def job_keys() -> Branch:
    """The tree of a whole job file."""
    return _branch(JobFile)


@cache
def shop_keys() -> Branch:
    """The tree of what the shop file holds beside keys of a job."""
    return Branch({"shop": _branch(ShopTable)})


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
            shapes = {Shape.TEXT: Shape.TEXTS, Shape.NUMBERS: Shape.ROWS}
            return Leaf(shapes.get(inner.shape, Shape.NUMBERS), inner.choices)
    choices = tuple(str(choice) for part in parts for choice in _choices(part))
    return Leaf(_shape(field, parts), choices, _usual(field), field.is_required())


def _usual(field: FieldInfo) -> str | float | bool | None:
    value = field.default.value if isinstance(field.default, Enum) else field.default
    return value if isinstance(value, str | float | int) and value != "" else None


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
    measures = {mark for mark in (*field.metadata, *_marks(field.annotation)) if isinstance(mark, Measure)}
    if Measure.LENGTH in measures:
        return Shape.LENGTH
    return Shape.ANGLE if Measure.ANGLE in measures else Shape.NUMBER


def _marks(annotation: object) -> Iterator[object]:
    """What stands beside the types of an annotation, unions taken apart."""
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        yield from marks
        yield from _marks(inner)
    elif get_origin(annotation) in (Union, UnionType):
        for part in get_args(annotation):
            yield from _marks(part)


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
