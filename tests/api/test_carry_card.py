"""Ladder, gaps, advice, changes and the carry card over HTTP, on the command line and on paper."""

import csv
import io
import json
import math
from datetime import timedelta

import numpy as np
import pytest
from click.testing import CliRunner

from analytics.carry_card import carry_card
from analytics.db import open_store
from api.carry_card_print import card_document
from api.cli import cli
from api.reader_units import ReaderUnits
from ingest.hand_entry import enter
from tests.api.conftest import START

LENGTHS = {"hip": 6.0, "chest": 8.5, "full": 9.0}


@pytest.fixture
def fitted(store):
    """Ada's sand wedge with three swing lengths over eight days, 8 balls each and day."""
    rng = np.random.default_rng(4)

    def ball(day, number, name, speed):
        speed = speed * math.exp(rng.normal(0, 0.02))
        return {
            "device_number": number,
            "struck_at_utc": START + timedelta(days=day, minutes=number),
            "club": "SW",
            "club_text": "SW",
            "swing_length": name,
            "club_speed_mps": speed,
            "carry_m": float(11 * (speed / 10) ** 2 * math.exp(rng.normal(0, 0.05))),
            "roll_m": float(4 + rng.normal(0, 0.4)),
        }

    rows = [
        ball(day, number, name, speed)
        for day in range(8)
        for number, (name, speed) in enumerate(8 * list(LENGTHS.items()))
    ]
    enter(store, "pada1", "shots", rows)
    return store


def test_the_ladder(fitted, client):
    rungs = client.get("/v1/players/pada1/carry-ladder").json()["rungs"]
    assert [rung["swing_length"] for rung in rungs] == ["hip", "chest", "full"]
    for rung in rungs:
        true = 11 * (LENGTHS[rung["swing_length"]] / 10) ** 2
        assert rung["centre"]["value"] == pytest.approx(true, rel=0.03)
        assert rung["centre"]["state"] == "clear"


def test_the_gaps(fitted, client):
    gaps = client.get("/v1/players/pada1/carry-gaps").json()["gaps"]
    assert [(gap["shorter"], gap["longer"]) for gap in gaps] == [
        ("SW hip", "SW chest"),
        ("SW chest", "SW full"),
    ]
    assert [gap["judgement"] for gap in gaps] == ["too_wide", "clear"]
    assert [gap["judgement_with_mishits"] for gap in gaps] == ["too_wide", "clear"]
    for gap in gaps:
        assert gap["with_mishits"]["low"] < gap["with_mishits"]["value"] < gap["difference"]["high"]


def test_a_speed_for_a_carry_says_where_any_ball_lands(fitted, client):
    body = client.get("/v1/players/pada1/carry-curves/SW/speed-for?carry_m=7").json()
    assert body["with_mishits"]["low"] < body["one_shot"]["low"]
    assert body["with_mishits"]["value"] < body["one_shot"]["high"]


def test_nothing_more_needs_to_be_hit(fitted, client):
    body = client.get("/v1/players/pada1/next-shot").json()
    assert (body["next_rung"], body["balls"]) == (None, 0)
    assert client.get("/v1/players/pben2/next-shot").json()["rungs"] == []


def test_roll_ratios(fitted, client):
    (one,) = client.get("/v1/players/pada1/roll-ratios").json()["ratios"]
    assert one["mean_run_m"] == pytest.approx(4.0, abs=0.1)
    assert one["ratio"]["low"] < one["ratio"]["value"] < one["ratio"]["high"]
    assert (one["n_mishits"], one["with_mishits"]) == (0, one["ratio"])
    assert client.get("/v1/players/pada1/roll-ratios?green_speed_ft=40").status_code == 422


def test_since_a_fitting(fitted, client):
    day = (START + timedelta(days=4)).date().isoformat()
    body = client.get(f"/v1/players/pada1/since-fitting?day={day}").json()
    changes, (trend,) = body["changes"], body["trends"]
    assert trend["per_month"]["low"] <= 0 <= trend["per_month"]["high"]
    assert {change["measure"] for change in changes} == {"carry", "spread", "mishits"}
    assert all(change["verdict"] != "changed" for change in changes)
    assert (changes[0]["n_before"], changes[0]["n_after"]) == (4, 4)


def test_the_card_as_json_pdf_and_csv(fitted, client):
    body = client.get("/v1/players/pada1/carry-card").json()
    assert body["n_shots"] + body["n_excluded"] == 192
    assert [row["gap_to_next"] for row in body["rows"]] == ["too_wide", "clear", None]
    assert body["rows"][0]["speed"]["value"] == pytest.approx(6.0, rel=0.03)
    for size in ("a4", "letter", "pocket"):
        answer = client.get(f"/v1/players/pada1/carry-card.pdf?size={size}")
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF-")
    text = client.get("/v1/players/pada1/carry-card.csv?length_unit=yd&speed_unit=mph")
    rows = list(csv.DictReader(io.StringIO(text.text)))
    metres = body["rows"][0]["rung"]["centre"]["value"]
    assert float(rows[0]["carry"]) == pytest.approx(metres / 0.9144, abs=0.006)
    assert (rows[0]["length_unit"], rows[0]["speed_unit"]) == ("yd", "mph")
    assert rows[0]["state"] == "clear"


def test_a_player_without_balls_has_no_card(fitted, client):
    answer = client.get("/v1/players/pben2/carry-card")
    assert answer.status_code == 404
    assert answer.json()["code"] == "nothing_yet"


def test_the_printed_card_says_what_it_rests_on(fitted):
    card = carry_card(open_store(fitted, "pada1"), "pada1")
    printed = card_document(card, "Ada Novak", ReaderUnits("ft", "mph"))
    assert printed["name"] == "Ada"
    assert printed["date"] == "2026-05-11"
    first = printed["rows"][0]
    assert first["rung"] == "SW hip"
    assert float(first["carry"]) == pytest.approx(11 * 0.36 / 0.3048, rel=0.03)
    assert first["counts"].endswith("/8")


def run(*arguments):
    shown = CliRunner().invoke(cli, arguments)
    assert shown.exit_code == 0, shown.output
    return shown.output


def test_the_command_line(fitted, tmp_path):
    who = ("--player", "Ada", "--store", str(fitted))
    assert "SW hip" in run("ladder", *who, "--length-unit", "ft")
    assert "gap is too wide" in run("gaps", *who)
    assert "Every rung is clear" in run("next-shot", *who)
    assert "green speed not noted: runs" in run("roll-ratio", *who)
    assert "carry at the same speed" in run("since-fitting", "2026-05-08", *who)
    path = tmp_path / "card.pdf"
    assert "3 rungs" in run("card", *who, "--out", str(path), "--size", "pocket")
    assert path.read_bytes().startswith(b"%PDF-")
    table = tmp_path / "card.csv"
    run("card", *who, "--format", "csv", "--out", str(table))
    assert table.read_text().startswith("club,swing_length,state")


@pytest.mark.parametrize("verb", ["ladder", "gaps", "next-shot", "roll-ratio", "card"])
def test_every_verb_gives_json(fitted, verb):
    shown = run(verb, "--player", "Ada", "--store", str(fitted), "--json")
    assert json.loads(shown)["player_id"] == "pada1"
