"""Frozen dataclasses that are made in a third of the time, and so are their instances: a command starts with hundreds.

To the type check a class is what ``dataclasses.dataclass`` makes of it: nobody sets a field of one, mypy holds every
line of the package to that. At run time it is not written out and compiled method by method; comparing, hashing and
showing are done by functions that all classes share, and setting a field is not guarded once more.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass
else:
    import dataclasses
    from operator import attrgetter

    def dataclass(*, frozen=False, slots=False, **others):  # noqa: ANN001, ANN003, ANN201 - for mypy: above
        """As ``dataclasses.dataclass``; what is not simply frozen is left to it."""
        if not frozen or others:
            return dataclasses.dataclass(frozen=frozen, slots=slots, **others)
        return lambda plain: _frozen(plain, slots)

    def _frozen(plain, slots):  # noqa: ANN001, ANN202 - likewise
        plain.__doc__ = plain.__doc__ or plain.__name__  # without words the signature would be worked out for them
        made = dataclasses.dataclass(eq=False, repr=False, slots=slots)(plain)
        fields = dataclasses.fields(made)
        values = _values([field.name for field in fields if field.compare])
        shown = [field.name for field in fields if field.repr]

        def __eq__(self, other):  # noqa: ANN001, ANN202, N807
            return values(self) == values(other) if other.__class__ is made else NotImplemented

        def __hash__(self):  # noqa: ANN001, ANN202, N807
            return hash(values(self))

        def __repr__(self):  # noqa: ANN001, ANN202, N807
            return f"{made.__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in shown)})"

        for method in (__eq__, __hash__, __repr__):
            if method.__name__ not in vars(plain) or vars(plain)[method.__name__] is None:
                setattr(made, method.__name__, method)
        return made

    def _values(names):  # noqa: ANN001, ANN202
        """What reads the fields of an instance as a tuple."""
        if len(names) > 1:
            return attrgetter(*names)
        return (lambda self: (getattr(self, names[0]),)) if names else (lambda self: ())


__all__ = ["dataclass"]
