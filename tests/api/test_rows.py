"""Rows in four forms: the same rows, whole pages, safe cells."""

import io
import time
from datetime import UTC, datetime, timedelta

import polars as pl
import pyarrow as pa
import pytest

from ingest.hand_entry import enter
from tests.api.conftest import START, shot_rows

PATH = "/v1/players/pada1/shots"

pytestmark = pytest.mark.usefixtures("with_rows")


def test_the_four_forms_hold_the_same_rows(client):
    as_json = client.get(PATH).json()["items"]
    as_csv = pl.read_csv(client.get(PATH, headers={"Accept": "text/csv"}).content)
    as_arrow = pa.ipc.open_stream(client.get(f"{PATH}?format=arrow").content).read_all()
    as_parquet = pl.read_parquet(io.BytesIO(client.get(f"{PATH}?format=parquet").content))
    carries = [row["carry_m"] for row in as_json]
    assert len(carries) == 25
    assert as_csv["carry_m"].to_list() == carries
    assert as_arrow["carry_m"].to_pylist() == carries
    assert as_parquet["carry_m"].to_list() == carries


def test_units_travel_with_the_arrow_rows(client):
    table = pa.ipc.open_stream(client.get(f"{PATH}?format=arrow").content).read_all()
    assert table.schema.field("carry_m").metadata[b"unit"] == b"m"


def test_pages_meet_without_gap_or_repeat(client):
    address, seen = f"{PATH}?limit=10", []
    while address:
        answer = client.get(address)
        seen += [row["device_number"] for row in answer.json()["items"]]
        address = answer.headers.get("link", "").partition("<")[2].partition(">")[0]
    assert seen == list(range(25))


def test_a_formula_in_a_cell_is_text_in_the_spreadsheet(client):
    text = client.get(f"{PATH}?format=csv&fields=note,carry_m").text
    assert text.splitlines()[0] == "note,carry_m"
    assert text.splitlines()[1] == "'=1+1,7.0"


def test_columns_instants_and_clubs_are_filtered(client):
    answer = client.get(f"{PATH}?since=2026-05-04T17:20:00Z&fields=device_number&club=SW")
    assert answer.json()["items"] == [{"device_number": n} for n in range(20, 25)]
    assert client.get(f"{PATH}?club=PW").json()["items"] == []
    assert client.get(f"{PATH}?fields=nothing").status_code == 422
    assert client.get(f"{PATH}?since=2026-05-04T17:20:00").status_code == 422


def test_an_unknown_form_is_406(client):
    answer = client.get(PATH, headers={"Accept": "application/pdf"})
    assert answer.status_code == 406
    assert "text/csv" in answer.json()["mend"]


@pytest.mark.parametrize(
    ("accept", "expected"),
    [
        ("*/*", "application/json"),
        ("text/*", "text/csv; charset=utf-8"),
        ("application/json;q=0.1, text/csv", "text/csv; charset=utf-8"),
        ("application/json, text/csv;q=0", "application/json"),
    ],
)
def test_the_readers_preference_is_followed(client, accept, expected):
    answer = client.get(PATH, headers={"Accept": accept})
    assert answer.headers["content-type"] == expected


def test_the_tag_stands_until_something_changes(client):
    tag = client.get(PATH).headers["etag"]
    until = time.monotonic() + 20
    while (now := client.get(PATH).headers["etag"]) != tag and time.monotonic() < until:
        tag = now  # the store was written a moment ago: no tag stands yet
    assert client.get(PATH, headers={"If-None-Match": tag}).status_code == 304
    assert client.get(f"{PATH}?format=csv").headers["etag"] != tag


def test_a_page_that_is_the_same_still_leads_on(client, monkeypatch):
    monkeypatch.setattr("api.player_cards.Stamp.settled", True)
    pages = []
    path = f"{PATH}?limit=10"
    while path:
        first = client.get(path)
        again = client.get(path, headers={"If-None-Match": first.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")
        for name in ("etag", "cache-control", "vary", "link"):
            assert again.headers.get(name) == first.headers.get(name)
        pages.append(again)
        path = again.links.get("next", {}).get("url")
    assert len(pages) == 3
    whole = client.get(f"{PATH}?format=arrow").headers
    unchanged = client.get(f"{PATH}?format=arrow", headers={"If-None-Match": whole["etag"]})
    assert (unchanged.status_code, unchanged.headers["vary"]) == (304, whole["vary"])


def test_rows_are_answered_as_they_stood(client, with_rows):
    before = datetime.now(UTC).isoformat()
    enter(with_rows, "pada1", "shots", shot_rows(3, start=START + timedelta(days=7)))
    for form in ("json", "csv", "arrow", "parquet"):
        asked = {"format": form, "fields": "carry_m"}
        then = client.get(PATH, params=asked | {"as_of": before})
        assert then.status_code == 200
        assert then.headers["etag"] != client.get(PATH, params=asked).headers["etag"]
    assert len(client.get(PATH, params={"as_of": before}).json()["items"]) == 25
    assert len(client.get(PATH).json()["items"]) == 28
    assert client.get(PATH, params={"as_of": "yesterday"}).status_code == 422
