package main

import (
	"fmt"
	"os"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Tell which lapwright this is",
		Args:  cobra.NoArgs,
		Run: func(*cobra.Command, []string) {
			version := "unknown"
			if info, ok := debug.ReadBuildInfo(); ok {
				version = info.Main.Version
				for _, s := range info.Settings {
					if s.Key == "vcs.revision" && version == "(devel)" {
						version = s.Value
					}
				}
			}
			fmt.Fprintf(os.Stdout, "lapwright %s %s %s/%s\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
		},
	}
}
