"""Where things stand in a store: the on-disk contract, as pure path arithmetic.

STORE/v1/player=<id>/player.json
STORE/v1/player=<id>/import=<import_id>/import.json, <table>.parquet, set_aside.parquet, source.zst
STORE/v1/undone/player=<id>/import=<import_id>@<microseconds>/   the same, taken back at that time
STORE/v1/tmp/        folders being written; never read, swept when old
STORE/v1/derived/player=<id>/<name>.<nanoseconds>.parquet   can be computed again; the newest counts
STORE/v1/population/<nanoseconds>.parquet   what players have in common, as learnt at that moment
STORE/v1/tests/<name>@<version>.<whose>.json   a coach's own scored tests; written once each
STORE/uploads/<job>  bytes received by the service and not yet taken in
STORE/kept-rows/     rows as the service gives them out, made again when something changed
STORE/service.sqlite operational state of the service: keys, jobs, log of reads
"""

import hashlib
import re
from pathlib import Path

LEDGER = "import.json"
SOURCE = "source.zst"
PLAYER = "player.json"

PLAYER_ID = re.compile(r"[a-z][a-z0-9]{3,31}")
IMPORT_ID = re.compile(r"[0-9a-f]{32}")


def root(store: Path) -> Path:
    """The folder of this layout's version."""
    return store / "v1"


def player_dir(store: Path, player_id: str) -> Path:
    """Everything of one player. Raises ValueError for an id that is not one."""
    if not PLAYER_ID.fullmatch(player_id):
        raise ValueError(f"not a player id: {player_id!r}")
    return root(store) / f"player={player_id}"


def import_dir(store: Path, player_id: str, import_id: str) -> Path:
    """One import of one player. Raises ValueError for an id that is not one."""
    if not IMPORT_ID.fullmatch(import_id):
        raise ValueError(f"not an import id: {import_id!r}")
    return player_dir(store, player_id) / f"import={import_id}"


def undone_dir(store: Path, player_id: str) -> Path:
    """The imports of one player that were taken back, as `import=<id>@<microseconds>`."""
    return root(store) / "undone" / player_dir(store, player_id).name


def tmp_dir(store: Path) -> Path:
    """Where folders are written before their one rename."""
    return root(store) / "tmp"


def derived_dir(store: Path, player_id: str) -> Path:
    """Answers about one player that can be computed again."""
    return root(store) / "derived" / player_dir(store, player_id).name


def population_dir(store: Path) -> Path:
    """What the players of a store have in common, one file per moment it was learnt."""
    return root(store) / "population"


def coach_group(coach: str | None) -> str:
    """The name under which a coach's players are learnt from.

    It keeps groups apart and a coach's name out of a file that is looked at or passed on. It is no
    secret: a digest without salt, so whoever knows a name can tell its group.
    What protects the file is who may read the store, where the names stand in `player.json` anyway.
    """
    return hashlib.sha256((coach or "").encode()).hexdigest()[:16]


def own_tests_dir(store: Path) -> Path:
    """Rules of scored tests that coaches made."""
    return root(store) / "tests"


def rules_file(store: Path, key: str, coach: str) -> Path:
    """Rules of one version of a coach's test; an empty coach is the whole book's."""
    whose = hashlib.sha256(coach.encode()).hexdigest()[:12] if coach else "book"
    return own_tests_dir(store) / f"{key}.{whose}.json"


def service_file(store: Path) -> Path:
    """The service's operational state (keys, jobs, share links, log of reads)."""
    return store / "service.sqlite"


def uploads_dir(store: Path) -> Path:
    """What the service received and has not taken in yet, one file per job."""
    return store / "uploads"


def kept_rows_dir(store: Path, player_id: str) -> Path:
    """A player's corrected rows as the service gives them out; disposable."""
    return store / "kept-rows" / player_dir(store, player_id).name
