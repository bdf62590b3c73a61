"""Answers about one player: rights, caching and conditional requests of a `player_router`."""

import time
from contextlib import contextmanager

import pytest
from pydantic import BaseModel

from analytics.errors import RowsMoved
from api.answering import player_router
from api.app import make_app
from api.deps import Asker, AsOf, OnePlayer
from api.settings import Settings
from ingest.players import Player, save_player
from schemas.store_paths import derived_dir, population_dir
from tests.api.client import client_of


class Told(BaseModel):
    player_id: str
    zones: list[str]
    counted: int
    filler: str = "x" * 2000


@contextmanager
def counting(store, question):
    """A client of a service with one more answer, which counts how often it is computed."""
    calls = []
    router = player_router("told")

    @router.get("/told")
    async def told(player: OnePlayer, ask: Asker, as_of: AsOf) -> Told:
        calls.append(1)
        zones = await ask(question)
        return Told(player_id=player.player_id, zones=zones, counted=len(calls))

    app = make_app(Settings(store))
    app.router.routes.extend(router.routes)
    time.sleep(0.05)  # the players were written just now: let their stamps settle
    with client_of(app) as client:
        yield client


@pytest.fixture
def counted_client(store):
    """The same, answering with the zone of the player."""

    def question(connection):
        return connection.sql("SELECT zone FROM players").to_arrow_table()["zone"].to_pylist()

    with counting(store, question) as client:
        yield client


PATH = "/v1/players/pada1/told"


def test_the_second_reader_gets_the_bytes_of_the_first(counted_client):
    first, second = counted_client.get(PATH), counted_client.get(PATH)
    assert first.json()["zones"] == ["Europe/Dublin"]
    assert second.content == first.content
    assert second.headers["etag"] == first.headers["etag"]
    assert not first.headers["etag"].startswith("W/")


def test_nothing_new_is_304_without_a_body(counted_client):
    first = counted_client.get(PATH)
    again = counted_client.get(PATH, headers={"If-None-Match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.content == b""
    assert again.headers["etag"] == first.headers["etag"]


def test_a_change_of_the_player_is_seen_at_once(counted_client, store):
    first = counted_client.get(PATH)
    save_player(store, Player("pada1", "Ada", "left", zone="Europe/Madrid"))
    changed = counted_client.get(PATH, headers={"If-None-Match": first.headers["etag"]})
    assert changed.status_code == 200
    assert changed.json()["zones"] == ["Europe/Madrid"]


@pytest.mark.parametrize("folder", [derived_dir, lambda store, _: population_dir(store)])
def test_what_moved_while_a_question_was_answered_is_asked_again(store, folder):
    answers = iter(("old pairs", "new pairs", "never asked"))

    def question(_):
        answer = next(answers)
        if answer.startswith("old"):
            folder(store, "pada1").mkdir(parents=True)
            time.sleep(0.05)
        return [answer]

    with counting(store, question) as client:
        assert client.get(PATH).json()["zones"] == ["old pairs"]
        assert [client.get(PATH).json()["zones"] for _ in range(2)] == [["new pairs"]] * 2


def test_another_players_change_leaves_the_answer_alone(counted_client, store):
    first = counted_client.get(PATH)
    save_player(store, Player("pben2", "Benno"))
    again = counted_client.get(PATH)
    assert again.json()["counted"] == first.json()["counted"]


def test_the_compressed_answer_has_a_tag_of_its_own(counted_client):
    plain = counted_client.get(PATH, headers={"Accept-Encoding": "identity"})
    zipped = counted_client.get(PATH, headers={"Accept-Encoding": "gzip"})
    assert zipped.headers["content-encoding"] == "gzip"
    assert zipped.headers["etag"] != plain.headers["etag"]
    assert zipped.json() == plain.json()


def test_fields_choose_and_an_unknown_field_is_named(counted_client):
    assert list(counted_client.get(f"{PATH}?fields=counted").json()) == ["counted"]
    wrong = counted_client.get(f"{PATH}?fields=nothing")
    assert wrong.status_code == 422
    assert "player_id" in wrong.json()["mend"]


def test_a_kept_answer_still_asks_who_is_reading(counted_client):
    counted_client.get(PATH)
    far = counted_client.as_(None, address="192.0.2.7")
    assert far.get(PATH).status_code == 401


def test_an_instant_needs_an_offset(counted_client):
    assert counted_client.get(f"{PATH}?as_of=2026-05-04T17:30:00").status_code == 422
    before = counted_client.get(f"{PATH}?as_of=2026-05-04T17:30:00Z")
    assert before.status_code == 200


def test_rows_that_move_while_they_are_read_are_read_again(store):
    moves = iter([1])

    def question(connection):
        if next(moves, None):
            raise RowsMoved("The rows were moved.", "Ask again.")
        return 7

    router = player_router("moved")

    @router.get("/moved")
    async def moved(player: OnePlayer, ask: Asker, as_of: AsOf) -> Told:
        return Told(player_id=player.player_id, zones=[], counted=await ask(question))

    app = make_app(Settings(store))
    app.router.routes.extend(router.routes)
    with client_of(app) as client:
        assert client.get("/v1/players/pada1/moved").json()["counted"] == 7
