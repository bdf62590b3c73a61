"""The command `carrybook`: verbs found by being there, and errors mapped to exit codes.

Exit codes: 0 all is well, 1 some rows were set aside or a doubt is open, 2 nothing was done.
"""

import importlib
import pkgutil
import sys

import click

import api.verbs
from analytics.errors import AnalyticsError
from api.errors import ApiError
from ingest.errors import IngestError

NOTHING_DONE = 2


class Verbs(click.Group):
    """One verb per module in `api/verbs/`; the module's name is the verb's."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 -- click's shape
        """Every verb, sorted."""
        found = pkgutil.iter_modules(api.verbs.__path__)
        return sorted(module.name.rstrip("_").replace("_", "-") for module in found)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The verb's command, imported only when it is asked for."""
        if cmd_name not in self.list_commands(ctx):
            return None
        module = cmd_name.replace("-", "_")
        if module == "import":
            module = "import_"
        command = importlib.import_module(f"api.verbs.{module}").command
        assert isinstance(command, click.Command)
        return command


@click.group(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="carrybook", prog_name="carrybook")
def cli() -> None:
    """Launch and tempo exports in; carry curves and bracketing feedback out.

    \b
    First steps:
      carrybook demo                     a coach's book with five invented players
      carrybook preview FILE             look at an export; writes nothing
      carrybook import FILE --player ID  take it in
    """


def main(arguments: list[str] | None = None) -> None:
    """Run the command; a known error ends in one clear sentence and exit code 2."""
    try:
        outcome = cli.main(args=arguments, standalone_mode=False)
    except (IngestError, AnalyticsError, ApiError) as error:
        click.echo(f"carrybook: {error} [{error.code}]", err=True)
        sys.exit(NOTHING_DONE)
    except OSError as error:
        click.echo(f"carrybook: {file_trouble(error)} [file_trouble]", err=True)
        sys.exit(NOTHING_DONE)
    except click.ClickException as error:
        error.show()
        sys.exit(NOTHING_DONE)
    except click.exceptions.Abort:
        click.echo("carrybook: stopped.", err=True)
        sys.exit(NOTHING_DONE)
    sys.exit(outcome if isinstance(outcome, int) else 0)


def file_trouble(error: OSError) -> str:
    """A file, folder or address that the system would not give, with the mend."""
    what = f"{error.filename}: " if error.filename else ""
    why = error.strerror or type(error).__name__
    return f"{what}{why}. Mend: check the path, its permissions and the space left."


if __name__ == "__main__":
    main()
