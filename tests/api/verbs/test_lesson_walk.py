"""A whole invented lesson on the command line alone: from an empty store to the printed sheet.

Two exports a day, conditions, marks by sheet and by hand, a scored test, a plan, homework out and
back, the sheet; every step by a verb, nothing by code.
"""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from api.cli import cli
from demo_data.write import write_demo

DAYS = ("2025-09-24", "2025-10-01", "2025-10-08")
GREEN = (
    "--place", "Marram Hollow", "--green-speed-ft", "9.5", "--slope-deg", "1.4",
    "--fall-line-deg", "160", "--wetness", "dry", "--window-near", "21.5ft",
    "--window-far", "26.5ft", "--edge", "18ft", "--hole", "41ft",
)  # fmt: skip


@pytest.fixture(scope="module")
def exports(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("exports")
    write_demo(folder)
    return folder / "tobias"


def test_a_lesson_from_empty_store_to_printed_sheet(exports, tmp_path) -> None:
    store = ("--store", str(tmp_path / "store"))

    def run(verb: str, *words: str) -> str:
        result = CliRunner().invoke(cli, [verb, *store, *words], standalone_mode=False)
        if result.exception:
            raise result.exception
        return result.output

    run("players", "add", "Tobias", "--zone", "Europe/Berlin")
    me = ("--player", "Tobias")
    for day in DAYS:
        run("conditions", *me, "--day", day, *GREEN)
        for kind in ("launch", "tempo", "marks"):
            run("import", *me, str(exports / f"{day}_{kind}.csv"))
    run("pair", *me)
    run(
        "mark",
        *me,
        "--ball",
        "47",
        "--leave",
        "3 ft 4 in",
        "--clock",
        "5",
        "--at",
        "2025-10-08 18:40",
    )
    run("mark", *me, "--ball", "48", "--holed", "--at", "2025-10-08 18:41")
    for day, last in zip(DAYS, "342", strict=True):
        run("score", *me, "nine-station-hole-out", *"23322323", last, "--at", f"{day} 19:00")

    leaves = json.loads(run("leave", *me, "--json", "--map", str(tmp_path / "leaves.svg")))
    assert leaves["dry"]["n_shots"] == 3 * 36
    assert leaves["dry"]["n_holed"] >= 1
    history = json.loads(run("score", *me, "--json"))[0]
    assert [one["total"] for one in history["sittings"]] == [23, 24, 22]
    plan = json.loads(
        run(
            "plan", *me, "--edge", "18ft", "--hole", "41ft", "--green-speed-ft", "9.5",
            "--slope-deg", "1.4", "--fall-line-deg", "160",
            "--picture", str(tmp_path / "plan.svg"), "--json",
        )
    )  # fmt: skip
    assert {one["club"] for one in plan["clubs"]} >= {"SW", "PW"}

    run("homework", *me, "give", "--due", "2025-10-15", "--by", "Coach")
    given = json.loads(run("homework", *me, "--json"))
    run("homework", *me, "report", given[-1]["homework_id"][:8], "done", "--balls", "9")
    assert "1 of" in run("progress", *me)

    words = ("--length-unit", "ft", "--speed-unit", "mph", "--day", "2025-10-08")
    sheet = json.loads(run("sheet", *me, *words, "--json"))
    assert sheet["name"] == "Tobias"
    assert "Marram Hollow" in sheet["conditions"]
    assert sheet["bracket"] is not None
    assert sheet["leave"] is not None
    assert {rung["swing"] for rung in sheet["card"]} >= {"SW hip", "SW chest", "PW hip"}
    assert [total for _, total in sheet["tests"][0]["totals"]] == ["23", "24", "22"]
    assert len(sheet["homework"]) == len(given) - 1
    printed = tmp_path / "tobias.pdf"
    run("sheet", *me, *words, "--paper", "letter", "--out", str(printed))
    assert printed.read_bytes().startswith(b"%PDF")
    for drawing in ("leaves.svg", "plan.svg"):
        assert (tmp_path / drawing).read_text("utf-8").startswith("<svg")
