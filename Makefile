# Everything a newcomer needs: `make demo` and `make test`. Both work a second time without network.
# .venv/core holds what the program needs without its window; .venv/full adds the window and the tools.

PYTHON ?= python3
BIN := .venv/bin
PIP := $(BIN)/pip --disable-pip-version-check --quiet

export QT_QPA_PLATFORM ?= offscreen

.PHONY: demo test test-window test-rest system-libraries lint wheel plain-install bench pictures run clean

demo: .venv/core
	$(BIN)/annotator demo

# Two halves of about the same length; `make --jobs=2 test` runs them side by side.
WINDOW_TESTS := $(addprefix tests/desktop/,workspace start record publishing editing timeline steps settings summary playback \
    test_pictures.py test_random_events.py)

test: test-window test-rest

test-window: system-libraries
	$(BIN)/python -m pytest -q $(WINDOW_TESTS)

test-rest: system-libraries
	$(BIN)/python -m pytest -q tests $(WINDOW_TESTS:%=--ignore=%)

system-libraries: .venv/full
	@$(BIN)/python -m tests.system_libraries

lint: .venv/full
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports

wheel: .venv/full
	.ci/wheel

plain-install:
	.ci/plain-install

bench: .venv/full
	$(BIN)/python -m tests.benchmarks

pictures: .venv/full
	@$(BIN)/python -m tests.system_libraries
	$(BIN)/python -m annotator.desktop.settings.key_page docs/keys.html
	$(BIN)/python -m docs.drawing docs/pictures
	$(BIN)/python -m docs.drawing.rooms docs/pictures/rooms.svg

run: .venv/full
	env -u QT_QPA_PLATFORM $(BIN)/annotator open

.venv/core: pyproject.toml constraints.txt
	test -x $(BIN)/pip || $(PYTHON) -m venv .venv
	$(PIP) install -c constraints.txt -e .
	@touch $@

.venv/full: .venv/core
	$(PIP) install -c constraints.txt -e '.[desktop,dev]'
	@touch $@

clean:
	rm -rf .venv build dist demo-output .mypy_cache .pytest_cache .ruff_cache .hypothesis
