# Two commands to know: `make demo` and `make test`. Each sets up what it needs, once; the scripts
# under .ci do the work. `make` alone lists everything.
.DEFAULT_GOAL := help
.NOTPARALLEL:
.PHONY: help demo test lint bench fuzz tsan notebooks docs wheel setup clean

help: ## this list
	@awk -F ': .*## ' '/^[a-z]+: .*## / { printf "  make %-11s%s\n", $$1, $$2 }' Makefile

demo: ## the whole job on a demo system: plan on the terminal, out/report.html, out/plan.json
	@SYSTEM='$(SYSTEM)' .ci/demo.sh

test: ## every C++ and Python test, the notebooks and a stranger's CMake project, with counts
	@.ci/test.sh

lint: ## formatting, clang-tidy, ruff, mypy, and what no file may hold
	@.ci/lint.sh

bench: ## the benchmarks, beside general-purpose solvers where these are at hand
	@.ci/bench.sh

fuzz: ## random text into the quantity parser and the reader (SECONDS_EACH=20 per target)
	@SECONDS_EACH='$(SECONDS_EACH)' .ci/fuzz.sh

tsan: ## the C++ tests with the thread sanitizer
	@.ci/tsan.sh

notebooks: ## run the notebooks again and keep their output
	@.ci/notebooks.sh

docs: ## tutorial, how it reckons, and references made by the program, under out/docs
	@.ci/docs.sh

wheel: ## a wheel under dist/
	@.ci/wheel.sh

setup: ## only what the others need: Debian packages, .venv, nightbus inside it
	@.ci/setup.sh demo test lint

clean: ## remove what was built and written; .venv stays
	@rm -rf build out dist
	@echo 'Removed build, out and dist. To start from nothing: rm -rf .venv'
