package terminal

// watchSize has nothing to watch on Windows: the size is asked for at every view.
func watchSize(func()) (stop func()) { return func() {} }
