"""Set-up notes: blocks by the notes, compared within a day, never more than an observation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import ttest_ind

from analytics.errors import BadQuestion
from analytics.setup_blocks import (
    TOPICS,
    NotedShots,
    join_tags,
    read_tag,
    setup_blocks,
    split_tags,
)


def noted(tags: dict[int, str], errors: np.ndarray, days: int = 1) -> NotedShots:
    n = errors.size
    return NotedShots(
        session=np.repeat(np.arange(days), n // days),
        ball=np.tile(np.arange(1, n // days + 1), days),
        tags=tuple(tags.get(i) for i in range(n)),
        measures={"carry_error_m": errors},
    )


def test_a_note_holds_until_the_next_and_balls_before_it_are_a_block():
    rng = np.random.default_rng(1)
    shots = noted({4: "handle: forward", 10: "handle: back"}, rng.normal(0, 0.5, 16))
    blocks = setup_blocks(shots)
    assert [(b.first, b.last, b.tags) for b in blocks] == [
        (1, 4, ()),
        (5, 10, ("handle: forward",)),
        (11, 16, ("handle: back",)),
    ]
    assert blocks[0].measures[0].against_before is None


def test_the_difference_is_welchs():
    rng = np.random.default_rng(2)
    errors = np.concatenate([rng.normal(0, 0.3, 8), rng.normal(0.5, 0.8, 12)])
    block = setup_blocks(noted({8: "lean: more"}, errors))[1]
    ours, other = (
        block.measures[0].against_before,
        ttest_ind(errors[8:], errors[:8], equal_var=False),
    )
    assert ours.p_value == pytest.approx(other.pvalue)
    interval = other.confidence_interval(0.95)
    assert (ours.low, ours.high) == pytest.approx((interval.low, interval.high))


def test_days_are_never_compared_with_each_other():
    errors = np.random.default_rng(3).normal(0, 1, 20)
    blocks = setup_blocks(noted({0: "stance: open", 10: "stance: square"}, errors, days=2))
    assert [block.session for block in blocks] == [0, 1]
    assert all(block.measures[0].against_before is None for block in blocks)


def test_a_day_without_a_note_has_no_blocks():
    assert setup_blocks(noted({}, np.zeros(6))) == []


@pytest.mark.parametrize("bad", ["open", ": open", "stance:", "a: b; c", "stance: " + "x" * 40])
def test_what_is_no_tag_is_refused(bad):
    with pytest.raises(BadQuestion):
        read_tag(bad)


@given(st.lists(st.sampled_from([f"{topic}: a bit more" for topic in TOPICS]), max_size=5))
def test_tags_survive_the_store(tags):
    assert split_tags(join_tags(tuple(tags))) == tuple(tags)
