"""House rules that a machine can check: size, direction of imports, purity, help texts."""

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import click
import pytest

from api.cli import cli

HERE = Path(__file__).parent.parent
PACKAGES = ("schemas", "ingest", "analytics", "api", "demo_data")
SOURCES = sorted(path for package in PACKAGES for path in (HERE / package).rglob("*.py"))
LONGEST_FILE, LONGEST_FUNCTION = 300, 40
LARGEST_FILE_BYTES = 1_000_000

# Modules that compute: no file, network or clock, whatever the caller does with the answer.
READS_FILES = {
    "analytics": {"db", "scored_rules", "store_files"},
    "ingest": {
        "answering",
        "containers",
        "derived",
        "edits",
        "hand_entry",
        "import_file",
        "import_large",
        "layout_files",
        "ledger_entry",
        "overlap",
        "own_tests",
        "players",
        "population_file",
        "prepare",
        "prepare_ahead",
        "read_columns",
        "read_csv",
        "read_export",
        "store",
        "store_writing",
        "stream_reading",
        "sync",
        "whole_file",
    },
}
OUTSIDE = {"os", "pathlib", "socket", "subprocess", "tempfile", "urllib", "http", "time", "shutil"}


def name_of(path: Path) -> str:
    return str(path.relative_to(HERE))


@pytest.mark.parametrize("path", SOURCES, ids=name_of)
def test_files_and_functions_stay_small(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= LONGEST_FILE
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            assert node.end_lineno is not None
            body = node.end_lineno - node.body[0].lineno + 1
            doc = node.body[0].end_lineno - node.body[0].lineno if ast.get_docstring(node) else 0
            assert body - doc <= LONGEST_FUNCTION, node.name


def test_imports_point_one_way():
    # In a process of its own: it silences every logger that is there already.
    lint = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    run = [sys.executable, "-c", lint]
    found = subprocess.run(run, check=False, cwd=HERE, capture_output=True, text=True)
    assert found.returncode == 0, found.stdout


def imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.partition(".")[0])
    return found


@pytest.mark.parametrize("package", READS_FILES)
def test_what_computes_touches_nothing_outside(package):
    for path in (HERE / package).glob("*.py"):
        if path.stem not in READS_FILES[package]:
            assert not imported(path) & OUTSIDE, path.name


def test_the_list_of_modules_that_read_files_is_true():
    for package, names in READS_FILES.items():
        for name in names:
            assert imported(HERE / package / f"{name}.py") & OUTSIDE, name


@pytest.mark.parametrize("verb", cli.list_commands(click.Context(cli)))
def test_every_verb_shows_an_example_and_speaks_json(verb):
    command = cli.get_command(click.Context(cli), verb)
    assert command is not None
    assert re.search(r"Examples?:", command.help or "")
    members = command.commands.values() if isinstance(command, click.Group) else [command]
    for member in members:
        options = {flag for parameter in member.params for flag in parameter.opts}
        assert "--json" in options, member.name


def test_every_verb_stands_in_the_table_of_the_readme():
    table = re.findall(r"`([^`]+)`", (HERE / "README.md").read_text("utf-8"))
    named = {entry.split()[0] for entry in table}
    assert set(cli.list_commands(click.Context(cli))) <= named


def test_questions_take_named_parameters_only():
    for path in (HERE / "analytics").rglob("*.sql"):
        text = path.read_text("utf-8")
        assert text.startswith("--"), f"{path.name} does not open with its question"
        code = re.sub(r"--.*", "", text)
        assert not re.search(r"\?(?!\?)|\{\w*\}", code), path.name


def test_the_package_lists_what_it_needs():
    project = tomllib.loads((HERE / "pyproject.toml").read_text("utf-8"))["project"]
    lines = (HERE / "constraints.txt").read_text("utf-8").split()
    pins = {line.partition("==")[0].lower().replace("_", "-") for line in lines}
    for requirement in project["dependencies"]:
        assert re.split(r"[<>=]", requirement)[0].lower() in pins


def test_only_what_belongs_is_kept_in_the_repository():
    """No spill file, store or large file slips in with the rest."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=HERE, capture_output=True, check=True)
    names = [name for name in listed.stdout.decode().split("\0") if name]
    assert names
    for name in names:
        path = HERE / name
        assert not path.is_file() or path.stat().st_size <= LARGEST_FILE_BYTES, name
