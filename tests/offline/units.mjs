// Units as the checks name them, with one of each in the coherent SI unit as the program multiplies.
// The pound and the foot are exact by definition, as is standard gravity.
const POUND = 0.45359237;
const FOOT = 0.3048;
const GRAVITY = 9.80665;
const INCH = FOOT / 12;
// prettier-ignore
const UNITS = {
  "": 1, mV: 1e-3, V: 1, kV: 1e3, mA: 1e-3, A: 1, kA: 1e3, "mΩ": 1e-3, "Ω": 1, "kΩ": 1e3, "MΩ": 1e6,
  "GΩ": 1e9, W: 1, kW: 1e3, MW: 1e6, VA: 1, kVA: 1e3, MVA: 1e6, J: 1, kJ: 1e3, MJ: 1e6, Hz: 1,
  kHz: 1e3, MHz: 1e6, "µs": 1e-6, ms: 1e-3, s: 1, min: 60, h: 3600, K: 1, "%": 1e-2, "×": 1,
  rpm: (2 * Math.PI) / 60, "N·m": 1, "kN·m": 1e3, "kg·m²": 1, nF: 1e-9, "µF": 1e-6, mF: 1e-3, F: 1,
  "µH": 1e-6, mH: 1e-3, H: 1, "µC": 1e-6, mC: 1e-3, C: 1, mm: 1e-3, m: 1, km: 1e3, "mm²": 1e-6,
  "m²": 1, g: 1e-3, kg: 1, t: 1e3, "m/s": 1, "m/µs": 1e6, "m³/h": 1 / 3600, "V/Hz": 1, "Ω/km": 1e-3,
  "µF/km": 1e-9, "W/(m²·K)": 1, "W/m²K": 1, baud: 1, "bit/s": 1, "kbit/s": 1e3, "Mbit/s": 1e6,
  hp: 550 * FOOT * POUND * GRAVITY, "lb-ft2": POUND * FOOT * FOOT, ft: FOOT,
  kcmil: (Math.PI / 4) * 1e3 * (INCH * 1e-3) * (INCH * 1e-3),
};
const ICE_POINT = 273.15;
export const toSi = (value, unit) => {
  if (unit === "°C") return value + ICE_POINT;
  if (!(unit in UNITS)) throw new Error(`no unit "${unit}" here`);
  return value * UNITS[unit];
};
// What a meter over its range on resistance stands for.
const OVER_RANGE_OHMS = 1e9;
// A value as it was typed; a bare number takes the unit.
export const readTyped = (typed, unit) => {
  if (typed === "OL") return OVER_RANGE_OHMS;
  const [, number, own] = /^(-?[\d.]+(?:e-?\d+)?)\s*(.*)$/.exec(typed);
  return toSi(Number(number), own || unit);
};

// The inverse: a value in the unit.
export const inUnit = (si, unit) => (unit === "°C" ? si - ICE_POINT : si / UNITS[unit]);
