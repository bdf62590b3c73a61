"""Kept pages: the same bytes while nothing changed, never another reader's, never a stale one."""

import re
import time
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from api.access import OWNER, Caller
from api.page_cache import Asked, PageCache, state_of
from api.page_view import View
from api.player_cards import SETTLE_NS, PlayerCards
from ingest.players import Player, save_player
from tests.api.pages.test_conditions_pages import OWN

TOBIAS = "q3fk82"


OWNER_ASKS = Asked("/players/q3fk82/card", "", TOBIAS, OWNER, View())


def test_readers_with_other_rights_or_habits_never_share_a_page():
    coach = Caller("k1", "Mora", frozenset({"read:profiles"}))
    keys = {
        replace(OWNER_ASKS, caller=caller, view=view).key
        for caller in (OWNER, coach)
        for view in (View(), View("de"), View(length="m"), View(zone="UTC"))
    }
    assert len(keys) == 8


def test_a_page_is_kept_for_one_state_only_and_room_is_bounded():
    cache = PageCache(limit_bytes=10)
    first, second = OWNER_ASKS, OWNER_ASKS.at("/players/q3fk82", TOBIAS)
    cache.put(first, (1,), "12345678")
    assert cache.get(first, (1,)) == "12345678"
    assert cache.get(first, (2,)) is None
    cache.put(second, (1,), "12345678")
    assert cache.get(first, (1,)) is None
    assert cache.get(second, (1,)) == "12345678"
    assert [asked for asked, _ in cache.used_since(0)] == [second]
    cache.drop(second.key)
    assert cache.used_since(0) == []


def test_the_state_changes_with_the_players_folder_and_the_day(filled):
    cards = PlayerCards(filled)
    time.sleep(2 * SETTLE_NS / 1e9)
    first = state_of(cards, TOBIAS)
    assert first is not None
    assert first == state_of(cards, TOBIAS)
    assert first != state_of(cards, TOBIAS, lambda: datetime(2000, 1, 1, tzinfo=UTC))
    assert state_of(cards, "nobody9") is None
    whole = state_of(cards, "")
    assert whole is not None
    assert len(whole) == 2 + 2


@pytest.mark.parametrize("tab", ["/today", "/leave"])
def test_a_kept_page_is_the_page_with_the_readers_own_token(page, tab):
    path = f"/players/{TOBIAS}{tab}"
    first, second = page.get(path).text, page.get(path).text
    assert first == second
    page.cookies.clear()
    third = page.get(path).text
    tokens = [re.findall(r'name="token" value="(\w+)"', text) for text in (first, third)]
    assert tokens[0] != tokens[1] or not tokens[0]


def test_an_entry_shows_at_once(page):
    path = f"/players/{TOBIAS}/marks"
    page.get(path)
    page.send(path, ball_number="77", land="2 ft", entry_id="fresh")
    assert "<td>77</td>" in page.get(path).text


def test_doubts_are_kept_and_a_new_player_shows_at_once(page, book):
    page.get("/players")
    save_player(book, Player("pfresh1", "Frida"))
    assert "Frida" in page.get("/players").text
    assert page.get("/doubts").text == page.get("/doubts").text


def test_the_tests_are_kept_and_a_new_one_shows_at_once(page):
    page.get("/tests")
    time.sleep(0.05)
    assert page.get("/tests").text == page.get("/tests").text
    page.send("/tests", **(OWN | {"title": "Fresh ladder"}))
    assert "Fresh ladder" in page.get("/tests").text
