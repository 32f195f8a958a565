package sequence

import (
	"strconv"
	"strings"

	"turncue/calc"
)

// A Word is one part of what is said: a whole fragment from the closed list below,
// a pause, or a quantity as written ("0.35", "16 mm", "3 of 9"). Every fragment
// has a clip of the same text; a test of the command holds the two together.
type Word string

// Pauses.
const (
	Comma    Word = ","
	FullStop Word = "."
)

// Joining words.
const (
	WordAnd     Word = "and"
	WordBetween Word = "between"
	WordAt      Word = "at"
	WordBy      Word = "by"
)

// Set-up and safety.
const (
	WordBeforeStart     Word = "before you start"
	WordEyes            Word = "eyes covered, sleeves tight, no gloves"
	WordKnowStop        Word = "know where the stop is"
	WordLocalRules      Word = "your training, the lathe's manual and local rules come first"
	WordHoldBar         Word = "hold the bar in the three-jaw chuck"
	WordStickOut        Word = "sticking out"
	WordKeyOut          Word = "take the chuck key out"
	WordTurnByHand      Word = "turn the spindle one full turn by hand"
	WordAllClear        Word = "look that everything clears"
	WordRunOut          Word = "read the run-out on the indicator"
	WordNoMoreThan      Word = "no more than"
	WordGuardsShut      Word = "guards shut"
	WordBringUpCentre   Word = "bring up the tailstock centre and lock it"
	WordCentreFirm      Word = "firm, but the bar still turns by hand"
	WordLayOut          Word = "lay out the tools first"
	WordReadNote        Word = "read the note on the screen"
	WordStandStill      Word = "wait until it stands still"
	WordStopSpindle     Word = "stop the spindle"
	WordForward         Word = "start the spindle forward"
	WordReverse         Word = "start the spindle in reverse"
	WordSetSpeed        Word = "set the speed to"
	WordNearJaws        Word = "mind the jaws"
	WordSwarf           Word = "hook the swarf, never fingers"
	WordNoReverseCut    Word = "screwed chuck, no cutting in reverse"
	WordSetStop         Word = "set a stop against the end of the bar"
	WordPullOut         Word = "pull the bar out to the stop"
	WordLoadBlank       Word = "put the next blank in against the stop"
	WordPart            Word = "part"
	WordCountParts      Word = "count the finished parts, there should be"
	WordTakeBarOut      Word = "take the bar out of the chuck"
	WordTurnRound       Word = "turn the part round"
	WordHoldThreeJaw    Word = "hold it in the three-jaw chuck"
	WordHoldFourJaw     Word = "hold it in the four-jaw chuck"
	WordHoldSoftJaws    Word = "hold it in the soft jaws"
	WordHoldMandrel     Word = "hold it on the expanding mandrel"
	WordStrips          Word = "strips of copper or aluminium under the jaws"
	WordGripLightly     Word = "it is finished there, grip it no harder than the cut needs"
	WordFaceToLength    Word = "face the end to length"
	WordSlowReverse     Word = "reverse slowly, the chuck can unscrew"
	WordOilSteel        Word = "oil the cut"
	WordStopBeforeTouch Word = "spindle stopped before you touch the work"
)

// Tools.
const (
	WordFitTurning    Word = "fit the turning tool"
	WordFitGrooving   Word = "fit the grooving tool"
	WordFitChamfer    Word = "fit the chamfer tool"
	WordFitRounding   Word = "fit the rounding tool"
	WordFitThreading  Word = "fit the threading tool"
	WordFitParting    Word = "fit the parting blade"
	WordFitCentre     Word = "fit the centre drill in the tailstock"
	WordFitDrill      Word = "fit the drill in the tailstock"
	WordFitReamer     Word = "fit the reamer in the tailstock"
	WordFitBoring     Word = "fit the boring bar"
	WordFitInThread   Word = "fit the inside threading tool"
	WordFitInGroove   Word = "fit the inside grooving tool"
	WordFitTap        Word = "the tap in its wrench, the tailstock centre in its end"
	WordFitKnurling   Word = "fit the knurling tool"
	WordEmptyPost     Word = "empty the tool post"
	WordTurnedInside  Word = "turned to work inside the bore"
	WordSleeveShort   Word = "tailstock locked, its sleeve out as little as it can be"
	WordWide          Word = "wide"
	WordRadius        Word = "radius"
	WordOnCentre      Word = "on centre height"
	WordSquareByGauge Word = "set it square by the thread gauge"
	WordBladeSquare   Word = "blade square, short, carriage locked"
)

