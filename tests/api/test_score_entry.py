"""Sittings typed in short words."""

from datetime import UTC, datetime

import pytest

from analytics.errors import BadQuestion
from analytics.scored_rules import built_in_rules
from api.score_entry import score_rows, sitting
from schemas.tables import columns

RULES = built_in_rules()
HOLE_OUT = RULES["nine_station_hole_out@1"]
LOW_SIDE = RULES["nine_station_low_side@1"]


def test_strokes_with_and_without_the_leave() -> None:
    attempt = sitting(HOLE_OUT, ["2", "3", "2:4ft", "2", "3", "1", "2", "3", "2"])
    assert attempt.total == 20
    assert attempt.scores[2].ball.leave_m == pytest.approx(1.2192)


def test_finishes_by_clock_and_by_degrees_in_a_drawn_order() -> None:
    words = ["4ft@5", "4ft@6", "holed", "9ft@12", "1.2m@20deg"]
    attempt = sitting(LOW_SIDE, words, [6, 3, 4, 9, 1, 5, 8, 7, 2])
    assert {one.ball.station: one.points for one in attempt.scores} == {
        6: 4,
        3: 4,
        4: 4,
        9: 0,
        1: 4,
    }


def test_hits_judgements_named_and_open_stations() -> None:
    assert sitting(RULES["gate_twenty@1"], ["x", "o", "hit", "-", "7=x"]).total == 3
    assert sitting(RULES["bracket_twelve@1"], ["yny", "yyy"]).total == 5
    assert sitting(RULES["club_ladder@1"], ["5ft", "7ft", "x"]).total == 2


def test_rows_fit_the_table_and_carry_ids_that_repeat() -> None:
    at = datetime(2026, 5, 4, 9, tzinfo=UTC)
    attempt = sitting(HOLE_OUT, ["2"] * 9)
    one, two = score_rows(attempt, "a1", at), score_rows(attempt, "a1", at)
    assert one == two
    assert set(one[0]) - {"entry_id"} <= set(columns("scores"))
    assert len({row["entry_id"] for row in one}) == 9
    with pytest.raises(BadQuestion, match="no zone"):
        score_rows(attempt, "a1", at.replace(tzinfo=None))


@pytest.mark.parametrize(
    ("rules", "words", "why"),
    [
        (HOLE_OUT, ["two"], "Station 1: 'two' cannot be read"),
        (HOLE_OUT, ["2"] * 10, "10 scores for 9"),
        (HOLE_OUT, ["2", "1=3"], "scored twice"),
        (LOW_SIDE, ["near"], "cannot be read"),
        (LOW_SIDE, ["4ft"], "bearing of the finish is missing"),
        (LOW_SIDE, ["4ft@15"], "clock face"),
        (RULES["bracket_twelve@1"], ["yes"], "cannot be read"),
    ],
)
def test_words_that_mean_nothing_are_refused(rules, words, why) -> None:
    with pytest.raises(BadQuestion, match=why):
        sitting(rules, words)
