"""The workshop as JSON over HTTP, with no rule of its own."""

from polewright.api.app import create_api

__all__ = ["create_api"]
