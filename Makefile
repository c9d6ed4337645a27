# make check and make test install what they need (Debian packages, as root or through sudo); go test ./... alone needs Go.
SHELL := /bin/bash
SUDO := $(shell [ "$$(id -u)" = 0 ] || echo sudo)
# What the tests compare with: a browser, a PDF reader, a code reader, a serial network server, a matching library,
# a statistics language.
PACKAGES := chromium poppler-utils zbar-tools ser2net socat liblemon-dev g++ r-base-core fonts-dejavu-core
FUZZTIME ?= 30s
FUZZDECODES ?= 1000000x
GO ?= go

.PHONY: demo test bench fuzz packages check workshop flaps mutants

demo:
	$(GO) run ./cmd/springline demo

packages:
	@missing=$$(for p in $(PACKAGES); do dpkg -s $$p >/dev/null 2>&1 || echo $$p; done); \
	if [ -n "$$missing" ]; then $(SUDO) apt-get update -q && $(SUDO) env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends $$missing; fi

# Packages with goroutines, for the race detector (which needs g++'s C compiler); their tests with a browser are left
# to make test.
RACY := ./device/... ./session ./session/store ./session/web ./qc/pairing ./cmd/springline/wiring ./cmd/springline/access
TAGS := full,check,mutants

check: packages
	@bad=$$(gofmt -l cmd device qc reports session); if [ -n "$$bad" ]; then echo "not gofmt-clean:"; echo "$$bad"; exit 1; fi
	$(GO) vet ./... && $(GO) vet -tags $(TAGS) ./...
	$(GO) mod tidy -diff
	$(GO) tool staticcheck -tags $(TAGS) ./...
	$(GO) test -tags check ./cmd/springline/checks
	$(GO) test -run 'Arrows|Planted' ./cmd/springline
	$(GO) test -race -p 2 -timeout 30m $(RACY)

# All there is to prove: the checks, the tests that compare with other programs, a dozen mutants. The packages that take
# longest begin, so that none of them is left running alone.
LONG := ./session/web ./cmd/springline ./qc/pairing ./session ./reports
test: check
	$(GO) test -p 2 -timeout 40m -tags full $(LONG) ./...
	$(GO) test -vet=off -timeout 20m -tags full,mutants ./cmd/springline/checks -some 12

bench:
	$(GO) test -p 1 -run '^$$' -bench . -benchtime 1s ./...

# Every fuzz target for FUZZTIME, the frame decoder for a million executions; the seeds run in make test as well.
fuzz:
	@set -e; for p in $$($(GO) list ./...); do \
	  for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz' || true); do \
	    t=$(FUZZTIME); if [ $$f = FuzzDecode ]; then t=$(FUZZDECODES); fi; \
	    echo "$$p $$f $$t"; $(GO) test -run '^$$' -fuzz "^$$f\$$" -fuzztime $$t -fuzzminimizetime 20x $$p; done; done

# The adviser in a closed loop against hidden plants, beside a script that does not learn.
workshop:
	$(GO) test ./cmd/springline/workshop -run Workshop -v -timeout 60m -plants 24

# 500 unplugs and replugs under other names: no reading may reach the wrong gauge.
flaps:
	SPRINGLINE_FLAPS=500 $(GO) test -timeout 30m -run TestFlaps -v ./device

# Every rule of cmd/springline/checks/mutants put wrong in turn: the test named beside it must go red.
mutants:
	$(GO) test -vet=off -count 1 -timeout 120m -tags full,mutants ./cmd/springline/checks -run TestMutants
