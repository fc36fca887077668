"""Which requests are answered: of this machine, of our own pages, of a sane size; and the headers of every answer.

A request is refused with a message, as every refusal is, whoever refused it.
"""

import ipaddress
import json
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from dataclasses import asdict
from typing import Any
from urllib.parse import urlsplit

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.words import default_reader, fault_text

__all__ = ["MOST_BODY", "RequestGuard", "refuse_unless_loopback", "wanted_instead"]

Event = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Event]]
Send = Callable[[Event], Awaitable[None]]
App = Callable[[Event, Receive, Send], Awaitable[None]]
MOST_BODY = 4_000_000
_HOSTS = frozenset({"localhost", "127.0.0.1", "::1"})
_HARMLESS = frozenset({"GET", "HEAD", "OPTIONS"})
_MAY_LOAD = (
    "default-src 'none'; script-src 'self'; style-src {styles}; font-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
_HEADERS = {
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


def refuse_unless_loopback(host: str) -> None:
    """Refuse to listen where another machine could reach in.

    Raises
    ------
    DesignError : the host is not this machine's own loopback address.
    """
    try:
        is_loopback = host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        is_loopback = False
    if not is_loopback:
        raise DesignError("host", host, Message("want.own_address"))


def wanted_instead(status: int, method: str) -> Message:
    """What would be right where the web framework turned a request away with a status and words of its own."""
    match status:
        case 400:
            return Message("want.whole_request")
        case 404:
            return Message("want.known_address")
        case 405:
            return Message("want.other_method", method=method)
    return Message("want.other_request", status=status)


class RequestGuard:
    """A wrapper around any ASGI app; requests that may not come in are answered here and never reach it.

    A Host of another name is how a foreign page, its name pointed at this machine, would read the workshop; a foreign
    Origin on a change is how it would write to it. `inline_styles` lets drawings within a page carry their own style.
    """

    def __init__(
        self, app: App, *, hosts: Iterable[str] = _HOSTS, most_body: int = MOST_BODY, inline_styles: bool = False
    ) -> None:
        self._app, self._hosts, self._most = app, frozenset(hosts), most_body
        styles = "'self' 'unsafe-inline'" if inline_styles else "'self'"
        self._headers = {"content-security-policy": _MAY_LOAD.format(styles=styles), **_HEADERS}

    async def __call__(self, scope: Event, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_with_headers(message: Event) -> None:
            if message["type"] == "http.response.start":
                _add_headers(message, self._headers)
            await send(message)

        refusal = self._refusal(scope)
        if refusal is not None:
            await _answer(send_with_headers, *refusal)
            return
        body = await _body(receive, self._most)
        if body is None:
            await _answer(send_with_headers, *_too_large(self._most))
            return
        await self._app(scope, _replay(body, receive), send_with_headers)

    def _refusal(self, scope: Event) -> tuple[int, str, str, Message] | None:
        headers: dict[str, list[str]] = {}
        for name, value in scope["headers"]:
            headers.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
        host = headers.get("host", [])
        if len(host) != 1 or _host_of(f"//{host[0]}") not in self._hosts:
            return 421, "Host", ", ".join(host), Message("want.local_address")
        if scope["method"] not in _HARMLESS and not self._is_ours(headers, host[0]):
            return 403, "Origin", ", ".join(headers.get("origin", [])), Message("want.own_page")
        length = headers.get("content-length", ["0"])[0]
        if length.isdecimal() and int(length[:12]) > self._most:
            return _too_large(self._most)
        return None

    def _is_ours(self, headers: dict[str, list[str]], host: str) -> bool:
        """No sign of another site; a program that is no browser sends neither header."""
        if headers.get("sec-fetch-site", ["none"]) not in (["none"], ["same-origin"]):
            return False
        origin = headers.get("origin")
        return origin is None or (len(origin) == 1 and _place_of(origin[0]) == host.lower())


def _host_of(address: str) -> str | None:
    try:
        return urlsplit(address).hostname
    except ValueError:
        return None


def _place_of(origin: str) -> str | None:
    try:
        parts = urlsplit(origin)
    except ValueError:
        return None
    return parts.netloc.lower() if parts.scheme in ("http", "https") else None


def _too_large(most: int) -> tuple[int, str, str, Message]:
    return 413, "body", "", Message("want.bytes_at_most", most=most)


async def _body(receive: Receive, most: int) -> bytes | None:
    """The whole body, or None once it is longer than it may be."""
    parts: list[bytes] = []
    length = 0
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return b"".join(parts)
        part = message.get("body", b"")
        length += len(part)
        if length > most:
            return None
        parts.append(part)
        if not message.get("more_body", False):
            return b"".join(parts)


def _replay(body: bytes, receive: Receive) -> Receive:
    """Hand the body on once, then whatever comes after it."""
    waiting: list[Event] = [{"type": "http.request", "body": body, "more_body": False}]

    async def receive_again() -> Event:
        return waiting.pop() if waiting else await receive()

    return receive_again


def _add_headers(message: Event, marks: dict[str, str]) -> None:
    present = {name.lower() for name, _ in message.get("headers", [])}
    more = [(name.encode(), value.encode()) for name, value in marks.items() if name.encode() not in present]
    message["headers"] = [*message.get("headers", []), *more]


async def _answer(send: Send, status: int, field: str, value: str, want: Message) -> None:
    fault = fault_text(default_reader(), field, value[:200], want)
    text = json.dumps({"faults": [asdict(fault)]}).encode("utf-8")
    await send(
        {
            "type": "http.response.start",
            "status": status,
            "headers": [(b"content-type", b"application/json"), (b"content-length", str(len(text)).encode())],
        }
    )
    await send({"type": "http.response.body", "body": text})
