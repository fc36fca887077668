"""Where the shapes of drawings on papers and in cut files stand."""

from collections.abc import Iterator
from io import StringIO
from typing import Any

import ezdxf
import numpy as np
from ezdxf.disassemble import recursive_decompose, to_primitives
from ezdxf.math import Vec3

from tests.kept.coded import papers_given
from tests.kept.figures import Place
from tests.kept.pictures import each_once, summed


def pictures_of_papers(pole: str) -> dict[str, Place]:
    """Drawings on the sheet and the cards in both systems of units, and the plots of cut files as SVG and DXF."""
    pages = [
        (f"{system} {i} {template}{place}", f"<p></p>{drawing}")
        for system in ("metric", "inch")
        for i, (template, data, _) in enumerate(papers_given(pole, system)[0])
        for place, drawing in _drawings(data)
    ]
    files = papers_given(pole, "metric")[1]
    pages += [(name, f"<p></p>{content.decode()}") for name, content in files.items() if name.endswith(".svg")]
    found = each_once(pages)
    for name, content in files.items():
        if name.endswith(".dxf"):
            found |= {f"{name}: {place}": value for place, value in summed(_entities(content.decode()))}
    return found


def _drawings(data: Any, place: str = "") -> Iterator[tuple[str, str]]:
    """Every drawing in the data of a paper."""
    if isinstance(data, str) and data.startswith("<svg"):
        yield place, data
    elif isinstance(data, dict | list):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from _drawings(value, f"{place}.{key}")


def _entities(text: str) -> Iterator[tuple[str, dict[str, str]]]:
    """Each entity of a DXF by its kind and layer, with the points that it goes through."""
    for primitive in to_primitives(recursive_decompose(ezdxf.read(StringIO(text)).modelspace())):
        entity = primitive.entity
        points = np.array([Vec3(p).xyz[:2] for p in primitive.vertices()], dtype=np.float64)
        placed = " ".join(f"{number:.3f}" for number in points.ravel() + 0.0)
        yield entity.dxftype().lower(), {"class": entity.dxf.layer, "points": placed}
