"""The first bytes tell a nursery from other files, as opening it does."""

from __future__ import annotations

import sqlite3

import pytest

from nurserytui.records import schema
from nurserytui.records.header import says_ours
from nurserytui.records.store import Store


def nursery(path):
    with Store.open(path):
        pass


def newer(path):
    nursery(path)
    with sqlite3.connect(path) as connection:
        connection.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    connection.close()


def strange(path):
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE other (x)")
    connection.close()


@pytest.mark.parametrize(
    ("make", "ours"),
    [
        (nursery, True),
        (newer, False),
        (strange, False),
        (lambda path: path.write_text("no database"), False),
        (lambda path: path.write_bytes(b""), False),
        (lambda path: path.mkdir(), False),
        (lambda path: None, False),
    ],
)
def test_what_the_first_bytes_say(tmp_path, make, ours):
    path = tmp_path / "a.db"
    make(path)
    assert says_ours(path) is ours
