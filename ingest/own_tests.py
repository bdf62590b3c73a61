"""Rules of a coach's own scored tests: written once each, never changed.

Scores keep the name and version of the rules they were scored by, so a version that is in the store
stays as it is; whoever wants other rules makes the next version.
"""

import json
import os
import uuid
from pathlib import Path

from ingest.errors import RulesTaken
from ingest.store_writing import StoreWriting
from schemas.store_paths import rules_file

Document = dict[str, object]


def keep_rules(store: Path, key: str, coach: str, document: Document) -> bool:
    """Keep rules under name@version, all or nothing; False when these very rules are there.

    Args: coach: whose test it is; empty for the whole book's.
    Raises:
        RulesTaken: other rules are there under this name and version.
        StoreNotWritable: nothing was written.
    """
    path = rules_file(store, key, coach)
    text = json.dumps(document | {"coach": coach}, indent=1, ensure_ascii=False) + "\n"
    with StoreWriting(store):
        path.parent.mkdir(parents=True, exist_ok=True)
        staged = path.parent / f".{path.name}.{uuid.uuid4().hex[:8]}"
        staged.write_text(text, "utf-8")
        try:
            os.link(staged, path)  # unlike a rename, it never takes the place of what is there
        except FileExistsError:
            if path.read_text("utf-8") == text:
                return False
            raise RulesTaken(
                f"There is a test {key} with other rules.", "make a new version of it."
            ) from None
        finally:
            staged.unlink()
    return True
