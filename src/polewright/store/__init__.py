"""The workshop's database: schema, migrations, backup."""

from polewright.errors import Absent, Overtaken, StoreFault
from polewright.store.backup import Archive, back_up, last_good_copy, read_archive, restore
from polewright.store.soundness import store_faults
from polewright.store.store import Store, open_store

__all__ = [
    "Absent",
    "Archive",
    "Overtaken",
    "Store",
    "StoreFault",
    "back_up",
    "last_good_copy",
    "open_store",
    "read_archive",
    "restore",
    "store_faults",
]
