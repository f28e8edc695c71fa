package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Tell how a command is used",
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return fmt.Errorf("no command is named %q", args[0])
			}
			c.InitDefaultHelpFlag()
			return c.Help()
		},
	}
}
