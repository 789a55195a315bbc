# The whole job from a terminal. A fresh machine needs Python (3.11 or newer) and make.
PYTHON ?= python3
PORT ?= 8000
SITE_URL ?= http://127.0.0.1:$(PORT)/
VENV := .venv
RUN := $(VENV)/bin/python
PY_STAMP := $(VENV)/python.stamp
NODE_STAMP := node_modules/.stamp

export PATH := $(CURDIR)/$(VENV)/bin:$(PATH)

APART := $(addprefix tests/browser/test_,failed_start.py recording.py recording_flac.py rig_sheets.py\
  same_numbers.py snapshot.py)

.DEFAULT_GOAL := help
.PHONY: help setup serve build check test test-site test-browser test-browser-apart test-core test-pages bench screenshot lock clean

help: ## list the targets
	@grep -hE '^[a-z-]+:.*## ' Makefile | sed -E 's/^([a-z-]+):.*## (.*)/  make \1\t\2/' | expand -t 20

setup: $(PY_STAMP) $(NODE_STAMP) ## install everything the project needs, in this folder

$(PY_STAMP): requirements-dev.txt pyproject.toml
	$(PYTHON) site_src/versions.py
	test -x $(RUN) || $(PYTHON) -m venv $(VENV)
	$(RUN) -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.txt
	$(RUN) -m pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

$(NODE_STAMP): package-lock.json $(PY_STAMP)
	$(RUN) -m site_src.get_node
	npm ci --no-audit --no-fund --loglevel=error
	touch $@

serve: setup ## build the handbook and serve it; prints the address (PORT=8000)
	$(RUN) -m site_src.build --site build/site --url $(SITE_URL)
	$(RUN) -m site_src.serve --site build/site --port $(PORT)

build: setup ## build the handbook into build/site (SITE_URL=address it will have)
	$(RUN) -m site_src.build --site build/site --url $(SITE_URL)

check: setup ## lint and types: Python and JavaScript
	$(RUN) -m ruff check .
	$(RUN) -m ruff format --check .
	$(RUN) -m mypy
	npm run --silent check

test: check ## check, then every test (needs chromium and ngspice, says so if absent)
	$(RUN) -m site_src.system_tools chromium ngspice
	$(MAKE) -k -j2 test-browser test-core test-pages test-browser-apart

test-site: # the handbook, built once for the two that read it
	$(RUN) -m tests.built

test-browser: test-site
	TEST_SITE=built $(RUN) -m pytest tests/browser $(APART:%=--ignore=%)

# These follow no link from page to page: they run beside the others when the core's tests are
# through, at another address than the one that the site was built for.
test-browser-apart: test-site
	TEST_SITE=elsewhere $(RUN) -m pytest $(APART)

test-core: # all that needs no site; first beside its build, then beside the browser
	$(RUN) -m pytest --ignore=tests/browser -m "not site"

test-pages: test-site
	TEST_SITE=built $(RUN) -m pytest tests/site -m site

bench: setup ## measure speed and size; ratios within one run
	$(RUN) -m site_src.system_tools chromium
	$(RUN) -m tests.bench

screenshot: setup ## make the picture that the README shows
	$(RUN) -m site_src.system_tools chromium
	$(RUN) -m site_src.screenshot

lock: setup ## write requirements-dev.txt and package-lock.json anew from their wishes
	$(VENV)/bin/pip install --quiet uv==0.13.9
	$(VENV)/bin/uv pip compile --quiet --universal --python-version 3.11 --extra dev --generate-hashes --no-header pyproject.toml -o requirements-dev.txt
	npm install --package-lock-only

clean: ## remove all that was built or installed here
	rm -rf build $(VENV) node_modules *.egg-info .mypy_cache .ruff_cache .pytest_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +
