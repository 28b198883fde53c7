"""``flangelayout keys``."""

import json
from collections.abc import Iterator
from difflib import get_close_matches

import click

from flangelayout.errors import InputError, Problem
from flangelayout.job.schema.tree import Branch, Leaf, Shape, job_keys, shop_keys
from flangelayout.views.words.keys import TABLES, key_words

_MEASURES = {
    Shape.TEXT: "text",
    Shape.FLAG: "true or false",
    Shape.LENGTH: "length",
    Shape.ANGLE: "degrees",
    Shape.NUMBER: "number",
    Shape.TEXTS: "list of texts",
    Shape.NUMBERS: "list of numbers",
    Shape.ROWS: "list of lists of numbers",
}


@click.command("keys")
@click.argument("name", required=False, metavar="[TABLE or KEY]")
@click.option("--json", "as_json", is_flag=True, help="One JSON document on standard output.")
def keys_command(name: str | None, as_json: bool) -> int:
    """Say what a job file may hold: each key with its unit, choices, usual value and an example.

    \b
    flangelayout keys
    flangelayout keys bolt_circle
    flangelayout keys plate.bore
    """  # noqa: D301 - click wants the backspace itself
    if name is None and not as_json:
        _list_tables()
        return 0
    wanted = name.strip("[] ") if name else ""
    found = [(key, leaf) for key, leaf in every_key() if not wanted or key == wanted or key.startswith(f"{wanted}.")]
    if not found:
        raise InputError(Problem("keys", f'a job file has no "{wanted}"; {_hint(wanted)}'))
    if as_json:
        click.echo(json.dumps({key: _as_data(key, leaf) for key, leaf in found}, indent=2, ensure_ascii=False))
    else:
        _list_keys(found)
    return 0


def every_key() -> Iterator[tuple[str, Leaf]]:
    """Every dotted key of a job file in the order of its schema, then what only the shop file holds."""
    yield from _below(job_keys(), "")
    yield from _below(shop_keys(), "")


def _below(branch: Branch, lead: str) -> Iterator[tuple[str, Leaf]]:
    for name, node in branch.children.items():
        if isinstance(node, Leaf):
            yield f"{lead}{name}", node
        else:
            yield from _below(node, f"{lead}{name}.")


def _list_tables() -> None:
    click.echo("A job file holds (flangelayout keys TABLE says what is in it):")
    click.echo(f"  units            {_meaning('units')}")
    for name, node in job_keys().children.items():
        if isinstance(node, Branch):
            head = f"[[{name}]]" if node.many else f"[{name}]"
            click.echo(f"  {head:16} {TABLES[name].meaning}")
    from flangelayout.files.settings import settings_folder
    from flangelayout.job.shop import FILE_NAME

    click.echo(f"What the whole shop shares may stand in {settings_folder() / FILE_NAME}; a job file overrides it.")
    click.echo("What it reckons with (flangelayout quote) stands there only: flangelayout keys shop.rates")


def _list_keys(found: list[tuple[str, Leaf]]) -> None:
    for key, leaf in found:
        words = key_words(key)
        if words is None:
            raise KeyError(key)
        click.echo(f"{key} = {words.example}")
        click.echo(f"    {words.name}: {words.meaning}")
        click.echo(f"    {'; '.join(_facts(leaf))}")


def _facts(leaf: Leaf) -> Iterator[str]:
    """What a key holds, of what, and what it is taken as where it is left out."""
    if leaf.choices:
        yield ("each of " if leaf.shape is Shape.TEXTS else "") + ", ".join(f'"{choice}"' for choice in leaf.choices)
    else:
        yield _MEASURES[leaf.shape] + (", in units or with its own" if leaf.shape is Shape.LENGTH else "")
    if leaf.required:
        yield "must be written"
    elif leaf.usual is not None:
        yield f"taken as {_usual_text(leaf)}"


def _usual_text(leaf: Leaf) -> str:
    match leaf.usual:
        case bool():
            return "true" if leaf.usual else "false"
        case str():
            return f'"{leaf.usual}"'
        case None:
            return "nothing"
        case _:
            return f"{leaf.usual:g}" + (" mm" if leaf.shape is Shape.LENGTH else "")


def _as_data(key: str, leaf: Leaf) -> dict[str, object]:
    words = key_words(key)
    return {
        "name": words.name if words else "",
        "meaning": words.meaning if words else "",
        "holds": leaf.shape.value,
        "choices": list(leaf.choices),
        "taken_as": leaf.usual,
        "required": leaf.required,
        "example": words.example if words else "",
    }


def _meaning(key: str) -> str:
    words = key_words(key)
    return words.meaning if words else ""


def _hint(wanted: str) -> str:
    known = [*job_keys().children, *(key for key, _ in every_key())]
    last = wanted.rpartition(".")[2]
    near = get_close_matches(wanted, known, n=1) or [key for key in known if key.rpartition(".")[2] == last]
    return f"did you mean {near[0]}?" if near else "flangelayout keys lists its tables"
