"""The lesson sheet on paper: one side of A4 or Letter, typeset to PDF."""

import json
from dataclasses import asdict
from functools import cache
from importlib import resources
from typing import Literal

import typst

from api.chart_files import as_svg
from api.lesson_sheet import LessonSheet
from api.page_view import View

Paper = Literal["a4", "letter"]
TYPST_PAPER: dict[Paper, str] = {"a4": "a4", "letter": "us-letter"}
LABELS = (
    "title", "clear", "open", "card", "no_card", "swing", "carry", "one_ball", "balls", "state",
    "bracket", "no_bracket", "leave", "test", "no_test", "homework", "no_homework",
    "blank_leave", "blank_test", "total", "notes",
)  # fmt: skip


def sheet_pdf(view: View, sheet: LessonSheet, paper: Paper = "a4") -> bytes:
    """The sheet as PDF; the same sheet gives the same bytes."""
    made = typst.compile(template(), sys_inputs=_inputs(view, sheet, paper))
    assert isinstance(made, bytes)
    return made


def sheet_pages(view: View, sheet: LessonSheet, paper: Paper = "a4") -> int:
    """How many sides the sheet takes; always one, and a test holds it to that."""
    made: object = typst.compile(template(), format="svg", sys_inputs=_inputs(view, sheet, paper))
    return len(made) if isinstance(made, list) else 1


@cache
def template() -> bytes:
    """The typesetting of the sheet."""
    return resources.files("api").joinpath("templates/lesson_sheet.typ").read_bytes()


def _inputs(view: View, sheet: LessonSheet, paper: Paper) -> dict[str, str]:
    document = asdict(sheet) | {
        "labels": {name: view.texts.say(f"sheet.{name}") for name in LABELS},
        "bracket": None if sheet.bracket is None else as_svg(sheet.bracket).decode(),
        "leave": None if sheet.leave is None else as_svg(sheet.leave).decode(),
        "blank_leave": None if sheet.blank.leave is None else as_svg(sheet.blank.leave).decode(),
        "language": view.language,
    }
    return {"sheet": json.dumps(document, ensure_ascii=False), "paper": TYPST_PAPER[paper]}
