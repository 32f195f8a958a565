package main

import "github.com/spf13/cobra"

// calcSumCommands is the commands of turncue calc beside thread and gears.
func calcSumCommands() []*cobra.Command {
	return []*cobra.Command{
		calcMarksCommand(), calcSpeedCommand(), calcForceCommand(), calcStopCommand(), calcDialCommand(), calcTaperCommand(), calcPackingCommand(),
		calcAlignCommand(), calcFourJawCommand(), calcKnurlCommand(), calcDrillCommand(), calcReamCommand(), calcCentreCommand(), calcPartCommand(),
		calcRingCommand(), calcChamferCommand(), calcRoughnessCommand(), calcHeatCommand(), calcTimeCommand(), calcBoreCommand(),
	}
}
