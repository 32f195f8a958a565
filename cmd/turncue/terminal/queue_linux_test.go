package terminal

import "golang.org/x/sys/unix"

const inputQueued = unix.TIOCINQ
