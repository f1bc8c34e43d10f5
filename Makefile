# The ways to use a checkout.  Everything lands in .venv and build; `make clean` removes both.
#
#   make demo      make the shipped Dunlin design
#   make test      all tests and doctests
#   make browser   the dossier's page in Chromium; takes chromium, node and npm
#   make nightly   the slow oracles
#   make lint      style, formatting and types
#   make docs      the documentation, into build/docs
#   make bench     the benchmarks
#   make renders   the pictures in renders
#   make script    the dossier's script anew, from pipeline/dossier/viewer; takes node and npm
#   make lock      work out requirements/*.txt anew; LOCK_FLAGS=--upgrade takes newer releases
#
# PYTHON=... names the interpreter to make .venv with.
.POSIX:
.PHONY: demo test browser nightly lint docs bench renders script lock clean libraries

RUN = .venv/bin/python
VIEWER = pipeline/dossier/viewer
PIP = $(RUN) -m pip --quiet --disable-pip-version-check install
# No index is asked for the project itself: its build backend is among the locked packages.
SELF = --no-index --no-deps --no-build-isolation --editable .
LOCK = $(RUN) -m uv pip compile --quiet pyproject.toml --group build --universal \
	--python-version 3.11 --fork-strategy fewest --generate-hashes --only-binary :all: \
	--emit-build-options --no-emit-index-url --no-emit-find-links \
	--custom-compile-command "make lock" $(LOCK_FLAGS)

demo: libraries .venv/run.stamp
	@mkdir -p build
	.venv/bin/corewright make shapes/designs/dunlin.yaml --out build/dunlin
	@echo "Look into build/dunlin: README.md first, then cutaway.png and dunlin.step."

test: libraries .venv/dev.stamp
	$(RUN) -m pytest -n 2 --benchmark-disable

# The committed script must be what its sources make.
browser: libraries .venv/dev.stamp $(VIEWER)/node_modules/.stamp
	cd $(VIEWER) && node build.mjs --check
	$(RUN) -m pytest tests/browser -o 'norecursedirs=.*' -n 2

nightly: libraries .venv/dev.stamp
	$(RUN) -m pytest tests/nightly -o 'norecursedirs=.*' -v

lint: .venv/dev.stamp
	$(RUN) -m ruff check
	$(RUN) -m ruff format --check
	$(RUN) -m mypy

docs: .venv/dev.stamp
	$(RUN) -m sphinx -q -b html -n -W --keep-going -d build/doctrees docs build/docs
	@echo "Open build/docs/index.html."

bench: libraries .venv/dev.stamp
	$(RUN) -m pytest benchmarks --benchmark-only

renders: libraries .venv/run.stamp
	$(RUN) docs/make_renders.py

script: $(VIEWER)/node_modules/.stamp
	cd $(VIEWER) && node build.mjs

# run.txt bounds dev.txt, so that a package stands at one version in both.
lock: .venv/dev.stamp
	$(LOCK) --output-file requirements/run.txt
	$(LOCK) --all-extras --group lock --constraints requirements/run.txt \
		--output-file requirements/dev.txt

clean:
	rm -rf .venv build dist ./*.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis \
		.benchmarks $(VIEWER)/node_modules

# Said before anything large is fetched.
libraries: .venv/bin/python
	@$(RUN) -m pipeline.system_libraries

$(VIEWER)/node_modules/.stamp: $(VIEWER)/package.json $(VIEWER)/package-lock.json
	cd $(VIEWER) && npm ci --ignore-scripts --no-audit --no-fund
	@touch $@

.venv/dev.stamp: .venv/run.stamp requirements/dev.txt
	$(PIP) --require-hashes -r requirements/dev.txt
	@touch $@

.venv/run.stamp: .venv/bin/python requirements/run.txt pyproject.toml
	@echo "Installing the CAD kernel and the renderer, about 2 GB; this takes a minute or two."
	$(PIP) --require-hashes -r requirements/run.txt
	$(PIP) $(SELF)
	@touch $@

.venv/bin/python:
	@for python in "$(PYTHON)" python3.13 python3.12 python3.11 python3; do \
		test -n "$$python" || continue; \
		if "$$python" -c 'import sys, venv, ensurepip; \
			sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 14))' 2>/dev/null; then \
			echo "Making .venv with $$python."; \
			exec "$$python" -m venv .venv; \
		fi; \
		test -z "$(PYTHON)" || break; \
	done; \
	echo "Corewright needs Python 3.11, 3.12 or 3.13 with its venv module, and found none;" \
		"on Debian: apt-get install python3 python3-venv; or name one: make PYTHON=..." >&2; \
	exit 1
