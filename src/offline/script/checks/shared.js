// What several areas of sums share. The files of src/checks explain each with its source.
// Every other file is one block, so that only the names here are common to all.

// What a sum gives where all its values are known; nothing otherwise.
const given = (sum, ...values) => (values.includes(undefined) ? undefined : sum(...values));
// The results that could be computed.
const known = (results) =>
  Object.fromEntries(Object.entries(results).filter(([, value]) => value !== undefined));
const ratio = (part, whole) => given((a, b) => a / b, part, whole);
const deviation = (value, from) => given((a, b) => a / b - 1, value, from);

// Straight lines between points; beyond its ends a curve stays at the end's value.
const onCurve = (points, x) => {
  const next = points.findIndex(([to]) => x <= to);
  if (next < 1) return points[next < 0 ? points.length - 1 : 0][1];
  const [[from, first], [to, last]] = [points[next - 1], points[next]];
  return first + ((last - first) * (x - from)) / (to - from);
};
// How far a value lies outside a range; the last bits of a sum don't count.
const beyond = (value, [low, high]) => {
  const outside = Math.max(low - value, value - high);
  return outside > 1e-9 ? outside : 0;
};

// dc_bus.rs
const busAtRest = (supply) => supply * Math.SQRT2;
const sixPulseMean = (supply) => supply * ((3 * Math.SQRT2) / Math.PI);
const sixPulseTrough = (supply) => supply * (Math.SQRT2 * Math.cos(Math.PI / 6));
// ripple.rs
const rippleVoltage = (current, frequency, capacitance) => current / (frequency * capacitance);
// braking.rs
const busEnergy = (capacitance, from, to) => (capacitance * (to * to - from * from)) / 2;
// motor_cable.rs
const pulseChargingCurrent = (frequency, capacitance, bus) => frequency * capacitance * bus * 2;
// unbalance.rs
const phaseSpread = ([a, b, c], nothing) => {
  const mean = (a + b + c) / 3;
  if (!(mean > 0)) throw new Contradiction(nothing);
  const [lowest, highest] = [Math.min(a, b, c), Math.max(a, b, c)];
  return {
    mean,
    unbalance: Math.max(highest - mean, mean - lowest) / mean,
    lowestShare: lowest / mean,
    spread: (highest - lowest) / mean,
  };
};
const voltageSpread = (...lines) =>
  phaseSpread(lines, "no voltage on any line: there is no unbalance to compute");
const currentSpread = (...lines) =>
  phaseSpread(lines, "no current in any line: there is no unbalance to compute");
// motor_table.rs
const HORSEPOWER_WATTS = 550.0 * 0.3048 * 0.45359237 * 9.80665;
// overload.rs: overload of rated, its time and its cycle in seconds.
const DUTIES = { heavy: [1.5, 60, 600], normal: [1.1, 60, 600] };

const difference = (value, from) => given((a, b) => a - b, value, from);
const FOOT = 0.3048;
// Temperatures are kelvin; tables and curves are drawn in degrees Celsius.
const ICE_POINT = 273.15;
const celsius = (kelvins) => kelvins - ICE_POINT;
const kelvin = (degrees) => degrees + ICE_POINT;

// inertia.rs
const kineticEnergy = (inertia, from, to) => (inertia * (from * from - to * to)) / 2;
// insulation.rs: the factor that carries a reading to 40 °C, and how the rule is told.
const factorTo40 = (temperature, rule) => {
  const degrees = celsius(temperature);
  if (rule !== "thermosetting") return Math.pow(0.5, (40 - degrees) / 10);
  if (degrees < 10 || degrees > 85) {
    // A half goes to the even number, as the program rounds.
    const shown = Math.abs(degrees) % 2 === 0.5 ? Math.trunc(degrees) : degrees;
    throw new Contradiction(
      `the thermosetting rule holds from 10 °C to 85 °C, not at ${shown.toFixed(0)} °C`,
    );
  }
  const constant = degrees > 40 ? 4230 : 1245;
  return Math.exp(-constant * (1 / (degrees + 273) - 1 / 313));
};
const correctionNote = (rule) =>
  rule === "thermosetting"
    ? "Corrected by the formula for thermosetting insulation; halving for each 10 K corrects far more."
    : "Corrected by halving for each 10 K; for a hot motor that is the optimistic rule.";
// thermal_class.rs: highest temperature [°C], and highest rise by resistance over 40 °C [K].
const THERMAL_CLASSES = {
  A: { limit: 105, rise: 60 },
  E: { limit: 120, rise: 75 },
  B: { limit: 130, rise: 80 },
  F: { limit: 155, rise: 105 },
  H: { limit: 180, rise: 125 },
};
// safety.rs: voltage limits by situation, with the standard they stand in.
const TOUCH_LIMITS = {
  "residual-dc": { voltage: 60, rule: "IEC 60204-1, 6.2.4" },
  ac: { voltage: 50, rule: "IEC 60364-4-41" },
  "touch-dc": { voltage: 120, rule: "IEC 60364-4-41, ripple-free DC" },
  "exposed-us": { voltage: 50, rule: "29 CFR 1910.333(a)(1)" },
};
const touchNote = (rule) => `By ${rule}. Where rules differ, work to the lowest.`;
