"""Working ahead changes neither order nor errors."""

from contextlib import closing

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ingest.ahead import ahead


@given(st.lists(st.integers()), st.integers(1, 4))
def test_the_same_items_in_the_same_order(items, waiting):
    assert list(ahead(items, waiting)) == items


def test_an_error_comes_where_its_item_would_have_come():
    def failing():
        yield 1
        yield 2
        raise KeyError("third")

    items = ahead(failing())
    assert [next(items), next(items)] == [1, 2]
    with pytest.raises(KeyError, match="third"):
        next(items)


def test_nothing_runs_any_more_once_it_is_closed():
    taken = []

    def endless():
        while True:
            taken.append(1)
            yield len(taken)

    with closing(ahead(endless())) as items:
        assert [next(items), next(items)] == [1, 2]
    n_taken = len(taken)
    assert n_taken <= 4
    assert next(items, None) is None
    assert len(taken) == n_taken
