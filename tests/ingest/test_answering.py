"""Rows completed by answers from what was kept are those of the file read again with them."""

import json
from dataclasses import replace

import pytest

from ingest import answering
from ingest.answering import answered
from ingest.errors import BadOption
from ingest.import_file import import_file
from ingest.ledger_entry import Arrival, options_from_text, options_text
from ingest.options import Options
from ingest.players import Player
from ingest.prepare import prepare
from ingest.store import ledgers
from schemas.store_paths import import_dir
from tests.ingest.corpus_truth import CORPUS, truths
from tests.ingest.test_answers import CASES

ROBIN = Player("probin", "Robin", zone="")
READ_AGAIN = {
    "meaning", "meaning, then unit", "two columns", "decimal", "repeated hour", "skipped hour",
}  # fmt: skip
"""Cases that kept rows cannot settle alone: an answer names a column, a unit is still to
be found, or clocks changed."""


def corpus_cases():
    """Corpus files with questions, each answered with its first candidate where it has one."""
    for path in truths():
        truth = json.loads(path.read_text("utf-8"))
        if truth["outcome"] == "ok" and truth["questions"]:
            data = (CORPUS / truth["file"]).read_bytes()
            yield pytest.param(truth["file"], data, truth.get("options", {}), id=path.stem)


def imported(store, name, data, options):
    ledger = import_file(store, data, ROBIN, name=name, options=Options(**options)).ledger
    return import_dir(store, ledger.player_id, ledger.import_id), ledger


def read_again(ledger, data, answers):
    given = options_from_text(ledger.options)
    options = replace(given, answers={**given.answers, **answers})
    arrival = Arrival(
        ledger.source_name, data, ledger.source_sha256, ledger.player_id, options_text(options),
        ledger.imported_at_utc,
    )  # fmt: skip
    return prepare(replace(arrival, at=_Moment(ledger.imported_at_utc)), options)


class _Moment(str):
    def isoformat(self):
        return str(self)


def compare(quick, again):
    assert quick.ledger == again.ledger
    assert quick.events.equals(again.events)
    assert quick.values.tolist() == again.values.tolist()
    assert {name: table.to_pylist() for name, table in quick.tables.items()} == {
        name: table.to_pylist() for name, table in again.tables.items()
    }


@pytest.mark.parametrize("name", [name for name in CASES if name not in {*READ_AGAIN, "hand"}])
def test_the_kept_rows_are_enough(tmp_path, name):
    text, answers = CASES[name]
    text = "\n".join(line for line in text.splitlines() if not line.endswith(",x")) + "\n"
    folder, ledger = imported(tmp_path, "a.csv", text.encode(), {})
    quick = answered(tmp_path, folder, ledger, answers)
    assert quick is not None
    compare(quick, read_again(ledger, text.encode(), answers))
    quick.discard()


@pytest.mark.parametrize("name", sorted(READ_AGAIN))
def test_what_they_cannot_settle_is_read_again(tmp_path, name):
    text, answers = CASES[name]
    folder, ledger = imported(tmp_path, "a.csv", text.encode(), {})
    quick = answered(tmp_path, folder, ledger, answers)
    assert quick is None or compare(quick, read_again(ledger, text.encode(), answers)) is None


@pytest.mark.parametrize(("name", "data", "options"), list(corpus_cases()))
def test_every_corpus_file_is_completed_as_if_read_again(tmp_path, name, data, options):
    folder, ledger = imported(tmp_path, name, data, options)
    asked = ledger.details["questions"]
    answers = {q["id"]: q["candidates"][0] for q in asked if q["candidates"]}
    quick = answered(tmp_path, folder, ledger, answers)
    if quick is not None:
        compare(quick, read_again(ledger, data, answers))


def test_half_an_answer_is_left_to_the_file(tmp_path):
    text, answers = CASES["zone and order"]
    folder, ledger = imported(tmp_path, "a.csv", text.encode(), {})
    first = dict([next(iter(answers.items()))])
    assert answered(tmp_path, folder, ledger, first) is None


def test_an_answer_that_is_none_is_refused(tmp_path):
    folder, ledger = imported(tmp_path, "a.csv", CASES["unit"][0].encode(), {})
    with pytest.raises(BadOption):
        answered(tmp_path, folder, ledger, {"unit:carry_m": "bananas"})


def test_a_value_that_cannot_be_kept_is_left_to_the_file(tmp_path):
    text = "Shot,Carry\n1,12.5\n2,11\n3,x\n4,9e9\n"
    for rows, short in ((3, True), (4, False), (5, False)):
        part = "".join(text.splitlines(keepends=True)[:rows])
        folder, ledger = imported(tmp_path / str(rows), "a.csv", part.encode(), {})
        assert ledger.details["questions"]
        found = answered(tmp_path / str(rows), folder, ledger, {"unit:carry_m": "yd"})
        assert (found is not None) == short


def test_it_stands_in_the_place_of_the_first_reading(tmp_path):
    text, answers = CASES["unit"]
    text = text.replace("4,x\n", "")
    folder, ledger = imported(tmp_path, "a.csv", text.encode(), {})
    quick = answered(tmp_path, folder, ledger, answers)
    assert quick is not None
    options = options_from_text(quick.ledger.options)
    done = import_file(tmp_path, b"", ROBIN, name="a.csv", options=options, ready=quick)
    assert done.ledger.supersedes == ledger.import_id
    assert done.overlap.changed + done.overlap.same + done.overlap.new == ledger.rows_kept
    standing = ledgers(tmp_path, ROBIN.player_id)
    assert [one.import_id for one in standing] == [ledger.import_id, done.ledger.import_id]
    source = import_dir(tmp_path, ROBIN.player_id, done.ledger.import_id) / "source.zst"
    assert source.read_bytes() == (folder / "source.zst").read_bytes()
    assert answering.tmp_dir(tmp_path).exists()
