"""Summaries that only arithmetic proves, told from events without a number of their own."""

import pytest

from ingest.read_export import read_export

MARKS = "Ball,Landed past edge (m),Leave (m)\n"
LAUNCH = "Shot,Ball speed (m/s),Launch angle (deg),Carry (m)\n"


def lines_of(text):
    return read_export(text.encode(), name="any.csv").table.get_column("source_line").to_list()


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (MARKS + "1,1,2\n2,1,3\n3,2,2\n,1,2\n4,3,1\n", "coarse numbers: the least of both columns"),
        (LAUNCH + "1,12,30,11\n2,14,32,13\n,13,31,12\n3,15,33,15\n", "the mean of two, coarse"),
        (LAUNCH + "1,12.0,30.0,11.0\n2,12.0,30.0,11.0\n,12.0,30.0,11.0\n3,13.0,31.0,12.0\n",
         "a third shot like the first two"),
    ],
)  # fmt: skip
def test_a_row_that_may_equal_a_statistic_by_chance_is_kept(text, why):
    assert lines_of(text) == list(range(2, text.count("\n") + 1)), why


TIMED = (
    "Shot,Time,Club,Club speed (m/s),Carry (m)\n1,2026-06-14 09:01:10,SW,10.0,10.2\n"
    "2,2026-06-14 09:02:10,SW,10.4,11.0\n3,2026-06-14 09:03:10,SW,10.2,10.6\n"
    "4,2026-06-14 09:04:10,SW,10.6,11.4\n"
)


def test_a_last_row_of_bare_numbers_that_may_be_their_mean_is_set_aside():
    text = LAUNCH + "1,12,30,11\n2,14,32,13\n,13,31,12\n"
    reading = read_export(text.encode(), name="any.csv")
    assert [(row.line, row.code) for row in reading.set_aside] == [(4, "perhaps_a_summary")]
    assert lines_of(text) == [2, 3]


def test_a_mean_that_lacks_the_club_as_well_as_number_and_time_is_a_summary():
    reading = read_export((TIMED + ",,,10.3,10.8\n").encode(), name="any.csv")
    assert [(part.line, part.kind) for part in reading.structure if part.line > 1] == [
        (6, "summary")
    ]
    assert not reading.set_aside
    assert lines_of(TIMED + ",,SW,10.3,10.8\n") == [2, 3, 4, 5, 6]


def test_a_last_row_without_a_number_that_is_no_statistic_is_kept():
    assert lines_of(LAUNCH + "1,12,30,11\n2,14,32,13\n,15,31,12\n") == [2, 3, 4]


@pytest.mark.parametrize("last", [",13.09,31.4,12.52", ",26.17,62.7,25.03", ",14.03,32.5,13.72"])
def test_fine_numbers_prove_a_mean_a_sum_and_the_greatest(last):
    assert lines_of(LAUNCH + "1,12.14,30.2,11.31\n2,14.03,32.5,13.72\n" + last + "\n") == [2, 3]
