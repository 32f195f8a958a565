// Package sounds knows what the voice can say and what each beep means, and turns
// both into samples.
//
// What is to be said crosses as parts: vocabulary fragments, the breaks "." and ",",
// and quantities as written ("9.884 mm", "0.375 in", "3 of 9"). [Words] turns a part
// into the names of recorded clips the way the trade reads it, [Voice.Render] joins
// those clips, and [Beep] is made in code. The vocabulary is closed: a part that it
// does not hold is an error, never a guess. Everything is 48 000 samples a second,
// one channel, 16 bits; the same parts give the same samples every time.
//
// Nothing here opens a sound device, reads a clock or knows about lathes. No word in
// the vocabulary tells anyone to stop a moving carriage, and nothing counts down.
package sounds
