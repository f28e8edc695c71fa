#!/bin/sh
# Holds the shipped recipes, run on arm64 in an emulator, to what they print here.
# Needs Debian's qemu-user-static. Nothing is fused and nothing is in assembly that
# can be done without, so that as many last digits agree as can.
set -eu
cd "$(dirname "$0")/.."
built=$(mktemp -d)
trap 'rm -rf "$built"' EXIT
GOARCH=arm64 CGO_ENABLED=0 go build -tags noasm -gcflags=all=-d=fmahash=n -o "$built/lapwright" ./cmd/lapwright
LAPWRIGHT_ELSEWHERE="qemu-aarch64-static $built/lapwright" \
	go test -count=1 -v -run TestShippedRecipesPrintTheSameOnAnotherProcessor ./cmd/lapwright
