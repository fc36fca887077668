"""What the store refuses, one class per decision a person can take about it."""

from polewright.codes import Message
from polewright.errors import StockError

__all__ = ["Absent", "Overtaken", "StoreFault"]


class Absent(StockError):  # noqa: N818 - said as a person says it, like its base names
    """No such pole, revision, entry: look at the list and choose another."""


class Overtaken(StockError):  # noqa: N818
    """Somebody saved meanwhile; `latest` is the number of the newest revision. Nothing was lost or overwritten."""

    def __init__(self, field: str, value: object, want: Message | str, *, latest: int) -> None:
        self.latest = latest
        super().__init__(field, value, want)

    def __reduce__(self) -> tuple[object, ...]:
        return _overtaken, (self.field, self.value, self.want, self.latest)


class StoreFault(StockError):  # noqa: N818
    """The database itself cannot be used as it is: unreachable, busy, of another program, newer, damaged."""


def _overtaken(field: str, value: object, want: Message | str, latest: int) -> Overtaken:
    return Overtaken(field, value, want, latest=latest)