// Touching and zeroing.
const (
	WordTouching      Word = "touch and zero"
	WordTouchDiameter Word = "touch the tool lightly on the outside of the work"
	WordTouchEnd      Word = "touch the tool lightly on the end of the work"
	WordTouchShoulder Word = "touch the tool lightly on the shoulder"
	WordTouchCorner   Word = "touch the tool lightly on the corner"
	WordTouchBore     Word = "touch the tool lightly on the wall of the bore"
	WordTouchMouth    Word = "touch the tool lightly on the edge of the bore"
	WordTouchStep     Word = "touch the tool lightly on the step in the bore"
	WordCornersAtEnd  Word = "feed the drill in until its corners reach the end"
	WordReamerAtEnd   Word = "bring the reamer up until its full size reaches the end"
	WordTipAtEnd      Word = "leave the tool where it stands"
	WordZeroCross     Word = "set the cross slide ring to zero"
	WordZeroTop       Word = "set the top slide ring to zero"
	WordZeroCarriage  Word = "set the carriage ring to zero"
	WordZeroTailstock Word = "set the tailstock ring to zero"
	WordMarkCarriage  Word = "mark this place of the carriage as zero"
	WordLockCarriage  Word = "lock the carriage"
	WordFreeCarriage  Word = "unlock the carriage"
)

// Slides and carriage.
const (
	WordCrossInTo     Word = "cross slide in to"
	WordCrossOutTo    Word = "cross slide out to"
	WordTopInTo       Word = "top slide in to"
	WordTopOutTo      Word = "top slide out to"
	WordCrossOut      Word = "wind the cross slide out"
	WordTopOut        Word = "wind the top slide back"
	WordFullTurn      Word = "one full turn"
	WordFullTurns     Word = "full turns"
	WordClearOfBar    Word = "clear of the bar"
	WordPastSlack     Word = "past the slack"
	WordClockwise     Word = "clockwise"
	WordAnticlockwise Word = "anticlockwise"
	WordFeedTo        Word = "feed along to"
	WordFromEnd       Word = "from the end"
	WordOutAndBack    Word = "then out and back"
	WordAwayAndBack   Word = "then in, away from you, and back"
	WordBackToStart   Word = "bring the carriage back to the start"
	WordCarriageTo    Word = "bring the carriage to"
	WordInFront       Word = "carriage in front of the work"
	WordFaceAcross    Word = "face across to the centre"
	WordPastNose      Word = "and past it by the nose"
	WordFaceShoulder  Word = "face the shoulder in to"
	WordFeedIn        Word = "feed in to"
	WordFeedInThrough Word = "feed in steadily until the part is off"
	WordCatchPart     Word = "catch it with a rod, never a hand"
	WordTheSameAgain  Word = "the same reading again"
	WordOnRing        Word = "on the carriage ring"
	WordBeforeZero    Word = "before zero"
	WordScribe        Word = "scribe a line"
	WordToLine        Word = "feed along to the line"
)

// Inside a bore: the tool points at the person, so every movement is named by where
// it goes, and a retract goes in.
const (
	WordTowardsTo   Word = "cross slide out, towards you, to"
	WordAwayTo      Word = "cross slide in, away from you, to"
	WordAway        Word = "wind the cross slide in, away from you"
	WordFeedTowards Word = "feed out, towards you, to"
	WordClearOfBore Word = "clear of the bore"
	WordPastZero    Word = "past zero"
	WordOtherSide   Word = "inside work, the slack is on the other side"
	WordMarkBar     Word = "mark the boring bar"
	WordFromTip     Word = "from its tip"
	WordToBarMark   Word = "feed in to the mark on the bar"
	WordRecess      Word = "recess"
	WordWatchMark   Word = "watch the mark on the bar"
	WordOffByMark   Word = "power off when your own eye sees the mark at the end of the work"
	WordForwardBore Word = "forward, into the bore"
	WordCrankBore   Word = "crank forward into the bore"
	WordMakeRoom    Word = "make room in front of the bore"
	WordBoreStep    Word = "step in the bore to depth"
	WordEnlarge     Word = "still under size, cut again"
	WordNoFinger    Word = "no finger and no cloth in a turning bore"
	WordDeburrBore  Word = "break the edges of the bore with the spindle standing still"
)

