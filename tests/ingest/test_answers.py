"""Answering from the kept texts gives what reading the file again with the answers gives."""

import json

import pytest

from ingest.answers import apply_answers, question_as_json, question_from_json
from ingest.errors import BadOption
from ingest.read_export import read_export
from ingest.reading import Options

CASES = {
    "unit": (
        "Shot,Carry\n1,12.5\n2,11 1/2\n3,\n4,x\n",
        {"unit:carry_m": "yd"},
    ),
    "unit and side": (
        "Shot,Carry (m),Side\n1,12.5,1.5 L\n2,11,0.5 R\n",
        {"unit:side_m": "ft"},
    ),
    "hand": (
        "Shot,Carry (m),Start direction (deg)\n1,12,1.5 pull\n2,10,2.0 push\n3,10,0.5 R\n",
        {"hand:start_right_deg": "left"},
    ),
    "decimal": (
        "Shot;Carry (m);Side spin\n1;12;1.842\n2;10;-2.120\n",
        {"decimal:side_spin_rpm": ","},
    ),
    "meaning": (
        "Shot,Speed (mph),Carry (m)\n1,25.0,12.5\n2,24.0,11\n",
        {"meaning:Speed (mph)": "ball_speed_mps"},
    ),
    "meaning, then unit": (
        "Shot,Speed,Carry (m)\n1,25.0,12.5\n2,24.0,11\n",
        {"meaning:Speed": "club_speed_mps", "unit:club_speed_mps": "mph"},
    ),
    "two columns": (
        "Shot,Carry (m),Back spin (rpm),Total spin (rpm)\n1,11.9,3100,3150\n2,10,3000,3080\n",
        {"two_columns:spin_rpm": "Total spin (rpm)"},
    ),
    "zone and order": (
        "Shot,Date,Time,Carry (m)\n1,03/04/2026,10:00:00,12\n2,03/04/2026,10:01:00,11\n",
        {"zone:struck_at_utc": "Europe/Madrid", "date_order:struck_at_utc": "dmy"},
    ),
    "day": (
        "Shot,Time (UTC),Carry (m)\n1,23:59:00,12\n2,00:01:00,11\n",
        {"day:struck_at_utc": "2026-03-14"},
    ),
    "start": (
        "Shot,Elapsed (s),Carry (m)\n1,12.5,12\n2,61,11\n",
        {"start:struck_at_utc": "2026-03-14T10:00:00", "zone:struck_at_utc": "+02:00"},
    ),
    "repeated hour": (
        "Shot,Time (Europe/Madrid),Carry (m)\n1,2026-10-25 02:30:00,12\n2,2026-10-25 04:00:00,11\n",
        {"repeated_hour:struck_at_utc": "later"},
    ),
    "skipped hour": (
        "Shot,Time (Europe/Madrid),Carry (m)\n1,2026-03-29 02:30:00,12\n2,2026-03-29 04:00:00,11\n",
        {"skipped_hour:struck_at_utc": "earlier"},
    ),
}


def stored(questions):
    """The questions as they come back from a ledger."""
    return [question_from_json(json.loads(json.dumps(question_as_json(q)))) for q in questions]


@pytest.mark.parametrize("name", CASES)
def test_kept_texts_and_the_file_agree(name):
    text, answers = CASES[name]
    asked = read_export(text.encode(), name="a.csv")
    assert asked.questions
    done = apply_answers(asked.kind, stored(asked.questions), answers)
    assert done.open == ()
    again = read_export(text.encode(), name="a.csv", options=Options(answers=answers))
    assert not again.questions
    for column, values in done.values.items():
        rows = zip(again.table["source_line"], again.table[column], strict=True)
        asked_about = {line for question in asked.questions for line in question.lines}
        wanted = {at: value for at, value in rows if value is not None and at in asked_about}
        assert {line: values.get(line) for line in wanted} == wanted
    assert done.values


def test_half_an_answer_leaves_the_other_half_open():
    text, answers = CASES["zone and order"]
    asked = read_export(text.encode(), name="a.csv")
    first = dict([next(iter(answers.items()))])
    half = apply_answers(asked.kind, asked.questions, first)
    assert [question.kind for question in half.open] == ["date_order"]
    whole = apply_answers(asked.kind, half.open, dict(list(answers.items())[1:]))
    assert whole.open == ()
    assert len(whole.values["struck_at_utc"]) == 2


def test_an_answer_that_is_none_is_refused():
    asked = read_export(CASES["unit"][0].encode(), name="a.csv")
    with pytest.raises(BadOption):
        apply_answers(asked.kind, asked.questions, {"unit:carry_m": "bananas"})
