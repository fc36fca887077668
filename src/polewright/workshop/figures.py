"""The figures of a design, remembered by what the design says, so that going back to it costs nothing."""

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock

from polewright.answers.check import Check
from polewright.documents.design import Design
from polewright.documents.files import DocumentError

__all__ = ["Figures"]


class Figures:
    """`check_draft` with a memory of the last `most` designs; several threads may ask at once."""

    def __init__(self, check: Callable[[Design], Check], most: int = 32) -> None:
        self._check, self._most = check, most
        self._known: OrderedDict[Design, Check] = OrderedDict()
        self._lock = Lock()

    def of(self, design: Design) -> Check:
        """All figures of a finished design.

        Raises
        ------
        DesignError : it cannot be built or computed.
        """
        check = self.of_draft(design)
        if check.misfits:
            raise DocumentError(list(check.misfits))
        return check

    def of_draft(self, design: Design) -> Check:
        """All figures of a design under way, whose sections may not fit each other yet.

        Raises
        ------
        DesignError : it cannot be even so, or not computed.
        """
        key = design
        with self._lock:
            if key in self._known:
                self._known.move_to_end(key)
                return self._known[key]
        check = self._check(design)
        with self._lock:
            self._known[key] = check
            self._known.move_to_end(key)
            while len(self._known) > self._most:
                self._known.popitem(last=False)
        return check
