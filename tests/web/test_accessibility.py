"""The page under an accessibility checker: WCAG 2.2 AA, light and dark, narrow and wide.

Reference: axe-core, whose rules are those of the W3C's published WCAG 2.2 success criteria.
"""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from web.acting import settled
from web.served import RING, axe_script, query

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SAMPLES = Path(__file__).parents[2] / "samples"
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
    "measure": "?" + query({**SURVEYED, "step": "measure"}),
    "decide": "?" + query({**SURVEYED, "step": "decide"}),
    "name": "?" + query({"units": "in", "step": "name", "find": "6 in 150"}),
    "flange": "?" + query({**RING, **PICKED, **WRONG, "step": "flange", "edit": "plate.bore"}),
    "check": "?" + query({**RING, **PICKED, **WRONG, "step": "check"}),
    "take": "?" + query(step="take", view="sheet"),
    "machine": "?" + query(step="take", view="machine", show="in"),
    "drilled": "?" + query({**RING, "tolerances.chord": "0.5", "d.1-2": "91.9", "d.2-3": "93", "step": "drilled"}),
    "settings": "?" + query({**RING, **PICKED, "plate.bore": "x", "set": "plate"}),
    "list page": "list",
    "photos": "photos?" + query(),
}
FILES = {"list": SAMPLES / "plate-20-list.csv", "nest": SAMPLES / "plate-20-list.csv"}
BY_HAND = ("label-content-name-mismatch",)
"""Rules that the checker leaves to a person where a button shows a sign and no word."""
RUN = """async () => {
    const found = await axe.run(document, {
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    });
    const said = one => one.id + ': ' + one.nodes.map(node => node.html).slice(0, 3).join(' | ');
    const words = one => one.nodes.flatMap(node => node.target)
        .map(target => document.querySelector(target)?.textContent ?? '').join(' ');
    const open = found.incomplete.filter(one => one.id !== 'color-contrast').map(one => [one.id, words(one)]);
    const doubtful = found.incomplete.filter(one => one.id === 'color-contrast').flatMap(one => one.nodes);
    return [found.passes.length, found.violations.map(said), open, doubtful.map(node => node.target.join(' '))];
}"""
CONTRAST = """targets => {
    const parts = text => (text.match(/[\\d.]+/g) || []).map(Number);
    const light = ([r, g, b]) => [r, g, b].map(v => v / 255)
        .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
        .reduce((sum, v, at) => sum + v * [0.2126, 0.7152, 0.0722][at], 0);
    const ratio = (a, b) => {
        const [low, high] = [light(a), light(b)].sort((x, y) => x - y);
        return (high + 0.05) / (low + 0.05);
    };
    const token = name => {
        const probe = document.createElement('i');
        probe.style.color = `var(--${name})`;
        document.body.append(probe);
        const found = parts(getComputedStyle(probe).color);
        probe.remove();
        return found;
    };
    const grounds = ['paper', 'leaf', 'grid', 'grid5'].map(token);
    const behind = one => {
        if (one.closest('.sheet svg, .rail svg')) return [token('sheet')];
        if (one.closest('svg')) {
            let at = one.previousElementSibling;
            while (at && at.matches('text, title')) at = at.previousElementSibling;
            const fill = at ? getComputedStyle(at).fill : 'none';
            return fill.startsWith('rgb(') ? [parts(fill)] : grounds;
        }
        for (let at = one; at; at = at.parentElement) {
            const color = getComputedStyle(at).backgroundColor;
            if (color.startsWith('rgb(')) return [parts(color)];
            if (at.matches('.view')) return grounds;
        }
        return [token('paper')];
    };
    return targets.map(target => {
        const one = document.querySelector(target), style = getComputedStyle(one);
        const color = parts(one.closest('svg') ? style.fill : style.color);
        const size = parseFloat(style.fontSize), bold = Number(style.fontWeight) >= 700;
        const large = size >= 24 || (size >= 18.66 && bold);
        const least = Math.min(...behind(one).map(ground => ratio(color, ground)));
        return [target, least, large ? 3 : 4.5];
    }).filter(([, found, wanted]) => found < wanted);
}"""
"""Contrast where the checker cannot tell what is behind a text: by WCAG 2.2, 1.4.3, against everything that may be."""


def opened(page: "Page", address: str, name: str) -> None:
    """A state of the page with everything unfolded."""
    if name in FILES:
        page.goto(address)
        page.set_input_files("#open-file", FILES[name])
        page.locator("#list .line, #list .job-rows").first.wait_for()
    else:
        page.goto(f"{address}{STATES[name]}")
    if name == "nest":
        page.locator("button[value=nest]").click()
        page.locator(".sheets").wait_for(timeout=40_000)
    for details in page.locator("details").all():
        details.evaluate("each => { each.open = true; }")
    settled(page)


def broken_rules(
    browser: "Browser", address: str, width: int, scheme: str, names: tuple[str, ...]
) -> dict[str, list[object]]:
    """What the checker complains of in some states of the page, by state; states without a complaint are left out."""
    script = axe_script().read_text(encoding="utf-8")
    broken = {}
    high = 3_000 if width < 1_100 else 900  # so that on a phone nothing lies half under the bar
    page = browser.new_page(
        viewport={"width": width, "height": high}, color_scheme="dark" if scheme == "dark" else "light"
    )
    for name in names:
        opened(page, address, name)
        page.evaluate(script)
        passed, found, undecided, doubtful = page.evaluate(RUN)
        assert passed > 20
        worded = [each for each in undecided if each[0] not in BY_HAND or re.search("[a-z]", each[1])]
        broken[name] = [*found, *worded, *page.evaluate(CONTRAST, doubtful)]
    page.close()
    return {name: found for name, found in broken.items() if found}


@pytest.mark.slow
def test_no_rule_of_wcag_is_broken_on_a_phone_in_the_dark(browser: "Browser", address: str) -> None:
    assert broken_rules(browser, address, 360, "dark", ("measure", "check", "list")) == {}


@pytest.mark.property_deep
@pytest.mark.parametrize(
    ("width", "scheme"), [(width, scheme) for width in (360, 820, 1366, 1920) for scheme in ("light", "dark")]
)
def test_no_rule_of_wcag_is_broken_anywhere(browser: "Browser", address: str, width: int, scheme: str) -> None:
    assert broken_rules(browser, address, width, scheme, (*STATES, *FILES)) == {}
