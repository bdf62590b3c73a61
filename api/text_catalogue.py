"""Every word the pages say, by language: one TOML file per language in `api/texts/pages/`; the
sentences of feedback stand in `api/texts/` beside it (`api/wording.py`).

A text is asked for by section and name (`today.title`) and may hold `{named}` places. English is
complete; another language may lack a text, then the English one is said.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

ENGLISH = "en"


class UnknownText(LookupError):
    """A text that no language has: a mistake in a page, never the reader's."""


@dataclass(frozen=True)
class Texts:
    """The texts of one language, English behind them."""

    language: str
    name: str
    said: dict[str, str]

    def say(self, key: str, **places: object) -> str:
        """The text named `section.name` with its places filled. Raises UnknownText."""
        try:
            return self.said[key].format(**places)
        except KeyError:
            raise UnknownText(f"{key} with {sorted(places)}") from None

    def has(self, key: str) -> bool:
        """Whether there is such a text."""
        return key in self.said


@cache
def languages() -> dict[str, str]:
    """Code and own name of every language there is, English first."""
    folder = resources.files("api").joinpath("texts", "pages")
    codes = sorted(entry.name[:-5] for entry in folder.iterdir() if entry.name.endswith(".toml"))
    codes.sort(key=lambda code: code != ENGLISH)
    return {code: _read(code)["language.name"] for code in codes}


@cache
def texts(language: str) -> Texts:
    """The texts of a language; English when it is not there."""
    english = _read(ENGLISH)
    code = language if language in languages() else ENGLISH
    own = _read(code)
    return Texts(code, own["language.name"], {**english, **own})


@cache
def _read(code: str) -> dict[str, str]:
    content = resources.files("api").joinpath("texts", "pages", f"{code}.toml").read_text("utf-8")
    return {
        f"{section}.{name}": words
        for section, entries in tomllib.loads(content).items()
        for name, words in entries.items()
    }
