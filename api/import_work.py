"""One import, as a worker process does it: take the bytes in, tell what came of it."""

import hashlib
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

from api.after_change import after_change
from ingest.answering import answered
from ingest.errors import BadOption, IngestError, UnknownPlayer
from ingest.hand_entry import LAYOUT
from ingest.import_file import Imported, import_all_sheets, import_file
from ingest.ledger_entry import options_from_text
from ingest.options import Options
from ingest.players import load_player
from ingest.prepare import Prepared
from ingest.store import erase, find_import, read_ledger, read_source, sweep
from schemas.store_paths import import_dir

Json = dict[str, Any]  # a JSON document

POLITENESS = 10


def be_polite() -> None:
    """Let those who read answers go first."""
    os.nice(POLITENESS)


def take_in_upload(store: Path, player_id: str, upload: Path | bytes, asked: Json) -> Json:
    """Take one upload in; returns the outcome, `problem` in it when the file was refused.

    asked: `name`, `options`, and the `sha256` of the bytes as they were sent: what a power cut left
        of them is not taken in.
    """
    name = asked["name"]
    if asked.get("sha256", "") not in ("", _sha256(upload)):
        reason = "The bytes that were kept are not the ones that were sent; nothing was taken in."
        damaged = {"code": "upload_damaged", "reason": reason, "mend": "Send the file again."}
        return {"problem": damaged | {"file": name}}
    return _taken(store, player_id, upload, name, options_of(asked["options"]), all_sheets=True)


def _sha256(upload: Path | bytes) -> str:
    """SHA-256 of an upload; of nothing when its file has gone."""
    if isinstance(upload, bytes):
        return hashlib.sha256(upload).hexdigest()
    if not upload.is_file():
        return ""
    with upload.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def answer_questions(store: Path, import_id: str, answers: dict[str, str]) -> Json:
    """Complete an import's rows by answers, as an import that replaces the earlier one.

    The kept texts do for nearly all answers; for the others the kept bytes are read once more.
    """
    try:
        player_id, whole = find_import(store, import_id)
    except IngestError as error:
        return _problem(error)
    folder = import_dir(store, player_id, whole)
    ledger = read_ledger(folder)
    if ledger.layout == LAYOUT:
        return _problem(
            BadOption("Rows entered by hand leave no question open.", "Correct them by an edit.")
        )
    given = options_from_text(ledger.options)
    options = replace(given, answers=dict(given.answers) | answers)
    try:
        ready = answered(store, folder, ledger, options.answers)
    except IngestError as error:
        return _problem(error)
    source = read_source(folder) if ready is None else b""
    return _taken(store, player_id, source, ledger.source_name, options, ready=ready)


def _taken(
    store: Path,
    player_id: str,
    source: Path | bytes,
    name: str,
    options: Options,
    *,
    ready: Prepared | None = None,
    all_sheets: bool = False,
) -> Json:
    try:
        sweep(store)
        player = load_player(store, player_id)

        def take(said: Options) -> Imported:
            return import_file(store, source, player, name=name, options=said, ready=ready)

        found = import_all_sheets(take, options) if all_sheets else [take(options)]
        taken = found[0]
        if any(one.new for one in found):
            _must_still_be_there(store, player_id)
            after_change(store, player_id)
    except IngestError as error:
        return _problem(error)
    finally:
        if ready is not None:
            ready.discard()
    return {"import_id": taken.ledger.import_id, "new": taken.new}


def _must_still_be_there(store: Path, player_id: str) -> None:
    """Remove what was taken in while its player was erased. Raises UnknownPlayer."""
    try:
        load_player(store, player_id)
    except UnknownPlayer:
        erase(store, player_id)
        raise


def _problem(error: IngestError) -> Json:
    names = ("code", "reason", "mend", "file", "row", "column", "value")
    return {"problem": {name: getattr(error, name) for name in names}}


def options_of(given: Json) -> Options:
    """Options from the JSON of a request; what is null was not said."""
    return Options(**{name: value for name, value in given.items() if value is not None})
