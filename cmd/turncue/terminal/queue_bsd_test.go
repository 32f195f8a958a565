//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package terminal

const inputQueued = 0x4004667f // FIONREAD
