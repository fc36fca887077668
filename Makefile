# Two commands do everything: `make run` opens the app, `make test` runs the whole suite.
PYTHON ?= python3
BIN := .venv/bin
UV := $(BIN)/uv pip install -q --python $(BIN)/python
export OPENBLAS_NUM_THREADS := 1
export OMP_NUM_THREADS := 1

.PHONY: run test quick languages lowest coverage bench mutants house verification lock screenshots clean scripts

run: .stamps/run
	$(BIN)/polewright open

test: .stamps/test
	$(BIN)/python -m tests.run

quick: .stamps/test
	$(BIN)/python -m pytest -q -n 2 --dist loadfile -m "not slow and not browser and not postgres" tests

# The whole suite in the two languages made for tests: all texts marked, all texts reworded; without tests of wording.
languages: .stamps/test
	for language in x-marked x-reworded; do POLEWRIGHT_LANGUAGE=$$language $(BIN)/python -m pytest -q -n 2 --dist loadfile -m "not wording" tests || exit 1; done

# The quick part with the oldest versions that pyproject.toml allows, in an environment of its own.
LOW := .venv-lowest
lowest: .stamps/test
	$(BIN)/uv pip compile -q --python-version 3.11 --resolution lowest-direct --all-extras --group dev --no-header --no-annotate pyproject.toml -o $(LOW).txt
	test -x $(LOW)/bin/python || $(PYTHON) -m venv $(LOW)
	$(BIN)/uv pip sync -q --python $(LOW)/bin/python $(LOW).txt
	$(BIN)/uv pip install -q --python $(LOW)/bin/python --no-deps --no-build-isolation -e .
	NUMBA_CACHE_DIR=$(LOW)/numba $(LOW)/bin/python -m pytest -q -n 2 --dist loadfile -m "not slow and not browser and not postgres" tests

# Lines and branches that the whole suite runs; loops that numba compiles count only where their plain twins run.
coverage: .stamps/test
	$(BIN)/python -m coverage erase
	$(BIN)/python -m coverage run -m pytest -q -n 2 --dist loadfile tests
	$(BIN)/python -m coverage combine -q
	$(BIN)/python -m coverage report

bench: .stamps/test
	$(BIN)/python -m benchmarks

# Faults planted at random, and those with a name; the share that the tests notice must be 95 % at least.
# ROOMS="web cli" or FILES=sheet/card draw from these alone; AGAIN=1 tries only those not noticed so far.
COUNT ?= 400
SEED ?= 20260
ROOMS ?=
FILES ?=
AGAIN ?=
mutants: .stamps/test
	$(BIN)/python -m tests.mutants --slow --count $(COUNT) --seed $(SEED) --rooms "$(ROOMS)" --files "$(FILES)" $(if $(AGAIN),--again)

# The picture of the rooms in docs/house.md, from the imports; and the pages that are made from something else.
house: .stamps/test
	$(BIN)/python docs/house_picture.py
	$(BIN)/python docs/assemble.py

verification: .stamps/test
	$(BIN)/python -m tests.verification

screenshots: .stamps/test
	$(BIN)/python -m tests.screenshots

# The target of each stamp is an environment that fits its lock file.
.stamps/run: requirements.lock pyproject.toml
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Polewright needs Python 3.11 or newer")'
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/python -m pip install -q uv==0.13.9
	$(UV) --compile-bytecode --require-hashes -r requirements.lock
	$(UV) --no-deps --no-build-isolation -e .
	$(BIN)/python -m polewright.cli.warm
	mkdir -p .stamps && touch $@

.stamps/test: .stamps/run requirements-dev.lock
	$(UV) --compile-bytecode --require-hashes -r requirements-dev.lock
	touch $@

# Types and lint of the scripts of the pages; needs node and npm.
scripts: .stamps/scripts
	npm run -s check

.stamps/scripts: package-lock.json
	npm ci --no-audit --no-fund
	mkdir -p .stamps && touch $@

# For developers, after a change of dependencies: two locks without a single address in them.
lock:
	$(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --all-extras --group dev --no-header --no-annotate pyproject.toml -o requirements-dev.lock
	$(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --group build --constraints requirements-dev.lock pyproject.toml -o requirements.lock
	! grep -E 'https?://|file:|index-url|find-links' requirements.lock requirements-dev.lock

clean:
	rm -rf .venv .stamps $(LOW) $(LOW).txt
