"""Prints the benchmark table: ratios and values against their aims.

    python -m tests.bench [--json] [--group GROUP] [--quick]

Every module of this folder that has a function `rows(quick: bool) -> list[Row]` takes part; it
belongs to the group that its name begins with.
"""

import argparse
import importlib
import json
import os
import pkgutil
import sys
from collections.abc import Iterator
from dataclasses import asdict

import tests.bench
from tests.bench.rows import Row


def modules(group: str | None) -> Iterator[str]:
    """Names of the benchmark modules, of one group or of all."""
    for module in pkgutil.iter_modules(tests.bench.__path__):
        if module.name.startswith("_") or module.name == "rows":
            continue
        name = module.name.replace("_", "-")
        if group is None or name == group or name.startswith(f"{group}-"):
            yield module.name


def collect(group: str | None, quick: bool) -> Iterator[Row]:
    """Rows as they are measured."""
    for name in modules(group):
        module = importlib.import_module(f"tests.bench.{name}")
        if hasattr(module, "rows"):
            print(f"measuring {name} …", file=sys.stderr, flush=True)
            yield from module.rows(quick)


def as_text(row: Row) -> str:
    figure = f"ratio {row.ratio:.3g}" if row.ratio is not None else f"{row.value:.4g}"
    verdict = "ok  " if row.holds else "MISS"
    return f"{verdict} {row.group:<13} {row.name:<70} {figure:>14}   aim {row.aim}"


def as_json(row: Row) -> dict[str, object]:
    return {name: value for name, value in asdict(row).items() if value is not None}


def main() -> int:
    """Measure and print; exit 0 whether or not every aim holds."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--group")
    parser.add_argument("--quick", action="store_true", help="small samples, for a first look")
    given = parser.parse_args()
    os.environ.setdefault("OMP_NUM_THREADS", "2")
    found = []
    for row in collect(given.group, given.quick):
        found.append(as_json(row))
        if not given.json:
            print(as_text(row), flush=True)
    if given.json:
        print(json.dumps(found, indent=1, ensure_ascii=False))
    return 0


if __name__ == "__main__":
    sys.exit(main())
