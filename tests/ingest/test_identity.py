"""Identities: the same event in any export, two real equal shots apart."""

from datetime import UTC, datetime, timedelta

import polars as pl
from hypothesis import given
from hypothesis import strategies as st

from ingest.identity import identify, value_hashes

START = datetime(2026, 5, 1, 10, tzinfo=UTC)


def shots(n: int, **changes: list[object]) -> pl.DataFrame:
    base = {
        "device_number": list(range(1, n + 1)),
        "struck_at_utc": [START + timedelta(seconds=30 * k) for k in range(n)],
        "carry_m": [5.0 + k for k in range(n)],
        "club": ["SW"] * n,
    }
    return pl.DataFrame(base | changes, strict=False)


def ids(frame: pl.DataFrame) -> list[str]:
    return identify(frame, "shots")["event_id"].to_list()


def test_a_grown_export_names_the_same_events_again():
    assert ids(shots(5)) == ids(shots(8))[:5]


def test_a_mended_value_keeps_the_event_and_changes_the_values():
    before, after = shots(3), shots(3, carry_m=[5.0, 9.9, 7.0])
    assert ids(before) == ids(after)
    assert (value_hashes(before, "shots") != value_hashes(after, "shots")).tolist() == [0, 1, 0]


def test_two_sessions_that_both_count_from_one_never_meet():
    nothing = {"struck_at_utc": [None, None]}
    first = shots(2, **nothing, carry_m=[5.0, 6.0])
    second = shots(2, **nothing, carry_m=[5.5, 6.5])
    assert not set(ids(first)) & set(ids(second))


def test_two_real_equal_shots_stay_two():
    twins = shots(2, struck_at_utc=[START, START], device_number=[1, 1], carry_m=[5.0, 5.0])
    found = identify(twins, "shots")
    assert found["event_id"].n_unique() == 2
    assert found["occurrence"].to_list() == [0, 1]


@given(st.permutations(range(6)))
def test_the_order_of_rows_does_not_matter(order):
    frame = shots(6)
    assert sorted(ids(frame)) == sorted(ids(frame[list(order)]))


def test_identities_outlive_libraries():
    """A fixed value: a change here would make every stored event a stranger."""
    assert ids(shots(2)) == ["5572297b1b6b0cb6", "69dbd70d4fc64ad7"]
