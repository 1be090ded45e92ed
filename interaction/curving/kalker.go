package curving

import (
	"fmt"
	"math"
)

// Coefficients are Kalker's of the linear law: C11 along the rail, C22 across it, C23
// of spin across it, C33 of spin about the normal; no unit.
type Coefficients struct{ C11, C22, C23, C33 float64 }

// The table of Kalker (1967 thesis; 1990 book, table E.3), written from memory and checked for consistency only: rows
// a/b 0.1 to 1.0 and then b/a 0.9 to 0.1, a the semi-axis along the rail; three columns of each coefficient for
// Poisson's ratio 0, 1/4 and 1/2.
var kalkerTable = [19][4][3]float64{
	{{2.51, 3.31, 4.85}, {2.51, 2.52, 2.53}, {.334, .473, .731}, {6.42, 8.28, 11.7}},
	{{2.59, 3.37, 4.81}, {2.59, 2.63, 2.66}, {.483, .603, .809}, {3.46, 4.27, 5.66}},
	{{2.68, 3.44, 4.80}, {2.68, 2.75, 2.81}, {.607, .715, .889}, {2.49, 2.96, 3.72}},
	{{2.78, 3.53, 4.82}, {2.78, 2.88, 2.98}, {.720, .823, .977}, {2.02, 2.32, 2.77}},
	{{2.88, 3.62, 4.83}, {2.88, 3.01, 3.14}, {.827, .929, 1.07}, {1.74, 1.93, 2.22}},
	{{2.98, 3.72, 4.91}, {2.98, 3.14, 3.31}, {.930, 1.03, 1.18}, {1.56, 1.68, 1.86}},
	{{3.09, 3.81, 4.97}, {3.09, 3.28, 3.48}, {1.03, 1.14, 1.29}, {1.43, 1.50, 1.60}},
	{{3.19, 3.91, 5.05}, {3.19, 3.41, 3.65}, {1.13, 1.25, 1.40}, {1.34, 1.37, 1.42}},
	{{3.29, 4.01, 5.12}, {3.29, 3.54, 3.82}, {1.23, 1.36, 1.51}, {1.27, 1.27, 1.27}},
	{{3.40, 4.12, 5.20}, {3.40, 3.67, 3.98}, {1.33, 1.47, 1.63}, {1.21, 1.19, 1.16}},
	{{3.51, 4.22, 5.30}, {3.51, 3.81, 4.16}, {1.44, 1.59, 1.77}, {1.16, 1.11, 1.06}},
	{{3.65, 4.36, 5.42}, {3.65, 3.99, 4.39}, {1.58, 1.75, 1.94}, {1.10, 1.04, .954}},
	{{3.82, 4.54, 5.58}, {3.82, 4.21, 4.67}, {1.76, 1.95, 2.18}, {1.05, .965, .852}},
	{{4.06, 4.78, 5.80}, {4.06, 4.50, 5.04}, {2.01, 2.23, 2.50}, {1.01, .892, .751}},
	{{4.37, 5.10, 6.11}, {4.37, 4.90, 5.56}, {2.35, 2.62, 2.96}, {.958, .819, .650}},
	{{4.84, 5.57, 6.57}, {4.84, 5.48, 6.31}, {2.88, 3.24, 3.70}, {.912, .747, .549}},
	{{5.57, 6.34, 7.34}, {5.57, 6.40, 7.51}, {3.79, 4.32, 5.01}, {.868, .674, .446}},
	{{6.96, 7.78, 8.82}, {6.96, 8.14, 9.79}, {5.72, 6.63, 7.89}, {.828, .601, .341}},
	{{10.7, 11.7, 12.9}, {10.7, 12.8, 16.0}, {12.2, 14.6, 18.0}, {.795, .526, .228}},
}

// tableRatio is a/b of a row.
func tableRatio(row int) float64 {
	if row <= 9 {
		return float64(row+1) / 10
	}
	return 10 / float64(19-row)
}

// Kalker gives the coefficients for a/b (> 0) and Poisson's ratio nu (0 to 1/2, else ErrInput). Between rows each runs
// straight in the logarithms of ratio and value, across Poisson's ratio as the parabola through the three columns.
// Outside a/b 0.1 to 10 the end row is carried on in proportion to Kalker's limits for slender ellipses.
func Kalker(ratio, nu float64) (Coefficients, error) {
	if !(ratio > 0) || math.IsInf(ratio, 0) || !(nu >= 0 && nu <= 0.5) {
		return Coefficients{}, fmt.Errorf("%w: Kalker's coefficients for a/b %g and nu %g", ErrInput, ratio, nu)
	}
	x := math.Min(math.Max(ratio, 0.1), 10)
	i := 0
	for i < 17 && tableRatio(i+1) <= x {
		i++
	}
	t := math.Log(x/tableRatio(i)) / math.Log(tableRatio(i+1)/tableRatio(i))
	// Lagrange's parabola through nu = 0, 1/4, 1/2.
	w := [3]float64{(1 - 4*nu) * (1 - 2*nu), 8 * nu * (1 - 2*nu), 2 * nu * (4*nu - 1)}
	var c [4]float64
	for j := range c {
		lo, hi := 0.0, 0.0
		for k := range 3 {
			lo += w[k] * kalkerTable[i][j][k]
			hi += w[k] * kalkerTable[i+1][j][k]
		}
		c[j] = lo * math.Pow(hi/lo, t)
	}
	out := Coefficients{c[0], c[1], c[2], c[3]}
	if x != ratio {
		end, here := slender(x, nu), slender(ratio, nu)
		out.C11 *= here.C11 / end.C11
		out.C22 *= here.C22 / end.C22
		out.C23 *= here.C23 / end.C23
		out.C33 *= here.C33 / end.C33
	}
	return out, nil
}

// slender is Kalker's limit for a/b well below or above 1 (thesis 1967; from memory,
// compared with the ends of the table only).
func slender(ratio, nu float64) Coefficients {
	if ratio < 1 {
		g := ratio
		return Coefficients{
			C11: math.Pi * math.Pi / (4 * (1 - nu)), C22: math.Pi * math.Pi / 4,
			C23: math.Pi * math.Sqrt(g) / (3 * (1 - nu)), C33: math.Pi * math.Pi / (16 * (1 - nu) * g),
		}
	}
	g := 1 / ratio
	l := math.Log(16 / (g * g))
	c := (3 - math.Log(4))
	return Coefficients{
		C11: 2 * math.Pi / ((l - 2*nu) * g) * (1 + c/(l-2*nu)),
		C22: 2 * math.Pi / g * (1 + (1-nu)*c/((1-nu)*l+2*nu)) / ((1-nu)*l + 2*nu),
		C23: 2 * math.Pi / (3 * g * math.Sqrt(g)) / ((1-nu)*l - 2 + 4*nu),
		// Of C33 the limit for long ellipses is not at hand: held at the end row.
		C33: 1,
	}
}
