"""A progress bar on the terminal; silent when the output is not one."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[int, int], None]]:
    """Gives a function to call with (done, total); shows what is left on standard error."""
    console = Console(file=sys.stderr)
    columns = (TextColumn(what), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as bar:
        task = bar.add_task(what, total=None)

        def step(done: int, total: int) -> None:
            bar.update(task, completed=done, total=total)

        yield step
