// Package unit holds the quantities a recipe reckons with: lengths, angles,
// forces, pressures, times, rates of turning, and the wear coefficient.
//
// Each quantity is a named float64 in its SI unit, with constants to multiply
// by, in the manner of time.Duration:
//
//	ring := 118 * MM
//	load := 20 * Newton
//	fmt.Println(ring.In(Inch)) // 4.645...
//
// A bare number where a quantity is meant, or one quantity where another is
// meant, does not compile. Recipes usually import this package with a dot.
//
// Every Parse function reads a decimal number (also with an exponent), a
// fraction, or a whole number and a fraction, and then a unit. A minus sign may
// be the typographic one. NaN, infinities, grouped digits and decimal commas
// are refused.
package unit

// Length is a distance in metres.
type Length float64

// Lengths to multiply by. Thou is a thousandth of an inch, which is exactly
// 25.4 mm (ISO 31-1).
const (
	NM    Length = 1e-9
	UM    Length = 1e-6
	MM    Length = 1e-3
	CM    Length = 1e-2
	Metre Length = 1
	Inch  Length = 25.4e-3
	Thou  Length = 25.4e-6
)

// Angle is a plane angle in radians.
type Angle float64

// Angles to multiply by. Arcsec is a second of arc, Turn a full circle.
const (
	Radian Angle = 1
	Degree Angle = pi / 180
	Arcsec Angle = pi / (180 * 3600)
	Turn   Angle = 2 * pi
)

const pi = 3.14159265358979323846264338327950288419716939937510582097494459

// Force is a force in newtons.
type Force float64

// Forces to multiply by. KGF is the weight of a kilogram, LBF that of a pound,
// both at standard gravity 9.80665 m/s² (ISO 80000-4).
const (
	Newton Force = 1
	KGF    Force = 9.80665
	LBF    Force = 9.80665 * 0.45359237
)

// Pressure is a pressure in pascals.
type Pressure float64

// Pressures to multiply by. GramCM2 is the weight of a gram on a square
// centimetre, PSI that of a pound on a square inch.
const (
	Pascal  Pressure = 1
	KPa     Pressure = 1e3
	GramCM2 Pressure = 98.0665
	PSI     Pressure = 9.80665 * 0.45359237 / (25.4e-3 * 25.4e-3)
)

// Time is a stretch of time in seconds.
type Time float64

// Times to multiply by.
const (
	Second Time = 1
	Minute Time = 60
	Hour   Time = 3600
)

// Rate is a rate of turning in radians per second.
type Rate float64

// Rates to multiply by. RPM is one turn a minute.
const (
	RadPerSecond Rate = 1
	RPM          Rate = 2 * pi / 60
)

// Preston is the wear coefficient of Preston's law dh/dt = k·p·|v|, in m²/N
// (which is 1/Pa): the depth worn for each metre rubbed, for each pascal.
type Preston float64

// PerPascal is the unit of Preston, 1 m²/N.
const PerPascal Preston = 1

// Period returns the time of one turn, 2π/r. It is infinite at rate 0.
func (r Rate) Period() Time { return Time(2*pi) / Time(r) }

// In returns the length as a number of u: (254*MM).In(Inch) is 10.
func (l Length) In(u Length) float64 { return float64(l / u) }

// In returns the angle as a number of u.
func (a Angle) In(u Angle) float64 { return float64(a / u) }

// In returns the force as a number of u.
func (f Force) In(u Force) float64 { return float64(f / u) }

// In returns the pressure as a number of u.
func (p Pressure) In(u Pressure) float64 { return float64(p / u) }

// In returns the time as a number of u.
func (t Time) In(u Time) float64 { return float64(t / u) }

// In returns the rate as a number of u.
func (r Rate) In(u Rate) float64 { return float64(r / u) }

// In returns the coefficient as a number of u.
func (k Preston) In(u Preston) float64 { return float64(k / u) }

