# Every target works from a clean clone: `make demo` and `make test` install what they need (scripts/setup).

PYTHON_IN := .venv/bin/python
PYTEST_ARGS ?= -n auto --dist loadgroup
FUZZ_SECONDS ?= 60

.DEFAULT_GOAL := help
.PHONY: help setup demo test check fuzz bench package ranges sbom advisories clean

help: ## list these targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-10s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: ## get this machine ready to use proctool, without the test tools
	@scripts/setup demo

demo: setup ## check and build the demonstration library; says where the pages are
	@echo "demo: checking procedures/ (a company's skids) and household/ (one appliance)"
	@.venv/bin/proctool check procedures
	@.venv/bin/proctool check household
	@echo "demo: building both into build/"
	@.venv/bin/proctool build procedures --to build
	@.venv/bin/proctool build household --to build/household
	@echo "demo: the pages are in $(CURDIR)/build; start with index.html and household/index.html"

test: ## get ready, then run all checks: ruff, mypy, pytest
	@scripts/setup test
	@$(MAKE) --no-print-directory check

check: ## run all checks as they are, without getting ready; PYTEST_ARGS='-x -k name' picks tests
	@echo "check: ruff"
	@$(PYTHON_IN) -m ruff check .
	@echo "check: mypy"
	@$(PYTHON_IN) -m mypy
	@echo "check: pytest"
	@$(PYTHON_IN) -m pytest $(PYTEST_ARGS)

fuzz: ## feed every way in with damaged input, FUZZ_SECONDS=60 each
	@$(PYTHON_IN) -m tests.fuzz all --seconds $(FUZZ_SECONDS)

bench: ## measure what the proof costs; the numbers stand in benchmarks/README.md
	@$(PYTHON_IN) -m benchmarks.proof
	@$(PYTHON_IN) -m benchmarks.demo
	@$(PYTHON_IN) -m benchmarks.manuals
	@$(PYTHON_IN) -m benchmarks.audit
	@$(PYTHON_IN) -m benchmarks.draft
	@$(PYTHON_IN) -m benchmarks.against_solver
	@$(PYTHON_IN) -m benchmarks.mutation
	@$(PYTHON_IN) -m benchmarks.check
	@$(PYTHON_IN) -m benchmarks.scale

package: setup ## build source archive and wheel into dist/, and try the wheel where nothing else is
	@scripts/package

ranges: setup ## run the core's tests with the lowest and the newest packages that are let in
	@scripts/ranges lowest
	@scripts/ranges newest

sbom: setup ## write build/sbom.json, a bill of materials of what the wheel brings along (CycloneDX)
	@scripts/supply sbom

advisories: setup ## ask the package index for known faults in what the wheel brings along
	@scripts/supply advisories

clean: ## take away what builds and checks wrote; .venv stays
	@find build -mindepth 1 ! -path build/.gitignore -delete
	@rm -rf .setuptools dist .mypy_cache .pytest_cache .ruff_cache .hypothesis *.egg-info
	@find proctool schemas tests -name __pycache__ -type d -prune -exec rm -rf {} +
