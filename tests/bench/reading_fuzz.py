"""Many spoiled inputs through the reader: `python -m tests.bench.reading_fuzz 200000`."""

import sys
import warnings

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import NonInteractiveExampleWarning

from tests.ingest.reading_strategies import any_bytes
from tests.ingest.test_read_fuzz import account

_PER_RUN = 5_000


def fuzz(n_inputs: int) -> int:
    """How many inputs broke a rule of reading (each is printed to standard error)."""
    warnings.simplefilter("ignore", NonInteractiveExampleWarning)
    broken: list[bytes] = []

    @settings(
        max_examples=min(n_inputs, _PER_RUN),
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(any_bytes())
    def run(data: bytes) -> None:
        try:
            account(data)
        except Exception as fault:
            broken.append(data)
            print(repr(data), repr(fault), file=sys.stderr)

    for _ in range(max(1, n_inputs // _PER_RUN)):
        run()
    return len(broken)


if __name__ == "__main__":
    print(fuzz(int(sys.argv[1]) if len(sys.argv) > 1 else 2_000))
