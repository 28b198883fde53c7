"""Checks of small plates for tests: what is found, what failed, what it says."""

from itertools import zip_longest
from typing import Any

from flangelayout.checks import Finding, Result, Rule, check_drilling, check_shop, measured
from flangelayout.checks.limits import CheckLimits
from flangelayout.flange import BoltCircle, Flange
from flangelayout.flange.origin import WRITTEN, FromRow
from flangelayout.standards import Pattern, published_row
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.findings import finding_text
from jobs import flange

Rows = tuple[Pattern | None, ...]


def plate_of(*circles: BoltCircle, **changes: Any) -> Flange:  # noqa: ANN401 - fields of any kind
    """The plate of an EN 1092-1 PN16 DN150 ring flange, with some fields changed."""
    return flange(*circles, **({"outside_diameter": 285.0, "bore": 170.0, "thickness": 22.0} | changes))


def shop(plate: Flange, limits: CheckLimits | None = None, named: Rows = ()) -> tuple[Finding, ...]:
    """Every finding of the shop checks."""
    return check_shop(measured(_naming(plate, named)), limits or CheckLimits())


def _naming(plate: Flange, rows: Rows) -> Flange:
    """The plate with bolt circles that name published rows, one by one."""
    named = (FromRow(published_row(row)) if row else WRITTEN for row in rows)
    circles = zip_longest(plate.bolt_circles, named)
    found = (circle if origin is None else replace(circle, origin=origin) for circle, origin in circles)
    return replace(plate, bolt_circles=tuple(found))


def drilling(plate: Flange) -> tuple[Finding, ...]:
    """Every finding about whether a plate contradicts itself."""
    return check_drilling(measured(plate))


def of_rule(found: tuple[Finding, ...], rule: Rule) -> list[Finding]:
    """The findings of one rule."""
    return [each for each in found if each.rule is rule]


def told(plate: Flange, rule: Rule, limits: CheckLimits | None = None, named: Rows = ()) -> Finding:
    """The one shop finding of a rule."""
    (found,) = of_rule(shop(plate, limits, named), rule)
    return found


def failed(plate: Flange, named: Rows = (), **limits: Any) -> list[Rule]:  # noqa: ANN401 - fields of any kind
    """The rules that a plate fails in the shop checks, in order."""
    return [each.rule for each in shop(plate, CheckLimits(**limits), named) if each.failed]


def not_run(found: tuple[Finding, ...]) -> dict[Rule, str]:
    """Why checks were not run, by rule."""
    return {each.rule: each.reason.value for each in found if each.result is Result.NOT_RUN and each.reason}


def said(plate: Flange, finding: Finding, unit: Unit = Unit.MM) -> str:
    """A finding in words."""
    return finding_text(plate, finding, unit)
