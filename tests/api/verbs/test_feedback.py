"""bracket, tempo, landing and profile over a store that the demo's exports were imported into."""

import json

import pytest
from click.testing import CliRunner

from api.cli import cli
from demo_data.write import write_demo
from tests.api.demo_store import demo_store


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    return demo_store(tmp_path_factory.mktemp("feedback"), ("Arne",))


def run(store, verb: str, *arguments: str) -> str:
    result = CliRunner().invoke(
        cli, [verb, "--player", "Arne", "--store", str(store), *arguments], catch_exceptions=False
    )
    assert result.exit_code == 0, result.output
    return result.output


def test_bracket_tells_days_width_and_the_last_triple(store):
    out = run(store, "bracket", "--length-unit", "ft")
    assert "2025-11-12" in out
    assert "To hold this window 95 times in 100 your bracket needs" in out
    assert "Last triple, ball" in out
    assert "That one made the other is not known." in out


def test_bracket_rows_name_file_and_line(store):
    out = run(store, "bracket", "--rows")
    assert "2025-11-12_launch.csv line" in out
    assert "2025-11-12_tempo.csv line" in out


def test_bracket_with_a_card_gives_three_swings(store):
    out = run(store, "bracket", "--card", "30", "--length-unit", "ft", "--speed-unit", "mph")
    assert "Three swings to feel for 30.0 ft with SW" in out
    assert "a rehearsal of yours reads" in out


def test_a_window_overrules_and_a_turned_one_is_refused(store):
    out = run(store, "bracket", "--window", "28", "34", "--length-unit", "ft")
    assert "window 28.0 ft to 34.0 ft" in out
    turned = CliRunner().invoke(
        cli, ["landing", "--player", "Arne", "--store", str(store), "--window", "9", "8"]
    )
    assert turned.exit_code != 0


def test_tempo_says_its_sampling_and_that_no_link_is_seen(store):
    out = run(store, "tempo")
    assert "times a second" in out
    assert "no link" in out


def test_landing_says_pull_and_right_of_the_target_for_a_left_hander(store):
    out = run(store, "landing")
    assert "right of the target" in out
    assert "for your hand a pull" in out
    assert "A usual miss of" in out


def test_profile_has_one_clear_thing_a_focus_and_the_cautions(store):
    out = run(store, "profile", "--length-unit", "ft")
    assert "Clear: Balls start as a pull of" in out
    assert "Still open:" in out
    assert "Focus for next time: start direction through a gate" in out
    assert "Stop when something hurts." in out
    assert "In grey" in out


def test_profile_rows_open_a_number_to_its_lines(store):
    out = run(store, "profile", "--rows", "start_side").splitlines()
    assert len(out) > 200
    assert all(" line " in line for line in out)


@pytest.mark.parametrize("verb", ["bracket", "tempo", "landing", "profile"])
def test_json_is_one_document_without_nan(store, verb):
    document = json.loads(run(store, verb, "--json"), parse_constant=pytest.fail)
    assert isinstance(document, dict)
    assert document


def test_an_unknown_focus_is_refused(store):
    result = CliRunner().invoke(
        cli, ["tempo", "--player", "Arne", "--store", str(store), "--declared", "luck"]
    )
    assert "tempo_drift" in str(result.exception)


def test_set_up_notes_make_blocks_that_are_compared_but_not_explained(store):
    assert "No set-up note yet." in run(store, "setup")
    where = ("--day", "2025-11-12", "--by", "mo")
    run(store, "setup", *where, "--from-ball", "13", "--tag", "Ball position: back")
    out = run(
        store, "setup", *where, "--from-ball", "31", "--tag", "ball position: middle",
        "--tag", "handle: forward", "--length-unit", "ft",
    )  # fmt: skip
    assert "2025-11-12, balls 13 to 30: ball position: back" in out
    assert "balls 31 to 48: ball position: middle; handle: forward" in out
    assert "against the block before: carry against the window" in out
    assert "not why" in out


def test_a_note_at_a_ball_that_is_not_there_is_refused(store):
    result = CliRunner().invoke(
        cli,
        ["setup", "--player", "Arne", "--store", str(store), "--day", "2025-11-12",
         "--from-ball", "99", "--by", "mo", "--tag", "lean: more"],
    )  # fmt: skip
    assert "no ball 99" in str(result.exception)


def test_profile_of_a_first_lesson_waits_in_few_lines(tmp_path):
    write_demo(tmp_path / "exports")
    first = sorted((tmp_path / "exports" / "arne").glob("*.csv"))[:3]
    store = tmp_path / "book"
    start = CliRunner().invoke(cli, ["players", "add", "Arne", "--store", str(store)])
    assert start.exit_code == 0, start.output
    files = [str(path) for path in first]
    CliRunner().invoke(cli, ["import", *files, "--player", "Arne", "--store", str(store)])
    out = run(store, "profile")
    waiting = [line for line in out.splitlines() if line.startswith("  [too early")]
    assert "it is too early to tell what is worth changing" in out
    assert 1 <= len(waiting) <= 4
    assert "Tempo within a session; " in out
