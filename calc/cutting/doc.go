// Package cutting works out speeds, feeds, depths, forces, how far a bar bends,
// how far a carriage runs on, and how long things take.
//
// Depths are on radius. Forces are in newtons, powers in watts, torques in newton
// metres; results of a formula are floating point, and lengths made of them are
// rounded once, last. The figures of materials are starting values for a small
// lathe: the tables say which are published, which are common practice and which
// from memory.
//
// The package never says when to stop a moving carriage. It says how much room
// stopping takes, which is a reason to choose a slower speed beforehand.
package cutting
