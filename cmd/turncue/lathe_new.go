package main

import "github.com/spf13/cobra"

func latheNewCommand(s streams) *cobra.Command { return &cobra.Command{Use: "new"} }
