"""A date without its clock time, or the reverse, gives no instant, and its text is not lost."""

import pytest

from ingest.options import Options
from ingest.read_export import read_export

HEADER = "Shot,Date,Time,Club,Club speed (m/s),Ball speed (m/s),Launch angle (deg),Carry (m)"
ROWS = 12, 2600
"""Few rows and many take different paths."""


def text(n: int) -> bytes:
    lines = [
        f"{k},2026-05-01,{10 + k // 3600:02}:{k // 60 % 60:02}:{k % 60:02},SW,"
        f"{8 + k % 7 / 10:.1f},{9 + k % 5 / 10:.1f},{30 + k % 4},{7 + k % 9 / 10:.1f}"
        for k in range(1, n + 1)
    ]
    lines[3] = lines[3].replace("2026-05-01", "")
    lines[7] = lines[7].replace("10:00:08", "-")
    return "\n".join([HEADER, *lines, ""]).encode()


@pytest.mark.parametrize("n", ROWS)
def test_half_a_time_is_kept_as_text(n):
    reading = read_export(text(n), name="a.csv", options=Options(zone="UTC"))
    assert reading.table.height == n
    assert reading.table["struck_at_utc"].is_null().arg_true().to_list() == [3, 7]
    kept = {row: extra for row, extra in enumerate(reading.table["extra"].to_list()) if extra}
    assert kept == {
        3: [{"key": "Time", "value": "10:00:04"}],
        7: [{"key": "Date", "value": "2026-05-01"}],
    }
