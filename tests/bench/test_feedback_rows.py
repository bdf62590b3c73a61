"""The feedback figures hold (the whole simulation, so it is slow)."""

import pytest

from tests.bench.feedback import rows


@pytest.mark.slow
def test_every_feedback_figure_holds():
    assert [row for row in rows() if not row.holds] == []