// Knurling.
const (
	WordPressIn     Word = "press in to"
	WordClampTouch  Word = "close the clamp on the middle of the work"
	WordCloseClamp  Word = "close the clamp"
	WordOpenClamp   Word = "open the clamp"
	WordSingleLines Word = "look for single lines, not double"
)

// Drilling and reaming.
const (
	WordDrillTo     Word = "drill to"
	WordDrillToMark Word = "drill to a mark on the drill"
	WordReamTo      Word = "ream to"
	WordReamToMark  Word = "ream to a mark on the reamer"
	WordOnSleeve    Word = "on the tailstock ring"
	WordFromCorners Word = "from its corners"
	WordPeck        Word = "peck"
	WordClearDrill  Word = "draw it back and clear the swarf"
	WordReamBack    Word = "draw it back with the spindle still turning forward"
	WordNeverBack   Word = "a reamer never turns backward"
	WordTapIn       Word = "turn the tap in by hand, half a turn back after each turn"
	WordTapOut      Word = "turn it all the way back out and brush out the swarf"
	WordFollow      Word = "follow with the tailstock wheel"
)

// Tapers by the top slide.
const (
	WordSwingTop    Word = "swing the top slide to"
	WordHandleToYou Word = "its handle end towards you"
	WordHandleAway  Word = "its handle end away from you"
	WordByIndicator Word = "by the indicator as the screen shows"
	WordBlueTaper   Word = "try it with blue"
)

// Tapers and taper threads by the taper slide.
const (
	WordSetTaperSlide   Word = "set the taper slide to"
	WordClampTaperSlide Word = "clamp the taper slide to the bed"
	WordFreeTaperSlide  Word = "free the taper slide"
	WordUntilOut        Word = "go on until the tool is out of the metal"
	WordMeasureRingOn   Word = "measure how far the ring goes on"
)

// Measuring.
const (
	WordMeasureDiameter Word = "measure the diameter"
	WordMeasureSmall    Word = "measure the small end"
	WordMeasureGroove   Word = "measure the groove"
	WordMeasureLength   Word = "measure the length"
	WordMeasureEdge     Word = "measure from the end to the blade"
	WordMeasureBore     Word = "measure the bore"
	WordMeasureMouth    Word = "measure the mouth of the bore"
	WordMeasureDepth    Word = "measure the depth of the bore"
	WordMeasureOverAll  Word = "measure the length over all"
	WordMeasureKnurl    Word = "measure over the knurl"
	WordWorkOnce        Word = "let the work go round once"
	WordMeasureThreads  Word = "lay a rule over the threads"
	WordThreads         Word = "threads"
	WordOneToNext       Word = "from one to the next"
	WordShouldBeNear    Word = "it should be near"
	WordLimits          Word = "the limits are"
	WordTypeReading     Word = "type what you read"
	WordTryGauge        Word = "try the gauge or the nut"
	WordTryPlug         Word = "try the plug gauge or the screw"
	WordFitsTightLoose  Word = "answer fits, tight or loose"
)

// Gears.
const (
	WordIsolate     Word = "unplug the lathe or lock it off"
	WordPowerBack   Word = "put the power back"
	WordOpenCover   Word = "open the gear cover"
	WordShutCover   Word = "shut the gear cover"
	WordFitGears    Word = "fit the gears"
	WordFirstShaft  Word = "on the first shaft"
	WordDrives      Word = "drives"
	WordOnStud      Word = "on the stud"
	WordBeside      Word = "beside it on the stud"
	WordOnLeadscrew Word = "on the leadscrew"
	WordIdler       Word = "idler"
	WordLever       Word = "set the gearbox lever as the screen shows"
	WordMeshPaper   Word = "set each mesh with a strip of paper"
	WordTumbler     Word = "tumbler set for a right-hand thread"
	WordTumblerLeft Word = "tumbler set for a left-hand thread"
	WordGearsByHand Word = "turn the gears by hand once round"
)

