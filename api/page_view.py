"""How one reader reads: language, units and zone, and every number as words in them.

Inside the product everything is SI and UTC; this is where it becomes the reader's.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, tzinfo
from functools import cache, cached_property
from math import isnan
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from babel.core import Locale
from babel.dates import format_date, format_time
from babel.numbers import format_decimal, get_decimal_symbol

from analytics.answer import Answer
from analytics.scored_test import Station
from api.phrases import original_phrase, say_phrase
from api.reader_units import METRES, METRES_PER_SECOND, ReaderUnits
from api.reasons import reason_in
from api.text_catalogue import ENGLISH, Texts, languages, texts

LENGTHS = tuple(sorted(METRES, key=lambda unit: METRES[unit]))
SPEEDS = tuple(METRES_PER_SECOND)
DECIMALS = {"m": 1, "m/s": 2, "1": 2, "deg": 1, "s": 2, "{rev}/min": 0, "strokes": 1}
COOKIE = "carrybook_view"


@dataclass(frozen=True)
class View:
    """The reader's choices; `zone` empty means the player's own."""

    language: str = ENGLISH
    length: str = "ft"
    speed: str = "mph"
    zone: str = ""
    player: str = ""

    @cached_property
    def texts(self) -> Texts:
        """The reader's texts."""
        return texts(self.language)

    @cached_property
    def units(self) -> ReaderUnits:
        """The reader's units of length and speed."""
        return ReaderUnits(self.length, self.speed)

    @cached_property
    def locale(self) -> Locale:
        """The reader's number and date habits."""
        return _locale(self.language)

    @property
    def key(self) -> str:
        """What tells two readers' pages apart."""
        return ".".join((self.language, self.length, self.speed, self.zone))

    def cookie(self) -> str:
        """The choices as a cookie's value."""
        return "|".join((self.language, self.length, self.speed, self.zone, self.player))

    def to_length(self, metres: float) -> float:
        """Metres in the reader's unit."""
        return self.units.of_metres(metres)

    def from_length(self, value: float) -> float:
        """The reader's length in metres."""
        return self.units.to_metres(value)

    def to_speed(self, mps: float) -> float:
        """Metres a second in the reader's unit."""
        return self.units.of_mps(mps)

    def to_reader(self, value: float, unit: str) -> float:
        """A value with its SI unit code as the reader reads it; a share becomes percent."""
        if unit == "m":
            return self.to_length(value)
        if unit == "m/s":
            return self.to_speed(value)
        return value * 100 if unit == "share" else value

    def unit_word(self, unit: str) -> str:
        """The reader's word for an SI unit code."""
        words = {"m": self.length, "m/s": self.speed, "deg": "°", "s": "s", "share": "%", "1": ""}
        if unit == "strokes":
            return self.texts.say("unit.strokes")
        return words.get(unit, unit)

    def number(self, value: float, decimals: int = 1) -> str:
        """A number with the reader's decimal sign and a real minus."""
        form = "0" if decimals == 0 else "0." + "0" * decimals
        text = str(format_decimal(value, format=form, locale=self.locale))
        shown = text.replace("-", "−")
        return shown.removeprefix("−") if not any(c in "123456789" for c in shown) else shown

    def typed(self, value: float | None) -> str:
        """A number as the reader would type it into a field; empty where there is none."""
        return "" if value is None else f"{value:.6g}".replace(".", self.decimal)

    def quantity(self, value: float | None, unit: str, decimals: int | None = None) -> str:
        """A value of an SI unit as number and unit; a dash when there is none."""
        if value is None or isnan(value):
            return "–"
        places = self._decimals(unit) if decimals is None else decimals
        word = self.unit_word(unit)
        between = "" if word in {"", "°"} else "\u00a0"
        return f"{self.number(self.to_reader(value, unit), places)}{between}{word}"

    def _decimals(self, unit: str) -> int:
        return 1 if unit == "m/s" and self.speed != "m/s" else DECIMALS.get(unit, 0)

    def interval(self, low: float | None, high: float | None, unit: str) -> str:
        """`low to high unit`, or nothing."""
        if low is None or high is None:
            return ""
        places = self._decimals(unit)
        first = self.number(self.to_reader(low, unit), places)
        return self.texts.say("answer.interval", low=first, high=self.quantity(high, unit))

    def phrase(self, text: str) -> str:
        """A sentence made by a computation, or given as homework, in the reader's language."""
        return say_phrase(self.texts, text, self.decimal)

    def original(self, text: str) -> str:
        """What the book keeps of words entered in the reader's language."""
        return original_phrase(self.texts, text)

    @property
    def decimal(self) -> str:
        """The reader's decimal sign."""
        return str(get_decimal_symbol(self.locale))

    def station(self, station: Station) -> str:
        """A station of a scored test: lie, distance in the reader's unit, club."""
        far = "" if station.distance_m is None else self.quantity(station.distance_m, "m", 0)
        return ", ".join(filter(None, (self.phrase(station.lie), far, station.club)))

    def reason(self, text: str) -> str:
        """A reason or a mend as a sentence in the reader's language."""
        return reason_in(self.language, text)

    def day(self, day: date) -> str:
        """A date in words."""
        return str(format_date(day, "medium", locale=self.locale))

    def short_day(self, day: date) -> str:
        """A date as day and month, for axes."""
        return str(format_date(day, "d MMM", locale=self.locale))

    def moment(self, instant: datetime, zone: str) -> str:
        """An instant in the reader's zone, else in the given one."""
        local = instant.astimezone(zone_of(self.zone or zone))
        clock = str(format_time(local, "short", locale=self.locale))
        return f"{self.day(local.date())}, {clock}"

    def share(self, answer: Answer) -> "Said":
        """An answer that is a share or a chance, said in percent."""
        return said(self, replace(answer, unit="share"))

    def answer(self, answer: Answer) -> "Said":
        """An answer ready to be shown."""
        return said(self, answer)