// String prints the length in the unit that suits its size: nm, µm, mm or m.
func (l Length) String() string { return lengths.auto(float64(l)) }

// String prints the angle in degrees, or in seconds of arc below one degree.
func (a Angle) String() string { return angles.auto(float64(a)) }

// String prints the force in newtons.
func (f Force) String() string { return forces.auto(float64(f)) }

// String prints the pressure in Pa or kPa.
func (p Pressure) String() string { return pressures.auto(float64(p)) }

// String prints the time in s, min or h.
func (t Time) String() string { return times.auto(float64(t)) }

// String prints the rate in turns a minute.
func (r Rate) String() string { return rates.auto(float64(r)) }

// String prints the coefficient in m²/N.
func (k Preston) String() string { return prestons.auto(float64(k)) }

// Text prints the length in u with the given number of decimals: Text(MM, 1)
// gives "118.0 mm". Fewer than 0 decimals are taken as 0, more than 20 as 20. A u that
// has no name of its own is an error of the caller and prints as String does.
func (l Length) Text(u Length, decimals int) string {
	return lengths.fixed(float64(l), float64(u), decimals)
}

// Text prints the angle in u with the given number of decimals, as Length.Text.
func (a Angle) Text(u Angle, decimals int) string {
	return angles.fixed(float64(a), float64(u), decimals)
}

// Text prints the force in u with the given number of decimals, as Length.Text.
func (f Force) Text(u Force, decimals int) string {
	return forces.fixed(float64(f), float64(u), decimals)
}

// Text prints the pressure in u with the given number of decimals, as Length.Text.
func (p Pressure) Text(u Pressure, decimals int) string {
	return pressures.fixed(float64(p), float64(u), decimals)
}

// Text prints the time in u with the given number of decimals, as Length.Text.
func (t Time) Text(u Time, decimals int) string {
	return times.fixed(float64(t), float64(u), decimals)
}

// Text prints the rate in u with the given number of decimals, as Length.Text.
func (r Rate) Text(u Rate, decimals int) string {
	return rates.fixed(float64(r), float64(u), decimals)
}

// Symbol returns the printed name of a unit constant ("mm"), or "" where the
// length is not one of them.
func (l Length) Symbol() string { return lengths.symbol(float64(l)) }

// ParseLength reads a length with its unit: "118mm", "8 in", `8 1/2"`, "-3 µm".
// A bare "0" is allowed. The error says what is wrong and which units there are.
func ParseLength(s string) (Length, error) {
	v, err := lengths.parse(s)
	return Length(v), err
}

// ParseAngle reads an angle with its unit: "30 deg", "2 arcsec", "90°".
func ParseAngle(s string) (Angle, error) {
	v, err := angles.parse(s)
	return Angle(v), err
}

// ParseForce reads a force with its unit: "20 N", "2 kgf", "4.5 lbf".
func ParseForce(s string) (Force, error) {
	v, err := forces.parse(s)
	return Force(v), err
}

// ParsePressure reads a pressure with its unit: "3 kPa", "0.5 psi", "30 g/cm²".
func ParsePressure(s string) (Pressure, error) {
	v, err := pressures.parse(s)
	return Pressure(v), err
}

// ParseTime reads a stretch of time with its unit: "20 min", "1.5 h", "30s".
func ParseTime(s string) (Time, error) {
	v, err := times.parse(s)
	return Time(v), err
}

// ParseRate reads a rate of turning with its unit: "6 rpm", "1 rad/s".
func ParseRate(s string) (Rate, error) {
	v, err := rates.parse(s)
	return Rate(v), err
}

// ParsePreston reads a wear coefficient with its unit: "5e-13 m²/N", "5e-13/Pa".
func ParsePreston(s string) (Preston, error) {
	v, err := prestons.parse(s)
	return Preston(v), err
}

// ParseNumber reads a plain number as the other Parse functions read theirs:
// "12", "-0.5", "1e-3", "2 1/2".
func ParseNumber(s string) (float64, error) {
	return numbers.parse(s)
}
