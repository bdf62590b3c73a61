"""A player's part of the store opens with pairs that fit the files, also after an upgrade."""

import shutil

from api.open_player import bring_all_up_to_date, open_player
from schemas.store_paths import derived_dir
from tests.api.test_pair_player import TOBIAS, book, demo, strikes

__all__ = ["book", "demo"]


def test_lost_pairs_are_made_again_when_a_player_is_opened(book):
    before = strikes(book)
    shutil.rmtree(derived_dir(book, TOBIAS.player_id))
    assert strikes(book) == []
    open_player(book, TOBIAS.player_id).close()
    assert strikes(book) == before


def test_every_player_is_brought_up_to_date(book):
    before = strikes(book)
    shutil.rmtree(derived_dir(book, TOBIAS.player_id))
    bring_all_up_to_date(book)
    assert strikes(book) == before
