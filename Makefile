# `make demo` is all that a first look needs; DEVELOPERS.md explains the rest.
PYTHON_BIN = .venv/bin/python
ARGS ?=

.PHONY: help demo run test check bench ready ready-for-tests

help:
	@echo "make demo    the whole walk on an invented whistle and maker: no microphone needed"
	@echo "make run     the program"
	@echo "make test    all tests          (ARGS='tests/acoustics -x' for some)"
	@echo "make check   ruff and mypy"
	@echo "make bench   the measurements   (BENCH=reading ARGS=--quick for a first look at one)"

demo: ready
	@.venv/bin/whistlewright demo $(ARGS)

run: ready
	@.venv/bin/whistlewright $(ARGS)

test: ready-for-tests
	$(PYTHON_BIN) -m pytest $(ARGS)

check: ready-for-tests
	$(PYTHON_BIN) -m ruff check .
	$(PYTHON_BIN) -m mypy

# A bench is a package of tests/bench that can be run; each prints its own table.
BENCH ?= $(patsubst tests/bench/%/__main__.py,%,$(wildcard tests/bench/*/__main__.py))
bench: ready-for-tests
	@set -e; for name in $(BENCH); do echo "== $$name"; $(PYTHON_BIN) -m tests.bench.$$name $(ARGS); done

ready:
	@sh tools/setup.sh run

ready-for-tests:
	@sh tools/setup.sh test
