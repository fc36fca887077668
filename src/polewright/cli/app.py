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

from polewright.cli.option_values import count, figure
from polewright.errors import PolewrightError, reason_of
from polewright.words import default_reader

__all__ = ["app", "main"]

say = default_reader().say  # the texts of help are made when the commands are read

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help=say("cli.help"),
)
PoleFile = Annotated[Path, typer.Argument(help=say("cli.argument.pole_file"), show_default=False)]
Supposed = Annotated[list[str] | None, typer.Option("--if", metavar="FIELD=VALUE", help=say("cli.argument.supposed"))]
AsJson = Annotated[bool, typer.Option("--json", help=say("cli.argument.as_json"))]


def main() -> None:
    """Run the command line; a refusal is one message and exit code 2."""
    atexit.register(gc.freeze)  # a process that ends need not walk through all it has loaded once more
    try:
        app()
    except PolewrightError as fault:
        from polewright.words.reports.plain import plain_text

        sys.stderr.write(f"polewright: {plain_text(default_reader().refusal(fault))}\n")
        sys.exit(2)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(1)
    except OSError as fault:
        sys.stderr.write(
            f"polewright: {say('cli.file_fault', file=str(fault.filename or ''), reason=reason_of(fault))}\n"
        )
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


@app.command(help=say("cli.command.check"))
def check(
    file: PoleFile,
    wall: Annotated[
        int | None, typer.Option(help=say("cli.option.check.wall"), parser=count("3", least=1), metavar="<int>")
    ] = None,
    supposed: Supposed = None,
    as_json: AsJson = False,
) -> None:
    """Print every figure of a pole and every check."""
    if wall is not None:
        _lazy("wall")(file, supposed=supposed or [], section=wall, as_json=as_json)
        return
    _lazy("check")(file, supposed=supposed or [], as_json=as_json)


@app.command(help=say("cli.command.rank"))
def rank(
    files: Annotated[list[Path], typer.Argument(help=say("cli.option.rank.files"), show_default=False)],
    supposed: Supposed = None,
    as_json: AsJson = False,
) -> None:
    """Rank several poles by what they are for."""
    _lazy("rank")(files, supposed=supposed or [], as_json=as_json)


@app.command(help=say("cli.command.wall"))
def wall(
    file: PoleFile,
    section: Annotated[
        int, typer.Argument(help=say("cli.option.wall.section"), parser=count("3", least=1), metavar="<int>")
    ],
    supposed: Supposed = None,
    as_json: AsJson = False,
) -> None:
    """Print one wall in full: exact beside thin, strength, crush, cure."""
    _lazy("wall")(file, supposed=supposed or [], section=section, as_json=as_json)


@app.command(help=say("cli.command.hold"))
def hold(
    file: PoleFile,
    reach: Annotated[str | None, typer.Option(help=say("cli.option.hold.reach"))] = None,
    lean: Annotated[str | None, typer.Option(help=say("cli.option.hold.lean"))] = None,
    wind: Annotated[
        float, typer.Option(help=say("cli.option.hold.wind"), parser=figure("7.5"), metavar="<float>")
    ] = 0.0,
    support: Annotated[str, typer.Option("--support", "--hold", help=say("cli.option.hold.support"))] = "",
    head: Annotated[str | None, typer.Option(help=say("cli.option.hold.head"))] = None,
    hose: Annotated[
        float, typer.Option(help=say("cli.option.hold.hose"), parser=figure("55"), metavar="<float>")
    ] = 0.0,
    temperature: Annotated[str | None, typer.Option(help=say("cli.option.hold.temperature"))] = None,
    slide: Annotated[str, typer.Option(help=say("cli.option.hold.slide"))] = "",
    push: Annotated[
        float, typer.Option(help=say("cli.option.hold.push"), parser=figure("20"), metavar="<float>")
    ] = 0.0,
    supposed: Supposed = None,
    as_json: AsJson = False,
) -> None:
    """Print the pole as somebody holds it: droop, hands, swings, joints, weakest place, where to spend."""
    values = {
        "lean_deg": lean,
        "wind_m_s": wind,
        "support": support or None,
        "head_g": head,
        "hose_g_m": hose,
        "temperature_C": temperature,
        "slide": slide or None,
        "push_N": push,
    }
    _lazy("hold")(
        file,
        supposed=supposed or [],
        reach=reach,
        values={name: value for name, value in values.items() if value is not None},
        as_json=as_json,
    )


