package terminal

// Crashed is the exit code of a run that ended in a crash, after the terminal was
// put back: see Guard.
const Crashed = 70
