"""`polewright find`: the best pole for a brief, with its proof, as tables or JSON, and as a design file."""

import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, TextColumn
from rich.progress import Progress as ProgressBar

from polewright.cli.files import refuse_as_file, write_whole
from polewright.cli.find_tables import show_answer
from polewright.cli.output import console_of, write_json
from polewright.codes import Message
from polewright.errors import DesignError, DocumentError, Fault, PolewrightError, reason_of
from polewright.words import default_reader
from polewright.words.jobs import job_text
from polewright.words.reports.find import find_report
from polewright.words.reports.plain import plain_text
from polewright.workshop import End, JobProgress, LoneJob, dump_json, dump_toml, find_answer, load

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
    answer, reader = find_answer(end.answer.plain), default_reader()
    design = None if answer.best is None else answer.best.design
    if state is not None and answer.is_complete:
        state.unlink(missing_ok=True)  # a search at its end needs the file no more
    if out is not None and design is not None:
        text = dump_json(design) if out.suffix.lower() == ".json" else dump_toml(design)
        write_whole(out, text.encode("utf-8"))
    if as_json:
        report = find_report(answer, reader)
        write_json(report)
    else:
        show_answer(console_of(132), answer, reader, out)
        if not answer.is_complete:
            resume = "cli.find.resume" if state is not None else "cli.find.resumable"
            sys.stdout.write(f"{plain_text(reader.say(resume, file=file, state=state))}\n")
    if out is not None and design is None:
        raise DesignError("--out", str(out), Message("want.pole_to_write"))


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
        raise DesignError("--state", str(state), Message("want.readable_file", reason=reason_of(fault))) from fault


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
