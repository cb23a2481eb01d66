# make demo   builds, and plays and judges the built-in performance
# make test   everything that has to hold
# make long   what takes longer
# make build  bin/bordon, and in bin/share what is installed beside it
# make install, make uninstall   below PREFIX, and that below DESTDIR
# make release  archives for five systems, in bin/release

GO ?= go
STATICCHECK = $(GO) run honnef.co/go/tools/cmd/staticcheck@v0.8.2
# The race detector where goroutines meet; the rest is single-threaded and left
# to long, and so is what judges file after file on one goroutine: that takes ten
# minutes under the detector.
RACE = ./ui ./ui/words ./listen ./listen/decode ./listen/live/... ./listen/audio/... ./listen/take/... ./cmd/bordon
UNRACED = ^Test(Class.*|Key.*|Check.*|Readme.*|Export.*|Line.*|Sheet.*|.*Spanish|Import|TheProgramKeepsItsContracts|JSONIs.*|ATakesJourney|Follow.*|Free.*|ThePulseHasNoTuning|TheEarSpeaksInTime)$$
RACED = ^Test(CheckSeveral|ClassRowsDependOnNothingElse)$$

PREFIX ?= /usr/local
VERSION ?= $(shell git describe --tags --always --dirty 2>/dev/null)
LDFLAGS = -ldflags "-X main.version=$(VERSION)"

.PHONY: install uninstall release reproducible
.PHONY: demo build nomic test long vet fmt staticcheck unit race fuzz sound cross pictures clean

demo: build
	@bin/bordon demo

build:
	@.ci/need build
	$(GO) build $(LDFLAGS) -o bin/bordon ./cmd/bordon
	$(GO) run ./cmd/release -share bin/share

# Without a microphone, and without C.
nomic:
	CGO_ENABLED=0 $(GO) build $(LDFLAGS) -tags nomic -o bin/bordon ./cmd/bordon
	$(GO) run ./cmd/release -share bin/share

# What make build or make nomic made; where neither did, it is built first.
install:
	@test -x bin/bordon && test -d bin/share || $(MAKE) build
	install -d "$(DESTDIR)$(PREFIX)/bin"
	install -m 755 bin/bordon "$(DESTDIR)$(PREFIX)/bin/bordon"
	@set -e; cd bin/share; find . -type f | sed 's|^\./||' | while read -r f; do \
		install -d "$(DESTDIR)$(PREFIX)/share/$${f%/*}"; \
		install -m 644 "$$f" "$(DESTDIR)$(PREFIX)/share/$$f"; \
		echo "$(DESTDIR)$(PREFIX)/share/$$f"; done

uninstall:
	rm -f "$(DESTDIR)$(PREFIX)/bin/bordon"
	@cd "$(DESTDIR)$(PREFIX)/share" && rm -f man/man1/bordon.1 man/*/man1/bordon.1 \
		bash-completion/completions/bordon zsh/site-functions/_bordon \
		fish/vendor_completions.d/bordon.fish && rm -rf doc/bordon

release:
	@.ci/need build
	$(GO) run ./cmd/release -version "$(VERSION)"

# Builds all archives twice, from nothing, in two places, and compares.
reproducible:
	@.ci/need build
	BORDON_LONG=1 $(GO) test -count=1 -v -timeout 60m -run '^TestReproducible$$' ./cmd/release

test:
	@.ci/need test
	-@fixtures/axe.sh
	$(MAKE) vet fmt staticcheck unit race fuzz sound cross

long:
	@.ci/need test
	-fixtures/material.sh
	-fixtures/axe.sh
	$(GO) test -race -count=1 -timeout 60m ./...
	.ci/sound $(GO) test -race -p 1 -count=1 -v -run '^TestSound' ./listen/audio/... ./cmd/bordon/... ./ui
	BORDON_LONG=30 .ci/sound $(GO) test -p 1 -count=1 -v -timeout 60m -run '^TestSoundLongRun' ./cmd/bordon/...
	BORDON_LONG=1 .ci/sound $(GO) test -p 1 -count=1 -v -timeout 60m -run '^TestSound(Way|Signals)' ./cmd/bordon/...
	.ci/fuzz 2m
	BORDON_KILLS=1000 $(GO) test -count=1 -timeout 60m -v -run '^TestKilledAtRandom$$' ./listen/take
	$(GO) run ./cmd/eval
	$(GO) run ./cmd/eval -free

vet:
	$(GO) vet ./...
	$(GO) vet -tags nomic ./...
	CGO_ENABLED=1 $(GO) vet -tags cuda ./cmd/train

fmt:
	@test -z "$$(gofmt -l .)" || { echo "gofmt -l lists:"; gofmt -l .; exit 1; }

staticcheck:
	$(STATICCHECK) ./...

unit:
	$(GO) test -timeout 20m ./...

race:
	$(GO) test -race -short -timeout 20m -skip '$(UNRACED)' $(RACE)
	$(GO) test -race -short -timeout 20m -run '$(RACED)' ./cmd/bordon

fuzz:
	.ci/fuzz 5s

# Sound without a sound card: a private sound server stands in for the room.
sound:
	@command -v pulseaudio >/dev/null || { echo "sound: left out, there is no PulseAudio here"; exit 0; }; \
	set -x; .ci/sound $(GO) test -p 1 -count=1 -v -run '^TestSound' ./listen/audio/... ./cmd/bordon/... ./ui

cross:
	CGO_ENABLED=0 GOOS=windows GOARCH=arm64 $(GO) build -tags nomic -o bin/cross/windows-arm64/ ./cmd/...
	CGO_ENABLED=0 GOOS=darwin GOARCH=arm64 $(GO) build -tags nomic -o bin/cross/darwin-arm64/ ./cmd/...
	CGO_ENABLED=0 GOOS=linux GOARCH=arm64 $(GO) build -tags nomic -o bin/cross/linux-arm64/ ./cmd/...

# The golden screens as pictures, to be looked at; PNG where there is chromium.
# The README's is kept.
pictures:
	$(GO) run ./ui/testdata/picture ui/picture ui/testdata/screen-80x24-dark.golden
	@mkdir -p bin/pictures
	$(GO) run ./ui/testdata/picture bin/pictures ui/testdata/*.golden
	-@command -v chromium >/dev/null && for f in bin/pictures/*.svg; do \
		size=$$(sed -n '1s/.* width="\([0-9]*\)" height="\([0-9]*\)".*/\1,\2/p' $$f); \
		chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --window-size=$$size \
			--screenshot=$${f%.svg}.png file://$$PWD/$$f >/dev/null 2>&1; done

clean:
	rm -rf bin
