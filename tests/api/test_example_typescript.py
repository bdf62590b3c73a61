"""The TypeScript example compiles against types generated from the description as it is now."""

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from api.app import make_app
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from tests.api.live_server import serving

EXAMPLE = Path("docs/examples/typescript")

pytestmark = pytest.mark.slow


def run(folder: Path, *command: str, **options) -> str:
    done = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=300, check=False, **options
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def generated(tmp_path_factory):
    """The example with its tools installed and its types generated."""
    folder = tmp_path_factory.mktemp("typescript")
    for path in EXAMPLE.iterdir():
        if path.is_file():
            shutil.copy(path, folder)
    document = make_app(Settings(Path("nowhere"))).openapi()
    (folder / "openapi.json").write_text(json.dumps(document))
    run(
        folder, "npm", "install", "--no-audit", "--no-fund", "--no-package-lock", "--ignore-scripts"
    )
    run(folder, "npm", "run", "generate")
    return folder


def test_the_example_compiles(generated):
    run(generated, "npm", "run", "check")


def test_the_example_runs_and_follows_the_pages(generated, store):
    with serving(make_app(Settings(store, watch_s=60))) as address:
        state = ServiceState(store)
        _, key = create_key(state, "example", ["read:profiles"])
        state.close()
        environment = os.environ | {"BOOK": address, "KEY": key, "LIMIT": "1"}
        lines = run(generated, "npm", "-s", "start", env=environment).splitlines()
    assert lines == [f"{name}: no answer yet" for name in ("Ada", "Ben", "Cleo")]


def test_a_wrong_use_does_not_compile(generated):
    wrong = (
        'import { speeds } from "./example";\nconst n: number = await speeds(1);\nexport { n };\n'
    )
    (generated / "wrong.ts").write_text(wrong)
    done = subprocess.run(
        ["npm", "run", "check"], cwd=generated, capture_output=True, text=True, check=False
    )
    (generated / "wrong.ts").unlink()
    assert done.returncode != 0
    assert "wrong.ts" in done.stdout
