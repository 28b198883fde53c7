"""The keys of ``[checks]``, and those of ``[tolerances]`` that a part is made and inspected by."""

from typing import Annotated

from pydantic import AfterValidator, Field, StrictBool

from flangelayout.checks.limits import NutSide, Wrench
from flangelayout.checks.rule import Rule
from flangelayout.errors import Problem
from flangelayout.flange.plate import GeneralTolerance
from flangelayout.job.schema.values import Mass, NotNegative, Positive, SchemaTable, Size, Text, carried
from flangelayout.problems.schema import SchemaProblem


def _can_be_left_out(rule: Rule) -> Rule:
    """Refuse to leave out what a job must not contradict itself in."""
    if rule.stops:
        raise carried(Problem("", SchemaProblem.NOT_LEFT_OUT, None, "", None, found=rule.value))
    return rule


OptionalRule = Annotated[Rule, AfterValidator(_can_be_left_out)]


class ChecksTable(SchemaTable):
    """``[checks]``: limits of the shop checks, and what they need to know beside the plate."""

    ligament: NotNegative | None = None
    edge: NotNegative | None = None
    bore: NotNegative | None = None
    hub_diameter: Size | None = None
    weld: NotNegative = 0.0
    wrench: Wrench = Wrench.OPEN_END
    nuts_on: NutSide = NutSide.BACK
    washers: StrictBool = False
    gasket_factor: Annotated[float, Field(ge=0, le=50, allow_inf_nan=False)] | None = None
    bolt_spacing: Size | None = None
    thread_engagement: Annotated[float, Field(ge=0, le=10, allow_inf_nan=False)] | None = None
    hand_lift: Mass | None = None
    off: Annotated[list[OptionalRule], Field(max_length=60)] = []


class TolerancesTable(SchemaTable):
    """``[tolerances]``: what the drawing allows; plus and minus, but for ``position``, which is a zone's diameter."""

    bolt_circle: Positive | None = None
    chord: Positive | None = None
    position: Positive | None = None
    maximum_material: StrictBool | None = None
    hole_plus: NotNegative | None = None
    hole_minus: NotNegative | None = None
    outside_plus: NotNegative | None = None
    outside_minus: NotNegative | None = None
    bore_plus: NotNegative | None = None
    bore_minus: NotNegative | None = None
    thickness_plus: NotNegative | None = None
    thickness_minus: NotNegative | None = None
    general: GeneralTolerance | None = None
    block: Annotated[list[Text], Field(max_length=8)] = []
    cut_edges: Text = ""
    texture: Text = ""
    edges: Text = ""