// Threading.
const (
	WordShutHalfNuts   Word = "shut the half-nuts"
	WordOpenHalfNuts   Word = "open the half-nuts"
	WordKeepShut       Word = "keep the half-nuts shut"
	WordScratchPass    Word = "scratch pass"
	WordPass           Word = "pass"
	WordFinalPass      Word = "final pass"
	WordSpringPass     Word = "spring pass"
	WordOneMore        Word = "one more pass"
	WordWatchGroove    Word = "watch the groove"
	WordPowerOffByEye  Word = "power off when your own eye sees the tool in the groove"
	WordAbout          Word = "about"
	WordForwardPass    Word = "forward, into the groove"
	WordBackReverse    Word = "in reverse, back past the start, and off"
	WordHandCrank      Word = "fit the hand crank in the spindle"
	WordPlugOut        Word = "the plug stays out until the crank is out"
	WordCrankForward   Word = "crank forward into the groove"
	WordCrankBack      Word = "crank backward past the start"
	WordCrankOut       Word = "take the hand crank out before the power comes back"
	WordToolClearFirst Word = "tool clear before anything reverses"
)

// Threading out of the groove at the shoulder, and by the threading dial.
const (
	WordUpsideDown      Word = "upside down"
	WordThreadStart     Word = "thread start"
	WordBesideThread    Word = "run it forward until the tool stands beside the thread, and off"
	WordLayInGroove     Word = "lay the point in the groove with both slides, both flanks alike"
	WordReadCrossRing   Word = "read the cross slide ring, whole turns counted in"
	WordRunInAir        Word = "run in air, look that it follows the groove"
	WordForwardOut      Word = "forward, out of the groove"
	WordReverseOut      Word = "in reverse, out of the groove"
	WordReverseToGroove Word = "in reverse, back to the groove, and off"
	WordForwardToGroove Word = "forward, back to the groove, and off"
	WordOffPastEnd      Word = "power off when your own eye sees the tool past the end"
	WordCrankOutOf      Word = "crank forward out of the groove"
	WordCrankToGroove   Word = "crank backward to the groove"
	WordWatchDial       Word = "watch the threading dial"
	WordShutOnLine      Word = "shut the half-nuts on line"
	WordShutAnyLine     Word = "shut the half-nuts on any line of the dial"
	WordOpenAtMark      Word = "open the half-nuts at the mark"
	WordOutAtLine       Word = "quickly, when your own eye sees the line"
	WordThenOff         Word = "then power off"
	WordEarlier         Word = "each pass a little earlier"
	WordForwardLine     Word = "forward, to the line"
	WordCrankLine       Word = "crank forward to the line"
	WordOpenInGroove    Word = "open the half-nuts when your own eye sees the tool in the groove"
)

// Operations and the end.
const (
	WordRough     Word = "rough"
	WordCleanUp   Word = "clean-up cut"
	WordFirstCut  Word = "first of two equal cuts"
	WordLastCut   Word = "last cut, the same depth"
	WordCutAgain  Word = "still over size, cut again"
	WordUndercut  Word = "undercut"
	WordGroove    Word = "groove"
	WordChamfer   Word = "chamfer"
	WordRound     Word = "round the edge"
	WordShoulder  Word = "shoulder to length"
	WordDeburr    Word = "break the sharp edges"
	WordPartOff   Word = "part off"
	WordSawOff    Word = "saw it off at"
	WordFinished  Word = "the part is finished"
	WordClean     Word = "clean the lathe"
	WordCentre    Word = "centre drill the end"
	WordFace      Word = "face the end"
	WordCoolFirst Word = "let it cool before you measure"
)

// What the runner says by itself.
const (
	WordPaused       Word = "paused"
	WordGoingOn      Word = "going on"
	WordNotConfirmed Word = "not confirmed"
	WordRecheck      Word = "check the lathe first"
	WordToolClear    Word = "is the tool clear of the work"
	WordHalfNutsWere Word = "the half-nuts should be shut"
	WordHalfNutsOpen Word = "the half-nuts should be open"
	WordUnderSize    Word = "under size, leave it in the chuck"
	WordOverSize     Word = "over size"
	WordWithin       Word = "within the limits"
	WordReadAgain    Word = "that reading is unlikely, measure again"
	WordRunOutBad    Word = "too much run-out, true it again"
	WordWrongLead    Word = "wrong pitch, check the gears"
	WordTooLoose     Word = "too loose, leave it in the chuck"
	WordStopped      Word = "stopped, your place is kept"
	WordNotNow       Word = "not now"
	WordNeedsReading Word = "a reading is needed here"
	WordNeedsSignOff Word = "a sign-off is needed here"
	WordCannotGoOn   Word = "this cannot go on, read the screen"
	WordMoveBlade    Word = "move the blade and measure again"
	WordNeedsFit     Word = "an answer is needed here"
	WordFault        Word = "a fault in the program, stop the lathe"
	WordNoted        Word = "noted"
)

