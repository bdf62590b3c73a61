"""The frame around every page: policy, tokens, errors as pages, readers' choices, texts."""

import re
import tomllib
from datetime import UTC, datetime
from importlib import resources

import pytest

from analytics.answer import Answer
from api.page_view import COOKIE, View, best_language, checked, view_of
from api.text_catalogue import UnknownText, languages, texts

PLAIN_PAGES = ("/players", "/more", "/settings", "/login")


@pytest.mark.parametrize("path", PLAIN_PAGES)
def test_every_page_carries_the_policy_and_no_inline_script_or_style(page, path):
    answer = page.get(path)
    assert answer.status_code == 200
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert not re.search(r"<script(?![^>]*src=)|<style|\sstyle=|\son[a-z]+=", answer.text)
    assert "http://" not in answer.text.replace("http://www.w3.org", "")


def test_an_error_is_a_page_with_what_to_do(page):
    answer = page.get("/players/nobody9")
    assert answer.status_code == 404
    assert "What to do" in answer.text


def test_a_form_without_its_token_is_refused(page):
    page.get("/settings")
    answer = page.post("/settings", {"token": "0" * 32, "length": "m"})
    assert answer.status_code == 403


def test_a_form_from_another_origin_is_refused(page):
    token = page.token("/settings")
    headers = {"Origin": "http://elsewhere.example"}
    assert page.post("/settings", {"token": token}, headers=headers).status_code == 403


def test_settings_are_kept_in_the_browser(page):
    page.send("/settings", language="de", length="m", speed="km/h", zone="Europe/Paris")
    text = page.get("/settings").text
    assert 'lang="de"' in text
    assert re.search(r'name="length" value="m" checked', text)


def test_a_login_never_leads_to_another_site(page):
    for path in ("//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example"):
        assert 'name="next" value="/"' in page.get("/login", params={"next": path}).text


def test_a_wrong_key_is_refused_in_words(page):
    answer = page.send("/login", key="cb_wrong", next="/")
    assert answer.status_code == 403
    assert "not known" in answer.text


def test_a_reported_breach_of_the_policy_is_taken(page):
    assert page.request("POST", "/csp-report", content=b"{}").status_code == 204


@pytest.mark.parametrize("code", [code for code in languages() if code != "en"])
def test_other_languages_say_everything_with_the_same_places(code):
    def read(name):
        content = (
            resources.files("api").joinpath("texts", "pages", f"{name}.toml").read_text("utf-8")
        )
        return {
            f"{section}.{key}": set(re.findall(r"\{(\w+)\}", words))
            for section, entries in tomllib.loads(content).items()
            for key, words in entries.items()
        }

    assert read(code) == read("en")


def test_an_unknown_text_is_a_mistake():
    with pytest.raises(UnknownText):
        texts("en").say("no.such")


def test_a_language_that_is_not_there_reads_as_english():
    assert texts("xx").language == "en"
    assert best_language("fr-FR, de;q=0.8") == "de"
    assert best_language("") == "en"


def test_the_cookie_is_read_and_mended():
    view = View("de", "m", "m/s", "Europe/Oslo", "pada1")
    assert view_of({COOKIE: view.cookie()}, "") == view
    assert checked(View("xx", "ell", "knots", "Mars/Base")) == View()


def test_numbers_read_in_the_readers_units_and_habits():
    feet, metres = View(), View("de", "m", "m/s")
    assert feet.quantity(3.048, "m") == "10.0\u00a0ft"
    assert metres.quantity(3.048, "m") == "3,0\u00a0m"
    assert feet.quantity(8.9408, "m/s") == "20.0\u00a0mph"
    assert feet.quantity(-1.5, "deg") == "−1.5°"
    assert feet.quantity(-0.001, "m") == "0.0\u00a0ft"
    assert feet.quantity(None, "m") == "–"
    assert feet.quantity(float("nan"), "m") == "–"


def test_an_answer_is_never_a_bare_number():
    early = Answer(3.0, 2.0, 4.0, "m", 8, 1, "too_early", need="8 of 15 shots")
    said = View().answer(early)
    assert said.state_word == "too early"
    assert "8 of 15" in said.need
    assert said.interval


def test_a_moment_reads_in_the_readers_zone_else_the_players():
    noon = datetime(2025, 10, 26, 12, tzinfo=UTC)
    assert "13:00" in View().moment(noon, "Europe/Berlin")
    assert "08:00" in View(zone="America/New_York").moment(noon, "Europe/Berlin")
