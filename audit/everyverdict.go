package audit

// EachVerdict puts every check to every subject of every line and tells each verdict with its place, in the order of the
// run. A Result keeps only what falls short; whoever compares two runs verdict by verdict needs those that meet too. The
// verdicts have no sentences.
func EachVerdict(n *Network, checks []*Check, each func(Exception)) {
	for line := range n.Lines {
		v := visitor{n: n, line: line}
		v.all(func(kind SubjectKind, s Subject, at Exception) {
			s.Trial = true
			for i, check := range checks {
				if check.Of == kind {
					at.Check, at.Verdict = i, check.Run(s, nil)
					each(at)
				}
			}
		})
	}
}
