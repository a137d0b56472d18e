# What CI runs is what you run: `make check`. Each target installs what it needs.
GO    ?= go
TOOL  := $(GO) tool -modfile=tools/go.mod
PAGES := tools/web
# The tests of these take longest: they begin first, the others fill the gaps.
LONGEST := ./internal/poolside ./internal/web ./internal/cli ./internal/film
# These share state between goroutines.
SHARING := ./internal/poolside/... ./internal/web/... ./internal/store/... ./internal/jobs/... ./internal/spread/...

.PHONY: build check needs fmt lint test race web cross golden fuzz bench demo-clips validation validation-model

build: ## the binary, at bin/underkick
	CGO_ENABLED=0 $(GO) build -trimpath -ldflags="-s -w -buildid=" -o bin/underkick ./cmd/underkick

check: ## everything CI runs: needs, fmt, lint, test, race, web, cross, with the time of each
	./scripts/check.sh

needs: ## Chromium, ffmpeg and Node, by the system's package manager
	./scripts/needs.sh

fmt:
	@out=$$($(TOOL) gofumpt -l $$(git ls-files '*.go')); test -z "$$out" || { echo "not formatted (run: $(TOOL) gofumpt -w FILES):"; echo "$$out"; exit 1; }

lint:
	CGO_ENABLED=0 $(GO) vet ./...
	$(TOOL) staticcheck ./...
	$(TOOL) errcheck -ignoretests -exclude tools/errcheck.txt ./...

test: ## every test; fails when one was skipped
	CGO_ENABLED=0 $(GO) run -C tools ./testrun -- -C .. -count=1 -vet=off -timeout 20m $(LONGEST) ./...

race: ## the packages that share state between goroutines
	CGO_ENABLED=1 $(GO) run -C tools ./testrun -skips -- -C .. -race -short -count=1 -vet=off -timeout 40m $(SHARING)

web: ## type check, lint and unit tests of the page scripts
	cd $(PAGES) && npm ci --no-audit --no-fund && npm test

cross: ## the other systems build too
	GOOS=windows GOARCH=amd64 CGO_ENABLED=0 $(GO) build -o /dev/null ./cmd/underkick
	GOOS=darwin GOARCH=arm64 CGO_ENABLED=0 $(GO) build -o /dev/null ./cmd/underkick

golden: ## rewrite the golden files; read the diff before you commit
	CGO_ENABLED=0 $(GO) test $$(grep -rl 'flag.Bool("update"' --include='*_test.go' internal | xargs -n1 dirname | sort -u | sed 's|^|./|') -update

fuzz: ## every fuzz target for one minute
	./scripts/fuzz.sh

bench:
	CGO_ENABLED=0 $(GO) test -run '^$$' -bench . -benchmem ./...

validation-model: ## compute docs/validation.md anew (some ten minutes)
	CGO_ENABLED=0 $(GO) test -count=1 -timeout 60m -run ValidationDocument ./internal/limit/worth -validate

demo-clips: ## render the demo clips again, by the embedded engine so that the bytes are the same everywhere (minutes)
	CGO_ENABLED=0 $(GO) run ./cmd/underkick demo --render internal/demo/clips --film embedded

validation: ## measure the marking against the demo's truth again, with and without the guess: docs/validation-landmarks.md (some ten minutes the first time)
	CGO_ENABLED=0 $(GO) run ./cmd/underkick evaluate --demo --guess --worth --markdown > docs/validation-landmarks.md
