"""The commands and what they share: one refusal, one exit code, whole files or none."""

import atexit
import gc
import os
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Annotated, Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small systems: a second BLAS thread costs more than it gives
os.environ.setdefault("OMP_NUM_THREADS", "1")

import typer

from polewright.cli.typed import count, figure
from polewright.errors import DesignError, PolewrightError

__all__ = ["app", "main"]

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="From fibre to buyer's sheet: telescopic composite poles. Predicted strength is no certification.",
)
PoleFile = Annotated[Path, typer.Argument(help="A pole design (TOML or JSON).", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="The result as JSON.")]


def main() -> None:
    """Run the command line; a refusal is one message and exit code 2."""
    atexit.register(gc.freeze)  # a process that ends need not walk through all it has loaded once more
    try:
        app()
    except PolewrightError as fault:
        from polewright.words import default_reader
        from polewright.words.reports.plain import plain_text

        sys.stderr.write(f"polewright: {plain_text(default_reader().refusal(fault))}\n")
        sys.exit(2)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(1)
    except OSError as fault:
        sys.stderr.write(f"polewright: {fault.filename or 'file'}: cannot be read or written ({fault.strerror})\n")
        sys.exit(2)


def _lazy(room: str, name: str = "run") -> Callable[..., Any]:
    """The function behind a command, imported when it is called: the other commands stay quick.

    What a room loads stays: the collector would walk through it over and over and find nothing.
    """
    gc.disable()
    try:
        function: Callable[..., Any] = getattr(import_module(f"polewright.cli.{room}"), name)
    finally:
        gc.enable()
    return function


@app.command()
def check(  # noqa: PLR0913, PLR0917 - one parameter an option
    files: Annotated[list[Path], typer.Argument(help="One pole design, or several to rank.", show_default=False)],
    as_json: Annotated[bool, typer.Option("--json", help="All figures as JSON, units in the names.")] = False,
    reach: Annotated[str | None, typer.Option(help='Held so: "3" sections out, "all", or "6.2 m".')] = None,
    lean: Annotated[str | None, typer.Option(help='Held so: above level, "60" degrees.')] = None,
    wind: Annotated[float, typer.Option(help="Held so: wind in m/s.", parser=figure("7.5"), metavar="<float>")] = 0.0,
    hold: Annotated[str, typer.Option(help="Held so: trestles, clamped, hands, lifted, or head on glass.")] = "",
    head: Annotated[str | None, typer.Option(help='Held so: head besides the tip fitting, "540 g".')] = None,
    hose: Annotated[
        float, typer.Option(help="Held so: full hose in g/m.", parser=figure("55"), metavar="<float>")
    ] = 0.0,
    temperature: Annotated[str | None, typer.Option(help='Held so: the pole itself, wet, "50 °C".')] = None,
    slide: Annotated[str, typer.Option(help="Head on glass: free, up, down, or stuck.")] = "",
    push: Annotated[
        float, typer.Option(help="Head on glass, stuck: push in N.", parser=figure("20"), metavar="<float>")
    ] = 0.0,
    wall: Annotated[
        int | None,
        typer.Option(
            help="The wall of one section in full: its number from the tip.",
            parser=count("3", least=1),
            metavar="<int>",
        ),
    ] = None,
    supposed: Annotated[
        list[str] | None,
        typer.Option(
            "--if",
            metavar="FIELD=VALUE",
            help='What if: "joints[0].overlap_mm=250", or of all joints "joints.overlap_mm=250".',
        ),
    ] = None,
) -> None:
    """Print every figure of a pole and every check; several files are ranked; with a hold, the pole as held."""
    if wall is not None:
        if len(files) != 1:
            raise DesignError("files", len(files), "one design whose wall to look at")
        _lazy("wall")(files[0], supposed=supposed or [], section=wall, as_json=as_json)
        return
    asked = {
        "lean_deg": lean,
        "wind_m_s": wind,
        "support": hold or None,
        "head_g": head,
        "hose_g_m": hose,
        "temperature_C": temperature,
        "slide": slide or None,
        "push_N": push,
    }
    if reach is None and not any(asked.values()) and lean is None and head is None:
        _lazy("check")(files, supposed=supposed or [], as_json=as_json)
        return
    if len(files) != 1:
        raise DesignError("files", len(files), "one design to be held")
    _lazy("hold")(
        files[0],
        supposed=supposed or [],
        reach=reach,
        asked={k: v for k, v in asked.items() if v is not None},
        as_json=as_json,
    )


@app.command()
def scatter(
    file: PoleFile,
    poles: Annotated[
        int, typer.Option(help="How many scattered poles.", parser=count("2048", least=1), metavar="<int>")
    ] = 2048,
    seed: Annotated[
        int, typer.Option(help="The same seed gives the same answer.", parser=count("1", least=0), metavar="<int>")
    ] = 1,
    order: Annotated[
        int, typer.Option(help="Poles in the order that must pass.", parser=count("10", least=1), metavar="<int>")
    ] = 10,
    as_json: AsJson = False,
) -> None:
    """What the hundredth pole is like: spread of every figure, and the share that keeps the promise."""
    _lazy("scatter")(file, poles=poles, seed=seed, order=order, as_json=as_json)


@app.command()
def kit(file: PoleFile, out: Annotated[Path, typer.Option(help="Folder for the cut files and work cards.")]) -> None:
    """Write the cut files (DXF, SVG, HPGL, list) and a work card for every section."""
    _lazy("kit")(file, out=out)


