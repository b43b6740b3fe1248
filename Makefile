# Every chore of the project. `make` alone prints them.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
# One test process a core; a file's tests stay together, because they share what is slow to start.
PARALLEL := -n auto --dist loadfile
# uv is much faster; pip knows settings of this machine that uv does not read.
INSTALL := $(BIN)/uv pip install --quiet --python $(BIN)/python -r
FALLBACK := $(BIN)/pip install --quiet --disable-pip-version-check -r
export PYTHONDONTWRITEBYTECODE ?= 1

.DEFAULT_GOAL := help
.PHONY: help run test check fmt endure clean pins messages

help: ## print the targets
	@grep -hE '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):.*## /\1\t/' | expand -t 12

run: $(VENV)/.run ## install, load the invented demo if the database is empty, serve; PORT=8001 chooses the port
	@$(BIN)/python manage.py up --demo $(if $(BIND),--host $(BIND))

test: $(VENV)/.dev check ## everything: checks, then all tests (on PostgreSQL too where ROOFOPS_TEST_POSTGRES is set)
	@if [ -n "$$ROOFOPS_TEST_POSTGRES" ]; then echo "== database tests on PostgreSQL" && \
		DATABASE_URL="$$ROOFOPS_TEST_POSTGRES" ROOFOPS_DB_ONLY=1 $(BIN)/pytest -q $(PARALLEL); fi
	@echo "== all tests on SQLite" && $(BIN)/pytest -q $(PARALLEL)

check: $(VENV)/.dev ## format, lint, types, direction of imports, missing migrations
	@$(BIN)/ruff format --check . && $(BIN)/ruff check . && $(BIN)/mypy && $(BIN)/lint-imports --no-logo && \
		ROOFOPS_DATA=$(VENV)/check-data $(BIN)/python manage.py makemigrations --check --dry-run

fmt: $(VENV)/.dev ## format the code and mend what lint can mend
	@$(BIN)/ruff format . && $(BIN)/ruff check --fix .

endure: $(VENV)/.dev ## kill and restart real processes five times over, and try new examples on every property
	@for run in 1 2 3 4 5; do $(BIN)/pytest -q -m endure tests/ops || exit 1; done
	@ROOFOPS_NEW_EXAMPLES=1 $(BIN)/pytest -q $(PARALLEL) tests/weather tests/jobs tests/crews/planner

clean: ## remove the venv and the caches; the data folder, with the embedded database, stays
	rm -rf $(VENV) .mypy_cache .pytest_cache .ruff_cache .hypothesis .import_linter_cache

pins: $(VENV)/.dev ## compile requirements*.in into requirements*.txt
	@for name in requirements requirements-dev; do $(BIN)/uv pip compile --quiet --upgrade --no-emit-index-url \
		--no-emit-find-links --no-header --python $(BIN)/python $$name.in -o $$name.txt; done

messages: $(VENV)/.dev ## collect the texts that are to be translated
	@$(BIN)/python manage.py makemessages -l es --ignore=.venv --ignore=data --no-location

$(BIN)/uv:
	@$(PYTHON) -c 'import sys; sys.exit("roofops needs Python 3.11 or newer." if sys.version_info < (3, 11) else 0)'
	@$(PYTHON) -m venv $(VENV) && $(BIN)/pip install --quiet --disable-pip-version-check uv

$(VENV)/.run: requirements.txt | $(BIN)/uv
	@echo "Installing what roofops needs into $(VENV) ..."
	@$(INSTALL) requirements.txt 2>/dev/null || $(FALLBACK) requirements.txt
	@touch $@

$(VENV)/.dev: requirements-dev.txt | $(BIN)/uv
	@echo "Installing what the tests need into $(VENV) ..."
	@$(INSTALL) requirements-dev.txt 2>/dev/null || $(FALLBACK) requirements-dev.txt
	@touch $@ $(VENV)/.run
