"""The page under an accessibility checker: WCAG 2.2 AA, light and dark, narrow and wide.

Reference: axe-core, whose rules are those of the W3C's published WCAG 2.2 success criteria.
"""

from typing import TYPE_CHECKING

import pytest

from web.acting import settled
from web.served import RING, axe_script, query

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SURVEYED = {
    "survey.hole_count": "8",
    "survey.hole_diameter": "22.1",
    "survey.reading.1.kind": "same-edges",
    "survey.reading.1.value": "91.9",
    "survey.reading.1.from": "1",
    "survey.reading.1.to": "2",
    "survey.reading.2.kind": "far-edges",
    "survey.reading.2.value": "169.7",
    "survey.reading.2.from": "1",
    "survey.reading.2.to": "3",
    "n.value": "91.7",
}
PICKED = {"bolt_circle.1.standard": "EN 1092-1 PN16 DN150", "bolt_circle.2.diameter": "200"}
WRONG = {"bolt_circle.1.hole_diameter": "24", "bolt_circle.2.hole_count": "4", "bolt_circle.2.hole_diameter": "18"}
STATES = {
    "start": "",
    "measure": query({**SURVEYED, "step": "measure"}),
    "decide": query({**SURVEYED, "step": "decide"}),
    "name": query({"units": "in", "step": "name", "find": "6 in 150"}),
    "flange": query({**RING, **PICKED, **WRONG, "step": "flange", "edit": "plate.bore"}),
    "check": query({**RING, **PICKED, **WRONG, "step": "check"}),
    "take": query(step="take", view="sheet"),
    "machine": query(step="take", view="machine", show="in"),
    "drilled": query({**RING, "tolerances.chord": "0.5", "d.1-2": "91.9", "d.2-3": "93", "step": "drilled"}),
    "settings": query({**RING, **PICKED, "plate.bore": "x", "set": "plate"}),
}
RUN = """async () => {
    const found = await axe.run(document, {
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    });
    const said = one => one.id + ': ' + one.nodes.map(node => node.html).slice(0, 3).join(' | ');
    return [found.passes.length, found.violations.map(said)];
}"""


def broken_rules(
    browser: "Browser", address: str, width: int, scheme: str, names: tuple[str, ...]
) -> dict[str, list[str]]:
    """What the checker complains of in some states of the page, by state; states without a complaint are left out."""
    script = axe_script().read_text(encoding="utf-8")
    broken = {}
    for name in names:
        state = STATES[name]
        page = browser.new_page(
            viewport={"width": width, "height": 900}, color_scheme="dark" if scheme == "dark" else "light"
        )
        page.goto(f"{address}?{state}")
        for details in page.locator("details").all():
            details.evaluate("each => { each.open = true; }")
        settled(page)
        page.evaluate(script)
        passed, found = page.evaluate(RUN)
        assert passed > 20
        broken[name] = found
        page.close()
    return {name: found for name, found in broken.items() if found}


@pytest.mark.slow
def test_no_rule_of_wcag_is_broken_on_a_phone_in_the_dark(browser: "Browser", address: str) -> None:
    assert broken_rules(browser, address, 360, "dark", ("measure", "check")) == {}


@pytest.mark.property_deep
@pytest.mark.parametrize(
    ("width", "scheme"), [(width, scheme) for width in (360, 820, 1366, 1920) for scheme in ("light", "dark")]
)
def test_no_rule_of_wcag_is_broken_anywhere(browser: "Browser", address: str, width: int, scheme: str) -> None:
    assert broken_rules(browser, address, width, scheme, tuple(STATES)) == {}