@app.command()
def sheet(
    file: PoleFile,
    out: Annotated[Path | None, typer.Option(help="PDF to write.")] = None,
    language: Annotated[str, typer.Option(help="Language of the sheet: en or de.")] = "",
    units: Annotated[str, typer.Option(help="Units of the sheet: metric or inch.")] = "",
) -> None:
    """Write the buyer's sheet: honest figures with the test behind each, without the recipe."""
    _lazy("sheet")(file, out=out, language=language, units=units)


@app.command()
def find(
    file: Annotated[
        Path, typer.Argument(help="A brief with shelf and rack, or a pole design (TOML or JSON).", show_default=False)
    ],
    out: Annotated[Path | None, typer.Option(help="Write the best pole as a design (TOML or JSON).")] = None,
    seconds: Annotated[
        float | None,
        typer.Option(
            help="Stop after so long and keep the best so far.", parser=figure("60", least=0.0), metavar="<float>"
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="The whole answer as JSON.")] = False,
    state: Annotated[Path | None, typer.Option(help="Keep a search that is stopped here, and go on from it.")] = None,
    cluster: Annotated[str | None, typer.Option(help="Work the walls out there: host:port.")] = None,
) -> None:
    """Find the best pole for a brief, with proof; what more would buy; or why there is none."""
    _lazy("find")(file, out=out, seconds=seconds, as_json=as_json, cluster=cluster, state=state)


@app.command()
def schema(kind: Annotated[str, typer.Argument(help="Kind of document; without it, a list.")] = "") -> None:
    """Print the JSON Schema of a kind of document."""
    _lazy("schema")(kind)


bench_app = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Keep a test against a serial number; what it shows, beside the prediction.",
)
app.add_typer(bench_app, name="bench")
Serial = Annotated[str, typer.Option(help="Serial number of the tube or pole.")]
Readings = Annotated[
    list[str],
    typer.Option(
        "--reading", help='Load and what was read, larger is lower: "500 g=12.31 mm"; "@90" adds a clock position.'
    ),
]
Tester = Annotated[str, typer.Option(help="Who read it.")]
StorePlace = Annotated[Path | None, typer.Option(help="The workshop's file; without it, the usual one.")]


@bench_app.command("tube")
def bench_tube(
    file: PoleFile,
    serial: Serial,
    section: Annotated[int, typer.Option(help="Number from the tip.", parser=count("3", least=1), metavar="<int>")],
    span: Annotated[str, typer.Option(help='Between the trestles: "1.4 m".')],
    reading: Readings,
    tester: Tester = "",
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A two-load bend test of one tube on two trestles, loads at mid-span."""
    _lazy("bench", "tube")(
        file, serial=serial, section=section, span=span, readings=reading, tester=tester, store=store, as_json=as_json
    )


@bench_app.command("pole")
def bench_pole(
    file: PoleFile,
    serial: Serial,
    reading: Readings,
    out: Annotated[
        int,
        typer.Option(help="Sections drawn out from the tip; 0 for all.", parser=count("0", least=0), metavar="<int>"),
    ] = 0,
    prop: Annotated[str, typer.Option(help="Butt to prop.")] = "1000 mm",
    tester: Tester = "",
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A tip-load test of a whole pole: butt held down, propped, masses hung at the tip."""
    _lazy("bench", "pole")(
        file, serial=serial, out=out, prop=prop, readings=reading, tester=tester, store=store, as_json=as_json
    )


@bench_app.command("record")
def bench_record(
    file: PoleFile,
    test: Annotated[Path, typer.Argument(help="A test-record file.")],
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A test written in a test-record file."""
    _lazy("bench", "record")(file, file=test, store=store, as_json=as_json)


@bench_app.command("list")
def bench_list(
    serial: Annotated[str | None, typer.Option(help="Only this serial.")] = None, store: StorePlace = None
) -> None:
    """Every test kept, newest first."""
    _lazy("bench", "listed")(serial=serial, store=store)


store_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Copies of the workshop's records.")
app.add_typer(store_app, name="store")


@store_app.command("backup")
def store_backup(to: Annotated[Path, typer.Argument(help="The new file.")], store: StorePlace = None) -> None:
    """The whole workshop in one file, read back whole."""
    _lazy("store", "backup")(to, store=store)


@store_app.command("restore")
def store_restore(
    file: Annotated[Path, typer.Argument(help="A file made by backup.")], store: StorePlace = None
) -> None:
    """Put a backup where there is no workshop yet."""
    _lazy("store", "restore")(file, store=store)


@store_app.command("migrate")
def store_migrate(store: StorePlace = None) -> None:
    """Bring the workshop's file to this version's schema."""
    _lazy("store", "migrate")(store=store)


jobs_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Long work of the workshop: searches.")
app.add_typer(jobs_app, name="jobs")


@jobs_app.command("list")
def jobs_list(store: StorePlace = None) -> None:
    """The newest jobs with their states, newest first."""
    _lazy("jobs", "listed")(store=store)


@jobs_app.command("stop")
def jobs_stop(
    number: Annotated[
        int, typer.Argument(help="Its number in the list.", parser=count("3", least=1), metavar="NUMBER")
    ],
    store: StorePlace = None,
) -> None:
    """Let a job end with the best so far."""
    _lazy("jobs", "stop")(number, store=store)


@app.command("open")
def open_app(
    host: Annotated[str, typer.Option(help="This machine's own address; any other is refused.")] = "127.0.0.1",
    port: Annotated[
        int | None,
        typer.Option(
            help="Without it, the first free one from 8420.", parser=count("8420", least=1, most=65535), metavar="<int>"
        ),
    ] = None,
    store: StorePlace = None,
    browser: Annotated[bool, typer.Option(help="Open the browser.")] = True,
) -> None:
    """Open the app in the browser; a new workshop opens with the demo poles."""
    _lazy("open")(host=host, port=port, store=store, browser=browser)
