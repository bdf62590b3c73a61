"""Advice on the next ball: where the doubt is, never where it is gone, and with an end."""

import pytest

from analytics.answer import Answer
from analytics.carry_ladder import LadderCell
from analytics.next_best_shot import advise, half_width


def rung(length, n, days, sd, shot_sd=0.08, day_sd=0.03):
    state = "clear" if 1.7 * sd < 0.06 and n >= 10 and days >= 2 else "leaning"
    answer = Answer(8.0, 7.0, 9.0, "m", n, days, state)
    return LadderCell("SW", length, answer, answer, answer, 2.0, sd, 20.0, day_sd, shot_sd, 0, 0)


def test_the_most_open_rung_comes_first():
    advice = advise([rung("hip", 20, 3, 0.04), rung("chest", 12, 2, 0.09)])
    assert advice.best.cell.name == "SW chest"
    assert advice.best.after_block < advice.best.half_width
    assert advice.balls == sum(one.balls for one in advice.rungs)


def test_a_clear_rung_is_never_advised():
    advice = advise([rung("hip", 40, 5, 0.02), rung("chest", 30, 4, 0.022)])
    assert advice.best is None
    assert (advice.balls, advice.days) == (0, 0)


def test_balls_of_one_day_help_less_and_less_so_the_advice_moves_on():
    ladder = [rung("hip", 12, 2, 0.06, day_sd=0.05), rung("chest", 12, 2, 0.059, day_sd=0.05)]
    hit, order = {}, []
    for _ in range(12):
        best = advise(ladder, hit).best.cell.name
        order.append(best)
        hit[best] = hit.get(best, 0) + 1
    assert set(order) == {"SW hip", "SW chest"}
    assert order[0] == "SW hip"


def test_a_rung_with_few_balls_needs_at_least_its_minimum():
    advice = advise([rung("hip", 4, 1, 0.03)])
    assert advice.best.balls >= 6
    assert advice.best.days >= 1


def test_more_days_beat_more_balls_on_one_day():
    cell = rung("hip", 10, 2, 0.08)
    assert half_width(cell, 24, 3) < half_width(cell, 24, 1) < half_width(cell, 0)
    assert half_width(cell, 0) == pytest.approx(0.08 * 1.7247, rel=1e-3)
