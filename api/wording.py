"""Findings and answers as short plain sentences, in the reader's language and units.

Every sentence comes from a catalogue in `api/texts/`; code only fills in numbers.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from analytics.answer import Answer
from analytics.discovery import Finding
from analytics.errors import BadQuestion
from api.phrases import say_phrase
from api.reader_units import ReaderUnits
from api.text_catalogue import texts as texts_of

Texts = dict[str, object]


@dataclass(frozen=True)
class Wording:
    """Says things in one language and set of units."""

    language: str
    units: ReaderUnits

    def text(self, key: str, **values: object) -> str:
        """The sentence at a dotted key, filled in. Raises KeyError for an unknown key."""
        return template(self.language, key).format(**values)

    def phrase(self, text: str) -> str:
        """A sentence made by a computation, in this language."""
        mark = template(self.language, "language.decimal")
        return say_phrase(texts_of(self.language), text, mark)

    def number(self, value: float, decimals: int = 1) -> str:
        """A plain number with the language's decimal mark."""
        text = f"{value:.{decimals}f}"
        if float(text) == 0:
            text = text.removeprefix("-")
        mark = template(self.language, "language.decimal")
        return text.replace(".", mark).replace("-", "−")

    def length(self, metres: float | None) -> str:
        """A length in the reader's unit, `–` when unknown."""
        if metres is None:
            return "–"
        decimals = 2 if self.units.length == "m" else 1
        return f"{self.number(self.units.of_metres(metres), decimals)} {self.units.length}"

    def speed(self, mps: float | None) -> str:
        """A speed in the reader's unit, `–` when unknown."""
        return "–" if mps is None else f"{self.number(self.units.of_mps(mps))} {self.units.speed}"

    def share(self, share: float | None) -> str:
        """A share as whole percent, `–` when unknown."""
        return "–" if share is None else f"{self.number(100 * share, 0)} %"

    def degrees(self, degrees: float | None) -> str:
        """An angle to a tenth of a degree, `–` when unknown."""
        return "–" if degrees is None else f"{self.number(degrees)}°"

    def state(self, answer: Answer) -> str:
        """`clear`, `leaning`, `too early: 8 of 15 shots`."""
        return self.text(f"state.{answer.state}", need=self.phrase(answer.need))

    def finding(self, finding: Finding, hand: str = "right") -> str:
        """A finding as a sentence; `hand` gives the side of a push or pull."""
        key = f"finding.{finding.key}"
        name = self.text(f"{key}.name")
        answer = finding.answer
        if finding.verdict == "too_early":
            return self.text("finding.too_early", name=name, need=self.phrase(answer.need))
        if answer.value is None or answer.low is None or answer.high is None:
            return self.text("finding.too_early", name=name, need=self.phrase(answer.need))
        low, high = (self._amount(finding, value) for value in (answer.low, answer.high))
        if finding.verdict == "open":
            return self.text(f"finding.open_{finding.kind}", name=name, low=low, high=high)
        if finding.verdict == "no_effect":
            most = self._amount(finding, finding.matters)
            return self.text(f"finding.none_{finding.kind}", name=name, matters=most)
        said = self._said(finding, answer.value, (answer.low, answer.high), hand)
        return said if finding.verdict == "effect" else self.text("finding.hint", sentence=said)

    def _said(
        self, finding: Finding, value: float, interval: tuple[float, float], hand: str
    ) -> str:
        """The sentence for its direction; a fall is said without signs, its interval too."""
        low, high = interval
        if value < 0 and finding.kind != "link":
            low, high = -high, -low
        return self.text(
            f"finding.{finding.key}.{'up' if value > 0 else 'down'}",
            value=self._amount(finding, abs(value)),
            low=self._amount(finding, low),
            high=self._amount(finding, high),
            side=self._side(value, hand),
        )

    def grounds(self, finding: Finding) -> str:
        """What a finding rests on: shots, days, interval."""
        a = finding.answer
        low, high = (
            "–" if value is None else self._amount(finding, value) for value in (a.low, a.high)
        )
        return self.text(
            "finding.grounds",
            n_shots=a.n_shots,
            n_sessions=a.n_sessions,
            level=self.share(a.level),
            low=low,
            high=high,
        )

    def amount(self, finding: Finding, value: float) -> str:
        """A value of this finding in its unit."""
        return self._amount(finding, value)

    def _amount(self, finding: Finding, value: float) -> str:
        if finding.answer.unit == "m":
            return self.length(value)
        if finding.answer.unit == "deg":
            return self.degrees(value)
        how = _optional(self.language, f"finding.{finding.key}.format")
        if how in {"percent", "points"}:
            return f"{self.number(100 * value)} %"
        return self.number(value, 2)

    def _side(self, push: float, hand: str) -> str:
        right = (push > 0) == (hand == "right")
        return self.text("side.right" if right else "side.left")


def template(language: str, key: str) -> str:
    """The text at a dotted key of a language. Raises KeyError when there is none."""
    found = _optional(language, key)
    if found is None:
        raise KeyError(key)
    return found


def _optional(language: str, key: str) -> str | None:
    part: object = texts(language)
    for name in key.split("."):
        if not isinstance(part, dict) or name not in part:
            return None
        part = part[name]
    return part if isinstance(part, str) else None


def languages() -> list[str]:
    """Languages there is a catalogue for, as two-letter codes."""
    folder = resources.files("api") / "texts"
    return sorted(
        entry.name.removesuffix(".toml")
        for entry in folder.iterdir()
        if entry.name.endswith(".toml")
    )


@cache
def texts(language: str) -> Texts:
    """The catalogue of a language. Raises BadQuestion for an unknown one."""
    if language not in languages():
        raise BadQuestion(
            f"There is no catalogue for {language!r}.",
            "Choose one of: " + ", ".join(languages()) + ".",
        )
    text = (resources.files("api") / "texts" / f"{language}.toml").read_text("utf-8")
    return tomllib.loads(text)
