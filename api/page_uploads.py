"""Files that were shown to the reader and not taken in yet: looked at, kept aside, swept when old.

One folder per look beside the uploads of jobs; its name is random and known to its sender only.
"""

import json
import re
import secrets
import shutil
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from starlette.datastructures import UploadFile

from api.errors import Problem, not_found
from api.uploads import safe_name
from schemas.store_paths import uploads_dir

LOOK = re.compile(r"look-[0-9a-f]{32}")
MOST_FILES = 40
KEEP_S = 24 * 3600
CHUNK = 1 << 20


@dataclass(frozen=True)
class LookedAt:
    """One file of a look: its number, its name as sent, and where its bytes are."""

    number: int
    name: str
    path: Path


async def keep(store: Path, files: Sequence[UploadFile]) -> str:
    """Put the files aside; returns the name of the look. Raises Problem 422 without a file."""
    sent = [file for file in files if file.filename]
    if not sent or len(sent) > MOST_FILES:
        raise Problem(
            422, "no_file", f"{len(sent)} files were sent.", f"Choose 1 to {MOST_FILES} files."
        )
    sweep(store)
    look = f"look-{secrets.token_hex(16)}"
    folder = uploads_dir(store) / look
    folder.mkdir(parents=True)
    for number, file in enumerate(sent):
        with (folder / str(number)).open("wb") as opened:
            while chunk := await file.read(CHUNK):
                opened.write(chunk)
    names = [safe_name(file.filename or "") for file in sent]
    (folder / "names.json").write_text(json.dumps(names), "utf-8")
    return look


def looked_at(store: Path, look: str) -> list[LookedAt]:
    """The files of a look. Raises Problem 404 once they are gone."""
    folder = uploads_dir(store) / look
    if not LOOK.fullmatch(look) or not (folder / "names.json").is_file():
        raise not_found("such look", "Choose the files again on the page Imports.")
    names = json.loads((folder / "names.json").read_text("utf-8"))
    return [LookedAt(number, name, folder / str(number)) for number, name in enumerate(names)]


def forget(store: Path, look: str) -> None:
    """Drop a look and its files."""
    if LOOK.fullmatch(look):
        shutil.rmtree(uploads_dir(store) / look, ignore_errors=True)


def sweep(store: Path) -> None:
    """Drop looks that nobody came back to within a day."""
    for folder in uploads_dir(store).glob("look-*"):
        if time.time() - folder.stat().st_mtime > KEEP_S:
            forget(store, folder.name)
