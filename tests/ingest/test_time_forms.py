"""Times that no rule reads, or reads two ways: asked about, and read as answered."""

import pytest

from ingest.errors import BadOption
from ingest.options import Options
from ingest.read_export import read_export

ASKED = "time_form:struck_at_utc"


def reading(header: str, cells: list[str], answers: dict[str, str] | None = None):
    rows = [f"{k},{cell},SW,{20 + k / 10:.1f},8.{k}" for k, cell in enumerate(cells, 1)]
    text = "\n".join([f"Shot,{header},Club,Ball speed (mph),Carry (yd)", *rows, ""])
    return read_export(
        text.encode(), name="a.csv", options=Options(zone="UTC", answers=answers or {})
    )


def moments(read) -> list[str | None]:
    return [str(t)[:19] if t else None for t in read.table["struck_at_utc"].to_list()]


@pytest.mark.parametrize(
    ("header", "cells", "candidates"),
    [
        ("Date", ["40526", "40526", "50526"], ("serial", "%d%m%y", "%m%d%y")),
        ("Date", ["90526", "90526", "100526"], ("%d%m%y", "%m%d%y")),
        ("Time (h)", ["9.2036", "9.2101", "9.2244"], ("clock_h", "elapsed_h")),
        ("Time", ["07x12q33", "07x13q21", "07x14q02"], ("%mx%dq%y", "%Hx%Mq%S")),
        ("Time", ["25x", "31x", "47x"], ()),
    ],
)
def test_a_doubtful_time_is_a_question(header, cells, candidates):
    read = reading(header, cells)
    (question,) = read.questions
    assert (question.id, question.column, question.lines) == (ASKED, "struck_at_utc", (2, 3, 4))
    assert set(question.candidates) <= set(candidates)
    assert bool(question.candidates) == bool(candidates)
    assert moments(read) == [None] * 3
    assert question.raws == (tuple(cells),)


@pytest.mark.parametrize(
    ("header", "cell", "answers", "moment"),
    [
        ("Date", "40526", {ASKED: "%d%m%y"}, "2026-05-04 00:00:00"),
        ("Date", "40526", {ASKED: "serial"}, "2010-12-14 00:00:00"),
        ("Time", "14x05q26 9.07", {ASKED: "%dx%mq%y %H.%M"}, "2026-05-14 09:07:00"),
        ("Time", "134x26 01.07 PM", {ASKED: "%jx%y %I.%M %p"}, "2026-05-14 13:07:00"),
        ("Time", "9 hrs & 7", {ASKED: "%H hrs & %M", "day:struck_at_utc": "2026-05-14"},
         "2026-05-14 09:07:00"),
        ("Time (h)", "9.25", {ASKED: "clock_h", "day:struck_at_utc": "2026-05-14"},
         "2026-05-14 09:15:00"),
        ("Time (h)", "0.25", {ASKED: "elapsed_h", "start:struck_at_utc": "2026-05-14T09:00:00"},
         "2026-05-14 09:15:00"),
    ],
)  # fmt: skip
def test_an_answer_reads_them(header, cell, answers, moment):
    read = reading(header, [cell, cell], answers)
    assert not read.questions
    assert moments(read) == [moment] * 2


@pytest.mark.parametrize(
    ("header", "cells"),
    [("Date", ["46156", "46157"]), ("Date", ["140526", "150526"]), ("Time", ["0712", "0713"])],
)
def test_a_form_that_only_one_meaning_fits_is_not_asked_about(header, cells):
    assert ASKED not in {question.id for question in reading(header, cells).questions}


def test_words_in_a_time_column_are_no_times():
    read = reading("Time", ["early", "late", "soon"])
    assert not read.questions
    assert read.unknown_columns == ("Time",)


@pytest.mark.parametrize(
    ("cell", "form"),
    [
        ("25x", "about noon"),
        ("Thu", "%a"),
        ("14x 09q12", "%dx %Hq%M"),
        ("05x14x", "%mx%dx"),
        ("01q12x", "%Iq%Mx"),
        ("12q33", "%Mq%S"),
    ],
)
def test_a_pattern_that_leaves_something_to_guess_is_refused(cell, form):
    """It would be a day of the year 1900, or an hour of the morning."""
    with pytest.raises(BadOption):
        reading("Time", [cell, cell], {ASKED: form})


def test_counted_seconds_beside_a_date_are_not_dropped_for_midnight():
    text = "Shot,Date,Elapsed (s),Carry (m)\n1,2026-05-14,20,8.1\n2,2026-05-14,55,8.4\n"
    read = read_export(text.encode(), name="a.csv", options=Options(zone="UTC"))
    assert [question.kind for question in read.questions] == ["start"]
    assert moments(read) == [None, None]


def test_seconds_counted_on_several_days_leave_each_row_its_day():
    """One start for all of them would put the balls of the second day on the first."""
    text = "Shot,Date,Elapsed (s),Carry (m)\n1,2026-05-14,20,8.1\n2,2026-05-15,55,8.4\n"
    answers = {"start:struck_at_utc": "2026-05-14T09:00:00"}
    options = Options(zone="UTC", answers=answers)
    read = read_export(text.encode(), name="a.csv", options=options)
    assert [moment and moment[:10] for moment in moments(read)] == ["2026-05-14", "2026-05-15"]
    assert read.unknown_columns == ("Elapsed (s)",)
