"""Reasons in the reader's language: every one a page can show is there, its contents kept."""

import re
import tomllib
from importlib import resources

import pytest

from api.known_sentences import PLACE
from api.reasons import reason_in, translated
from ingest.reading import CLOCK_CHANGES
from ingest.row_faults import _FAULTS
from ingest.set_aside import _REASONS
from schemas.row_rules import ORDERS
from tests.api.reason_texts import errors, said_by

ON_PAGES = (
    "ingest.containers", "ingest.drafts", "ingest.duplicates", "ingest.hand_entry",
    "ingest.import_file", "ingest.interpret", "ingest.kind_evidence", "ingest.option_check",
    "ingest.player_rows", "ingest.read_columns", "ingest.time_forms",
    "ingest.read_csv", "ingest.read_open_tables", "ingest.read_xlsx", "ingest.side_signs",
    "ingest.store", "ingest.store_writing", "ingest.time_plan", "ingest.unit_doubts",
    "analytics.carry_card", "analytics.carry_curve", "analytics.db", "analytics.drawn_curve",
    "analytics.inverse", "analytics.leave", "analytics.power_curve", "analytics.practice_plan",
    "analytics.roll", "analytics.scored_test", "analytics.score_history", "analytics.shot_plan",
    "analytics.shrinkage", "analytics.tape",
    "analytics.scored_rules", "analytics.stated_adjustments", "analytics.tape_position",
    "api.conditions_entry", "api.entries", "api.own_test_form", "api.own_tests",
    "api.pages_conditions", "api.pages_plan", "ingest.own_tests",
    "api.import_work", "api.mark_entry", "api.page_session", "api.page_uploads",
    "api.pages_charts", "api.pages_demo", "api.pages_doubts", "api.pages_marks",
    "api.pages_share", "api.pages_test", "api.pages_today", "api.planning", "api.score_entry",
    "api.take_in",
)  # fmt: skip
"""Modules whose refusals and questions reach a page."""


def every_text() -> list[str]:
    names = errors()
    found = {text for module in ON_PAGES for text in said_by(module, names)}
    for pairs in (_FAULTS.values(), _REASONS.values()):
        found |= {text for pair in pairs for text in pair}
    for order in (order for orders in ORDERS.values() for order in orders):
        found |= {f"{order.reason[0].upper()}{order.reason[1:]}.", order.mend}
    return sorted(found | set(CLOCK_CHANGES.values()))


def numbered(text: str) -> str:
    """`{limits}` and the like as {0}, {1} …"""
    names = list(dict.fromkeys(re.findall(r"\{(\w+)\}", text)))
    return re.sub(r"\{(\w+)\}", lambda found: f"{{{names.index(found[1])}}}", text)


def filled(text: str) -> str:
    return PLACE.sub(lambda place: f"X{place[1]}X", text)


def test_every_reason_a_page_can_show_is_there_in_german():
    texts = [numbered(text) for text in every_text()]
    assert len(texts) > 150
    missing = [text for text in texts if translated("de", filled(text)) == filled(text)]
    missing = [text for text in missing if filled(text).strip("X0123456789.: ")]
    assert missing == []


def test_what_stands_in_the_places_is_moved_over_once_each():
    for text in map(numbered, every_text()):
        said = translated("de", filled(text))
        assert places(said) == places(filled(text))


def places(text: str) -> list[str]:
    return sorted(set(re.findall(r"X\dX", text)))


@pytest.mark.parametrize("language", ["de", "en"])
def test_no_text_of_the_catalogue_is_hidden_by_another(language):
    folder = resources.files("api").joinpath("texts", "reasons", f"{language}.toml")
    for group in tomllib.loads(folder.read_text("utf-8")).values():
        for english, words in group.items():
            assert translated(language, filled(english)) == filled(words)


def test_a_reason_is_a_sentence_and_an_unknown_one_stays_as_it_is():
    assert reason_in("de", "the text is no number of this column") == (
        "Der Text ist keine Zahl dieser Spalte."
    )
    assert reason_in("en", "the decimal sign is not settled") == "The decimal sign is not settled."
    assert reason_in("de", "nobody said this before!") == "Nobody said this before!"
    assert reason_in("fr", "ask again.") == "Ask again."
    assert reason_in("de", "") == ""
    assert translated("de", "the value is above what is possible (-20 to 85 deg)") == (
        "der Wert liegt über dem Möglichen (-20 bis 85 deg)"
    )
