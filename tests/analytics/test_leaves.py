"""Marks linked to balls, and leaves told from the store."""

from datetime import UTC, date, datetime, timedelta

import pytest

from analytics.db import in_memory
from analytics.errors import NothingYet
from analytics.leaves import NOT_LINKED, leaves, player_putting
from analytics.mark_links import linked_marks
from tests.analytics.test_db import rows

AT = datetime(2026, 4, 6, 9, tzinfo=UTC)


def shot(number, minute, club="SW", **more):
    return {
        "player_id": "ana1",
        "import_id": "i",
        "event_id": f"s{number}-{minute}",
        "device_number": number,
        "struck_at_utc": AT + timedelta(minutes=minute),
        "club": club,
        "carry_m": 7.0,
    } | more


def mark(number, minute, leave=1.5, bearing=20.0, **more):
    return {
        "player_id": "ana1",
        "import_id": "m",
        "event_id": f"m{number}-{minute}",
        "ball_number": number,
        "marked_at_utc": AT + timedelta(minutes=minute),
        "leave_m": leave,
        "leave_bearing_deg": bearing,
    } | more


def book(shots=(), marks=(), sessions=(), scores=()):
    return in_memory(
        {
            "shots": rows("shots", *shots),
            "marks": rows("marks", *marks),
            "sessions": rows("sessions", *sessions),
            "scores": rows("scores", *scores),
        }
    )


def test_marks_are_linked_by_number_even_when_entered_later() -> None:
    found = linked_marks(book([shot(1, 0), shot(2, 1, "PW")], [mark(2, 300)]), "ana1")
    assert [(m.shot_event_id, m.how, m.club) for m in found] == [("s2-1", "number", "PW")]


def test_a_number_that_stands_twice_is_settled_by_time_and_counted() -> None:
    found = linked_marks(book([shot(1, 0), shot(1, 60, "PW")], [mark(1, 62)]), "ana1")
    assert [(m.club, m.n_candidates) for m in found] == [("PW", 2)]


def test_a_mark_without_number_takes_the_ball_just_struck() -> None:
    found = linked_marks(book([shot(1, 0), shot(2, 1)], [mark(None, 2), mark(None, 30)]), "ana1")
    assert [(m.shot_event_id, m.how) for m in found] == [("s2-1", "time"), (None, None)]


def test_what_was_said_outranks_the_number() -> None:
    found = linked_marks(book([shot(1, 0), shot(2, 1)], [mark(2, 3, shot_event_id="s1-0")]), "ana1")
    assert [(m.shot_event_id, m.how) for m in found] == [("s1-0", "said")]


def test_a_ball_marked_again_counts_once_with_the_later_mark() -> None:
    marks = [mark(1, 0.5, leave=9.0), mark(1, 2, leave=1.0)]
    con = book([shot(1, 0)], marks)
    assert [m.replaced for m in linked_marks(con, "ana1")] == [True, False]
    assert leaves(con, "ana1").dry.median_leave_m == 1.0


@pytest.mark.parametrize("landing_minute", [0.2, 2.0])
def test_a_landing_and_a_finish_entered_apart_are_one_ball(landing_minute) -> None:
    landing = mark(1, landing_minute, leave=None, bearing=None, land_past_edge_m=0.8)
    con = book([shot(1, 0)], [mark(1, 1, leave=1.25, bearing=30.0), landing])
    newest = next(m for m in linked_marks(con, "ana1") if not m.replaced)
    assert (newest.leave_m, newest.leave_bearing_deg) == (1.25, 30.0)
    assert newest.land_past_edge_m == 0.8
    told = leaves(con, "ana1").dry
    assert (told.n_shots, told.median_leave_m) == (1, 1.25)


def test_a_finish_marked_anew_without_a_bearing_keeps_none_of_the_old() -> None:
    first = mark(1, 1, leave=1.25, land_past_edge_m=0.8, land_error_m=0.1)
    con = book([shot(1, 0)], [first, mark(1, 2, leave=0.5, bearing=None, land_past_edge_m=0.9)])
    newest = next(m for m in linked_marks(con, "ana1") if not m.replaced)
    assert (newest.leave_m, newest.leave_bearing_deg) == (0.5, None)
    assert (newest.land_past_edge_m, newest.land_error_m) == (0.9, None)


def test_another_day_and_another_player_are_never_linked() -> None:
    shots = [shot(1, 0, player_id="bob2"), shot(1, 60 * 48)]
    assert linked_marks(book(shots, [mark(1, 3)]), "ana1")[0].shot_event_id is None


def test_leaves_over_all_by_club_and_by_day() -> None:
    shots = [shot(n, n, "SW" if n < 3 else "PW") for n in range(1, 5)]
    marks = [mark(n, n + 0.5) for n in range(1, 6)] + [mark(1, 60 * 24)]
    told = leaves(book(shots, marks), "ana1")
    assert told.dry.n_shots == 6
    assert told.dry.n_sessions == 2
    assert {name: one.n_shots for name, one in told.by_club.items()} == {
        "PW": 2,
        "SW": 2,
        NOT_LINKED: 2,
    }
    assert list(told.by_day) == [date(2026, 4, 6), date(2026, 4, 7)]
    assert "tour professionals" in told.dry.putting_label
    assert leaves(book(shots, marks), "ana1", "PW").dry.n_shots == 2


def test_wet_greens_are_kept_apart() -> None:
    wet = {"player_id": "ana1", "day": date(2026, 4, 7), "wetness": "wet", "event_id": "w"}
    told = leaves(book([], [mark(1, 0), mark(2, 60 * 24)], [wet]), "ana1")
    assert told.dry.n_shots == 1
    assert told.wet.n_shots == 1


def test_a_finish_without_a_bearing_is_listed_but_not_placed() -> None:
    told = leaves(book([], [mark(1, 0, bearing=None), mark(2, 1), mark(3, 2, 0.0, None)]), "ana1")
    assert len(told.marks) == 3
    assert told.dry.n_shots == 2
    assert told.dry.n_holed == 1


def test_no_finish_says_how_to_enter_one() -> None:
    with pytest.raises(NothingYet, match="carrybook mark"):
        leaves(book(), "ana1")
    with pytest.raises(NothingYet, match="with PW"):
        leaves(book([], [mark(1, 0)]), "ana1", "PW")


def test_putts_from_scored_tests_become_the_players_own_curve() -> None:
    def station(i, strokes, leave):
        return {
            "player_id": "ana1",
            "import_id": "x",
            "event_id": f"p{i}",
            "scored_at_utc": AT,
            "test": "t@1",
            "attempt_id": "a",
            "station": i + 1,
            "strokes": strokes,
            "leave_m": leave,
        }

    few = [station(i, 2, 1.0) for i in range(5)] + [station(9, 1, 0.0)]
    assert player_putting(book(scores=few), "ana1").n_putts == 5
    many = [station(i, 2 + i % 2, 1.2) for i in range(60)]
    used = player_putting(book(scores=many), "ana1")
    assert used.own
    assert used.factor > 1
