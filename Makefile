# Everything runs in .venv; nothing is installed elsewhere.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STORE ?= demo-store
ARGS ?=
# Tests that need a program which is not there are left out, and it is said.
LEFT_OUT := $(if $(shell command -v chromium),,browser) $(if $(shell command -v npm),,node)
MARKS := (slow or not slow)$(foreach mark,$(LEFT_OUT), and not $(mark))

# `make test ARGS="-m 'not slow and not browser'"` is the quick round.

.PHONY: demo test coverage setup check serve bench clean

setup: $(VENV)/.ready

$(VENV)/.ready: constraints.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e ".[dev]"
	touch $@

demo: setup
	$(BIN)/carrybook demo --store $(STORE)

test: setup
	@$(if $(strip $(LEFT_OUT)),echo "left out for want of Chromium or npm: $(LEFT_OUT)",:)
	$(BIN)/python -m pytest -m "($(MARKS))" $(ARGS)

coverage: setup
	$(BIN)/python -m pytest -m "($(MARKS))" --cov --cov-report=term-missing $(ARGS)

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