@app.command(help=say("cli.command.scatter"))
def scatter(
    file: PoleFile,
    poles: Annotated[
        int, typer.Option(help=say("cli.option.scatter.poles"), parser=count("2048", least=1), metavar="<int>")
    ] = 2048,
    seed: Annotated[
        int, typer.Option(help=say("cli.option.scatter.seed"), parser=count("1", least=0), metavar="<int>")
    ] = 1,
    order: Annotated[
        int, typer.Option(help=say("cli.option.scatter.order"), parser=count("10", least=1), metavar="<int>")
    ] = 10,
    as_json: AsJson = False,
) -> None:
    """What the hundredth pole is like: spread of every figure, and the share that keeps the promise."""
    _lazy("scatter")(file, poles=poles, seed=seed, order=order, as_json=as_json)


Reason = Annotated[str, typer.Option(help=say("cli.option.papers.reason"))]
PaperStore = Annotated[Path | None, typer.Option(help=say("cli.option.papers.store"))]


@app.command(help=say("cli.command.kit"))
def kit(
    file: PoleFile,
    out: Annotated[Path, typer.Option(help=say("cli.option.kit.out"))],
    reason: Reason = "",
    store: PaperStore = None,
) -> None:
    """Write the cut files (DXF, SVG, HPGL, list) and a work card for every section."""
    _lazy("kit")(file, out=out, reason=reason, store=store)


@app.command(help=say("cli.command.sheet"))
def sheet(
    file: PoleFile,
    out: Annotated[Path | None, typer.Option(help=say("cli.option.sheet.out"))] = None,
    language: Annotated[str, typer.Option(help=say("cli.option.sheet.language"))] = "",
    units: Annotated[str, typer.Option(help=say("cli.option.sheet.units"))] = "",
    serial: Annotated[str, typer.Option(help=say("cli.option.sheet.serial"))] = "",
    reason: Reason = "",
    store: PaperStore = None,
) -> None:
    """Write the buyer's sheet: honest figures with the test behind each, without the recipe."""
    _lazy("sheet")(file, out=out, language=language, units=units, serial=serial, reason=reason, store=store)


@app.command(help=say("cli.command.find"))
def find(
    file: Annotated[Path, typer.Argument(help=say("cli.option.find.file"), show_default=False)],
    out: Annotated[Path | None, typer.Option(help=say("cli.option.find.out"))] = None,
    seconds: Annotated[
        float | None,
        typer.Option(help=say("cli.option.find.seconds"), parser=figure("60", least=0.0), metavar="<float>"),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help=say("cli.option.find.as_json"))] = False,
    state: Annotated[Path | None, typer.Option(help=say("cli.option.find.state"))] = None,
    cluster: Annotated[str | None, typer.Option(help=say("cli.option.find.cluster"))] = None,
) -> None:
    """Find the best pole for a brief, with proof; what more would buy; or why there is none."""
    _lazy("find")(file, out=out, seconds=seconds, as_json=as_json, cluster=cluster, state=state)


@app.command(help=say("cli.command.schema"))
def schema(kind: Annotated[str, typer.Argument(help=say("cli.option.schema.kind"))] = "") -> None:
    """Print the JSON Schema of a kind of document."""
    _lazy("schema")(kind)


bench_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help=say("cli.bench.help"))
app.add_typer(bench_app, name="bench")
Serial = Annotated[str, typer.Option(help=say("cli.argument.serial"))]
Readings = Annotated[list[str], typer.Option("--reading", help=say("cli.argument.readings"))]
Tester = Annotated[str, typer.Option(help=say("cli.argument.tester"))]
Lots = Annotated[list[str] | None, typer.Option("--lot", help=say("cli.argument.lots"))]
StorePlace = Annotated[Path | None, typer.Option(help=say("cli.argument.store_place"))]


