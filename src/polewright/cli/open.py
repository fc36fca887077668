"""`polewright open`: the app in the browser, on this machine alone."""

import gc
import logging
import signal
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from pathlib import Path
from typing import Any

import uvicorn

from polewright.codes import Message
from polewright.errors import DesignError, reason_of
from polewright.words import default_reader
from polewright.workshop import default_store_path, open_workshop, refuse_unless_loopback

__all__ = ["listen", "run"]

say = default_reader().say

TRIED = 20  # ports after the usual one


def run(*, host: str, port: int | None, store: Path | None, browser: bool) -> None:
    """Serve the workshop until Ctrl+C or a termination signal; a new one opens with the demo poles in it.

    Raises
    ------
    DesignError : the host can be reached from outside this machine, or the port is taken.
    StockError : the workshop's file cannot be used.
    """
    refuse_unless_loopback(host)
    listening = listen(host, port)
    with listening, _closed_by_a_signal():
        place = store or default_store_path()
        is_new = not place.exists()
        place.parent.mkdir(parents=True, exist_ok=True)
        with open_workshop(place) as workshop:
            if is_new:
                workshop.load_demo()
            app = _app(workshop)
            _settle_memory()
            address = f"http://{_shown(host)}:{listening.getsockname()[1]}"
            _serve(app, listening, lambda: _say(address, place, browser))
        sys.stdout.write(f"{say('cli.open.closed')}\n")


@contextmanager
def _closed_by_a_signal() -> Iterator[None]:
    """A termination signal inside closes as Ctrl+C does: jobs keep their best so far, the store is closed."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        with suppress(KeyboardInterrupt):
            yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _settle_memory() -> None:
    """What is loaded by now stays: the collector need not walk through it again in the middle of an edit."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 50, 100)


def listen(host: str, port: int | None) -> socket.socket:
    """A listening socket: on the port asked for, or on the first free one from the usual one on."""
    usual = 8420
    refusal: OSError | None = None
    for number in [port] if port is not None else range(usual, usual + TRIED):
        try:
            listening = socket.create_server((host, number), family=_family(host))
        except OSError as fault:
            refusal = fault
        else:
            # an answer goes out at once; else its last piece may wait 40 ms for word that the first has come
            listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            return listening
    shown = Message("given.range", least=str(usual), most=str(usual + TRIED - 1)) if port is None else str(port)
    why = reason_of(refusal) if refusal is not None else ""
    raise DesignError("port", shown, Message("want.free_port", reason=why, option="--port")) from refusal


def _family(host: str) -> socket.AddressFamily:
    return socket.AF_INET6 if ":" in host else socket.AF_INET


def _shown(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _app(workshop: Any) -> Any:
    """The pages with the JSON API beside them; the three faces do not know each other but for this line."""
    pages, api = import_module("polewright.web"), import_module("polewright.api")
    return pages.combined_app(pages.create_pages(workshop), api.create_api(workshop))


def _serve(app: Any, listening: socket.socket, on_start: Callable[[], None]) -> None:
    server = uvicorn.Server(
        uvicorn.Config(
            app,
            log_level=logging.ERROR,
            access_log=False,
            lifespan="off",
            server_header=False,
            timeout_graceful_shutdown=3,
        )
    )
    threading.Thread(target=_when_up, args=(server, on_start), daemon=True).start()
    with suppress(KeyboardInterrupt):
        server.run(sockets=[listening])


def _when_up(server: uvicorn.Server, on_start: Callable[[], None]) -> None:
    waiting = threading.Event()
    while not server.started and not server.should_exit:
        waiting.wait(0.02)
    if server.started:
        on_start()


def _say(address: str, place: Path, browser: bool) -> None:
    sys.stdout.write(f"{address}  {say('cli.open.where', place=str(place), keys='Ctrl+C')}\n")
    sys.stdout.flush()
    if browser:
        webbrowser.open(address)
