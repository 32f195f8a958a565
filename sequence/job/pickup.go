package job

// pickUp reads whether the job takes a finished part back into the chuck for its
// thread, and refuses what has no place in such a job.
func (p *jobParser) pickUp() {
	s, j := p.top, p.job
	if j.PickUp = s.get("pick_up").truth(false); !j.PickUp {
		return
	}
	for _, key := range []string{"face", "bore", "quantity", "bar_length", "second", "overall"} {
		if a := s.get(key); a.value != nil {
			a.fault("pick-up-key", key)
		}
	}
	if a := s.get("part_off"); a.value != nil && j.PartOff {
		a.fault("pick-up-key", "part_off = true")
	}
	if j.Centre {
		s.get("support").fault("pick-up-key", `support = "centre"`)
	}
	j.Face, j.PartOff, j.Quantity = 0, false, 1
}

// pickedUp refuses a job that picks up none or more than one thread.
func (p *jobParser) pickedUp() {
	if n := p.threads(); p.job.PickUp && n != 1 && len(p.parts) > 0 {
		p.top.get("pick_up").fault("pick-up-thread", map[bool]string{true: "no thread", false: "more than one thread"}[n == 0])
	}
}
