"""What each command takes: names of its options, what holds unless something is said, limits."""

from collections.abc import Iterator
from typing import Any

import typer

from polewright.cli.app import app
from tests.kept.figures import Place

LIMITS = ("min", "max")


def options_of_commands() -> dict[str, Place]:
    """Every option and argument of every command, whatever the language of its help."""
    return dict(_taken(typer.main.get_command(app), "polewright"))


def _taken(command: Any, name: str) -> Iterator[tuple[str, Place]]:
    yield f"{name}: help where nothing is said", str(command.no_args_is_help)
    for each in command.params:
        place = f"{name} {each.name}"
        yield f"{place}: spelt", " ".join(sorted((*each.opts, *each.secondary_opts)))
        yield f"{place}: default", str(each.default)
        yield f"{place}: needed", str(each.required)
        yield f"{place}: values", f"{each.nargs}{' and more' if getattr(each, 'multiple', False) else ''}"
        yield f"{place}: limits", " to ".join(str(_limit(each, name)) for name in LIMITS)
    for own, inner in getattr(command, "commands", {}).items():
        yield from _taken(inner, f"{name} {own}")


def _limit(option: Any, name: str) -> Any:
    """Some versions of the library keep limits with the option, others with its type."""
    return getattr(option, name, getattr(getattr(option, "type", None), name, None))
