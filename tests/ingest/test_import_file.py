"""The whole trip of one export: nothing twice, nothing lost, every step undone."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import polars as pl
import pytest
from frictionless import Resource, Schema
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from analytics.db import open_store
from ingest.errors import IngestError, WhoseRows
from ingest.import_file import Imported, import_file
from ingest.options import Options
from ingest.players import Player
from ingest.store import read_source, redo, undo
from schemas.store_paths import tmp_dir
from schemas.tables import table_schema

ROBIN = Player("probin", "Robin", zone="Europe/Madrid")
SAM = Player("psam", "Sam", zone="Europe/Madrid")
HEADER = "Shot,Time,Club,Club speed (mph),Ball speed (mph),Launch angle (deg),Carry (ft)\n"


def line(k: int, carry: float | str = "") -> str:
    speed = 15 + (k % 7)
    carry = carry if carry != "" else round(1.05 * speed**2 / 10, 1)
    return (
        f"{k},2026-05-01 10:{k // 60:02d}:{k % 60:02d},SW,{speed},{speed * 1.1:.1f},32.5,{carry}\n"
    )


def export(n: int, start: int = 1) -> bytes:
    return (HEADER + "".join(line(k) for k in range(start, start + n))).encode()


def take(store: Path, source: bytes, player: Player = ROBIN, **options: object) -> Imported:
    return import_file(store, source, player, name="a.csv", options=Options(**options))


def carries(store: Path, player: Player = ROBIN) -> list[float]:
    with open_store(store, player.player_id) as connection:
        found = connection.sql("SELECT carry_m FROM shots ORDER BY struck_at_utc").fetchall()
    return [carry for (carry,) in found]


def test_values_arrive_in_si_units_and_utc(tmp_path):
    take(tmp_path, export(12))
    with open_store(tmp_path, ROBIN.player_id) as connection:
        shot = connection.sql("SELECT * FROM shots ORDER BY struck_at_utc").to_arrow_table()
    first = shot.to_pylist()[0]
    assert first["club_speed_mps"] == pytest.approx(16 * 0.44704, abs=1e-9)
    assert first["carry_m"] == pytest.approx(26.9 * 0.3048, abs=1e-9)
    assert first["struck_at_utc"] == datetime(2026, 5, 1, 8, 0, 1, tzinfo=UTC)
    assert (first["source_line"], first["club"]) == (2, "SW")


def test_taking_a_file_twice_is_taking_it_once(tmp_path):
    first, second = take(tmp_path, export(12)), take(tmp_path, export(12))
    assert (first.new, second.new) == (True, False)
    assert len(carries(tmp_path)) == 12


def test_a_grown_export_adds_only_what_is_new(tmp_path):
    take(tmp_path, export(12))
    grown = take(tmp_path, export(20))
    assert (grown.overlap.new, grown.overlap.same, grown.overlap.changed) == (8, 12, 0)
    assert len(carries(tmp_path)) == 20


def test_a_corrected_file_shows_what_changed_and_the_newest_wins(tmp_path):
    take(tmp_path, export(12))
    mended = export(12).replace(line(3).encode(), line(3, carry=33.3).encode())
    found = take(tmp_path, mended)
    assert (found.overlap.changed, found.overlap.changed_lines) == (1, (4,))
    assert carries(tmp_path)[2] == pytest.approx(33.3 * 0.3048)


def test_other_options_replace_and_undo_brings_back(tmp_path):
    plain = export(12).replace(b"Carry (ft)", b"Carry")
    first = take(tmp_path, plain, units={"carry_m": "m"})
    second = take(tmp_path, plain, units={"carry_m": "[ft_i]"})
    assert second.ledger.supersedes == first.ledger.import_id
    in_feet = carries(tmp_path)
    undo(tmp_path, ROBIN.player_id, second.ledger.import_id)
    assert carries(tmp_path)[0] == pytest.approx(in_feet[0] / 0.3048)
    redo(tmp_path, ROBIN.player_id, second.ledger.import_id)
    assert carries(tmp_path) == in_feet


def test_the_same_bytes_for_another_player_are_a_question(tmp_path):
    take(tmp_path, export(12))
    with pytest.raises(WhoseRows, match="Mend"):
        take(tmp_path, export(12), SAM)
    assert carries(tmp_path) == carries(tmp_path)


def test_an_impossible_value_is_set_aside_with_all_that_is_needed_to_mend_it(tmp_path):
    source = export(12).replace(line(5).encode(), line(5, carry=-4).encode())
    found = take(tmp_path, source)
    assert (found.ledger.rows_kept, found.ledger.rows_set_aside) == (11, 1)
    aside = pl.read_parquet(tmp_path / "v1" / "player=probin" / "*" / "set_aside.parquet")
    row = aside.row(0, named=True)
    assert (row["source_line"], row["column"], row["value"]) == (6, "Carry (ft)", "-4")
    assert row["reason"]
    assert row["mend"]
    assert row["raw_text"] == line(5, carry=-4).strip()


@pytest.mark.parametrize(
    "source",
    [
        b"",
        b"\x00\x01\x02\x03" * 50,
        b"one,two\nthree,four\n",
    ],
    ids=["empty", "binary", "no layout"],
)
def test_a_file_level_fault_says_so_and_writes_nothing(tmp_path, source):
    with pytest.raises(IngestError, match="Mend") as caught:
        take(tmp_path, source)
    assert "a.csv" in str(caught.value)
    assert list(tmp_path.rglob("*.parquet")) == []
    assert not tmp_dir(tmp_path).exists() or list(tmp_dir(tmp_path).iterdir()) == []


def test_two_columns_for_one_field_are_a_question_and_hold_up_nothing_else(tmp_path):
    source = export(3).replace(b"Club speed (mph)", b"Carry (m)")
    found = take(tmp_path, source)
    (question,) = found.ledger.details["questions"]
    assert (question["column"], question["candidates"]) == ("carry_m", ["Carry (m)", "Carry (ft)"])
    assert question["lines"] == [2, 3, 4]
    assert found.ledger.rows_kept == 3
    assert carries(tmp_path) == [None, None, None]


def test_the_bytes_as_received_are_kept(tmp_path):
    take(tmp_path, export(12))
    (folder,) = (tmp_path / "v1" / "player=probin").glob("import=*")
    assert read_source(folder) == export(12)


def test_the_open_standard_accepts_the_files_as_written(tmp_path):
    """Frictionless (Table Schema, Data Package standard 2.0) validates the stored rows."""
    take(tmp_path, export(12))
    (path,) = (tmp_path / "v1" / "player=probin").glob("import=*/shots.parquet")
    rows = pl.read_parquet(path).with_columns(extra=pl.lit(None)).to_dicts()
    definition = dict(table_schema("shots"))
    fields = [dict(field) for field in definition["fields"] if field["name"] != "extra"]
    for field in fields:
        field.pop("format", None)
    cells = [{name: row[name] for name in (f["name"] for f in fields)} for row in rows]
    report = Resource(data=cells, schema=Schema.from_descriptor({"fields": fields})).validate()
    assert report.valid, report.flatten(["rowNumber", "fieldName", "message"])


CARRY = st.one_of(
    st.floats(5, 60).map(lambda value: f"{value:.1f}"),
    st.sampled_from(["-3", "n/a", "", "12,5 yds", "9999999"]),
)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(CARRY, min_size=1, max_size=30), st.integers(0, 3))
def test_nothing_is_lost(tmp_path_factory, cells, repeats):
    store = tmp_path_factory.mktemp("store")
    lines = [line(k, carry=cell or "n/a") for k, cell in enumerate(cells, start=1)]
    lines += lines[:repeats]
    try:
        found = take(store, (HEADER + "".join(lines)).encode())
    except IngestError:
        assert list(store.rglob("*.parquet")) == []
        return
    ledger = found.ledger
    assert ledger.rows_in == len(lines)
    assert ledger.rows_in == ledger.rows_kept + ledger.rows_set_aside + ledger.rows_repeated


@settings(max_examples=10, deadline=None)
@given(st.permutations(range(1, 13)))
def test_the_order_of_rows_does_not_matter(tmp_path_factory, order):
    store = tmp_path_factory.mktemp("store")
    take(store, (HEADER + "".join(line(k) for k in order)).encode())
    straight = tmp_path_factory.mktemp("straight")
    take(straight, export(12))
    assert carries(store) == carries(straight)


def test_a_wrong_zone_is_named(tmp_path):
    with pytest.raises(IngestError, match="zone"):
        import_file(tmp_path, export(3), replace(ROBIN, zone="Europe/Nowhere"), name="a.csv")
