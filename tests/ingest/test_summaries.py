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
        (LAUNCH + "1,12,30,11\n2,14,32,13\n,13,31,12\n", "coarse numbers: the mean of two"),
        (LAUNCH + "1,12.0,30.0,11.0\n2,12.0,30.0,11.0\n,12.0,30.0,11.0\n3,13.0,31.0,12.0\n",
         "a third shot like the first two"),
    ],
)  # fmt: skip
def test_a_row_that_may_equal_a_statistic_by_chance_is_kept(text, why):
    assert lines_of(text) == list(range(2, text.count("\n") + 1)), why


@pytest.mark.parametrize("last", [",13.09,31.4,12.52", ",26.17,62.7,25.03", ",14.03,32.5,13.72"])
def test_fine_numbers_prove_a_mean_a_sum_and_the_greatest(last):
    assert lines_of(LAUNCH + "1,12.14,30.2,11.31\n2,14.03,32.5,13.72\n" + last + "\n") == [2, 3]
