"""The open workshop that an app serves, as an argument of its paths."""

from typing import Annotated

from fastapi import Depends, Request

from polewright.workshop import Workshop

__all__ = ["Here"]


async def _workshop(request: Request) -> Workshop:
    workshop = request.app.state.workshop
    assert isinstance(workshop, Workshop)
    return workshop


Here = Annotated[Workshop, Depends(_workshop)]
