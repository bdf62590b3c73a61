"""Every reason and mend that the sources of some modules can say, with places as {0}, {1} …"""

import ast
from collections.abc import Iterator
from importlib import import_module
from inspect import getmembers, isclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROBLEM = "Problem"


def errors() -> frozenset[str]:
    """Names of the errors of both packages that carry a reason and a mend."""
    found = {PROBLEM}
    for package in ("ingest", "analytics"):
        module = import_module(f"{package}.errors")
        found |= {name for name, _ in getmembers(module, isclass)}
    return frozenset(found)


def said_by(module: str, names: frozenset[str]) -> Iterator[str]:
    """Texts of the errors that a module makes, and of every `why` in it."""
    source = (ROOT / module.replace(".", "/")).with_suffix(".py").read_text("utf-8")
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            name = node.func.id if isinstance(node.func, ast.Name) else ""
            given = node.args[2:4] if name == PROBLEM else node.args[:2]
            if name in names:
                yield from (text for one in given for text in _texts(one))
            yield from (t for k in node.keywords if k.arg == "why" for t in _texts(k.value))
            if name == "Open":
                yield from (text for one in node.args[2:] for text in _texts(one))
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "why":
            yield from _texts(node.value)


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value:
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)
    elif isinstance(node, ast.JoinedStr):
        parts = [part.value if isinstance(part, ast.Constant) else None for part in node.values]
        places = iter(range(len(parts)))
        yield "".join(f"{{{next(places)}}}" if part is None else str(part) for part in parts)
