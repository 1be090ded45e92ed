package track

// ClassSpeed is the greatest freight speed of a class in mph (49 CFR 213.9(a), 213.4); that
// of class 2 if it is not known, more than a curve of a yard is run at.
func ClassSpeed(class string) float64 {
	switch class {
	case "1", "excepted":
		return 10
	case "3":
		return 40
	case "4":
		return 60
	case "5":
		return 80
	}
	return 25
}
