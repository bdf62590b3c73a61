"""Waits for exports that another program drops in a folder, and says when one is complete."""

import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from watchfiles import Change, watch

from api.take_in import may_be_export

QUIET_S = 1.0


def complete_files(folder: Path, *, stop_after_s: float | None = None) -> Iterator[Path]:
    """Each export of `folder`: those there already, then each that appears or grows.

    What appears counts as complete once its size has stood still for a second, so one that a sync
    client is still writing is not taken half. What came while the first were taken in is found
    once the watch has begun.
    """
    there = _exports(folder)
    yield from there
    pending: dict[Path, tuple[int, float]] = {}
    began = time.monotonic()
    first = True
    for changes in watch(folder, rust_timeout=500, yield_on_timeout=True, raise_interrupt=False):
        if first:
            first = False
            late = (path for path, state in _exports(folder).items() if there.get(path) != state)
            pending |= dict.fromkeys(late, (-1, time.monotonic()))
        for change, name in changes:
            if change != Change.deleted and _is_export(Path(name)):
                pending[Path(name)] = (-1, time.monotonic())
        yield from _settled(pending)
        if stop_after_s is not None and time.monotonic() - began > stop_after_s:
            return


def _settled(pending: dict[Path, tuple[int, float]]) -> Iterator[Path]:
    now = time.monotonic()
    for path, (size, since) in list(pending.items()):
        try:
            current = path.stat().st_size
        except FileNotFoundError:
            del pending[path]
            continue
        if current != size:
            pending[path] = (current, now)
        elif now - since >= QUIET_S:
            del pending[path]
            yield path


def _exports(folder: Path) -> dict[Path, tuple[int, int]]:
    """The exports of a folder, sorted, with size and time of last change."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if _is_export(path):
            with suppress(FileNotFoundError):  # gone again
                state = path.stat()
                found[path] = (state.st_size, state.st_mtime_ns)
    return found


def _is_export(path: Path) -> bool:
    hidden = any(part.startswith(".") for part in path.parts[-2:])
    return may_be_export(path) and not hidden and path.is_file()
