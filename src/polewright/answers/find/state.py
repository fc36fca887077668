"""A stopped search in a file: plain numbers and arrays, no code; tied to its brief by the brief's content hash."""

import io
import json
import zipfile
from dataclasses import asdict, replace
from math import inf
from typing import Any

import numpy as np
from numpy.typing import NDArray

from polewright.answers.wishes import WISHES
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search import Brief, FigureLimit, FurtherDroop, FurtherFlex

__all__ = ["brief_from", "state_bytes", "state_from"]

SCHEMA = 4
MOST = 512 * 2**20
"""[bytes] that a state may unpack to."""


def state_bytes(about: str, brief: Brief, kept: dict[str, Any] | None, fronts: dict[str, Any] | None = None) -> bytes:
    """A file of the state.

    about : content hash of the brief's document. brief : the limits it was searched with. kept : where the search
    stands (`kept_of`); None before it began. fronts : walls worked out so far (`kept_fronts`).
    """
    arrays: dict[str, NDArray[Any]] = {}
    text = json.dumps(
        {
            "polewright": "stopped search",
            "schema": SCHEMA,
            "about": about,
            "brief": _told_brief(brief),
            "kept": _flat(kept, arrays),
            "fronts": _flat(fronts, arrays),
        }
    )
    out = io.BytesIO()
    np.savez_compressed(out, text=np.frombuffer(text.encode("utf-8"), np.uint8), **arrays)  # type: ignore[arg-type]
    return out.getvalue()


def _told_brief(brief: Brief) -> dict[str, Any]:
    """The limits of a search in a form that JSON holds; a figure of the whole pole by its code."""
    told: dict[str, Any] = _told(asdict(replace(brief, figures=())))
    return told | {"figures": {limit.figure.code: limit.at_most for limit in brief.figures}}


def _told(value: Any) -> Any:
    """Numbers that JSON has no word for, as words."""
    if isinstance(value, dict):
        return {k: _told(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_told(v) for v in value]
    return "inf" if value == inf else value


def _flat(value: Any, arrays: dict[str, NDArray[Any]]) -> Any:
    """The same with every array put aside under a number."""
    if isinstance(value, np.ndarray):
        name = f"a{len(arrays)}"
        arrays[name] = value
        return {"array": name}
    if isinstance(value, dict):
        return {"dict": {k: _flat(v, arrays) for k, v in value.items()}}
    if isinstance(value, list | tuple):
        return [_flat(v, arrays) for v in value]
    return "inf" if value == inf else value


def _whole(value: Any, arrays: dict[str, NDArray[Any]]) -> Any:
    if isinstance(value, dict):
        if "array" in value:
            return arrays[value["array"]]
        return {k: _whole(v, arrays) for k, v in value["dict"].items()}
    if isinstance(value, list):
        return [_whole(v, arrays) for v in value]
    return inf if value == "inf" else value


def state_from(data: bytes, about: str) -> tuple[Brief, dict[str, Any] | None, dict[str, Any] | None]:
    """The limits that were searched with, the state and the walls as plain values; None for what was not kept.

    Raises
    ------
    DesignError : no such file, of another version, or of another brief.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(i.file_size for i in packed.infolist()) > MOST:
                raise DesignError("state", None, Message("want.state_size", most=MOST // 2**20))
        with np.load(io.BytesIO(data), allow_pickle=False) as stored:
            arrays = {name: stored[name] for name in stored.files}
        text = json.loads(arrays.pop("text").tobytes().decode("utf-8"))
        kind, schema = text["polewright"], text["schema"]
        if kind != "stopped search" or schema != SCHEMA:
            raise DesignError(
                "state",
                Message("find.state", kind=str(kind), schema=schema),
                Message("want.state_schema", schema=SCHEMA),
            )
        if text["about"] != about:
            raise DesignError("state", None, Message("want.state_brief"))
        return brief_from(text["brief"]), _whole(text["kept"], arrays), _whole(text["fronts"], arrays)
    except (OSError, EOFError, ValueError, KeyError, TypeError, AttributeError, zipfile.BadZipFile) as fault:
        raise DesignError("state", type(fault).__name__, Message("want.state_file")) from fault


def brief_from(told: dict[str, Any]) -> Brief:
    """The limits of a search from their told form."""
    plain: dict[str, Any] = {k: inf if v == "inf" else v for k, v in told.items()}
    plain["sections"] = tuple(plain["sections"])
    plain["droops"] = tuple(FurtherDroop(**w) for w in plain["droops"])
    plain["flexes"] = tuple(FurtherFlex(**w) for w in plain["flexes"])
    known = {wish.search.code: wish.search for wish in WISHES if wish.search is not None}
    plain["figures"] = tuple(FigureLimit(known[code], most) for code, most in (plain.get("figures") or {}).items())
    return Brief(**plain)
