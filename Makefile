# make demo   make the demo shop, write its papers, serve it on 127.0.0.1
# make test   everything: style, types, layers, all tests on SQLite, all that touch a database on PostgreSQL too, in a real browser
# make check  style, types and layers only        make bench  the measured claims
# make run    open your own book                  make lock   renew the lock files (developers)

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet
JOBS ?= 2
# Where tests touch the database; the others give the same on either engine (tests/conftest.py sees to it). How pages look in a
# browser does not hang on the engine: there the whole job is done once more.
WITH_DATABASE := tests/book tests/desk tests/drawers tests/demo tests/web tests/browser/test_journey.py

.PHONY: demo run test check sqlite postgresql browser bench lock pictures clean
.DEFAULT_GOAL := demo

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "tallboy needs Python 3.11 or newer. Name one: make PYTHON=python3.12 …"; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run: requirements/run.txt pyproject.toml | $(VENV)/bin/python
	$(PIP) --require-hashes -r requirements/run.txt
	$(PIP) --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.dev: requirements/dev.txt $(VENV)/.run
	$(PIP) --require-hashes -r requirements/dev.txt
	@touch $@

demo: $(VENV)/.run
	$(BIN)/tallboy demo --book demo-book --to demo-papers --no-browser

run: $(VENV)/.run
	$(BIN)/tallboy open

check: $(VENV)/.dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy src tests bench
	$(BIN)/lint-imports

browser: $(VENV)/.dev
	$(BIN)/python tests/browser/chromium.py

sqlite: $(VENV)/.dev browser
	$(BIN)/pytest -n $(JOBS) -q tests

postgresql: $(VENV)/.dev browser
	$(BIN)/python tests/with_postgresql.py $(BIN)/pytest -n $(JOBS) -q $(WITH_DATABASE)

test: check sqlite postgresql

bench: $(VENV)/.dev
	@for file in bench/[a-z]*.py; do $(BIN)/python -m bench.$$(basename $$file .py) || exit 1; done

pictures: $(VENV)/.dev browser
	$(BIN)/python -m docs.pictures.make

lock: $(VENV)/bin/python
	$(PIP) uv
	$(BIN)/uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes --no-header \
	  --annotation-style line --extra postgresql --group build -o requirements/run.txt
	$(BIN)/uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes --no-header \
	  --annotation-style line --extra postgresql --group dev -o requirements/dev.txt

clean:
	rm -rf $(VENV) demo-book demo-papers
