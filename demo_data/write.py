"""Write the demo's files: exports, sheets, players, the order of imports, and the truth."""

import json
from pathlib import Path

from demo_data.book import Book, make_book
from demo_data.cast import SEED
from demo_data.sheet_files import players_file
from demo_data.truth import truth


def write_demo(folder: Path, seed: int = SEED) -> Book:
    """Write the whole demo into `folder` (made if missing) and give back the book.

    `players.toml` names the players, `imports.toml` lists every file with its player and kind in
    the order a coach would bring them in, `truth.json` says what is true.
    """
    book = make_book(seed)
    for file in book.files:
        path = folder / file.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(file.text.encode("utf-8"))
    folder.joinpath("players.toml").write_text(players_file(), "utf-8")
    folder.joinpath("imports.toml").write_text(imports_file(book), "utf-8")
    text = json.dumps(truth(book), indent=1, ensure_ascii=False)
    folder.joinpath("truth.json").write_text(text + "\n", "utf-8")
    return book


def imports_file(book: Book) -> str:
    """The order of imports as TOML, one `[[import]]` per file."""
    return "\n".join(
        f'[[import]]\npath = "{file.path}"\nplayer_id = "{file.player.player_id}"\n'
        f'kind = "{file.kind}"\n'
        for file in book.files
    )
