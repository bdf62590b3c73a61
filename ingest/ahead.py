"""An iterator worked ahead of whoever takes from it, in a thread of its own.

polars, numpy and pyarrow let other threads run while they compute, so the steps of one trip
(cutting, converting, writing) can overlap. Order and errors are those of the plain iterator.
"""

from collections import deque
from collections.abc import Generator, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from itertools import islice
from typing import TypeVar

Item = TypeVar("Item")


def ahead(items: Iterable[Item], waiting: int = 2) -> Generator[Item]:
    """The same items in the same order, with up to `waiting` of them ready before they are taken.

    Close it (or take it to its end) before closing what `items` read from: then nothing runs any
    more. An error of `items` is raised where its item would have come.
    """
    iterator = iter(items)
    with ThreadPoolExecutor(1) as worker:
        coming: deque[Future[list[Item]]] = deque()
        try:
            for _ in range(waiting):
                coming.append(worker.submit(list, islice(iterator, 1)))
            while found := coming.popleft().result():
                coming.append(worker.submit(list, islice(iterator, 1)))
                yield found[0]
        finally:
            for future in coming:
                future.cancel()
