"""Options of the verbs that speak in sentences: language, units, window."""

from collections.abc import Callable
from typing import TypeVar

import click

from analytics.practice_rows import Window
from api.reader_units import ReaderUnits, length_option, speed_option
from api.wording import Wording, languages

Wrapped = TypeVar("Wrapped", bound=Callable[..., object])


def wording_options(function: Wrapped) -> Wrapped:
    """`--length-unit`, `--speed-unit`, `--language`."""
    language = click.option(
        "--language",
        type=click.Choice(languages()),
        default="en",
        show_default=True,
        envvar="CARRYBOOK_LANGUAGE",
        help="Language of the sentences; CARRYBOOK_LANGUAGE does the same.",
    )
    return language(length_option(speed_option(function)))


def window_option(function: Wrapped) -> Wrapped:
    """`--window NEAR FAR`: landing window as carry from the ball, overruling the sessions'."""
    return click.option(
        "--window",
        type=(click.FloatRange(min=0, min_open=True), click.FloatRange(min=0, min_open=True)),
        help="Landing window, near and far end as carry from the ball, in the length unit; "
        "overrules what was noted with the sessions.",
    )(function)


def focus_option(function: Wrapped) -> Wrapped:
    """`--declared KEY`: the focus that was set before the sessions."""
    return click.option(
        "--declared",
        help="The one focus set before the sessions, as a key of --json; tested on its own.",
    )(function)


def wording_of(language: str, length_unit: str, speed_unit: str) -> Wording:
    """How the reader wants to be spoken to."""
    return Wording(language, ReaderUnits(length_unit, speed_unit))


def window_of(given: tuple[float, float] | None, wording: Wording) -> Window | None:
    """The window given on the command line, in metres. Raises click.BadParameter."""
    if given is None:
        return None
    near, far = (wording.units.to_metres(end) for end in given)
    if near >= far:
        raise click.BadParameter("the near end comes first and is the smaller", param_hint="window")
    return Window(near, far)
