//go:build !linux

package pedal

// A Device is a pedal read from its event device; there is none on this system.
type Device struct{}

// OpenDevice fails with ErrNotHere.
func OpenDevice(string) (*Device, error) { return nil, ErrNotHere }

// Signals never delivers anything.
func (*Device) Signals() <-chan Signal { return nil }

// Close does nothing.
func (*Device) Close() {}

// Find finds nothing.
func Find() ([]Found, error) { return nil, ErrNotHere }
