# One place for every command; each does the set-up that it needs.
SHELL := /bin/sh
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.PHONY: help setup run test rates faults check bench format texts lock clean

help:
	@echo "make run     set up, then open the desk with the demo book"
	@echo "make test    set up, then run every test, real browser included"
	@echo "make rates   the long simulations of how often an answer is wrong"
	@echo "make faults  kills, full disks, locks, restarts under load, the long version"
	@echo "make check   types, lint, layers, spelling, known vulnerabilities of dependencies"
	@echo "make bench   timings"
	@echo "make texts   bring the catalogues of the students' texts up to date"
	@echo "make lock    resolve the lock files anew"

setup: $(VENV)/.run-ready

$(VENV)/bin/pip:
	@sh tools/make-venv.sh $(PYTHON) $(VENV)

$(VENV)/.run-ready: requirements/run.lock pyproject.toml | $(VENV)/bin/pip
	$(BIN)/pip install --quiet --require-hashes -r requirements/run.lock
	$(BIN)/pip install --quiet --no-deps --editable .
	@touch $@

$(VENV)/.dev-ready: requirements/dev.lock $(VENV)/.run-ready
	$(BIN)/pip install --quiet --require-hashes -r requirements/dev.lock
	@touch $@

run: setup
	$(BIN)/leadfoot demo --book .leadfoot/demo.book --keep
	$(BIN)/leadfoot open --book .leadfoot/demo.book

test: $(VENV)/.dev-ready
	@sh tools/find-chromium.sh
	@sh tools/fetch-recordings.sh $(BIN)/python
	OPENBLAS_NUM_THREADS=1 $(BIN)/pytest -n 2 --dist loadgroup

rates: $(VENV)/.dev-ready
	OPENBLAS_NUM_THREADS=1 $(BIN)/pytest tests/rates tests/kernels --rates -n 2

faults: $(VENV)/.dev-ready
	$(BIN)/pytest tests/faults --faults -x

check: $(VENV)/.dev-ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/codespell
	$(BIN)/python tools/audit.py requirements/run.lock $(BIN)/pip-audit

bench: $(VENV)/.dev-ready
	$(BIN)/pytest benchmarks --benchmark-only --benchmark-columns=min,median,max -o python_files='bench_*.py' -o testpaths=benchmarks

texts: $(VENV)/.dev-ready
	$(BIN)/python -m tests.language.texts $(NEW)

format: $(VENV)/.dev-ready
	$(BIN)/ruff check --fix-only --quiet .
	$(BIN)/ruff format --quiet .

lock:
	$(PYTHON) -m venv .venv-lock && .venv-lock/bin/pip install --quiet uv
	.venv-lock/bin/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate pyproject.toml -o requirements/run.lock
	.venv-lock/bin/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate pyproject.toml --group dev -o requirements/dev.lock
	rm -rf .venv-lock

clean:
	rm -rf $(VENV) .leadfoot .mypy_cache .ruff_cache .pytest_cache
