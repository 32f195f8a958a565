package sequence

// Noted is the text of a step's note as it is shown and printed; "" where there is none.
func (s *Step) Noted() string {
	if s.Note == "" {
		return ""
	}
	return "Note: " + s.Note
}
