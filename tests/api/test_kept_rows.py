"""Many rows as JSON: kept as written, and the same as if they were written anew."""

import json
import os
import shutil
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext

import pyarrow as pa
import pytest

from analytics.errors import RowsMoved
from analytics.rows import RowFilter, chosen
from api import kept_rows as kept
from api import row_stream
from api.erase_player import erase_player
from api.kept_rows import kept_rows, kept_rows_as_json, kept_stream
from api.player_cards import PlayerCards, Stamp
from api.row_formats import to_arrow_stream, to_json
from schemas.store_paths import kept_rows_dir, player_dir

WANTED = [
    RowFilter(),
    RowFilter(rows=7),
    RowFilter(club="SW"),
    RowFilter(club="PW"),
]


@pytest.fixture
def stamp(with_rows):
    """The stamp of Ada's folder, long unchanged."""
    folder, past = player_dir(with_rows, "pada1"), time.time() - 60
    os.utime(folder, (past, past))
    return PlayerCards(with_rows).stamp("pada1")


@pytest.mark.parametrize("wanted", WANTED)
def test_rows_that_bring_their_text_are_written_as_they_would_be(with_rows, stamp, wanted):
    texts = []
    for rows in (kept_rows, kept_rows_as_json):
        schema, batches = rows(with_rows, "pada1", "shots", stamp)
        texts.append(b"".join(to_json(schema, chosen(batches, "shots", wanted))))
    assert texts[0] == texts[1]
    assert len(json.loads(texts[0])["items"]) == {"PW": 0}.get(wanted.club, min(wanted.rows, 25))


def test_many_rows_are_answered_from_their_kept_text(client, with_rows, stamp, monkeypatch):
    path = "/v1/players/pada1/shots?limit=20"
    anew = client.get(path).json()
    monkeypatch.setattr(row_stream, "MANY", 10)
    monkeypatch.setattr("api.player_cards.Stamp.settled", True)
    assert client.get(path).json() == anew
    assert client.get(path).json() == anew
    names = {path.name for path in kept_rows_dir(with_rows, "pada1").iterdir()}
    assert names == {f"shots-{stamp.mtime_ns}.arrow", f"shots-{stamp.mtime_ns}.json.arrow"}
    assert client.get(path + "&fields=club").json()["items"][0] == {"club": "SW"}


def test_kept_rows_of_others_go_when_there_are_too_many_bytes(client, with_rows, monkeypatch):
    monkeypatch.setattr("api.player_cards.Stamp.settled", True)
    monkeypatch.setattr(kept, "MOST_BYTES", 100)
    for player_id in ("pada1", "pben2"):
        assert client.get(f"/v1/players/{player_id}/shots?format=arrow").status_code == 200
    assert not kept_rows_dir(with_rows, "pada1").exists()
    assert len(list(kept_rows_dir(with_rows, "pben2").iterdir())) == 1


def test_readers_at_once_right_after_a_change_all_get_their_rows(with_rows):
    stamp = Stamp(time.time_ns() + 10**12, 0)  # so young that no file is kept
    assert not stamp.settled
    opened = [kept_rows(with_rows, "pada1", "shots", stamp) for _ in range(2)]
    with ThreadPoolExecutor(4) as pool:
        opened += pool.map(lambda _: kept_rows(with_rows, "pada1", "shots", stamp), range(12))
    assert {sum(batch.num_rows for batch in batches) for _, batches in opened} == {25}
    assert list(kept_rows_dir(with_rows, "pada1").iterdir()) == []


def test_a_reader_reads_on_when_its_file_is_forgotten(with_rows, stamp, monkeypatch):
    def forget(folder, *_):
        shutil.rmtree(folder)

    monkeypatch.setattr(kept, "_forget_others", forget)
    for rows in (kept_rows, kept_rows_as_json):
        assert sum(batch.num_rows for batch in rows(with_rows, "pada1", "shots", stamp)[1]) == 25


def test_the_players_asked_for_last_keep_their_rows(client, with_rows, monkeypatch):
    monkeypatch.setattr("api.player_cards.Stamp.settled", True)
    monkeypatch.setattr(kept, "MOST_PLAYERS", 2)
    for player_id in ("pada1", "pben2", "pada1", "pcleo3"):
        client.get(f"/v1/players/{player_id}/shots?format=arrow")
    left = {folder.name for folder in kept_rows_dir(with_rows, "pada1").parent.iterdir()}
    assert left == {"player=pada1", "player=pcleo3"}


def test_the_kept_file_holds_the_stream_that_would_be_written(client, with_rows, stamp):
    schema, batches = kept_rows(with_rows, "pada1", "shots", stamp)
    written = pa.ipc.open_stream(b"".join(to_arrow_stream(schema, batches))).read_all()
    inside = pa.ipc.open_stream(kept_stream(with_rows, "pada1", "shots", stamp)).read_all()
    assert inside.schema.equals(written.schema, check_metadata=True)
    assert inside.equals(written)
    answer = client.get("/v1/players/pada1/shots?format=arrow")
    assert answer.headers["content-length"] == str(len(answer.content))
    assert pa.ipc.open_stream(answer.content).read_all().equals(written)
    for part, rows in (("limit=7", 7), ("club=PW", 0), ("fields=club", 25)):
        some = client.get(f"/v1/players/pada1/shots?format=arrow&{part}").content
        assert pa.ipc.open_stream(some).read_all().num_rows == rows


def test_a_stream_from_a_file_that_goes_meanwhile_is_read_to_its_end(with_rows, stamp):
    stream = kept_stream(with_rows, "pada1", "shots", stamp)
    shutil.rmtree(kept_rows_dir(with_rows, "pada1"))
    assert pa.ipc.open_stream(stream).read_all().num_rows == 25


@pytest.mark.parametrize(
    ("rows", "step"),
    [(kept_rows, "row_batches"), (kept_rows_as_json, "row_batches"), (kept_rows_as_json, "_text")],
)
def test_nothing_stays_of_a_player_who_is_erased_while_the_rows_are_written(
    with_rows, stamp, monkeypatch, rows, step
):
    real = getattr(kept, step)

    def erased_meanwhile(*given):
        read = real(*given)
        found = pa.Table.from_batches(read).to_reader() if step == "row_batches" else read
        erase_player(with_rows, "pada1")
        shutil.rmtree(kept_rows_dir(with_rows, "pada1"), ignore_errors=True)
        kept_rows_dir(with_rows, "pada1").mkdir(parents=True)
        return found

    monkeypatch.setattr(kept, step, erased_meanwhile)
    moved = pytest.raises(RowsMoved) if step == "_text" else nullcontext()
    with moved:
        rows(with_rows, "pada1", "shots", stamp)
    assert not [path for path in with_rows.rglob("*") if path.is_file() and "pada1" in str(path)]
