package main

// demoInspections is a flight along the coast line, made after the register was last brought up to date: of the strings that it saw the latest
// word is its own.
const demoInspections = `Inspection,Date,Method,Line,Structure,Circuit,Phase,Side,String,Units seen,Units broken,Units flashed,Confidence,Inspector,Photo,Remark,Longitude,Latitude
KF-01,2025-09-16,from the air,SD-132,T-010,1,A,,,9,0,,0.97,M. Tarn,photos/KF-01.jpg,the cracked cap has been replaced,,
KF-02,2025-09-16,from the air,SD-132,T-020,1,B,,,9,3,1,0.93,M. Tarn,photos/KF-02.jpg,three shells gone,,
KF-03,2025-09-16,from the air,SD-132,T-035,2,C,,,9,2,,0.9,M. Tarn,photos/KF-03.jpg,as the register says,,
KF-04,2025-09-16,from the air,SD-132,T-036,1,A,,,,not seen,,,M. Tarn,,behind the crossarm,,
KF-05,2025-09-16,from the air,,,,,,,,1,,0.7,M. Tarn,photos/KF-05.jpg,one shell gone; the flight lost its place,-19.8037,41.5188
`

// plantInspections records what the flight says of the register.
func (r *demoRegister) plantInspections() {
	r.key("sound-units", *r.row(demoCoastLine, 20, 1, "B", "", "suspension"), "inspection KF-02: 6 sound units of 9 are 1770 mm, class b asks for 2328 mm; the register says nothing of them")
	r.planted = append(r.planted, demoMistake{what: "missing-value", story: "inspections.csv row 6: KF-05 names no structure; its position proposes T-040, and nothing is judged by it"})
}
