"""mark, leave and score on the command line, from an empty store."""

import json

import pytest
from click.testing import CliRunner

from analytics.errors import AnalyticsError, BadQuestion, NoSuchHomework
from api.cli import cli
from tests.invented_lesson import write_book

ROBIN = ("--player", "Robin")


@pytest.fixture
def run(tmp_path):
    store = tmp_path / "store"

    def call(*words: str):
        result = CliRunner().invoke(cli, [words[0], "--store", str(store), *words[1:]])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result

    result = CliRunner().invoke(
        cli, ["players", "--store", str(store), "add", "Robin", "--zone", "Europe/Madrid"]
    )
    assert result.exit_code == 0, result.output
    return call


def test_marks_are_kept_and_told(run) -> None:
    for ball, clock in enumerate((5, 6, 7, 12), start=1):
        when = f"2026-05-04 10:0{ball}"
        run(
            "mark",
            "--player",
            "Robin",
            "--ball",
            str(ball),
            "--leave",
            "4 ft",
            "--clock",
            str(clock),
            "--at",
            when,
        )
    told = json.loads(run("leave", *ROBIN, "--json").output)
    assert told["dry"]["n_shots"] == 4
    assert told["dry"]["shares"][1]["value"] == 0.75
    assert told["marks"][0]["marked_at_utc"].startswith("2026-05-04 08:01")
    assert "too early: 4 of 20 shots" in run("leave", *ROBIN).output


def test_the_leave_map_is_written(run, tmp_path) -> None:
    run("mark", *ROBIN, "--holed")
    run("leave", *ROBIN, "--map", str(tmp_path / "map.svg"))
    assert (tmp_path / "map.svg").read_text("utf-8").startswith("<svg")


def test_a_sitting_is_kept_and_its_history_told(run) -> None:
    for week, last in enumerate("235", start=1):
        run(
            "score",
            "--player",
            "Robin",
            "nine-station-hole-out",
            *"22323223",
            last,
            "--at",
            f"2026-05-0{week}",
        )
    told = json.loads(run("score", *ROBIN, "--json").output)
    assert [one["total"] for one in told[0]["sittings"]] == [21, 22, 24]
    assert told[0]["change"]["verdict"] == "no change seen"
    said = run("score", *ROBIN).output
    assert "two tests differ for sure only from" in said
    assert "chance to reach 21 next time" in said


def test_the_sheet_and_the_score_agree_on_a_drawn_order(run) -> None:
    sheet = json.loads(
        run(
            "score",
            "--player",
            "Robin",
            "nine-station-low-side",
            "--sheet",
            "--seed",
            "7",
            "--json",
        ).output
    )
    order = [one["number"] for one in sheet[0]["stations"]]
    words = ["4ft@6"] + ["9ft@12"] * 8
    taken = json.loads(
        run("score", *ROBIN, "nine-station-low-side", "--seed", "7", *words, "--json").output
    )
    best = max(taken[0]["rows"], key=lambda row: row["points"])
    assert best["station"] == order[0]


def test_faults_name_what_is_wrong(run) -> None:
    with pytest.raises(BadQuestion, match="stations 9 have no score"):
        run("score", *ROBIN, "nine-station-hole-out", *"22323223")
    with pytest.raises(BadQuestion, match="ball 4: 15 o'clock"):
        run("mark", *ROBIN, "--ball", "4", "--leave", "1 m", "--clock", "15")


