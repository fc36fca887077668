"""Where a figure comes from: shipped default, certificate, measurement, or a formula over other figures."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from polewright.codes import Message
from polewright.materials.frozen_map import FrozenMap

__all__ = ["Kind", "Origin", "Step"]

Kind = Literal["default", "certificate", "measured", "derived"]


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the answer to "why": how deep in the chain, the figure's name, and its origin."""

    depth: int
    name: str
    origin: "Origin"


@dataclass(frozen=True, slots=True)
class Origin:
    """One figure with its history.

    `value` in SI, `unit` its SI unit; `source` is a message, a publication by its author, title and year, or what a
    person typed; `confidence` as the source states it. A derived figure has the code of its `formula` and the origins
    of its `inputs`.
    """

    kind: Kind
    value: float
    unit: str
    source: Message | str
    confidence: str = ""
    refs: tuple[str, ...] = ()
    formula: str = ""
    inputs: Mapping[str, "Origin"] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "inputs", FrozenMap(dict(self.inputs)))

    @property
    def is_default(self) -> bool:
        """True when neither this figure nor any figure behind it was measured or certified by anybody for this lot."""
        return self.kind in ("default", "derived") and all(o.is_default for o in self.inputs.values())

    def steps(self, name: str) -> Iterator[Step]:
        """The chain behind the figure `name`, the figure first, its inputs below; what was opened once stays closed."""
        opened: set[str] = set()
        waiting = [Step(0, name, self)]
        while waiting:
            step = waiting.pop()
            yield step
            if step.name not in opened:
                opened.add(step.name)
                waiting += [Step(step.depth + 1, n, o) for n, o in reversed(list(step.origin.inputs.items()))]

    def as_data(self) -> dict[str, Any]:
        """The whole chain as plain dicts, lists and numbers, for a screen or a file."""
        return {
            "kind": self.kind,
            "value": self.value,
            "unit": self.unit,
            "source": str(self.source),
            "confidence": self.confidence,
            "refs": list(self.refs),
            "formula": self.formula,
            "inputs": {name: origin.as_data() for name, origin in self.inputs.items()},
        }
