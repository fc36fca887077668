"""`polewright find`: the best pole for a brief, with its proof, as tables or JSON, and as a design file."""

import json
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, TextColumn
from rich.progress import Progress as ProgressBar
from rich.table import Table

from polewright.cli.check import table_of
from polewright.cli.files import refuse_as_file, write_whole
from polewright.cli.shown import console_of, unmarked
from polewright.codes import Message
from polewright.documents.files import DocumentError, Fault, dump_json, dump_toml, load
from polewright.documents.find_of import Answer
from polewright.documents.found import FindReport, FoundFigures
from polewright.errors import DesignError, PolewrightError
from polewright.words import default_reader
from polewright.words.jobs import job_text
from polewright.workshop import End, JobProgress, LoneJob, find_answer

__all__ = ["run"]


def run(
    file: Path,
    *,
    out: Path | None,
    seconds: float | None,
    as_json: bool,
    cluster: str | None,
    state: Path | None = None,
) -> None:
    """Search for the best pole; Ctrl+C keeps the best so far, and with a state file the search can be gone on with."""
    refuse_as_file(out, option="--out", read=file)
    refuse_as_file(state, option="--state", read=file)
    options = {"seconds": seconds, "cluster": cluster}
    job = LoneJob("find", load(file), options={k: v for k, v in options.items() if v is not None}, state=_read(state))
    with _stop_by_interrupt(job), _progress() as say:
        end = job.run(say=say, keep=lambda data: None if state is None else write_whole(state, data))
    if end.answer is None:
        raise _refusal(end, file, state)
    answer = find_answer(end.answer.plain)
    if state is not None and answer.report.is_complete:
        state.unlink(missing_ok=True)  # a search at its end needs the file no more
    if out is not None and answer.best is not None:
        text = dump_json(answer.best) if out.suffix.lower() == ".json" else dump_toml(answer.best)
        write_whole(out, text.encode("utf-8"))
    if as_json:
        sys.stdout.write(json.dumps(answer.report.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n")
    else:
        show(console_of(132), unmarked(answer.report), out)
        _tell_how_to_go_on(answer, file, state)
    if out is not None and answer.best is None:
        raise DesignError("--out", str(out), "not written: no pole meets the brief")


def _refusal(end: End, file: Path, state: Path | None) -> PolewrightError:
    """Why there is no answer: of the state's option, of the brief's file, or of the search itself."""
    (field, value, want), *_ = end.faults
    if state is not None and field == "state":
        return DesignError("--state", str(state), want)
    if not end.is_refused or field == "cluster":
        return PolewrightError(field, value, want)
    faults = [Fault((f, v if isinstance(v, Message) else "" if v is None else str(v), w)) for f, v, w in end.faults]
    return DocumentError(faults, str(file))


def _read(state: Path | None) -> bytes | None:
    """What a search that was stopped left; None where there is no such file yet."""
    if state is None or not state.exists():
        return None
    try:
        return state.read_bytes()
    except OSError as fault:
        raise DesignError("--state", str(state), f"a file that can be read: {fault.strerror}") from fault


def _tell_how_to_go_on(answer: Answer, file: Path, state: Path | None) -> None:
    if answer.report.is_complete:
        return
    words = (
        f"go on with: polewright find {file} --state {state}"
        if state is not None
        else f"to be able to go on with a search that is stopped: polewright find {file} --state FILE"
    )
    sys.stdout.write(words + "\n")


@contextmanager
def _stop_by_interrupt(job: LoneJob) -> Iterator[None]:
    """Ctrl+C inside asks the search to end with the best so far; a second one ends it at once."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, lambda *_: job.stop())
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _progress() -> Iterator[Callable[[JobProgress], None]]:
    """A bar on the terminal with the step in hand and the gap so far; nothing where nobody watches."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    reader, console = default_reader(), Console(stderr=True)
    console.print(reader.say("job.interrupt"), markup=False, highlight=False)
    with ProgressBar(
        TextColumn("{task.description}", markup=False), BarColumn(), console=console, transient=True
    ) as bar:
        task = bar.add_task("", total=None)

        def say(progress: JobProgress) -> None:
            bar.update(task, description=job_text(progress, reader), completed=progress.done, total=progress.of or None)

        yield say


def show(console: Console, r: FindReport, out: Path | None) -> None:
    """All tables of one answer."""
    console.print(f"[bold]{r.name}[/]  least {r.aim} within the brief{'' if r.is_complete else '   ' + r.stopped_at}")
    if r.best is None:
        _why_not(console, r)
    else:
        _best(console, r, r.best, out)
    _proof(console, r)
    _front(console, r)
    _money(console, r)
    _offers(console, r)
    for note in r.notes:
        console.print(f"[dim]{note}[/]", soft_wrap=True)
    console.print(
        "[dim]Predicted strength and stiffness are no certification: prove every pole on the bench. Follow "
        "local codes and a licensed or competent person.[/]",
        soft_wrap=True,
    )


def _best(console: Console, r: FindReport, best: FoundFigures, out: Path | None) -> None:
    console.print(
        f"droop {best.droop_mm:.0f} mm   {best.flex_mm_per_100g:.1f} mm per 100 g   {best.mass_g:.0f} g   "
        f"{best.material_cost:.0f} {r.currency}   base {best.base_outside_mm:.2f} mm   "
        f"closed {best.closed_mm:.0f} mm   carry {best.carry_kg_m:.2f} kg m\n"
    )
    table = table_of("Best pole, sections from the tip", "", "mandrel", "stack, bore outward")
    for column in table.columns[1:]:
        column.justify = "left"
    for i, (mandrel, stack) in enumerate(zip(best.mandrels, best.stacks, strict=True), 1):
        table.add_row(f"S{i}", mandrel, stack)
    console.print(table)
    for miss in best.misses:
        console.print(f"[bold red]look[/]  {miss}", soft_wrap=True)
    console.print("meets the whole brief" if not best.misses else "")
    written = "--out FILE writes it as a design" if out is None else f"written to {unmarked(str(out))}"
    console.print(f"{written}\n", soft_wrap=True)


def _why_not(console: Console, r: FindReport) -> None:
    if r.is_hopeless:
        console.print(
            "no pole: no mandrels of this rack nest with these plies and clearances, whatever the wishes\n",
            soft_wrap=True,
        )
    elif r.conflict:
        console.print(f"[bold]no pole meets this brief.[/] Cannot all be had: {', '.join(r.conflict)}", soft_wrap=True)
        for way in r.ways:
            console.print(f"  {way.says}", soft_wrap=True)
            if way.pole is not None:
                p = way.pole
                console.print(
                    f"    [dim]{p.droop_mm:.0f} mm, {p.mass_g:.0f} g, {p.material_cost:.0f} {r.currency}, "
                    f"base {p.base_outside_mm:.2f} mm, closed {p.closed_mm:.0f} mm[/]",
                    soft_wrap=True,
                )
        console.print()
    else:
        console.print("no pole found so far\n")


def _proof(console: Console, r: FindReport) -> None:
    console.print("[bold]Proof[/]")
    for c in r.counts:
        gone = "".join(f", {n:,} excluded ({why})" for why, n in c.excluded.items() if n)
        left = f", {c.left:,} not reached" if c.left else ""
        console.print(f"{c.in_all:,} {c.what} = {c.evaluated:,} evaluated{gone}{left}", soft_wrap=True)
    if r.best is not None and r.best.gap_pct is not None:
        lead = "nothing can be better by more than" if r.is_complete else "stopped; as far as proved, better by at most"
        own = f" (droop in this model: {r.best.droop_search_mm:.0f} mm)" if r.aim == "droop" else f" in {r.aim}"
        console.print(f"{lead} {r.best.gap_pct:.2f} %{own}")
    elif r.best is None and r.is_complete:
        console.print("complete: it is proved that there is none")
    console.print(
        f"[dim]the proof speaks of: {r.bound_model}; the figures shown are of the full check, true rotations "
        "and all[/]\n",
        soft_wrap=True,
    )


def _front(console: Console, r: FindReport) -> None:
    if not r.front:
        return
    table = table_of(
        "The trade: no pole here is beaten in droop, mass and cost",
        "",
        "droop mm",
        "mass g",
        r.currency,
        "base mm",
        "mm per 100 g",
        "gap %",
        "brief",
    )
    for i, p in enumerate(r.front, 1):
        table.add_row(
            str(i),
            f"{p.droop_mm:.0f}",
            f"{p.mass_g:.0f}",
            f"{p.material_cost:.0f}",
            f"{p.base_outside_mm:.2f}",
            f"{p.flex_mm_per_100g:.1f}",
            "" if p.gap_pct is None else f"{p.gap_pct:.2f}",
            "meets it" if not p.misses else f"misses {len(p.misses)}",
        )
    console.print(table)
    console.print()


def _money(console: Console, r: FindReport) -> None:
    if not r.money:
        return
    table: Table = table_of(
        "Where money does most, one section alone, from the plain pole of the trade",
        "",
        "droop saved mm",
        r.currency,
        f"mm per {r.currency}",
        "by",
    )
    table.columns[4].justify = "left"
    for m in r.money:
        table.add_row(f"S{m.section}", f"{m.droop_saved_mm:.0f}", f"{m.cost:.0f}", f"{m.mm_per_cost:.2f}", m.stack)
    console.print(table)
    last, first = r.money[-1], r.money[0]
    if last.mm_per_cost < first.mm_per_cost / 2.0:
        console.print(
            f"[dim]money in S{last.section} is in the wrong place: {last.mm_per_cost:.1f} mm per "
            f"{r.currency}, S{first.section} gives {first.mm_per_cost:.1f}[/]",
            soft_wrap=True,
        )
    console.print()


def _offers(console: Console, r: FindReport) -> None:
    if not r.offers:
        return
    console.print("[bold]What more would buy[/]")
    for i, o in enumerate(r.offers, 1):
        console.print(f"{i}. {o.says}", soft_wrap=True)
    console.print()