def test_homework_goes_out_and_comes_back(run) -> None:
    proposed = json.loads(run("homework", *ROBIN, "propose", "--json").output)
    assert proposed["balls"] <= proposed["cap"]
    assert any("doctor" in caution for caution in proposed["cautions"])
    run("homework", *ROBIN, "give", "--due", "2026-05-11", "--by", "Mora")
    run("homework", *ROBIN, "give", "--title", "Clock putts", "--blocks", "2", "--balls", "8")
    listed = json.loads(run("homework", *ROBIN, "--json").output)
    assert len(listed) == len(proposed["pieces"]) + 1
    assert {one["due_day"] for one in listed} == {"2026-05-11", None}
    chosen = listed[0]["homework_id"]
    run("homework", *ROBIN, "report", chosen[:10], "part", "--balls", "9")
    run("homework", *ROBIN, "report", chosen[:10], "done", "--balls", "18", "--note", "windy")
    told = {one["homework_id"]: one for one in json.loads(run("homework", *ROBIN, "--json").output)}
    assert (told[chosen]["outcome"], told[chosen]["balls_done"]) == ("done", 27)
    assert f"[x] {chosen[:8]}" in run("homework", *ROBIN).output
    with pytest.raises(NoSuchHomework, match="No homework begins with 'zz'"):
        run("homework", *ROBIN, "report", "zz", "done")


CHIP = ("--edge", "10ft", "--hole", "40ft", "--green-speed-ft", "9.5")


@pytest.fixture
def in_book(tmp_path):
    write_book(tmp_path / "book")

    def call(*words: str):
        store = ("--store", str(tmp_path / "book"))
        result = CliRunner().invoke(cli, [words[0], *store, *ROBIN, *words[1:]])
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result.output

    return call


def test_a_chip_is_planned_and_drawn(in_book, tmp_path) -> None:
    told = json.loads(in_book("plan", *CHIP, "--picture", str(tmp_path / "plan.svg"), "--json"))
    strokes = [one["strokes"] for one in told["clubs"]]
    assert len(strokes) == 3
    assert strokes == sorted(strokes)
    assert all(2 < s < 3 for s in strokes)
    best = told["clubs"][0]
    assert best["speed_mps"] > 0
    assert best["swing_length"] in ("hip", "chest")
    assert 0 <= best["leave_zone"]["low"] <= best["leave_zone"]["value"]
    assert "tour professionals" in told["putting"]
    drawn = (tmp_path / "plan.svg").read_text("utf-8")
    assert "<style>" in drawn
    assert drawn.count('class="rest"') > 100


def test_a_plan_says_what_it_adjusted_and_what_it_assumed(in_book) -> None:
    said = in_book("plan", *CHIP, "--club", "pw", "--wet", "--lie-slope-deg", "6")
    assert "Adjusted: lie +6°" in said
    assert "Assumed: PW: run from the trade's chart" in said


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--edge", "10ft", "--hole", "40ft", "--green-speed-ft", "0"), "green speed of 0 ft"),
        (("--edge", "50m", "--hole", "80m", "--green-speed-ft", "9"), "No club plays this chip"),
        (("--edge", "10", "--hole", "40ft", "--green-speed-ft", "9"), "has no unit"),
        ((*CHIP, "--club", "7I"), "no ball with 7I"),
        ((*CHIP, "--slope-deg", "9"), "does not stop"),
    ],
)
def test_chips_that_cannot_be_planned_are_refused(in_book, words, why) -> None:
    with pytest.raises(AnalyticsError, match=why):
        in_book("plan", *words)


def test_progress_over_the_weeks(in_book, run) -> None:
    in_book("score", "nine-station-hole-out", *"223222332")
    said = in_book("progress", "--length-unit", "ft")
    assert "2026-04-06: 12 balls" in said
    assert "too early: 4 of 6 days" in said
    assert "Nine-Station Hole-Out: 21" in said
    told = json.loads(in_book("progress", "--json"))
    assert len(told["leaves"]["days"]) == 4
    assert "Nothing yet" in run("progress", *ROBIN).output


def test_the_run_on_this_green(in_book) -> None:
    said = in_book("run", "--green-speed-ft", "11", "--slope-deg", "1", "--fall-line-deg", "180")
    assert "SW: runs" in said
    assert "× its carry" in said
    told = json.loads(in_book("run", "--green-speed-ft", "11", "--json"))
    assert [one["club"] for one in told["runs"]] == ["SW", "PW", "9I"]
