"""One small fault that can be planted in a file."""

from dataclasses import dataclass
from pathlib import Path

KINDS = ("constant", "operator", "comparison", "dropped term", "swapped arguments", "wrong unit")


@dataclass(frozen=True, slots=True)
class Fault:
    """A piece of one file's text and what stands there instead.

    The lines `first` to `last` hold the statement that the piece is part of. `scope` is the function around it; where
    there is none, `names` are the words by which other code reaches the statement.
    """

    path: str
    kind: str
    start: int
    end: int
    before: str
    after: str
    line: int
    first: int
    last: int
    scope: str = ""
    names: tuple[str, ...] = ()

    @property
    def place(self) -> tuple[str, str, int, int]:
        """Faults of one kind in one piece of text are of one place; only one of them is drawn."""
        return self.path, self.kind, self.start, self.end

    @property
    def is_in_body(self) -> bool:
        """Whether it runs when a function is called, not already when its file is loaded."""
        return bool(self.scope) and not self.names and self.first <= self.line

    def planted(self, text: str) -> str:
        """The file's text with the fault in it."""
        if text[self.start : self.end] != self.before:
            raise ValueError(f"{self.path}:{self.line} does not read {self.before!r} any more")
        return text[: self.start] + self.after + text[self.end :]

    def key(self, text: str) -> tuple[str, str, str, str]:
        """What names the fault when lines have moved: file, function, the line's text, and what becomes of it."""
        lines = text.splitlines()
        return self.path, self.scope, lines[self.line - 1].strip(), self.shown(text)

    def shown(self, text: str) -> str:
        """The line that the fault makes of the line it begins in; several lines of it in one."""
        line_start = text.rfind("\n", 0, self.start) + 1
        line_end = text.find("\n", self.end)
        rest = text[self.end : line_end if line_end >= 0 else len(text)]
        return " ".join((text[line_start : self.start] + self.after + rest).split())

    def told(self, text: str) -> str:
        """File, line, kind, before and after."""
        line_start = text.rfind("\n", 0, self.start) + 1
        line_end = text.find("\n", self.end)
        before = " ".join(text[line_start : line_end if line_end >= 0 else len(text)].split())
        return f"{self.path}:{self.line} [{self.kind}]\n    - {before}\n    + {self.shown(text)}"


def read(root: Path, path: str) -> str:
    """The text of one file of the tree, line ends as they are."""
    return (root / path).read_bytes().decode("utf-8")
