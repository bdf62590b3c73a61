"""The ledger entry of an import: what came in, how it was read, and what became of every row."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Ledger:
    """One import. Times are ISO 8601 in UTC; `options` are those given, as text."""

    import_id: str
    player_id: str
    kind: str
    source_name: str
    source_sha256: str
    source_bytes: int
    layout: str
    imported_at_utc: str
    imported_by: str
    rows_in: int
    rows_kept: int
    rows_set_aside: int
    rows_repeated: int
    questions_open: int
    tables: list[str]
    options: dict[str, str] = field(default_factory=dict)
    supersedes: str | None = None
    details: dict[str, Any] = field(default_factory=dict)  # parsed JSON of open shape

    def to_json(self) -> str:
        """The entry as the text of `import.json`."""
        entries = ((name, getattr(self, name)) for name in self.__dataclass_fields__)
        lines = [f" {_json(name)}: {_json(value)}" for name, value in entries]
        return "{\n" + ",\n".join(lines) + "\n}\n"

    @classmethod
    def from_json(cls, text: str) -> "Ledger":
        """The entry from the text of `import.json`; fields of later versions are passed over."""
        parsed = json.loads(text)
        known = {name: parsed[name] for name in cls.__dataclass_fields__ if name in parsed}
        return cls(**known)


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, default=str)


def import_identity(
    source_sha256: str, player_id: str, layout: str, options: Mapping[str, str]
) -> str:
    """Identity of an import as 32 hex digits; the first 16 are those of the bytes' SHA-256.

    The rest comes from the player, the layout and the options, so a folder's name alone tells
    whether the store already has these bytes.
    """
    text = json.dumps([source_sha256, player_id, layout, sorted(options.items())])
    return source_sha256[:16] + hashlib.sha256(text.encode()).hexdigest()[:16]
