//go:build race

package planner_test

const raceOn = true
