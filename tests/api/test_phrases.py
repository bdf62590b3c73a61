"""Sentences of computations in other languages: none is left in English, own words stay."""

import re

import numpy as np
import pytest

from analytics.answer import Minimum
from analytics.drills import DRILLS, TIRED
from analytics.open_points import FINDING_WORDS
from analytics.own_putting import own_putting
from analytics.practice_plan import Missing, OpenPoint, own_piece, plan_practice
from analytics.putting import TOUR
from analytics.scored_rules import built_in_rules
from analytics.stated_adjustments import adjustment
from api.page_view import View
from api.phrases import recognise, say_phrase
from api.text_catalogue import languages, texts

GERMAN = texts("de")
POINTS = [OpenPoint(drill.part, why, 0.1, 0.9, "SW", 0.4)
          for drill, why in zip(DRILLS, FINDING_WORDS.values(), strict=False)]  # fmt: skip
MISSING = Missing("SW", 7, "the carry curve of SW is too early: 8 of 15 shots, 1 of 2 days")


def homework_texts() -> list[str]:
    plans = [plan_practice([point], [MISSING]) for point in POINTS] + [plan_practice([])]
    pieces = [piece for plan in plans for piece in plan.pieces]
    said = {t for p in pieces for t in (p.title, p.task, p.why, p.stop_rule, p.target_text)}
    return sorted(said)


def rules_texts() -> list[str]:
    rules = built_in_rules().values()
    said = {one.title for one in rules}
    said |= {station.text for one in rules for station in one.stations}
    said |= {award.what for one in rules for award in one.awards if award.what}
    return sorted(said)


def other_texts() -> list[str]:
    own = own_putting(np.full(50, 2.0), np.arange(50) % 2 == 0)
    lie = adjustment(4, -2).why
    return [
        *FINDING_WORDS.values(), Minimum(20).need(8, 1), Minimum(15, 2).need(8, 1), TIRED,
        own_piece("x", "", 1, 1).why, TOUR.label, own.model.label, lie,
    ]  # fmt: skip


@pytest.mark.parametrize("text", homework_texts() + rules_texts() + other_texts())
@pytest.mark.parametrize("language", [code for code in languages() if code != "en"])
def test_what_a_computation_says_is_said_in_every_language(language, text) -> None:
    assert say_phrase(texts("en"), text) == text
    said = say_phrase(texts(language), text)
    same = {"fairway", "rough"}
    assert said != text or text.partition(",")[0] in same
    assert re.findall(r"\d+", said) == re.findall(r"\d+", text)


def test_the_coachs_own_words_stay_as_they_are() -> None:
    for own in ("Chip mit links", "Ten balls, then tea.", "", "8 of 15"):
        assert say_phrase(GERMAN, own) == own


def test_parts_of_a_sentence_are_said_too() -> None:
    text = "the carry curve of SW is too early: 8 of 15 shots, 1 of 2 days"
    said = "für die Carry-Kurve von SW ist es zu früh: 8 von 15 Bällen, 1 von 2 Tagen"
    assert say_phrase(GERMAN, text) == said
    assert say_phrase(GERMAN, "SW: 8 of 15 shots; PW: 1 of 2 days") == (
        "SW: 8 von 15 Bällen; PW: 1 von 2 Tagen"
    )
    far = "carries 4.2 to 8.0 m within its curve, and 9.5 to 14.0 m are asked"
    assert "4,2 bis 8,0 m" in View("de").phrase(far)


def test_every_part_has_the_readers_decimal_sign() -> None:
    far = "carries 4.2 to 8.0 m within its curve, and 9.5 to 14.0 m are asked"
    said = View("de").phrase(f"{far}; {far}")
    assert (said.count("4,2 bis 8,0 m"), said.count(".")) == (2, 0)
    wind = "wind 2.5 m/s: +3.5 % carry, doubt as large"
    assert "2,5" in View("de").phrase(f"{wind}; 8 of 15 shots")


@pytest.mark.parametrize("own", ["SW: " * 900 + "x", "rough " * 900, "fairway, 3 ft over; " * 300])
def test_however_long_own_words_look_like_phrases_they_are_said(own) -> None:
    assert len(say_phrase(GERMAN, own)) > len(own) // 2


def test_no_phrase_is_taken_for_another() -> None:
    english = texts("en").said
    for code, words in english.items():
        if code.startswith("phrase.") and "{" not in words:
            found = recognise(words)
            assert found is not None
            assert english[f"phrase.{found.key}"] == words
