"""Corrections as new entries with who, when and why; the views apply them, undo takes them back."""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from ingest.hand_entry import enter
from ingest.provenance import utc_now
from ingest.store import Committed


@dataclass(frozen=True)
class Correction:
    """One correction of one row; `action` and `target` as in the schema of edits."""

    action: str
    target_id: str
    target: str = "shots"
    value: str | None = None


def correct(
    store: Path,
    player_id: str,
    corrections: Sequence[Correction],
    *,
    by: str,
    reason: str | None = None,
    now: datetime | None = None,
) -> Committed:
    """Record corrections as one entry that can be undone like any import."""
    moment = now or utc_now()
    rows = [
        {
            "edit_id": secrets.token_hex(8),
            "edited_at_utc": moment,
            "edited_by": by,
            "reason": reason,
            "action": correction.action,
            "target": correction.target,
            "target_id": correction.target_id,
            "value": correction.value,
        }
        for correction in corrections
    ]
    said = ", ".join(sorted({correction.action for correction in corrections}))
    return enter(store, player_id, "edits", rows, source_name=f"correction: {said}", now=moment)
