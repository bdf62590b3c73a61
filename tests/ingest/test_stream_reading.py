"""Large files in batches give what short ones give as a whole."""

import json

import polars as pl
import pytest

from ingest import stream_reading
from ingest.read_export import read_export
from ingest.reading import Options
from ingest.stream_reading import stream_export
from tests.ingest.corpus_truth import CORPUS, truths


def streamed(data, name, options):
    with stream_export(data, name=name, options=options) as stream:
        tables = list(stream.batches())
        return stream, pl.concat(tables) if tables else pl.DataFrame(), stream.reading()


WHOLE = {"unlabelled_mean", "text_lines_quoted_whole", "summary_by_arithmetic"}
WHOLE |= {"statistics_by_arithmetic", "summaries_by_arithmetic_inside"}
WHOLE |= {"sessions_with_other_order", "sessions_with_other_units"}


def one_table_of_rows(path):
    """Files that may be too large to hold: no workbook, second table, headings or sums inside."""
    truth = json.loads(path.read_text("utf-8"))
    whole = path.stem in WHOLE or any(e["kind"] == "section" for e in truth["structure"])
    return truth["outcome"] == "ok" and truth["file"].endswith(".csv") and not whole


@pytest.mark.parametrize(
    "path", [path for path in truths() if one_table_of_rows(path)], ids=lambda path: path.stem
)
def test_a_stream_gives_the_same_rows(path):
    truth = json.loads(path.read_text("utf-8"))
    options = Options(**truth.get("options", {}))
    source = CORPUS / truth["file"]
    whole = read_export(source, name=truth["file"], options=options)
    _, table, reading = streamed(source, truth["file"], options)
    names = [name for name in whole.table.columns if name != "extra"]
    assert table.select(names).to_dicts() == whole.table.select(names).to_dicts()
    for part, keys in (
        ("set_aside", ("line", "code")),
        ("repeats", ("line", "of_line")),
        ("questions", ("id", "lines")),
        ("structure", ("line", "kind")),
    ):
        left, right = getattr(reading, part), getattr(whole, part)
        assert _keyed(left, keys) == _keyed(right, keys)


def _keyed(entries, keys):
    return [tuple(getattr(entry, key) for key in keys) for entry in entries]


HEADER = "Shot,Time,Club,Ball speed (mph),Carry (yd),Side (yd),Humidity\n"


def rows(n, start=1):
    return "".join(
        f"{i},2026-03-14T{10 + i // 3600 % 10:02d}:{i // 60 % 60:02d}:{i % 60:02d}Z,"
        f"SW,{20 + i % 70 / 10},{8 + i % 50 / 10},{i % 7 - 3},{i % 90}%\n"
        for i in range(start, start + n)
    )


def test_several_batches_with_faults_and_repeats_across_them(monkeypatch):
    monkeypatch.setattr(stream_reading, "HEAD_ROWS", 100)
    text = HEADER + rows(3000) + "3001,2026-03-14T10:00:00Z,SW,ten,9,0,\n" + rows(2, start=5)
    _, table, reading = streamed(text.encode(), "big.csv", Options())
    whole = read_export(text.encode(), name="big.csv")
    assert table.height == 3000
    assert [(a.line, a.value, a.code) for a in reading.set_aside] == [(3002, "ten", "unreadable")]
    assert [(r.line, r.of_line) for r in reading.repeats] == [(3003, 6), (3004, 7)]
    assert table.drop("extra").equals(whole.table.drop("extra").select(table.drop("extra").columns))
    assert table["extra"].to_list() == whole.table["extra"].to_list()


def test_open_columns_keep_their_texts_in_extra():
    text = HEADER.replace(" (yd),Side", ",Side") + rows(50)
    _, table, reading = streamed(text.encode(), "big.csv", Options())
    assert [q.id for q in reading.questions] == ["unit:carry_m"]
    assert table["carry_m"].null_count() == 50
    assert {"key": "Carry", "value": "8.1"} in table["extra"][0].to_list()
