// Package bench is the virtual lathe. It carries out a plan's moves on a bar and
// says what came off, what sizes were left, and which shop rules were broken, at
// which step and by how much.
//
// It knows the moves, the job and the lathe, and nothing of how a plan is made.
// X is a diameter, Z the distance from the finished end face towards the chuck;
// depth, slack and clearance are on radius. The work is held as exact pieces with
// straight sides. A slide has its slack: a place named in a plan is where the tool
// stands, and where that was reached outwards the ring has gone further by the
// slack.
//
// What a cut asks of motor, jaws, work and bar is worked out from what the profile has
// where the tool stands and from the feed of the move, by Kienzle and beam theory; jaws
// and slides are taken as rigid, so a bend is the least there will be. It knows nothing
// of heat and chatter, and does not judge the words of a plan beyond one thing: nobody
// is told when to stop a moving carriage.
package bench
