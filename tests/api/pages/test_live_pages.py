"""The stream of a player's page outlasts the patience that a slow sender is given."""

import time

import httpx

from api.app import make_app
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.conftest import shot_rows
from tests.api.live_server import serving


def test_a_silent_reader_of_a_stream_is_told_of_a_change_all_the_same(tmp_path):
    save_player(tmp_path, Player("robin1", "Robin"))
    app = make_app(Settings(tmp_path, slow_client_s=0.2))
    with (
        serving(app, timeout_graceful_shutdown=1) as address,
        httpx.stream("GET", f"{address}/players/robin1/live", timeout=20) as answer,
    ):
        lines = answer.iter_lines()
        assert next(lines) == "event: hello"
        time.sleep(1.0)
        enter(tmp_path, "robin1", "shots", shot_rows(3))
        assert "event: changed" in list(lines)
