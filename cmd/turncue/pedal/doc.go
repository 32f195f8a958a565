// Package pedal decides which key events are presses of a foot.
//
// A pedal is a keyboard with a worn switch: its contacts bounce, the system
// repeats a key that is held, and some pedals type whole strings. A [Filter]
// turns such edges into verdicts. It is a pure function of the times it is given,
// which run on a monotonic clock from any start; it reads no clock, sets no timer
// and never speaks later than the edge it is fed.
//
// Where only key-down edges are known, one long press on a bouncing switch and
// two presses can look alike. The filter then misses a press rather than count
// one twice: the foot presses again, but a tool advanced by mistake is scrap.
// All figures are in [Profile]; the reasons stand beside them.
//
// On Linux a [Device] is a pedal read from the kernel itself, releases too, without a
// terminal. It is nobody else's while it is open. A press is only what was seen to begin,
// and a pedal that is unplugged under a foot is released.
package pedal
