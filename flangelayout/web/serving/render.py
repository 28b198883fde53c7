"""Templates to HTML; every text is escaped."""

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined


@cache
def _templates() -> Environment:
    loader = PackageLoader("flangelayout.web", "templates")
    environment = Environment(loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.undefined = StrictUndefined
    return environment


_UNLESS_GIVEN: dict[str, object] = {
    "oob": "",
    "saved": "",
    "refused": False,
    "later": False,
    "now": False,
    "folder": None,
    "lan": None,
    "code": "",
}


def render(template: str, **given: object) -> str:
    """A template filled in; what only some answers say is empty unless given."""
    return _templates().get_template(template).render(**{**_UNLESS_GIVEN, **given})
