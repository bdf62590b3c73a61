"""The demo's sensor ran 61 min 20 s ahead on three days: what the answers owe to finding that.

The same exports three ways: as planted; with the sensor's stamps set right before they come in;
and as planted, but joined by their stamps as they stand, as if both clocks were one.
"""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
import pyarrow as pa
import pytest

from analytics.brackets import Brackets, brackets
from analytics.db import open_store
from analytics.feedback import feedback
from analytics.pairing_session import player_logs
from analytics.tempos import Tempos, tempos
from api.pair_player import pair_player
from api.take_in import take_in
from demo_data.write import write_demo
from ingest.derived import derived_key, write_derived
from ingest.players import Player, save_player
from schemas.tables import arrow_schema

TOBIAS = Player("q3fk82", "Tobias", zone="Europe/Berlin")
DAYS = ("2025-10-29", "2025-11-05", "2025-11-12")
FAULT = timedelta(minutes=61, seconds=20)
STAMP = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d\.\d")
REACH_S = 1.5


@dataclass(frozen=True)
class Told:
    """The answers of a store."""

    brackets: Brackets
    tempos: Tempos


def told(store):
    with open_store(store, TOBIAS.player_id) as connection:
        found = feedback(connection, TOBIAS.player_id)
    return Told(brackets(found), tempos(found))


def filled(store, folder):
    save_player(store, TOBIAS)
    own = folder / "tobias"
    files = [own / f"{day}_{kind}.csv" for day in DAYS for kind in ("launch", "tempo", "marks")]
    take_in(store, [*files, own / "sessions.jsonl"], TOBIAS)
    return store


def set_right(folder):
    """The sensor's clock as it should have been."""
    for day in DAYS:
        file = folder / "tobias" / f"{day}_tempo.csv"
        text = file.read_text("utf-8")
        file.write_text(STAMP.sub(earlier, text), "utf-8")
    return folder


def earlier(stamp):
    moment = datetime.strptime(stamp[0], "%Y-%m-%d %H:%M:%S.%f") - FAULT
    return moment.strftime("%Y-%m-%d %H:%M:%S.%f")[:-5]


def join_by_stamps(store):
    """Pairs of the nearest stamps in place of those that the pairing found."""
    with open_store(store, TOBIAS.player_id) as connection:
        logs = player_logs(connection, TOBIAS.player_id)
    swings = [
        (float(time), event)
        for block in logs.blocks
        for time, event in zip(block.log.times_s, block.events, strict=True)
    ]
    swings.sort()
    time = np.array([at for at, _ in swings])
    rows = []
    for session in logs.sessions:
        for at, shot in zip(session.log.times_s, session.events, strict=True):
            near = int(np.abs(time - at).argmin())
            if abs(time[near] - at) > REACH_S:
                continue
            roles = ("rehearse_long", "rehearse_short", "strike")
            for role, place in zip(roles, range(near - 2, near + 1), strict=True):
                rows.append(
                    {
                        "session_id": session.session_id,
                        "shot_event_id": shot,
                        "swing_event_id": swings[max(place, 0)][1],
                        "role": role,
                        "probability": 1.0,
                        "fit_version": "by stamps",
                    }
                )
    table = pa.Table.from_pylist(rows, schema=arrow_schema("pairs"))
    key = derived_key(store, TOBIAS.player_id, "pairs")
    write_derived(store, TOBIAS.player_id, "pairs", table, key)
    return store


@pytest.fixture(scope="module")
def ways(tmp_path_factory):
    exports = tmp_path_factory.mktemp("exports")
    write_demo(exports)
    stores = [tmp_path_factory.mktemp(name) for name in ("found", "joined", "right")]
    found, joined = filled(stores[0], exports), filled(stores[1], exports)
    maps = pair_player(found, TOBIAS.player_id)
    by_stamps = told(join_by_stamps(joined))
    right = filled(stores[2], set_right(exports))
    return maps, told(found), by_stamps, told(right)


def test_the_fault_is_found_on_each_day(ways):
    maps = {one.session_id[-10:]: one for one in ways[0]}
    assert set(maps) == set(DAYS)
    for one in maps.values():
        assert one.verdict == "paired"
        assert one.offset_s == pytest.approx(FAULT.total_seconds(), abs=2.0)


def test_the_brackets_owe_their_triples_to_it(ways):
    _, found, by_stamps, _ = ways
    assert len(found.brackets.days) == len(DAYS)
    assert all(day.n_triples >= 25 for day in found.brackets.days)
    by_day = {day.session_id: day.n_triples for day in by_stamps.brackets.days}
    assert all(by_day.get(day.session_id, 0) < 10 for day in found.brackets.days)


def test_the_tempo_links_owe_their_balls_to_it(ways):
    _, found, by_stamps, _ = ways
    balls = [one.answer.n_shots for one in found.tempos.links]
    assert min(balls) >= 75
    joined = [one.answer.n_shots for one in by_stamps.tempos.links]
    assert max(joined, default=0) < 0.35 * min(balls)
    assert found.tempos.ratio.value != by_stamps.tempos.ratio.value


def test_the_answers_are_those_of_a_clock_that_was_right(ways):
    _, found, _, right = ways
    for one, other in zip(found.brackets.days, right.brackets.days, strict=True):
        assert one.n_triples == other.n_triples
        assert one.window_held.value == pytest.approx(other.window_held.value, abs=1e-9)
        assert one.width_m.value == pytest.approx(other.width_m.value, abs=1e-9)
    for link, same in zip(found.tempos.links, right.tempos.links, strict=True):
        assert link.answer.value == pytest.approx(same.answer.value, abs=1e-9)