// CountWord is "3 of 9".
func CountWord(n, of int) Word { return Word(strconv.Itoa(n) + " of " + strconv.Itoa(of)) }

// NumberWord is a bare whole number.
func NumberWord(n int) Word { return Word(strconv.Itoa(n)) }

// TurnsWord is "1 turn", "13.5 turns": rounded to a tenth.
func TurnsWord(turns calc.Ratio) Word {
	s := strings.TrimSuffix(turns.Rat().FloatString(1), ".0")
	if s == "1" {
		return "1 turn"
	}
	return Word(s + " turns")
}

// TeethWord is "45 teeth".
func TeethWord(n int) Word { return Word(strconv.Itoa(n) + " teeth") }

// SpeedWord is "250 rpm".
func SpeedWord(s calc.Speed) Word { return Word(s.String()) }

// AngleWord is "1.43 deg": rounded to a hundredth.
func AngleWord(a calc.Angle) Word {
	return Word(strconv.FormatFloat(a.Degrees(), 'f', 2, 64) + " deg")
}

// LengthWord is a length in the unit spoken, trimmed to at most that many places:
// "16.02 mm", "0.375 in".
func LengthWord(l, unit calc.Length, places int) Word {
	if unit == calc.Inch {
		return Word(l.Trimmed(unit, max(3, places+1)) + " in")
	}
	return Word(l.Trimmed(unit, places) + " mm")
}

// SizeWord is a size with all its places, as a micrometer is read: "9.980 mm",
// "0.3740 in".
func SizeWord(l, unit calc.Length) Word {
	if unit == calc.Inch {
		return Word(l.Decimal(unit, 4) + " in")
	}
	return Word(l.Decimal(unit, 3) + " mm")
}

// ReadingWord is what a ring says: "0.35" on a metric ring, "85 thou" on an inch
// one.
func (d Dial) ReadingWord() Word {
	if d.Unit == calc.Inch {
		return Word(d.Reading.Trimmed(calc.Thou, 2) + " thou")
	}
	return Word(d.Reading.Decimal(d.Unit, d.places()))
}

// places is how many decimals the ring's divisions need.
func (d Dial) places() int {
	for p := 2; p < 4; p++ {
		step := d.Unit
		for range p {
			step /= 10
		}
		if step > 0 && d.Reading%step == 0 && d.Division%step == 0 {
			return p
		}
	}
	return 4
}

// Past is how many whole turns outwards from zero the ring has gone, at a setting
// beyond it: none for -1 turn and 1.85, one for -2 turns and 1.85.
func (d Dial) Past() int {
	if d.Turns < 0 && d.Reading > 0 {
		return -d.Turns - 1
	}
	return max(0, -d.Turns)
}

// Words are the setting as it is said: "1 turn and 0.35"; wound out beyond zero,
// "1 turn before zero, at 0.35"; counted outwards, as inside a bore, "1.65" and, a
// turn further, "1.65, 1 turn past zero".
func (d Dial) Words() Cue {
	switch n := d.Past(); {
	case d.Outward && d.Turns < 0 && n == 0:
		return Cue{d.ReadingWord()}
	case d.Outward && d.Turns < 0:
		return Cue{d.ReadingWord(), Comma, TurnsWord(calc.Whole(int64(n))), WordPastZero}
	case d.Turns == 0:
		return Cue{d.ReadingWord()}
	case d.Turns < 0:
		return Cue{TurnsWord(calc.Whole(int64(-d.Turns))), WordBeforeZero, Comma, WordAt, d.ReadingWord()}
	}
	return Cue{TurnsWord(calc.Whole(int64(d.Turns))), WordAnd, d.ReadingWord()}
}
