"""A player with one ball, seven, five hundred or fifty thousand: nothing breaks, nothing lies."""

import re
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from api.app import make_app
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.client import client_of
from tests.api.pages.forms import Browser
from tests.api.pages.test_player_pages import TABS, plain

MOST_PAGE_BYTES = 120_000


def balls(count: int) -> list[dict[str, object]]:
    """Balls of one club, sixty a day."""
    rng = np.random.default_rng(count)
    speed = np.exp(rng.normal(np.log(8.5), 0.08, count))
    carry = 7.0 * (speed / 8.5) ** 1.95 * np.exp(rng.normal(0, 0.06, count))
    start = datetime(2020, 1, 1, 9, tzinfo=UTC)
    return [
        {
            "device_number": index,
            "struck_at_utc": start + timedelta(days=index // 60, seconds=40 * (index % 60)),
            "club": "SW",
            "club_speed_mps": float(speed[index]),
            "carry_m": float(carry[index]),
            "start_right_deg": float(rng.normal(0, 2)),
        }
        for index in range(count)
    ]


@pytest.mark.parametrize("count", [1, 7, 500, pytest.param(50_000, marks=pytest.mark.slow)])
def test_every_page_holds_for_any_number_of_balls(tmp_path, count):
    save_player(tmp_path, Player("psize1", "Sami", "left", "junior", guardian_consent=True))
    enter(tmp_path, "psize1", "shots", balls(count))
    with client_of(make_app(Settings(tmp_path))) as client:
        page = Browser(client)
        for tab in TABS:
            answer = page.get(f"/players/psize1{tab}")
            assert answer.status_code == 200, tab
            assert len(answer.content) < MOST_PAGE_BYTES, tab
            assert "nan" not in plain(answer.text).lower().split(), tab
        card = plain(page.get("/players/psize1/card").text)
        overview = plain(page.get("/players/psize1").text)
    assert "left-handed" in overview
    assert "Junior: short sets" in overview
    early = "State: too early" in card
    assert early == (count < 15)
    assert re.search(rf"(?<!\d)\d+ balls on {max(1, -(-count // 60))} days", card)


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_pull_is_left_of_the_target_for_a_right_hander_only(tmp_path, hand):
    save_player(tmp_path, Player("phand1", "Sami", hand))
    rows = [row | {"start_right_deg": row["start_right_deg"] - 4} for row in balls(420)]
    enter(tmp_path, "phand1", "shots", rows)
    with client_of(make_app(Settings(tmp_path))) as client:
        said = plain(Browser(client).get("/players/phand1/landing").text)
    assert f"Balls start as a {'pull' if hand == 'right' else 'push'} of" in said
    assert "left of the target" in said


def test_a_group_of_forty_with_names_of_every_kind(tmp_path):
    names = ["أميرة بنت عبد الرحمن", "Ж" * 60, "<b>Bold</b>", "A"]
    for number in range(40):
        age = "junior" if number % 3 == 0 else "adult"
        hand = "left" if number % 4 == 0 else "right"
        name = f"{names[number % 4]} {number}"[:80]
        save_player(tmp_path, Player(f"pmany{number:02d}", name, hand, age))
        if number % 2:
            enter(tmp_path, f"pmany{number:02d}", "shots", balls(1 + number % 8))
    with client_of(make_app(Settings(tmp_path))) as client:
        page = Browser(client)
        book = ("/players", "/imports", "/doubts", "/share", "/settings", "/more")
        one = [f"/players/pmany{n:02d}{tab}" for n in (0, 7) for tab in (*TABS, "/move?event=x")]
        for path in (*book, *one):
            answer = page.get(path)
            assert answer.status_code == 200, path
            assert len(answer.content) < MOST_PAGE_BYTES, path
            assert "<b>Bold" not in answer.text, path
            assert "nan" not in plain(answer.text).lower().split(), path
        assert page.get("/players").text.count("no consent") == 14
