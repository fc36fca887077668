"""The commands and what they share: one refusal, one exit code, whole files or none."""

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")   # small systems: a second BLAS thread costs more than it gives
os.environ.setdefault("OMP_NUM_THREADS", "1")

import typer

from polewright.errors import PolewrightError

__all__ = ["app", "main"]

app = typer.Typer(add_completion=False, no_args_is_help=True, rich_markup_mode=None, pretty_exceptions_enable=False,
                  help="From fibre to buyer's sheet: telescopic composite poles. Predicted strength is no certification.")
PoleFile = Annotated[Path, typer.Argument(help="A pole design (TOML or JSON).", show_default=False)]


def main() -> None:
    """Run the command line; a refusal is one message and exit code 2."""
    try:
        app()
    except PolewrightError as fault:
        sys.stderr.write(f"polewright: {fault.sentence()}\n")
        sys.exit(2)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(1)
    except OSError as fault:
        sys.stderr.write(f"polewright: {fault.filename or 'file'}: cannot be read or written ({fault.strerror})\n")
        sys.exit(2)


def _lazy(name: str) -> Callable[..., Any]:
    """The function behind a command, imported when it is called: the other commands stay quick."""
    from importlib import import_module

    function: Callable[..., Any] = import_module(f"polewright.cli.{name}").run
    return function


@app.command()
def check(files: Annotated[list[Path], typer.Argument(help="One pole design, or several to rank.",
                                                      show_default=False)],
          as_json: Annotated[bool, typer.Option("--json", help="All figures as JSON, units in the names.")] = False,
          ) -> None:
    """Print every figure of a pole and every check; several files are ranked against their brief."""
    _lazy("check")(files, as_json=as_json)


@app.command()
def kit(file: PoleFile, out: Annotated[Path, typer.Option(help="Folder for the cut files and work cards.")]) -> None:
    """Write the cut files (DXF, SVG, HPGL, list) and a work card for every section."""
    _lazy("kit")(file, out=out)


@app.command()
def sheet(file: PoleFile, out: Annotated[Path | None, typer.Option(help="PDF to write.")] = None) -> None:
    """Write the buyer's sheet: honest figures with the test behind each, without the recipe."""
    _lazy("sheet")(file, out=out)


@app.command()
def schema(kind: Annotated[str, typer.Argument(help="Kind of document; without it, a list.")] = "") -> None:
    """Print the JSON Schema of a kind of document."""
    _lazy("schema")(kind)
