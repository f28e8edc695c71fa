#!/bin/sh
# Holds the shipped recipes, run on arm64 in an emulator, to what they print here.
# Needs Debian's qemu-user-static.
set -eu
cd "$(dirname "$0")/.."
built=$(mktemp -d)
trap 'rm -rf "$built"' EXIT
GOARCH=arm64 CGO_ENABLED=0 go build -o "$built/lapwright" ./cmd/lapwright
LAPWRIGHT_ELSEWHERE="qemu-aarch64-static $built/lapwright" \
	go test -count=1 -v -run TestShippedRecipesPrintTheSameOnAnotherProcessor ./cmd/lapwright
