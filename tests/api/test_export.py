"""`carrybook export`: the rows of one player, whole, never over another file."""

import json

import polars as pl
import pytest
from click.testing import CliRunner

from api.export_rows import FileNotWritable, FileThere, export_rows
from api.verbs.export import command


def test_the_verb_writes_what_the_service_gives(with_rows, tmp_path):
    target = tmp_path / "out.parquet"
    arguments = ["--player", "Ada", "--store", str(with_rows), "--format", "parquet"]
    done = CliRunner().invoke(command, [*arguments, "--output", str(target), "--json"])
    assert json.loads(done.output)["rows"] == 25
    assert pl.read_parquet(target).height == 25


def test_csv_is_safe_to_open(with_rows, tmp_path):
    export_rows(with_rows, "pada1", "shots", "csv", tmp_path / "out.csv")
    assert pl.read_csv(tmp_path / "out.csv")["note"][0] == "'=1+1"


def test_nothing_is_replaced_or_half_written(with_rows, tmp_path):
    there = tmp_path / "there.csv"
    there.write_text("mine")
    with pytest.raises(FileThere):
        export_rows(with_rows, "pada1", "shots", "csv", there)
    with pytest.raises(FileNotWritable):
        export_rows(with_rows, "pada1", "shots", "csv", tmp_path / "no" / "such" / "out.csv")
    assert there.read_text() == "mine"
    assert not list(tmp_path.glob(".*"))
