# make demo   builds, and plays and judges the built-in performance
# make test   everything that has to hold
# make long   what takes longer
# make build  bin/bordon

GO ?= go
STATICCHECK = $(GO) run honnef.co/go/tools/cmd/staticcheck@v0.8.2
# The race detector where goroutines meet; the rest is single-threaded.
RACE = ./ui/... ./cmd/bordon/... ./listen ./listen/live/... ./listen/audio/... ./listen/take/...

.PHONY: demo build nomic test long vet fmt staticcheck unit race fuzz sound cross pictures clean

demo: build
	@bin/bordon demo

build:
	@.ci/need build
	$(GO) build -o bin/bordon ./cmd/bordon

# Without a microphone, and without C.
nomic:
	CGO_ENABLED=0 $(GO) build -tags nomic -o bin/bordon ./cmd/bordon

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

fmt:
	@test -z "$$(gofmt -l .)" || { echo "gofmt -l lists:"; gofmt -l .; exit 1; }

staticcheck:
	$(STATICCHECK) ./...

unit:
	$(GO) test -timeout 20m ./...

race:
	$(GO) test -race -short -timeout 20m $(RACE)

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
pictures:
	@mkdir -p bin/pictures
	$(GO) run ./ui/testdata/picture bin/pictures ui/testdata/*.golden
	-@command -v chromium >/dev/null && for f in bin/pictures/*.svg; do \
		size=$$(sed -n '1s/.* width="\([0-9]*\)" height="\([0-9]*\)".*/\1,\2/p' $$f); \
		chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --window-size=$$size \
			--screenshot=$${f%.svg}.png file://$$PWD/$$f >/dev/null 2>&1; done

clean:
	rm -rf bin
