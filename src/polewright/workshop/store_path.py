"""Where this machine keeps its workshop, unless told otherwise."""

import os
from pathlib import Path

__all__ = ["default_store_path"]


def default_store_path() -> Path:
    """The SQLite file of the workshop: POLEWRIGHT_STORE, else the user's data folder."""
    told = os.environ.get("POLEWRIGHT_STORE")
    if told:
        return Path(told)
    home = os.environ.get("XDG_DATA_HOME")
    base = Path(home) if home else Path.home() / ".local" / "share"
    return base / "polewright" / "workshop.sqlite"
