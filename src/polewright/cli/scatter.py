"""`polewright scatter`: what the hundredth pole will be like, as tables or as JSON."""

import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from rich.console import Console
from rich.markup import escape
from rich.progress import Progress

from polewright.cli.files import design_from, naming_file
from polewright.cli.output import console_of, table_of, write_json
from polewright.words import Reader, default_reader
from polewright.words.reports.scatter import scatter_report
from polewright.words.scatter import (
    figure_number,
    figure_text,
    figure_unit,
    input_number,
    input_text,
    input_unit,
    matter_text,
    order_text,
    promise_text,
    source_text,
)
from polewright.workshop import Plan, Watch
from polewright.workshop.scatter import ScatterAnswer, scatter_answer

__all__ = ["run"]

SHOWN = 6  # inputs a figure, the larger shares


def run(file: Path, *, poles: int, seed: int, order: int, as_json: bool) -> None:
    """Scatter a design; `order` is the number of poles ordered."""
    plan, design, reader = Plan(poles, seed), design_from(file), default_reader()
    with (
        naming_file(file),
        ThreadPoolExecutor(os.cpu_count() or 1) as on,
        Progress(console=Console(stderr=True), transient=True) as bar,
    ):

        def watching(step: str) -> Watch:
            task = bar.add_task(reader.say(f"cli.scatter.{step}"))
            return Watch(lambda done, of: bar.update(task, completed=done, total=of))

        answer = scatter_answer(design, plan=plan, order=order, on=on, watching=watching)
    if as_json:
        report = scatter_report(answer, reader)
        write_json(report.plain())
        return
    show(console_of(132), answer, reader)


def show(console: Console, a: ScatterAnswer, reader: Reader) -> None:
    """All tables of one scatter."""
    head = reader.say("cli.scatter.head", hash=a.design_hash[:8], poles=a.poles, seed=a.seed)
    console.print(f"[bold]{escape(a.name)}[/]  {head}\n")
    _figures(console, a, reader)
    _promises(console, a, reader)
    _order(console, a, reader)
    _matters(console, a, reader)
    _inputs(console, a, reader)
    for message in a.assumptions:
        line = reader.say("cli.scatter.assumed", assumption=message)
        console.print(f"[dim]{escape(line)}[/]", soft_wrap=True)


def _figures(console: Console, a: ScatterAnswer, reader: Reader) -> None:
    say = reader.say
    heads = [say(f"scatter.table.{head}") for head in ("nominal", "mean", "deviation", "low", "high")]
    table = table_of(say("scatter.figures", coverage=a.coverage), "", "", *heads, left=2)
    for band in a.figures:
        single = (figure_number(band.figure, v, reader) for v in (band.nominal, band.mean.value, band.deviation.value))
        ends = (
            say(
                "scatter.within",
                value=figure_number(band.figure, end.value, reader),
                open=figure_number(band.figure, end.half_width(), reader),
            )
            for end in (band.low, band.high)
        )
        table.add_row(figure_text(band.figure, reader), figure_unit(band.figure, reader), *single, *ends)
    console.print(table)
    console.print(f"[dim]{say('scatter.figures.open')}[/]\n")


def _promises(console: Console, a: ScatterAnswer, reader: Reader) -> None:
    say = reader.say
    heads = [say(f"scatter.table.{head}") for head in ("missed", "of", "chance", "true")]
    table = table_of(say("scatter.promises"), "", *heads)
    for p in a.promises:
        chance, low, high = (reader.bare(v, "share", 2) for v in (p.chance.value, p.chance.low, p.chance.high))
        ends = say("scatter.between_ends", low=low, high=high)
        table.add_row(promise_text(p, reader), reader.number(p.missed, 0), reader.number(p.of, 0), chance, ends)
    console.print(table)
    console.print()


def _order(console: Console, a: ScatterAnswer, reader: Reader) -> None:
    o = a.order
    title, make = reader.say("scatter.order", order=o.order), _make(a, reader)
    console.print(f"[bold]{title}[/]  {make}", soft_wrap=True)
    console.print(f"[dim]{reader.say('scatter.order.lots', passing=o.passing, alike=o.alike)}[/]\n", soft_wrap=True)


def _make(a: ScatterAnswer, reader: Reader) -> str:
    o = a.order
    return reader.say(
        "scatter.order.make",
        order=o.order,
        confidence=o.confidence,
        make=order_text(o.make, reader),
        cautious=order_text(o.cautious, reader),
        apart=order_text(o.apart, reader),
    )


def _matters(console: Console, a: ScatterAnswer, reader: Reader) -> None:
    say = reader.say
    heads = [say(f"scatter.table.{head}") for head in ("first", "total", "line")]
    for figure in dict.fromkeys(m.figure for m in a.matters):
        table = table_of(say("scatter.matters", figure=figure_text(figure, reader)), "", *heads)
        for m in [m for m in a.matters if m.figure == figure][:SHOWN]:
            shares = (
                say(
                    "scatter.within",
                    value=reader.bare(share.value, "share", 0),
                    open=reader.bare(share.half_width(), "share", 0),
                )
                for share in (m.first, m.total)
            )
            line = "" if m.line is None else reader.bare(m.line, "share", 0)
            table.add_row(matter_text(m.input, m.between, reader), *shares, line)
        console.print(table)
        console.print()


def _inputs(console: Console, a: ScatterAnswer, reader: Reader) -> None:
    say = reader.say
    heads = [say(f"scatter.table.{head}") for head in ("lots", "tubes", "plies", "source")]
    table = table_of(say("scatter.inputs"), "", "", *heads, left=2)
    table.columns[5].justify = "left"
    for taken in a.spreads:
        s, name = taken.spread, input_text(taken.spread.figure, reader)
        named = say("scatter.input_of", input=name, material=taken.material) if taken.material else name
        source = source_text(s.source, s.confidence, reader)
        numbers = (input_number(s.figure, v, reader) for v in (s.lot, s.tube, s.ply))
        table.add_row(escape(named), input_unit(s.figure, reader), *numbers, escape(source))
    console.print(table)
    console.print()
