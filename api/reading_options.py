"""Options of every verb that reads an export: what the user may say instead of being asked."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Literal, TypeVar, cast

import click

if TYPE_CHECKING:
    from ingest.options import Options

Kind = Literal["launch", "tempo", "marks", "scores"]
Wrapped = TypeVar("Wrapped", bound=Callable[..., object])

_OPTIONS = (
    click.option("--zone", help="Time zone of local times, for example Europe/Madrid."),
    click.option("--kind", type=click.Choice(["launch", "tempo", "marks", "scores"])),
    click.option("--layout", help="Name or file of a declared layout."),
    click.option("--unit", "units", multiple=True, metavar="COLUMN=UNIT", help="carry_m=yd"),
    click.option(
        "--column",
        "columns",
        multiple=True,
        metavar="HEADER=COLUMN",
        help="What a header means, for example 'Pace=club_speed_mps', or unknown.",
    ),
    click.option("--decimal", type=click.Choice(["point", "comma"]), help="Decimal sign."),
    click.option("--date-order", type=click.Choice(["dmy", "mdy", "ymd"])),
    click.option("--day", help="Day of the session (ISO) for files with clock times only."),
    click.option("--year", type=int, help="Year of dates without one."),
    click.option("--surface", help="What balls were struck from, if rows do not say: mat, grass …"),
    click.option("--left-handed", is_flag=True, help="The player swings left-handed."),
    click.option("--answer", "answers", multiple=True, metavar="QUESTION=ANSWER"),
)


def reading_options(function: Wrapped) -> Wrapped:
    """`--zone`, `--unit`, `--decimal`, `--date-order` and the rest."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def options_from(given: Mapping[str, object]) -> "Options":
    """The click parameters of `reading_options` as ingest's options.

    Raises:
        click.BadParameter: for a pair without `=`.
    """
    from ingest.options import Options

    decimal = {"point": ".", "comma": ","}.get(str(given.get("decimal")))
    return Options(
        zone=_text(given, "zone"),
        player_handedness="left" if given.get("left_handed") else None,
        kind=cast("Kind | None", given.get("kind")),
        layout=_text(given, "layout"),
        units=_pairs(given.get("units"), "--unit"),
        decimal=decimal,
        date_order=_text(given, "date_order"),
        day=_text(given, "day"),
        year=cast("int | None", given.get("year")),
        surface=_text(given, "surface"),
        answers=_pairs(given.get("answers"), "--answer") | column_answers(given.get("columns")),
    )


def _text(given: Mapping[str, object], key: str) -> str | None:
    value = given.get(key)
    return str(value) if value else None


def answer_pairs(given: tuple[str, ...]) -> dict[str, str]:
    """`--answer QUESTION=ANSWER` given any number of times.

    Raises:
        click.BadParameter: for a pair without `=`.
    """
    return _pairs(given, "--answer")


def column_answers(given: object) -> dict[str, str]:
    """`--column HEADER=COLUMN` given any number of times, as the answers that they are.

    Raises:
        click.BadParameter: for a pair without `=`.
    """
    named = _pairs(given, "--column")
    return {f"meaning:{header}": column for header, column in named.items()}


def _pairs(given: object, option: str) -> dict[str, str]:
    pairs = {}
    for text in given if isinstance(given, tuple) else ():
        key, sign, value = str(text).rpartition("=")
        if not sign:
            raise click.BadParameter(f"{text!r} needs the form NAME=VALUE", param_hint=option)
        pairs[key] = value
    return pairs
