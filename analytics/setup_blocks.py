"""Set-up notes: blocks of balls under the same tags, block against block of one day.

Rules
-----
1. A note holds from its ball to the next note of that day; balls before the first note are a
   block without tags.
2. Blocks are compared within a day only, as an observation: which block came first, how warm the
   player was and what else changed are all in the difference. It is never `clear`.
3. A tag is a short word or two under a topic; the topics are a list of our own to start from.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.clustered import Estimate, with_t_interval
from analytics.errors import BadQuestion

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TOPICS = ("stance", "ball position", "handle", "lean", "grip length")
"""Common practice, no source; a coach may use other topics."""

LONGEST = 40


@dataclass(frozen=True)
class BlockMeasure:
    """One measure in a block: its mean, and its difference from the block before."""

    name: str
    mean: Estimate
    against_before: Estimate | None


@dataclass(frozen=True)
class SetupBlock:
    """Balls `first` to `last` of a day under the same tags."""

    session: int
    first: int
    last: int
    tags: tuple[str, ...]
    n_shots: int
    measures: tuple[BlockMeasure, ...]


def read_tag(text: str) -> str:
    """A tag as `topic: words`, tidied. Raises BadQuestion when it is not that, or too long."""
    topic, colon, words = (part.strip() for part in text.partition(":"))
    if not colon or not topic or not words or len(text) > LONGEST or ";" in text:
        raise BadQuestion(
            f"{text!r} is no set-up tag.",
            f"Write `topic: words` in at most {LONGEST} characters, as in `ball position: back`.",
        )
    return f"{topic.lower()}: {words}"


def join_tags(tags: tuple[str, ...]) -> str:
    """Tags as one text for the store."""
    return "; ".join(read_tag(tag) for tag in tags)


def split_tags(text: str) -> tuple[str, ...]:
    """The tags of a stored text."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


@dataclass(frozen=True)
class NotedShots:
    """Balls in order of day and ball, shape (n,); `tags` is the note given at a ball, or None.

    `measures` by name: NaN where unknown or not to be counted.
    """

    session: Ints
    ball: Ints
    tags: tuple[str | None, ...]
    measures: dict[str, Floats]


def setup_blocks(shots: NotedShots) -> list[SetupBlock]:
    """The blocks of every day that has a note, in order."""
    blocks: list[SetupBlock] = []
    for session in np.unique(shots.session).tolist():
        rows = np.flatnonzero(shots.session == session)
        if all(shots.tags[row] is None for row in rows):
            continue
        before: NDArray[np.int64] | None = None
        for part, tags in _parts(rows, shots.tags):
            blocks.append(_block(shots, part, tags, before))
            before = part
    return blocks


def _parts(
    rows: Ints, tags: tuple[str | None, ...]
) -> list[tuple[NDArray[np.int64], tuple[str, ...]]]:
    starts = [0, *(i for i, row in enumerate(rows) if i > 0 and tags[row] is not None)]
    ends = [*starts[1:], rows.size]
    return [
        (rows[start:end], split_tags(tags[rows[start]] or ""))
        for start, end in zip(starts, ends, strict=True)
    ]


def _block(shots: NotedShots, rows: Ints, tags: tuple[str, ...], before: Ints | None) -> SetupBlock:
    return SetupBlock(
        session=int(shots.session[rows[0]]),
        first=int(shots.ball[rows[0]]),
        last=int(shots.ball[rows[-1]]),
        tags=tags,
        n_shots=int(rows.size),
        measures=tuple(
            BlockMeasure(
                name,
                _mean(values[rows]),
                None if before is None else _difference(values[rows], values[before]),
            )
            for name, values in shots.measures.items()
        ),
    )


def _mean(values: Floats) -> Estimate:
    known = values[np.isfinite(values)]
    n = known.size
    if n < 2:
        nan = float("nan")
        return with_t_interval(float(known[0]) if n else nan, nan, 0, (n, 1))
    se = float(np.std(known, ddof=1) / np.sqrt(n))
    return with_t_interval(float(np.mean(known)), se, n - 1, (n, 1))


def _difference(after: Floats, before: Floats) -> Estimate | None:
    """This block less the one before; unequal variances (Welch 1947, Biometrika 34, 28)."""
    a, b = (values[np.isfinite(values)] for values in (after, before))
    if min(a.size, b.size) < 3:
        return None
    va, vb = np.var(a, ddof=1) / a.size, np.var(b, ddof=1) / b.size
    total = float(va + vb)
    if total == 0:
        return None
    df = total**2 / float(va**2 / (a.size - 1) + vb**2 / (b.size - 1))
    value = float(np.mean(a) - np.mean(b))
    return with_t_interval(value, float(np.sqrt(total)), df, (a.size + b.size, 1))
