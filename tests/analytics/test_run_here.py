"""Run over carry on the green at hand."""

import pytest

from analytics.db import in_memory, open_store
from analytics.errors import NothingYet, OutOfRange
from analytics.roll import Green
from analytics.run_here import runs_here
from tests.invented_lesson import RATIO, ROBIN, write_book


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    folder = tmp_path_factory.mktemp("book")
    write_book(folder)
    return open_store(folder, ROBIN.player_id)


def test_planted_ratios_are_covered_on_the_reference_green(book) -> None:
    found = runs_here(book, ROBIN.player_id, Green(10))
    assert [one.club for one in found] == ["SW", "PW", "9I"]
    for one in found:
        assert one.ratio.low < RATIO[one.club] < one.ratio.high
        assert one.ratio.state in ("clear", "leaning")


def test_speed_and_slope_change_the_run_as_mechanics_says(book) -> None:
    level, fast, uphill, downhill, across = (
        runs_here(book, ROBIN.player_id, green)[0].ratio.value
        for green in (Green(10), Green(12), Green(10, 1, 180), Green(10, 1, 0), Green(10, 1, 90))
    )
    assert fast == pytest.approx(1.2 * level)
    # A ball rolled at stimp 10 runs 8.1778 ft up 1° and 12.8671 ft down it, 10 ft on the level.
    assert uphill == pytest.approx(0.81778 * level, rel=1e-4)
    assert downhill == pytest.approx(1.28671 * level, rel=1e-4)
    assert across == pytest.approx(level)


def test_wet_greens_without_own_balls_are_by_the_chart_and_too_early(book) -> None:
    for one in runs_here(book, ROBIN.player_id, Green(10), wet=True):
        assert one.from_chart
        assert one.ratio.state == "too_early"
        assert one.ratio.need.startswith("0 of 10 shots")


def test_no_run_and_too_steep_a_green_are_refused(book) -> None:
    with pytest.raises(NothingYet, match="no ball with a carry and a run"):
        runs_here(in_memory({}), "ana1", Green(10))
    with pytest.raises(OutOfRange, match="does not stop"):
        runs_here(book, ROBIN.player_id, Green(14, 5))
