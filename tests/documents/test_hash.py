"""A design keeps the hash by which its papers and test records name it, whatever fields documents get later."""

from pathlib import Path

import pytest

from polewright.documents.files import document_of, dump_toml, load

EXAMPLES = Path(__file__).parents[2] / "examples"
# Written by the first version of documents, before a design could choose its criterion.
FIRST_HASHES = {
    "crookbough-5": "e440731834a55fbf57cfddf5b7e68e1a323f4048123e23f62f021b72114e24aa",
    "peerglass-8": "27a6ca6e5a31f6856bf458f8a6ee02d203ff9f3244034d846b9f513cebc9ed01",
    "reedlight-7": "287643b8aceb56348662f316b096333c88a4c132b631b7d77436b48428390565",
    "tallreed-11": "53ecf0da17aab1903bb905b37b0d03d34918b278426963eb27a07909ea2bc979",
}


@pytest.mark.parametrize("name", FIRST_HASHES)
def test_a_design_keeps_the_hash_it_first_had(name: str) -> None:
    assert load(EXAMPLES / f"{name}.toml").content_hash() == FIRST_HASHES[name]


def test_a_field_that_came_later_counts_once_it_says_something() -> None:
    design = load(EXAMPLES / "crookbough-5.toml")
    chosen = document_of(design.plain() | {"setting": design.plain()["setting"] | {"criterion": "action_plane"}})
    assert chosen.content_hash() != design.content_hash()
    assert "criterion" in dump_toml(chosen)
    assert "criterion" not in dump_toml(design)
