"""The register that the commands `sheet` and `kit` give papers by: that of a workshop where one is named."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from polewright.workshop import Design, default_store_path, open_workshop, utc_now
from polewright.workshop.paper_register import Papers

__all__ = ["papers_of"]


@contextmanager
def papers_of(design: Design, *, reason: str, store: Path | None) -> Iterator[Papers]:
    """A file is a draft, unless a workshop is named in which the same is a saved revision; a reason is kept there.

    Raises
    ------
    DesignError : a reason where every check holds.
    """
    if store is None and not reason:
        yield Papers(None, utc_now)
        return
    with open_workshop(store or default_store_path()) as workshop:
        if reason:
            workshop.papers.give_reason(design, reason)
        yield workshop.papers
