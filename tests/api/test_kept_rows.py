"""Many rows as JSON: kept as written, and the same as if they were written anew."""

import json
import os
import time

import pytest

from analytics.rows import RowFilter, chosen
from api import kept_rows as kept
from api import row_stream
from api.kept_rows import kept_rows, kept_rows_as_json
from api.player_cards import PlayerCards
from api.row_formats import to_json
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
