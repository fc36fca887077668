"""`polewright scatter`: what the hundredth pole will be like, as tables or as JSON."""

import json
import os
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from rich.console import Console
from rich.progress import Progress
from rich.table import Table

from polewright.cli.files import design_from, told_of
from polewright.cli.shown import console_of, unmarked
from polewright.documents.scatter_of import ScatterReport, scatter_report
from polewright.scatter import Plan, Watch

__all__ = ["run"]

SHOWN = 6  # inputs a figure, the larger shares


def run(file: Path, *, poles: int, seed: int, order: int, as_json: bool) -> None:
    """Scatter a design; `order` is the number of poles ordered."""
    plan, design = Plan(poles, seed), design_from(file)
    with (
        told_of(file),
        ThreadPoolExecutor(os.cpu_count() or 1) as on,
        Progress(console=Console(stderr=True), transient=True) as bar,
    ):
        tasks: dict[int, object] = {}

        def told(done: int, of: int) -> None:
            if done <= 1 or not tasks:
                tasks[0] = bar.add_task("poles drawn", total=of)
            bar.update(tasks[0], completed=done)  # type: ignore[arg-type]

        report = scatter_report(design, plan=plan, order=order, on=on, watch=Watch(told))
    if as_json:
        sys.stdout.write(json.dumps(report.plain(), indent=2, ensure_ascii=False) + "\n")
        return
    show(console_of(132), unmarked(report))


def show(console: Console, r: ScatterReport) -> None:
    """All tables of one scatter."""
    console.print(f"[bold]{r.name}[/]  design {r.design_hash[:8]}   {r.poles} poles drawn, seed {r.seed}\n")
    _figures(console, r)
    _promises(console, r)
    _order(console, r)
    _matters(console, r)
    _inputs(console, r)
    for said in r.assumptions:
        console.print(f"[dim]assumed: {said}[/]", soft_wrap=True)


def _table(title: str, *columns: str, left: int = 1) -> Table:
    table = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=None,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        header_style="dim",
    )
    for i, column in enumerate(columns):
        table.add_column(column, justify="left" if i < left else "right", overflow="fold")
    return table


def _figures(console: Console, r: ScatterReport) -> None:
    table = _table(
        f"What copies come to: {r.coverage_pct:g} of 100 lie between low and high",
        "",
        "",
        "as designed",
        "mean",
        "sd",
        "low",
        "high",
        left=2,
    )
    for f in r.figures:
        digits = 3 if f.unit in ("kg m",) or f.name.startswith("clearance") else 2 if f.unit == "mm per 100 g" else 1
        table.add_row(
            f.name,
            f.unit,
            *(f"{v:.{digits}f}" for v in (f.nominal, f.mean, f.sd)),
            f"{f.low:.{digits}f} ±{f.low_pm:.{digits}f}",
            f"{f.high:.{digits}f} ±{f.high_pm:.{digits}f}",
        )
    console.print(table)
    console.print("[dim]± is what this number of poles leaves open, at 95 %[/]\n")


def _promises(console: Console, r: ScatterReport) -> None:
    table = _table("Chance of missing each promise", "", "missed", "of", "chance %", "true one, 95 %")
    for p in r.promises:
        table.add_row(
            p.says,
            str(p.missed),
            str(p.of),
            f"{p.chance_pct:.2f}",
            f"{p.chance_low_pct:.2f} to {p.chance_high_pct:.2f}",
        )
    console.print(table)
    console.print()


def _order(console: Console, r: ScatterReport) -> None:
    o = r.order

    def made(count: int | None) -> str:
        return "no number will do" if count is None else str(count)

    console.print(
        f"[bold]An order of {o.order}[/]  to have {o.order} that pass, {o.confidence_pct:g} times in 100: "
        f"make {made(o.to_make)} (by the far end of the band {made(o.to_make_cautious)}; if each had lots of "
        f"its own {made(o.to_make_apart)})",
        soft_wrap=True,
    )
    console.print(
        f"[dim]{o.passing_pct:.1f} % pass; poles of one lot pass or fail together with a correlation of "
        f"{o.lots_alike:.2f}[/]\n",
        soft_wrap=True,
    )


def _matters(console: Console, r: ScatterReport) -> None:
    for figure in dict.fromkeys(m.figure for m in r.matters):
        table = _table(f"What makes {figure} stray", "", "by itself %", "with all it joins %", "straight line %")
        for m in [m for m in r.matters if m.figure == figure][:SHOWN]:
            table.add_row(
                m.input,
                f"{m.first_pct:.0f} ±{m.first_pm_pct:.0f}",
                f"{m.total_pct:.0f} ±{m.total_pm_pct:.0f}",
                "" if m.line_pct is None else f"{m.line_pct:.0f}",
            )
        console.print(table)
        console.print()


def _inputs(console: Console, r: ScatterReport) -> None:
    table = _table("Spreads taken, standard deviations", "", "", "lots", "tubes", "plies", "source", left=2)
    table.columns[5].justify = "left"
    for s in r.spreads:
        name = f"{s.input} ({s.material})" if s.material else s.input
        table.add_row(
            name,
            s.unit,
            *("" if v == 0.0 else f"{v:.2g}" for v in (s.lots, s.tubes, s.plies)),
            f"{s.source} ({s.confidence})" if s.confidence else s.source,
        )
    console.print(table)
    console.print()
