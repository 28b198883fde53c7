"""Many rows, one statement: a table of cases is one test, which names every row that fails."""

import inspect
from collections.abc import Callable, Iterable
from typing import Any

import pytest

Test = Callable[..., None]


def every_row(names: str | tuple[str, ...], rows: Iterable[Any]) -> Callable[[Test], Test]:
    """Read as ``pytest.mark.parametrize`` is, but all rows are one test: it costs one test's time and tells all.

    Fixtures that the test names beside its row are made once, for all rows.
    """
    arguments = [names] if isinstance(names, str) else list(names)
    table = [(row,) if isinstance(names, str) else tuple(row) for row in rows]

    def of_all(test: Test) -> Test:
        def run(**fixtures: object) -> None:
            told = (_told(test, dict(zip(arguments, row, strict=True)), fixtures) for row in table)
            failed = list(filter(None, told))
            assert not failed, f"{len(failed)} of {len(table)} rows fail:\n" + "\n".join(failed)
            assert table, "no rows"

        beside = [each for name, each in inspect.signature(test).parameters.items() if name not in arguments]
        run.__signature__ = inspect.Signature(beside)  # type: ignore[attr-defined] # the fixtures that pytest looks for
        run.__name__, run.__module__, run.__doc__ = test.__name__, test.__module__, test.__doc__
        return run

    return of_all


def first_of(rows: Iterable[Any], quick: int = 1) -> list[Any]:
    """Rows for ``pytest.mark.parametrize`` of which all but the first few are slow; a tuple is a row of several."""
    table = list(rows)
    slow = [pytest.param(*(row if isinstance(row, tuple) else (row,)), marks=pytest.mark.slow) for row in table[quick:]]
    return [*table[:quick], *slow]


def _told(test: Test, row: dict[str, Any], fixtures: dict[str, object]) -> str:
    """How a row fails; empty if it does not."""
    try:
        test(**row, **fixtures)
    except (Exception, pytest.fail.Exception) as wrong:
        return f"{row}: {type(wrong).__name__} {wrong}"
    return ""
