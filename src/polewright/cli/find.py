"""`polewright find`: the best pole for a brief, with its proof, as tables or JSON, and as a design file."""

import json
import signal
import sys
import threading
import time
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path

from rich.console import Console
from rich.table import Table

from polewright.cli.check import table_of
from polewright.cli.files import refuse_as_file, told_of, write_whole
from polewright.cli.shown import console_of, unmarked
from polewright.documents.files import dump_json, dump_toml, load
from polewright.documents.find_of import SECONDS, Answer, Finder
from polewright.documents.found import FindReport, FoundFigures
from polewright.errors import DesignError
from polewright.search import Progress
from polewright.words import default_reader
from polewright.workshop.work import executor

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
    document = load(file)
    with told_of(file), _on(cluster) as on:
        finder = Finder(document, executor=on, say=_Teller().say, stop=_Halt(seconds).asked)
        try:
            with _state_told(state):
                answer = _searched(finder, seconds, _read(state))
        finally:
            _keep(finder, state)
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


@contextmanager
def _state_told(state: Path | None) -> Iterator[None]:
    """A refusal of what a stopped search left is told of the option and its file."""
    try:
        yield
    except DesignError as fault:
        if state is None or fault.field != "state":
            raise
        raise DesignError("--state", str(state), fault.want) from fault


def _read(state: Path | None) -> bytes | None:
    """What a search that was stopped left; None where there is no such file yet."""
    if state is None or not state.exists():
        return None
    try:
        return state.read_bytes()
    except OSError as fault:
        raise DesignError("--state", str(state), f"a file that can be read: {fault.strerror}") from fault


def _keep(finder: Finder, state: Path | None) -> None:
    """Write a stopped search to its file, whole or not at all; a search at its end needs the file no more."""
    if state is None:
        return
    data = finder.state
    if data is not None:
        write_whole(state, data)
    elif finder.is_done and state.exists():
        state.unlink()


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
def _on(cluster: str | None) -> Iterator[Executor]:
    """Threads of this machine (the kernels let go of the interpreter), or the cluster at an address."""
    if cluster is None:
        with ThreadPoolExecutor() as pool:
            yield pool
    else:
        with executor(cluster) as pool:
            yield pool


def _searched(finder: Finder, seconds: float | None, state: bytes | None) -> Answer:
    """Every step; a stop during the search keeps the best so far, a stop later leaves out what is not done."""
    guess = finder.estimate(SECONDS if seconds is None else max(seconds, SECONDS))
    if sys.stderr.isatty():
        sys.stderr.write(f"{guess}; Ctrl+C keeps the best so far\n")
    with _gently(finder):
        finder.search(state)
    for step in (finder.trade, finder.buy):
        if not finder.is_stopped:
            with _or_enough(finder):
                step()
    return finder.answer()


@contextmanager
def _gently(finder: Finder) -> Iterator[None]:
    """Ctrl+C inside asks the search to stop at its next look."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, lambda *_: finder.halt())
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _or_enough(finder: Finder) -> Iterator[None]:
    """Ctrl+C inside ends this step; what was found before is kept."""
    try:
        yield
    except KeyboardInterrupt:
        finder.halt()
        finder.is_stopped = True


class _Halt:
    """True once the time is up."""

    def __init__(self, seconds: float | None) -> None:
        self._until = None if seconds is None else time.monotonic() + seconds

    def asked(self) -> bool:
        return self._until is not None and time.monotonic() > self._until


class _Teller:
    """The state of the search on one line of the terminal; silent where nobody watches."""

    def __init__(self) -> None:
        self._is_watched, self._last = sys.stderr.isatty(), 0.0

    def say(self, progress: Progress) -> None:
        if not self._is_watched or time.monotonic() - self._last < 0.2:
            return
        self._last = time.monotonic()
        reader = default_reader()
        step = reader.say(f"job.step.{progress.step}", done=progress.done, of=progress.of)
        gap = f", {reader.say('job.gap', gap=progress.gap)}" if progress.gap < 10.0 else ""
        with suppress(OSError):
            sys.stderr.write(f"\r\x1b[K{step}{gap}")
            sys.stderr.flush()


def show(console: Console, r: FindReport, out: Path | None) -> None:
    """All tables of one answer."""
    if sys.stderr.isatty():
        sys.stderr.write("\r\x1b[K")
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
