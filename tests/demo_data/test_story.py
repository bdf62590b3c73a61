"""The simulated players are what their truth says, measured on the simulation itself."""

import numpy as np
import pytest
from scipy import stats

from demo_data.book import make_book
from demo_data.cast import (
    CLUBS,
    EXPONENT,
    FOOT_M,
    PLAYERS,
    REFERENCE_SPEED_MPS,
    curve_level,
    player,
)
from demo_data.ground import conditions, marks
from demo_data.session import Session

BOOK = make_book()


def sessions(name: str) -> list[Session]:
    return [day.session for day in BOOK.days if day.session.player.name == name]


def landing_sd_ft(session: Session) -> float:
    clean = {shot.ball for shot in session.shots if shot.triple and not shot.mishit}
    landed = [m.land_past_edge_ft for m in marks(session, BOOK.seed) if m.ball in clean]
    return float(np.std(landed, ddof=1))


def width_ft(session: Session) -> float:
    one = session.player
    scale = one.sensor_scale * (1 + one.rehearsal_bias)

    def carries(role: str) -> list[float]:
        speeds = [s.peak_speed_mps / scale for s in session.swings if s.role == role]
        level = np.exp(curve_level(one, CLUBS["SW"]))
        return [level * (v / REFERENCE_SPEED_MPS) ** EXPONENT / FOOT_M for v in speeds]

    return float(np.mean(carries("rehearse_long")) - np.mean(carries("rehearse_short")))


def trend_p_value(values: list[float]) -> float:
    return float(stats.linregress(range(len(values)), values).pvalue)


def test_bracket_width_narrows_clearly_and_the_landing_spread_only_leans():
    widths = [width_ft(session) for session in sessions("Tobias")]
    spreads = [landing_sd_ft(session) for session in sessions("Tobias")]
    assert widths[0] == pytest.approx(14, abs=1.2)
    assert widths[-1] == pytest.approx(8, abs=1.2)
    assert trend_p_value(widths) < 0.001
    assert np.mean(spreads[-3:]) < np.mean(spreads[:3])
    assert 0.1 < trend_p_value(spreads) < 0.5


@pytest.mark.parametrize("one", PLAYERS, ids=lambda one: one.name)
def test_nothing_moves_where_nothing_is_planted(one):
    played = sessions(one.name)
    measures = {
        "bracket_width": [width_ft(session) for session in played],
        "landing_spread": [landing_sd_ft(session) for session in played],
        "start_direction": [
            float(np.mean([shot.start_right_deg for shot in session.shots])) for session in played
        ],
        "test_score": list(map(float, one.test_totals)),
    }
    for measure in set(one.nulls) & set(measures):
        assert trend_p_value(measures[measure]) > 0.1, measure


def test_tempo_falls_in_every_session_of_one_player_only():
    for one in PLAYERS:
        falls = []
        for session in sessions(one.name):
            swings = [s for s in session.swings if s.ball]
            fit = stats.linregress(
                [s.ball for s in swings], [s.backswing_s / s.downswing_s for s in swings]
            )
            falls.append(-44 * float(fit.slope))
        planted = 0.3 if one.name == "Wilma" else 0.0
        assert np.mean(falls) == pytest.approx(planted, abs=0.04)
        if planted:
            assert min(falls) > 0.15


def test_the_group_average_hides_the_left_handers_pull_until_it_is_mirrored():
    starts = {
        one.name: np.mean([s.start_right_deg for day in sessions(one.name) for s in day.shots])
        for one in PLAYERS
    }
    assert starts["Arne"] == pytest.approx(2.0, abs=0.25)
    assert np.mean(list(starts.values())) == pytest.approx(0.0, abs=0.15)
    pulls = [starts[p.name] * (1 if p.handedness == "left" else -1) for p in PLAYERS]
    assert np.mean(pulls) > 0.6


def test_the_junior_is_two_feet_short_by_an_adults_curve_and_right_on_an_own_one():
    off = []
    for session in sessions("Lio"):
        target_ft = session.player.target_ft
        clean = [s.carry_m / FOOT_M for s in session.shots if s.triple and not s.mishit]
        off.append(float(np.mean(clean)) - target_ft)
    assert np.mean(off[:2]) == pytest.approx(-2.0, abs=0.6)
    assert np.mean(off[2:]) == pytest.approx(0.0, abs=0.5)
    adult, junior = (curve_level(player(name), CLUBS["SW"]) for name in ("Petra", "Lio"))
    assert 22 * np.exp(junior - adult) == pytest.approx(20.0, abs=0.01)


def test_the_controls_last_test_is_three_better_by_chance_alone():
    totals = player("Petra").test_totals
    assert totals[-2] - totals[-1] == 3
    assert np.mean(totals[:-1]) - totals[-1] == pytest.approx(3, abs=0.2)


def test_a_wet_green_looks_like_better_touch():
    for one in PLAYERS:
        leaves = [
            float(np.median([m.leave_ft for m in marks(session, BOOK.seed)]))
            for session in sessions(one.name)
        ]
        wet = [conditions(one, week).wetness == "wet" for week in range(len(leaves))]
        assert wet.count(True) == 1
        assert leaves[wet.index(True)] < np.mean(
            [x for x, w in zip(leaves, wet, strict=True) if not w]
        )


def test_every_carry_is_near_what_a_flight_without_air_would_give():
    """Between 0.70 and 1.15 of v² sin 2θ / g, as computed flights with drag and lift are."""
    ratios = [
        s.carry_m / (s.ball_speed_mps**2 * np.sin(2 * np.radians(s.launch_deg)) / 9.80665)
        for day in BOOK.days
        for s in day.session.shots
    ]
    assert min(ratios) > 0.70
    assert max(ratios) < 1.15


def test_the_share_of_mishits_is_a_twentieth():
    mishits = [shot.mishit for day in BOOK.days for shot in day.session.shots]
    assert np.mean(mishits) == pytest.approx(0.05, abs=0.012)
