"""The command line."""

from polewright.cli.app import main

__all__ = ["main"]
