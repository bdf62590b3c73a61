"""Bytes on their way in: to a file, counted and hashed, never held whole in memory."""

import hashlib
import re
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path

TYPES = ("text/csv", "application/octet-stream")
UNSAFE = re.compile(r"[\x00-\x1f\x7f/\\]")


@dataclass(frozen=True)
class Upload:
    """What was received."""

    path: Path
    sha256: str
    size: int


async def receive(chunks: AsyncIterator[bytes], path: Path) -> Upload:
    """Write what comes to `path`; whatever goes wrong, no part of it stays."""
    path.parent.mkdir(parents=True, exist_ok=True)
    digest, size = hashlib.sha256(), 0
    try:
        with path.open("wb") as opened:
            async for chunk in chunks:
                digest.update(chunk)
                size += len(chunk)
                opened.write(chunk)
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return Upload(path, digest.hexdigest(), size)


def safe_name(name: str) -> str:
    """A file name without path and control characters, for people and layouts to read."""
    last = name.replace("\\", "/").rpartition("/")[2]
    return UNSAFE.sub("", last).lstrip(".")[:120] or "upload"
