"""Bytes on their way in: counted and hashed, small ones in memory, the rest to a file."""

import asyncio
import hashlib
import os
import re
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path

TYPES = ("text/csv", "application/octet-stream")
UNSAFE = re.compile(r"[\x00-\x1f\x7f/\\]")
SMALL_BYTES = 64 * 1024
"""Up to so many bytes are kept with the job itself: one write, not three."""


@dataclass(frozen=True)
class Upload:
    """What was received: `body` when it is small, else the file at `path`."""

    path: Path
    body: bytes | None
    sha256: str
    size: int

    def drop(self) -> None:
        """Forget it."""
        if self.body is None:
            self.path.unlink(missing_ok=True)


async def receive(chunks: AsyncIterator[bytes], path: Path) -> Upload:
    """Take what comes, to `path` where it is not small; whatever goes wrong, no part of it stays.

    Never more than `SMALL_BYTES` and one chunk are held in memory.
    """
    digest, held = hashlib.sha256(), bytearray()
    async for chunk in chunks:
        digest.update(chunk)
        held += chunk
        if len(held) > SMALL_BYTES:
            size = len(held) + await _to_file(bytes(held), chunks, path, digest)
            return Upload(path, None, digest.hexdigest(), size)
    return Upload(path, bytes(held), digest.hexdigest(), len(held))


async def _to_file(
    begun: bytes, chunks: AsyncIterator[bytes], path: Path, digest: "hashlib._Hash"
) -> int:
    """Write `begun` and the rest of `chunks` to `path`; returns the length of the rest.

    It is on the disk before its job is: a power cut may lose a job, but leaves half a file to none.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    size = 0
    try:
        with path.open("wb") as opened:
            opened.write(begun)
            async for chunk in chunks:
                digest.update(chunk)
                size += len(chunk)
                opened.write(chunk)
            opened.flush()
            await asyncio.to_thread(os.fsync, opened.fileno())
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return size


def safe_name(name: str) -> str:
    """A file name without path and control characters, for people and layouts to read."""
    last = name.replace("\\", "/").rpartition("/")[2]
    return UNSAFE.sub("", last).lstrip(".")[:120] or "upload"