@bench_app.command("tube", help=say("cli.command.bench_tube"))
def bench_tube(
    file: PoleFile,
    serial: Serial,
    section: Annotated[
        int, typer.Option(help=say("cli.option.bench_tube.section"), parser=count("3", least=1), metavar="<int>")
    ],
    span: Annotated[str, typer.Option(help=say("cli.option.bench_tube.span"))],
    reading: Readings,
    tester: Tester = "",
    lot: Lots = None,
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A two-load bend test of one tube on two trestles, loads at mid-span."""
    _lazy("bench", "tube")(
        file,
        serial=serial,
        section=section,
        span=span,
        readings=reading,
        tester=tester,
        lots=lot or [],
        store=store,
        as_json=as_json,
    )


@bench_app.command("pole", help=say("cli.command.bench_pole"))
def bench_pole(
    file: PoleFile,
    serial: Serial,
    reading: Readings,
    out: Annotated[
        int, typer.Option(help=say("cli.option.bench_pole.out"), parser=count("0", least=0), metavar="<int>")
    ] = 0,
    prop: Annotated[str, typer.Option(help=say("cli.option.bench_pole.prop"))] = "1000 mm",
    tester: Tester = "",
    lot: Lots = None,
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A tip-load test of a whole pole: butt held down, propped, masses hung at the tip."""
    _lazy("bench", "pole")(
        file,
        serial=serial,
        out=out,
        prop=prop,
        readings=reading,
        tester=tester,
        lots=lot or [],
        store=store,
        as_json=as_json,
    )


@bench_app.command("add", help=say("cli.command.bench_add"))
def bench_add(
    file: PoleFile,
    kind: Annotated[str, typer.Argument(help=say("cli.option.bench_add.kind"))],
    serial: Serial,
    given: Annotated[list[str] | None, typer.Option("--set", help=say("cli.option.bench_add.set"))] = None,
    reading: Annotated[list[str] | None, typer.Option(help=say("cli.option.bench_add.reading"))] = None,
    tester: Tester = "",
    lot: Lots = None,
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A test of any kind, by its fields."""
    _lazy("bench", "add")(
        file,
        code=kind,
        serial=serial,
        given=given or [],
        readings=reading or [],
        tester=tester,
        lots=lot or [],
        store=store,
        as_json=as_json,
    )


@bench_app.command("record", help=say("cli.command.bench_record"))
def bench_record(
    file: PoleFile,
    test: Annotated[Path, typer.Argument(help=say("cli.option.bench_record.test"))],
    store: StorePlace = None,
    as_json: AsJson = False,
) -> None:
    """A test written in a test-record file."""
    _lazy("bench", "record")(file, file=test, store=store, as_json=as_json)


@bench_app.command("list", help=say("cli.command.bench_list"))
def bench_list(
    serial: Annotated[str | None, typer.Option(help=say("cli.option.bench_list.serial"))] = None,
    store: StorePlace = None,
) -> None:
    """Every test kept, newest first."""
    _lazy("bench", "listed")(serial=serial, store=store)


@bench_app.command("standing", help=say("cli.command.bench_standing"))
def bench_standing(
    file: PoleFile,
    serial: Annotated[str | None, typer.Option(help=say("cli.option.bench_standing.serial"))] = None,
    store: StorePlace = None,
) -> None:
    """What may be said of each pole by its tests."""
    _lazy("bench", "standing")(file, serial=serial, store=store)


store_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help=say("cli.store.help"))
app.add_typer(store_app, name="store")


@store_app.command("backup", help=say("cli.command.store_backup"))
def store_backup(
    to: Annotated[Path, typer.Argument(help=say("cli.option.store_backup.to"))], store: StorePlace = None
) -> None:
    """The whole workshop in one file, read back whole."""
    _lazy("store", "backup")(to, store=store)


@store_app.command("restore", help=say("cli.command.store_restore"))
def store_restore(
    file: Annotated[Path, typer.Argument(help=say("cli.option.store_restore.file"))], store: StorePlace = None
) -> None:
    """Put a backup where there is no workshop yet."""
    _lazy("store", "restore")(file, store=store)


@store_app.command("migrate", help=say("cli.command.store_migrate"))
def store_migrate(store: StorePlace = None) -> None:
    """Bring the workshop's file to this version's schema."""
    _lazy("store", "migrate")(store=store)


jobs_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help=say("cli.jobs.help"))
app.add_typer(jobs_app, name="jobs")


@jobs_app.command("list", help=say("cli.command.jobs_list"))
def jobs_list(store: StorePlace = None) -> None:
    """The newest jobs with their states, newest first."""
    _lazy("jobs", "listed")(store=store)


@jobs_app.command("stop", help=say("cli.command.jobs_stop"))
def jobs_stop(
    number: Annotated[
        int, typer.Argument(help=say("cli.option.jobs_stop.number"), parser=count("3", least=1), metavar="NUMBER")
    ],
    store: StorePlace = None,
) -> None:
    """Let a job end with the best so far."""
    _lazy("jobs", "stop")(number, store=store)


@app.command("open", help=say("cli.command.open"))
def open_app(
    host: Annotated[str, typer.Option(help=say("cli.option.open.host"))] = "127.0.0.1",
    port: Annotated[
        int | None,
        typer.Option(help=say("cli.option.open.port"), parser=count("8420", least=1, most=65535), metavar="<int>"),
    ] = None,
    store: StorePlace = None,
    browser: Annotated[bool, typer.Option(help=say("cli.option.open.browser"))] = True,
) -> None:
    """Open the app in the browser; a new workshop opens with the demo poles."""
    _lazy("open")(host=host, port=port, store=store, browser=browser)
