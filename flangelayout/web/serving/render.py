"""Templates to HTML; every text is escaped."""

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from flangelayout.web.content.page import Page


@cache
def _templates() -> Environment:
    loader = PackageLoader("flangelayout.web", "templates")
    environment = Environment(loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.undefined = StrictUndefined
    return environment


def render(template: str, **given: object) -> str:
    """A template filled in; what only some answers say is empty unless given."""
    return _templates().get_template(template).render(**{"oob": "", "saved": "", "refused": False, **given})


def render_live(page: Page) -> str:
    """The parts of the page that follow a change, without the fields themselves."""
    return render("live.html", page=page)
