"""Choosing among ordered rows: the same as filtering them all, whatever the batches."""

from datetime import UTC, datetime, timedelta

import pyarrow as pa
from hypothesis import given
from hypothesis import strategies as st

from analytics.rows import EVERY, Place, RowFilter, chosen, place_of

START = datetime(2026, 5, 4, 17, tzinfo=UTC)

rows = st.lists(
    st.tuples(st.none() | st.integers(1, 12), st.sampled_from("0123456789"), st.sampled_from("SP")),
    max_size=30,
    unique_by=lambda row: (row[0], row[1]),
)
minute = st.none() | st.integers(0, 13)


def instant(number):
    return None if number is None else START + timedelta(minutes=number)


def in_order(found):
    return sorted(found, key=lambda row: (0 if row[0] is None else 1, row[0] or 0, row[1]))


def batches(found, size):
    names = ("struck_at_utc", "event_id", "club")
    types = (pa.timestamp("us", tz="UTC"), pa.string(), pa.string())
    for place in range(0, len(found), size):
        columns = zip(*found[place : place + size], strict=True)
        values = [list(column) for column in columns]
        values[0] = [instant(number) for number in values[0]]
        yield pa.RecordBatch.from_arrays(
            [pa.array(v, t) for v, t in zip(values, types, strict=True)], names=names
        )


def events(found):
    return [
        (None if at is None else at.as_py(), event.as_py())
        for batch in found
        for at, event in zip(batch.column(0), batch.column(1), strict=True)
    ]


@given(
    rows, minute, minute, st.none() | st.sampled_from("SP"), st.integers(1, 7), st.integers(1, 9)
)
def test_chosen_is_a_filter(found, since, until, club, size, most):
    found = in_order(found)
    wanted = RowFilter(instant(since), instant(until), club, None, most)
    expected = [
        (instant(at), event)
        for at, event, kind in found
        if (since is None or (at is not None and at >= since))
        and (until is None or (at is not None and at < until))
        and (club is None or kind == club)
    ]
    assert events(chosen(batches(found, size), "shots", wanted)) == expected[:most]


@given(rows, st.integers(1, 7), st.integers(1, 5))
def test_pages_meet(found, size, page):
    found = in_order(found)
    seen, after = [], None
    while True:
        wanted = RowFilter(after=after, rows=page)
        part = list(chosen(batches(found, size), "shots", wanted))
        if not part:
            break
        seen += events(part)
        after = place_of("shots", part[-1])
    assert seen == [(instant(at), event) for at, event, _ in found]


def test_nothing_is_drawn_beyond_what_is_wanted():
    drawn = []

    def counted():
        for batch in batches([(n, "1", "S") for n in range(1, 10)], 3):
            drawn.append(1)
            yield batch

    wanted = RowFilter(after=Place(0, ""), rows=2)
    assert len(events(chosen(counted(), "shots", wanted))) == 2
    assert len(drawn) == 1
    assert RowFilter().rows == EVERY
