"""Who may come in, and what every answer says about what it may load."""

import asyncio

import pytest

from polewright.errors import DesignError
from polewright.workshop import RequestGuard, refuse_unless_loopback


@pytest.mark.parametrize("host", ["127.0.0.1", "127.9.9.9", "::1", "localhost"])
def test_this_machine_may_be_listened_on(host):
    refuse_unless_loopback(host)


@pytest.mark.parametrize(
    "host",
    [
        "0.0.0.0",
        "::",
        "",
        "192.168.1.5",
        "10.0.0.1",
        "example.org",
        "localhost.example.org",
        "127.0.0.1.example.org",
        "2130706433",
        "localhost ",
        "::ffff:10.0.0.1",
    ],
)
def test_any_other_is_refused_with_the_reason(host):
    with pytest.raises(DesignError, match=r"want\.own_address"):
        refuse_unless_loopback(host)


def answer(door, method="GET", headers=(), body=(b"",)):
    """(status, headers, body) of one request through the door."""
    sent = []
    parts = [
        {"type": "http.request", "body": part, "more_body": number < len(body) - 1} for number, part in enumerate(body)
    ]

    async def receive():
        return parts.pop(0)

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http",
        "method": method,
        "path": "/",
        "headers": [(name.encode(), value.encode("latin-1")) for name, value in headers],
    }
    asyncio.run(door(scope, receive, send))
    return sent[0]["status"], dict(sent[0]["headers"]), b"".join(message.get("body", b"") for message in sent[1:])


async def echo(scope, receive, send):
    """An app that answers with the body it was sent."""
    body, more = b"", True
    while more:
        message = await receive()
        body, more = body + message["body"], message["more_body"]
    await send({"type": "http.response.start", "status": 200, "headers": [(b"x-frame-options", b"SAMEORIGIN")]})
    await send({"type": "http.response.body", "body": body})


HERE = ("host", "127.0.0.1:8750")


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:80", "127.0.0.1:8750", "[::1]:8750"])
def test_a_request_by_this_machines_own_name_comes_in(host):
    assert answer(RequestGuard(echo), headers=[("host", host)])[0] == 200


@pytest.mark.parametrize(
    "hosts",
    [
        [],
        ["evil.example"],
        ["127.0.0.1.evil.example"],
        ["localhost@evil.example"],
        ["localhost", "evil.example"],
        ["[::1"],
        [""],
        ["192.168.1.5"],
    ],
)
def test_a_request_by_another_name_is_turned_away(hosts):
    status, _, body = answer(RequestGuard(echo), headers=[("host", host) for host in hosts])
    assert status == 421
    assert b'"field": "Host"' in body


@pytest.mark.parametrize(
    ("more", "status"),
    [
        ((), 200),
        ((("origin", "http://127.0.0.1:8750"),), 200),
        ((("origin", "http://127.0.0.1:8751"),), 403),
        ((("origin", "http://evil.example"),), 403),
        ((("origin", "null"),), 403),
        ((("origin", "http://[::1"),), 403),
        ((("origin", "http://127.0.0.1:8750"), ("origin", "http://evil.example")), 403),
        ((("sec-fetch-site", "cross-site"),), 403),
        ((("sec-fetch-site", "same-site"), ("origin", "http://127.0.0.1:8750")), 403),
        ((("sec-fetch-site", "same-origin"), ("origin", "http://127.0.0.1:8750")), 200),
    ],
)
def test_a_change_comes_from_our_own_pages_or_from_no_browser(more, status):
    for method in ("POST", "PUT", "DELETE", "PATCH"):
        assert answer(RequestGuard(echo), method, [HERE, *more])[0] == status


def test_a_reading_request_needs_no_origin_of_ours():
    assert answer(RequestGuard(echo), "GET", [HERE, ("sec-fetch-site", "cross-site")])[0] == 200


def test_a_body_comes_in_whole_and_a_large_one_not_at_all():
    door = RequestGuard(echo, most_body=10)
    assert answer(door, "POST", [HERE], [b"12345", b"6789", b"0"])[2] == b"1234567890"
    assert answer(door, "POST", [HERE], [b"12345", b"67890", b"1"])[0] == 413
    assert answer(door, "POST", [HERE, ("content-length", "11")])[0] == 413
    assert answer(door, "POST", [HERE, ("content-length", "9" * 5000)])[0] == 413


def test_every_answer_says_what_it_may_load_and_keeps_what_the_page_said():
    for headers in ([HERE], [("host", "evil.example")]):
        marks = answer(RequestGuard(echo), headers=headers)[1]
        assert b"default-src 'none'" in marks[b"content-security-policy"]
        assert b"unsafe" not in marks[b"content-security-policy"]
        assert marks[b"x-content-type-options"] == b"nosniff"
    assert answer(RequestGuard(echo), headers=[HERE])[1][b"x-frame-options"] == b"SAMEORIGIN"
    styled = answer(RequestGuard(echo, inline_styles=True), headers=[HERE])[1][b"content-security-policy"]
    assert b"style-src 'self' 'unsafe-inline';" in styled
    assert b"script-src 'self';" in styled


def test_a_web_socket_is_closed():
    sent = []

    async def send(message):
        sent.append(message)

    asyncio.run(RequestGuard(echo)({"type": "websocket", "headers": []}, None, send))
    assert sent == [{"type": "websocket.close", "code": 1008}]
