"""Importing text into a nursery, for the tests of importing."""

from __future__ import annotations

import pytest

from nurserytui.records.import_options import Options
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store


@pytest.fixture
def load(tmp_path):
    """`load(text or bytes, **options)`: the report of importing it into a nursery in memory, `load.store`."""
    store = Store.memory()

    def loaded(content, name="rows.csv", **options):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
        return import_file(path, store, options=Options(**options))

    loaded.store = store
    yield loaded
    store.close()
