"""A person's word on a pairing by page: choose an offset, part, pin, say what a swing was."""

import re
from types import SimpleNamespace

import numpy as np
import pytest

from analytics.db import open_store
from analytics.pair_list import pair_list
from api.app import make_app
from api.errors import Problem
from api.page_view import View
from api.pages_pairing import AGREE_S, _seconds, clock_words
from api.pair_player import pair_player
from api.settings import Settings
from ingest.players import Player, save_player
from tests.api.client import client_of
from tests.api.pages.forms import Browser
from tests.api.pages.test_player_pages import plain
from tests.api.session_rows import enter_session
from tests.bench.pairing_scenarios import SCENARIOS
from tests.bench.pairing_sessions import make_session

ADA = "pada1"
HERE = f"/players/{ADA}/pairing"
SESSION = f"{ADA}:2026-05-04"


@pytest.fixture
def store(tmp_path, request):
    """One session of the scenario that the test names."""
    scenario, seed = request.param
    save_player(tmp_path, Player(ADA, "Ada"))
    enter_session(tmp_path, ADA, make_session(SCENARIOS[scenario], np.random.default_rng(seed)))
    return tmp_path


@pytest.fixture
def page(store):
    with client_of(make_app(Settings(store))) as client:
        yield Browser(client)


def listed(store):
    pair_player(store, ADA)
    with open_store(store, ADA) as connection:
        return pair_list(connection, SESSION)


@pytest.mark.parametrize("store", [("metronome_1s", 3)], indirect=True)
def test_an_even_rhythm_is_a_doubt_settled_by_one_tap(page, store):
    html = page.get("/doubts").text
    assert "which clock offset" in plain(html)
    offsets = re.findall(r'name="offset_s" value="([^"]+)"', html)
    assert len(offsets) >= 2
    answer = page.send(
        HERE, "/doubts", action="clock_offset", session=SESSION, offset_s=offsets[0],
        **{"from": "doubts"},
    )  # fmt: skip
    assert answer.headers["location"] == "/doubts"
    assert "which clock offset" not in plain(page.get("/doubts").text)
    assert pair_player(store, ADA)[0].verdict == "paired"


@pytest.mark.parametrize("store", [("shots_12", 5)], indirect=True)
def test_each_word_of_the_page_is_kept(page, store):
    there = f"{HERE}?session={SESSION}"
    assert "Balls and their swings" in plain(page.get(there).text)
    ball = next(one for one in listed(store).balls if one.swing_event_id)
    pair = {"session": SESSION, "shot": ball.shot_event_id, "swing": ball.swing_event_id}
    page.send(HERE, there, action="forbid_pair", **pair)
    assert "This one" in plain(page.get(there).text)
    page.send(HERE, there, action="pin_pair", **pair)
    assert ball.swing_event_id in {one.swing_event_id for one in listed(store).balls}
    other = listed(store).swings[0]
    said = {"session": SESSION, "swing": other.swing_event_id, "role": "rehearse_short"}
    page.send(HERE, there, action="role", **said)
    (again,) = (s for s in listed(store).swings if s.swing_event_id == other.swing_event_id)
    assert again.role == "rehearse_short"
    assert "Rehearsal, meant short" in plain(page.get(there).text)


@pytest.mark.parametrize("store", [("shots_12", 5)], indirect=True)
@pytest.mark.parametrize(("text", "status"), [("1:01:20", 303), ("-12,5", 303), ("soon", 422)])
def test_an_offset_is_typed_as_people_write_it(page, store, text, status):
    answer = page.send(HERE, HERE, action="clock_offset", session=SESSION, offset_s=text)
    assert answer.status_code == status


@pytest.mark.parametrize("text", ["nan", "1:nan", "inf", "5e9", "soon"])
def test_an_offset_is_a_finite_time(text):
    with pytest.raises(Problem, match="no time"):
        _seconds(text)


@pytest.mark.parametrize("store", [("plain", 3)], indirect=True)
def test_days_are_dates_and_clocks_are_told_in_words(page, store):
    text = plain(page.get(HERE).text)
    assert "4 May 2026" in text
    assert "2026-05-04" not in text
    assert "nats" not in text
    assert "ppm" not in text
    [session] = pair_player(store, ADA)
    agree = abs(session.offset_s) < AGREE_S
    assert ("Both clocks agree" in text) is agree


@pytest.mark.parametrize("store", [("step", 3)], indirect=True)
def test_a_jump_is_told_by_day_and_clock_in_the_readers_language(page, store):
    assert pair_player(store, ADA)[0].steps
    text = plain(page.get(HERE, headers={"Accept-Language": "de"}).text)
    assert re.search(r"sprang um −?\d+,\d s, um 04\.05\.2026, \d\d:\d\d\.", text), text


@pytest.mark.parametrize(
    ("offset_s", "said"), [(119.97, "0:02:00,0"), (3680.25, "1:01:20,2"), (-59.9, "0:00:59,9")]
)
def test_no_clock_shows_sixty_seconds(offset_s, said):
    german = View("de")
    reader = SimpleNamespace(view=german, say=german.texts.say)
    assert clock_words(reader, offset_s).split()[1] == said
