"""What the store refuses, one class per decision a person can take about it."""

from polewright.errors import StockError

__all__ = ["Absent", "Overtaken", "StoreFault"]


class Absent(StockError):  # noqa: N818 - said as a person says it, like its base names
    """No such pole, revision, entry: look at the list and choose another."""


class Overtaken(StockError):  # noqa: N818
    """Somebody saved meanwhile; `latest` is the number of the newest revision. Nothing was lost or overwritten."""

    def __init__(self, field: str, value: object, want: str, *, latest: int) -> None:
        self.latest = latest
        super().__init__(field, value, want)


class StoreFault(StockError):  # noqa: N818
    """The database itself cannot be used as it is: unreachable, busy, of another program, newer, damaged."""
