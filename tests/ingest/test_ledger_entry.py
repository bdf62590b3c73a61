"""What the ledger says of a reading."""

import json

from hypothesis import given
from hypothesis import strategies as st

from ingest.ledger import Ledger
from ingest.ledger_entry import runs_of_repeats
from ingest.repeats import Repeat


@given(st.dictionaries(st.integers(50, 80), st.integers(1, 40)))
def test_runs_name_every_repeat_once(repeats):
    entries = [Repeat(line, repeats[line]) for line in sorted(repeats)]
    runs = runs_of_repeats(entries)
    told = [Repeat(r["line"] + k, r["of_line"] + k) for r in runs for k in range(r["n"])]
    assert told == entries


def test_a_pasted_block_is_one_run():
    entries = [Repeat(100 + k, 10 + k) for k in range(30)]
    assert runs_of_repeats(entries) == [{"line": 100, "of_line": 10, "n": 30}]


def test_an_entry_is_json_and_reads_back():
    entry = Ledger(
        import_id="a" * 32, player_id="pä", kind="launch", source_name='quo"te\n.csv',
        source_sha256="b" * 64, source_bytes=3, layout="", imported_at_utc="2026-05-01T00:00:00Z",
        imported_by="x", rows_in=1, rows_kept=1, rows_set_aside=0, rows_repeated=0,
        questions_open=0, tables=["shots"], details={"structure": [{"line": 1, "kind": "blank"}]},
    )  # fmt: skip
    assert Ledger.from_json(entry.to_json()) == entry
    assert list(json.loads(entry.to_json())) == list(Ledger.__dataclass_fields__)
