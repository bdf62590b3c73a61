# Everything runs in .venv; nothing is installed elsewhere.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STORE ?= demo-store
ARGS ?=

.PHONY: demo test setup check serve bench clean

setup: $(VENV)/.ready

$(VENV)/.ready: constraints.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e ".[dev]"
	touch $@

demo: setup
	$(BIN)/carrybook demo --store $(STORE)

test: setup
	$(BIN)/python -m pytest $(ARGS)

check: setup
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m schemas.describe --check

serve: setup
	$(BIN)/carrybook serve --store $(STORE)

bench: setup
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e ".[dev,bench]"
	$(BIN)/python -m tests.bench $(ARGS)

clean:
	rm -rf $(VENV) $(STORE) .pytest_cache .mypy_cache .ruff_cache .hypothesis build *.egg-info
