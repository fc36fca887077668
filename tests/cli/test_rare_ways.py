"""Ways of commands that are rarely gone: a clock beside a reading, a file that cannot be written, a signal."""

import errno
import os
import signal
import threading
from pathlib import Path
from typing import Any

import pytest
from tests.kept.coded import CODED, in_codes

from polewright.answers.sections import BandWindow
from polewright.cli.bench import _readings
from polewright.cli.check_tables import _window
from polewright.cli.files import naming_file, write_whole
from polewright.cli.find import _read, _stop_by_interrupt
from polewright.cli.open import _closed_by_a_signal
from polewright.cli.output import without_markup
from polewright.cli.sheet import _reader
from polewright.codes import Message
from polewright.documents.files import DocumentError
from polewright.documents.test_record import Reading
from polewright.errors import DesignError
from polewright.words import Reader


def test_a_reading_has_a_load_and_the_clock_of_a_tube_that_was_turned():
    assert _readings(["500 g = 12.31 mm @ 90", "1 kg=24.8", " 1 kg = 25 @ "]) == [
        {"load_g": "500 g", "reading_mm": "12.31 mm", "clock_deg": "90"},
        {"load_g": "1 kg", "reading_mm": "24.8"},
        {"load_g": "1 kg", "reading_mm": "25"},
    ]


@pytest.mark.parametrize(
    ("typed", "field", "value", "want"),
    [
        ("500 g", "readings[1]", "'500 g'", "want.load_and_reading"),
        ("=3 mm", "readings[1]", "'=3 mm'", "want.load_and_reading"),
        ("5 g= @ 90", "readings[1]", "'5 g= @ 90'", "want.load_and_reading"),
    ],
)
def test_a_reading_that_lacks_a_part_is_refused(typed: str, field: str, value: str, want: str):
    with pytest.raises(DocumentError) as found:
        _readings(["1 g = 2 mm", typed])
    ((where, given, wanted),) = found.value.faults
    assert (where, given, wanted.code) == (field, value, want)


def test_a_file_that_cannot_be_written_is_named_and_leaves_nothing_behind(tmp_path, monkeypatch):
    file = tmp_path / "sheet.pdf"
    file.write_bytes(b"before")

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="full") as found:
        write_whole(file, b"after")
    assert (found.value.errno, found.value.filename) == (errno.ENOSPC, str(file))
    assert list(tmp_path.iterdir()) == [file]
    assert file.read_bytes() == b"before"


def test_a_file_is_written_whole_for_all_to_read(tmp_path):
    file = tmp_path / "new" / "cut.csv"
    write_whole(file, b"after")
    assert file.read_bytes() == b"after"
    assert file.stat().st_mode & 0o777 == 0o644
    assert list(file.parent.iterdir()) == [file]


def test_a_refusal_of_an_option_names_no_file(tmp_path):
    for field, where in (("--if", ""), ("length", str(tmp_path))):
        with pytest.raises(DesignError) as found, naming_file(tmp_path):
            raise DesignError(field, 1.0, Message("want.finite"))
        assert found.value.where == where
        with pytest.raises(DocumentError) as told, naming_file(tmp_path):
            raise DocumentError.at(field, "1", Message("want.finite"))
        assert told.value.where == where


def test_the_state_of_a_search_is_a_file_or_not_there_yet(tmp_path):
    assert _read(None) is None
    assert _read(tmp_path / "none") is None
    (tmp_path / "state").write_bytes(b"kept")
    assert _read(tmp_path / "state") == b"kept"
    with pytest.raises(DesignError) as found:
        _read(tmp_path)
    assert (found.value.field, found.value.value, found.value.want.code) == (
        "--state",
        str(tmp_path),
        "want.readable_file",
    )


def test_an_interrupt_asks_a_search_to_stop_and_then_means_what_it_meant_before():
    class Job:
        stopped = 0

        def stop(self) -> None:
            self.stopped += 1

    job: Any = Job()
    before = signal.getsignal(signal.SIGINT)
    with _stop_by_interrupt(job):
        signal.raise_signal(signal.SIGINT)
    assert job.stopped == 1
    assert signal.getsignal(signal.SIGINT) is before


def test_a_termination_closes_and_then_means_what_it_meant_before():
    before = signal.getsignal(signal.SIGTERM)
    seen = []
    with _closed_by_a_signal():
        seen.append("open")
        signal.raise_signal(signal.SIGTERM)
        seen.append("still open")
    assert seen == ["open"]
    assert signal.getsignal(signal.SIGTERM) is before


@pytest.mark.parametrize("inside", [_closed_by_a_signal, lambda: _stop_by_interrupt(None)], ids=["open", "find"])
def test_signals_are_left_alone_in_another_thread(inside: Any):
    seen: list[object] = []

    def run() -> None:
        with inside():
            seen.append(signal.getsignal(signal.SIGTERM))

    before = signal.getsignal(signal.SIGTERM)
    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    assert seen == [before]


def _clamped(*newtons):
    return BandWindow(*newtons, ends="fibre", hold_needed=1.0, width=1.0, kind="split_band")


def test_a_clamp_without_a_window_says_so():
    reader = Reader("x-coded")
    assert _window(None, reader) == ""
    assert _window(_clamped(50.0, 40.0, 1.0, 1.0, 1.0), reader).startswith("⟨cli.check.sections.window.none")
    assert _window(_clamped(40.0, 50.0, 1.0, 1.0, 1.0), reader) == "⟨cli.check.sections.window|least=40|most=50⟩"


def test_brackets_in_words_of_a_workshop_are_no_marks_wherever_they_stand():
    reading = Reading(load_g=1.0, reading_mm=2.0)
    window = _clamped(1.0, 2.0, 3.0, 4.0, 5.0)
    plain: dict[str, Any] = {"[bold]a": ["[red]b", ("[c]", 3, None)], "same": (reading, window)}
    told = without_markup(plain)
    assert told["\\[bold]a"] == ["\\[red]b", ("\\[c]", 3, None)]
    assert told["same"] == (reading, window)
    assert without_markup(Path("[a]")) == Path("[a]")


@pytest.mark.parametrize(
    ("language", "units", "read"),
    [("", "", (CODED, "metric")), ("de", "metric", ("de", "metric")), ("en", "inch", ("en", "inch"))],
)
def test_a_paper_is_in_the_language_asked_for_or_in_that_of_commands(language: str, units: str, read: tuple[str, str]):
    with in_codes():
        reader = _reader(language, units)
    assert (reader.language, reader.system) == read


@pytest.mark.parametrize(("language", "units", "option"), [("xx", "", "--language"), ("", "ells", "--units")])
def test_a_paper_is_in_a_language_and_units_that_there_are(language: str, units: str, option: str):
    with pytest.raises(DesignError) as found:
        _reader(language, units)
    assert (found.value.field, found.value.value) == (option, repr(language or units))
    assert found.value.want.code == "want.one"
