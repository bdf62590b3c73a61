"""Sentences: every finding has its words, signs and units are right, no cause is claimed."""

import re

import pytest

from analytics.answer import HABIT
from analytics.clustered import with_t_interval
from analytics.discovery import Looked, judge
from analytics.errors import BadQuestion
from analytics.findings import TILES
from analytics.focus import NOTHING_STANDS_OUT, TRAINED
from api.reader_units import ReaderUnits
from api.wording import Wording, languages, template, texts

FEET = Wording("en", ReaderUnits("ft", "mph"))
METRES = Wording("en", ReaderUnits())


def finding(key: str, value: float, se: float = 0.01, sessions: int = 8, matters: float = 0.1):
    tile = next(tile for tile in TILES if tile.key == key)
    estimate = with_t_interval(value, se, sessions - 1, (36 * sessions, sessions))
    return judge([Looked(key, tile.kind, estimate, tile.unit, HABIT, matters)])[0]


def all_texts(part: dict[str, object]) -> list[str]:
    found = []
    for value in part.values():
        found += all_texts(value) if isinstance(value, dict) else [str(value)]
    return found


@pytest.mark.parametrize("tile", TILES, ids=lambda tile: tile.key)
def test_every_finding_has_its_words_in_every_language(tile):
    for language in languages():
        for part in ("name", "up", "down"):
            assert template(language, f"finding.{tile.key}.{part}")


def test_every_focus_has_its_words():
    for key in (*TRAINED, NOTHING_STANDS_OUT):
        assert template("en", f"focus.{key}")


def test_no_sentence_claims_a_cause_or_names_a_body_part_as_at_fault():
    words = re.compile(r"\b(because|caused?|causes|due to|leads? to|injur|weak|tight)\b", re.I)
    assert [text for text in all_texts(texts("en")) if words.search(text)] == []


def test_a_fall_is_said_without_signs_and_in_the_readers_unit():
    said = FEET.finding(finding("bracket_width", -1.8288, se=0.0645))
    assert said == (
        "The bracket got narrower by 6.0 ft from the first to the last session (5.5 ft to 6.5 ft)."
    )


def test_metres_get_a_second_decimal():
    assert "1.83 m" in METRES.finding(finding("bracket_width", -1.8288))


@pytest.mark.parametrize(
    ("hand", "push", "word", "side"),
    [
        ("right", 2.0, "push", "right"),
        ("right", -2.0, "pull", "left"),
        ("left", 2.0, "push", "left"),
        ("left", -2.0, "pull", "right"),
    ],
)
def test_push_and_pull_go_with_the_hand(hand, push, word, side):
    said = METRES.finding(finding("start_side", push), hand)
    assert f"as a {word} of 2.0°" in said
    assert f"{side} of the target" in said


def test_no_change_is_said_plainly_and_an_open_one_with_what_is_possible():
    assert METRES.finding(finding("landing_spread", 0.001)) == (
        "Spread of the landings: no change. More than 0.10 m either way is ruled out."
    )
    assert METRES.finding(finding("landing_spread", 0.05, se=0.1)) == (
        "Spread of the landings: no change seen. From −0.19 m to 0.29 m is still possible."
    )


def test_too_early_says_what_is_missing():
    assert METRES.finding(finding("tempo_drift", -0.3, sessions=4)) == (
        "Tempo within a session: too early, 4 of 6 days."
    )


def test_a_link_keeps_its_sign_and_says_that_the_order_is_unknown():
    said = METRES.finding(finding("tempo_far", -0.4))
    assert "correlation −0.40, −0.42 to −0.38" in said
    assert "is not known" in said


def test_grounds_name_shots_days_and_interval():
    assert METRES.grounds(finding("tempo_drift", -0.3)) == (
        "288 shots on 8 days, 95 % interval −0.32 to −0.28."
    )


def test_nought_has_no_sign():
    assert METRES.number(-0.001) == "0.0"


def test_an_unknown_language_is_refused():
    with pytest.raises(BadQuestion, match="en"):
        texts("xx")


def places(part: dict[str, object], at: str = "") -> dict[str, set[str]]:
    """The {places} of every text, by dotted key."""
    found: dict[str, set[str]] = {}
    for key, value in part.items():
        name = f"{at}.{key}".lstrip(".")
        if isinstance(value, dict):
            found |= places(value, name)
        else:
            found[name] = set(re.findall(r"{(\w+)}", str(value)))
    return found


@pytest.mark.parametrize("language", languages())
def test_every_language_says_the_same_things_with_the_same_numbers(language):
    assert places(texts(language)) == places(texts("en"))
