"""Rows entered by hand, and corrections."""

from datetime import UTC, datetime

import polars as pl
import pytest

from ingest.edits import Correction, correct
from ingest.errors import BadOption
from ingest.hand_entry import enter
from ingest.store import ledgers

AT = datetime(2026, 5, 1, 10, tzinfo=UTC)
MARK = {"ball_number": 3, "marked_at_utc": AT, "leave_m": 0.9, "leave_bearing_deg": 20.0}


def test_an_entry_sent_twice_is_stored_once(tmp_path):
    first, second = (enter(tmp_path, "pabc", "marks", [MARK]) for _ in range(2))
    assert (first.new, second.new) == (True, False)
    stored = pl.read_parquet(first.folder / "marks.parquet")
    assert stored["leave_m"].to_list() == [0.9]
    assert stored["source_line"].to_list() == [1]


def test_an_entry_id_is_the_identity_of_a_row_in_any_batch(tmp_path):
    one, two = MARK | {"entry_id": "phone-1"}, MARK | {"entry_id": "phone-2", "ball_number": 4}
    alone = enter(tmp_path, "pabc", "marks", [one])
    together = enter(tmp_path, "pabc", "marks", [one | {"leave_m": 1.1}, two])
    ids = [pl.read_parquet(e.folder / "marks.parquet") for e in (alone, together)]
    assert ids[0]["event_id"][0] == ids[1]["event_id"][0] != ids[1]["event_id"][1]
    assert dict(ids[0].to_arrow()["extra"][0].as_py()) == {"entry_id": "phone-1"}


@pytest.mark.parametrize(
    ("row", "column"),
    [
        ({"leave_m": -1.0}, "leave_m"),
        ({"leave_m": float("nan")}, "leave_m"),
        ({"leave_m": float("inf")}, "leave_m"),
        ({"left_m": 1.0}, "left_m"),
    ],
)
def test_an_impossible_entry_names_row_column_and_mend(tmp_path, row, column):
    with pytest.raises(BadOption, match="Mend") as caught:
        enter(tmp_path, "pabc", "marks", [MARK, row])
    assert (caught.value.row, caught.value.column) == (2, column)
    assert ledgers(tmp_path, "pabc") == []


def test_a_correction_carries_who_when_and_why(tmp_path):
    made = correct(tmp_path, "pabc", [Correction("mishit", "a1")], by="coach", reason="heavy")
    row = pl.read_parquet(made.folder / "edits.parquet").row(0, named=True)
    assert (row["edited_by"], row["reason"], row["target_id"]) == ("coach", "heavy", "a1")
