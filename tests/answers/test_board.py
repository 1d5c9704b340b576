"""The board is there at once, and what is to come on it as it is worked out."""

from __future__ import annotations

from nurserytui.answers.board import board, board_so_far
from nurserytui.demo import MOMENT, private_copy
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store


def test_a_board_worked_out_piece_by_piece_ends_as_one_worked_out_at_once(tmp_path):
    with Store.open(private_copy(tmp_path)) as store:
        whole = board(Nursery(store, load(), MOMENT))
        nursery = Nursery(store, load(), MOMENT)
        for done in range(1, len(whole) + 1):
            rows = board_so_far(nursery, 0)
            assert sum(row.pending for row in rows) == len(whole) - done
            assert sorted((row.cohort, row.stage, row.count) for row in rows) == sorted(
                (row.cohort, row.stage, row.count) for row in whole
            )
        assert board_so_far(nursery, 0) == whole and not any(row.pending for row in whole)
