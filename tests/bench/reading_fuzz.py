"""Many spoiled inputs through the reader: `python -m tests.bench.reading_fuzz 200000 [SEED]`.

Inputs are the corpus and the polluted files with bytes put in, cut out, doubled or swapped, heaps
of telling fragments, and noise; drawn by a plain seeded generator, which is far quicker than one
that can shrink.
"""

import random
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.bench.pollutions import polluted_files
from tests.ingest.reading_strategies import FRAGMENT_BYTES
from tests.ingest.test_read_fuzz import account

_CORPUS = Path(__file__).parents[1] / "ingest" / "corpus"
_LARGEST_SEED = 8_000
_KEPT_LINES = 12


def fuzz(n_inputs: int, seed: int = 1) -> int:
    """How many inputs broke a rule of reading (each is printed to standard error)."""
    n_broken = 0
    for data in inputs(n_inputs, random.Random(seed)):
        try:
            account(data)
        except Exception as fault:
            n_broken += 1
            print(repr(data), repr(fault), file=sys.stderr)
    return n_broken


def inputs(n: int, rng: random.Random) -> Iterator[bytes]:
    """So many inputs."""
    seeds = _seeds()
    for _ in range(n):
        kind = rng.random()
        if kind < 0.8:
            yield _spoiled(rng.choice(seeds), rng)
        elif kind < 0.95:
            yield b"".join(rng.choices(FRAGMENT_BYTES, k=rng.randrange(40)))
        else:
            yield rng.randbytes(rng.randrange(300))


def _seeds() -> list[bytes]:
    """Sound and polluted files, cut to a few lines so that each run is short."""
    whole = [path.read_bytes() for path in sorted(_CORPUS.iterdir()) if path.suffix != ".json"]
    whole += [file.data for file in polluted_files()]
    short = []
    for data in whole:
        lines = data.splitlines(keepends=True)
        is_text = b"\x00" not in data[:400]
        short.append(b"".join(lines[:_KEPT_LINES]) if is_text else data)
    return [data for data in short if len(data) <= _LARGEST_SEED]


def _spoiled(data: bytes, rng: random.Random) -> bytes:
    for _ in range(rng.randrange(6)):
        at = rng.randrange(len(data) + 1)
        until = min(len(data), at + rng.randrange(14))
        change = rng.randrange(4)
        if change == 0:
            data = data[:at] + rng.choice(FRAGMENT_BYTES) + data[at:]
        elif change == 1:
            data = data[:at] + data[until:]
        elif change == 2:
            data = data[:until] + data[at:]
        else:
            data = data[:at] + bytes([rng.randrange(256)]) + data[at + 1 :]
    return data


if __name__ == "__main__":
    numbers = [int(text) for text in sys.argv[1:]]
    print(fuzz(*numbers) if numbers else fuzz(2_000))
