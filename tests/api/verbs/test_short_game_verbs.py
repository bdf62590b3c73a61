"""mark, leave and score on the command line, from an empty store."""

import json

import pytest
from click.testing import CliRunner

from analytics.errors import BadQuestion
from api.cli import cli

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
    with pytest.raises(BadQuestion, match="No homework begins with 'zz'"):
        run("homework", *ROBIN, "report", "zz", "done")