@dataclass(frozen=True)
class Said:
    """An answer in the reader's words."""

    value: str
    interval: str
    state: str
    state_word: str
    counts: str
    need: str


def said(view: View, answer: Answer) -> Said:
    """The words of an answer: never a bare number."""
    say = view.texts.say
    form = "counts_one" if answer.n_sessions == 1 else "counts"
    form = form if answer.n_shots else "counts_days"
    counts = say(f"answer.{form}", shots=answer.n_shots, sessions=answer.n_sessions)
    return Said(
        value=view.quantity(answer.value, answer.unit),
        interval=view.interval(answer.low, answer.high, answer.unit),
        state=answer.state,
        state_word=say(f"state.{answer.state}"),
        counts=counts,
        need=say("answer.need", need=view.phrase(answer.need)) if answer.need else "",
    )


def view_of(cookies: Mapping[str, str], accept_language: str) -> View:
    """The reader's view from the cookie, else from what the browser says."""
    parts = cookies.get(COOKIE, "").split("|")
    if len(parts) != 5:
        return View(language=best_language(accept_language))
    return checked(View(*parts))


def checked(view: View) -> View:
    """The view with every choice that does not exist set back to the default."""
    usual = View()
    return replace(
        view,
        language=view.language if view.language in languages() else usual.language,
        length=view.length if view.length in LENGTHS else usual.length,
        speed=view.speed if view.speed in SPEEDS else usual.speed,
        zone=view.zone if zone_of(view.zone) is not UTC or view.zone == "UTC" else "",
    )


def best_language(accept_language: str) -> str:
    """The first language of the header that there is."""
    for part in accept_language.split(","):
        code = part.split(";")[0].strip().lower()[:2]
        if code in languages():
            return code
    return ENGLISH


@cache
def zone_of(name: str) -> tzinfo:
    """A zone by name; UTC when there is none of this name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return UTC


@cache
def _locale(language: str) -> Locale:
    return Locale.parse("en_GB" if language == ENGLISH else language)
