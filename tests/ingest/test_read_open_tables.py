"""JSON lines and Parquet: text cells under the stated columns."""

import datetime as dt
import io

import pyarrow as pa
import pyarrow.parquet as pq

from ingest.read_csv import read_sheets
from ingest.sheet import lines_covered


def test_json_lines_keep_numbers_as_they_are_written():
    text = '{"carry_m": 12.50, "club": "SW"}\n\n{"club": null, "ok": true, "carry_m": 1e1}\noops\n'
    (sheet,) = read_sheets(text.encode())
    assert sheet.header == ("carry_m", "club", "ok")
    assert [(r.line, r.cells) for r in sheet.records] == [
        (1, ("12.50", "SW", "")), (3, ("1e1", "", "true")),
    ]  # fmt: skip
    assert [(fault.line, fault.code) for fault in sheet.faults] == [(4, "not_an_object")]
    assert lines_covered(sheet) == [1, 2, 3, 4]


def test_parquet_gives_instants_in_utc_and_nothing_for_null():
    when = dt.datetime(2026, 5, 14, 10, 3, 7, 250_000, tzinfo=dt.UTC)
    table = pa.table(
        {
            "struck_at_utc": pa.array([when, None], pa.timestamp("us", "UTC")),
            "carry_m": [12.5, None],
            "extra": pa.array([[("a", "1")], None], pa.map_(pa.string(), pa.string())),
        }
    )
    out = io.BytesIO()
    pq.write_table(table, out)
    (sheet,) = read_sheets(out.getvalue())
    assert sheet.header == ("struck_at_utc", "carry_m", "extra")
    first, second = (record.cells for record in sheet.records)
    assert first[:2] == ("2026-05-14 10:03:07.250000Z", "12.5")
    assert second == ("", "", "")
