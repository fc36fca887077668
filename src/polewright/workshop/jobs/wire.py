"""Messages between a program and its worker process: one JSON object a line, bytes as base64 text."""

import base64
import json
from typing import IO, Any

from polewright.workshop.jobs.order import Order

__all__ = ["STOP", "bytes_of", "order_from", "order_message", "read_message", "text_of", "write_message"]

STOP = {"is": "stop"}


def write_message(to: IO[bytes], message: dict[str, Any]) -> None:
    """Send one message whole."""
    to.write(json.dumps(message).encode("utf-8") + b"\n")
    to.flush()


def read_message(source: IO[bytes]) -> dict[str, Any] | None:
    """The next message; None at the end, or where the last one was cut short."""
    line = source.readline()
    if not line.endswith(b"\n"):
        return None
    message: dict[str, Any] = json.loads(line)
    return message


def text_of(data: bytes | None) -> str | None:
    """Bytes as text of a message."""
    return None if data is None else base64.b64encode(data).decode("ascii")


def bytes_of(text: str | None) -> bytes | None:
    """The bytes again."""
    return None if text is None else base64.b64decode(text)


def order_message(order: Order) -> dict[str, Any]:
    """An order as a message."""
    return {
        "is": "order",
        "work": order.work,
        "document": dict(order.document),
        "options": dict(order.options),
        "state": text_of(order.state),
        "every": order.every,
    }


def order_from(message: dict[str, Any]) -> Order:
    """The order again."""
    return Order(message["work"], message["document"], message["options"], bytes_of(message["state"]), message["every"])
