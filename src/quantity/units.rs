//! The unit table: every spelling that a technician types, with its factor to the coherent SI unit.

use super::Kind;

/// A unit of one kind: `si = value * factor + offset`.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// What it measures.
    pub kind: Kind,
    /// How whytrip writes it.
    pub symbol: &'static str,
    /// How people write it; compared without spaces, dots, middle dots, `*` and `^`.
    pub spellings: &'static [&'static str],
    /// How many coherent SI units it is.
    pub factor: f64,
    /// Where its zero lies, in the coherent SI unit.
    pub offset: f64,
    /// Whether output may choose this unit as a readable one.
    pub shown: bool,
}

impl Unit {
    /// The size in the coherent SI unit from which on it reads better than the next smaller one.
    pub fn reads_from(&self) -> f64 {
        // Minutes and hours read better only from two of them on; a bus of 0.6 kV reads worse.
        let count = match (self.kind, self.symbol) {
            (Kind::Time, "min" | "h") => 2.0,
            (Kind::Voltage, "kV") => 2.0,
            _ => 0.9995,
        };
        self.factor * count
    }
}

const fn unit(
    kind: Kind,
    symbol: &'static str,
    spellings: &'static [&'static str],
    factor: f64,
) -> Unit {
    Unit {
        kind,
        symbol,
        spellings,
        factor,
        offset: 0.0,
        shown: true,
    }
}

const fn other(
    kind: Kind,
    symbol: &'static str,
    spellings: &'static [&'static str],
    factor: f64,
) -> Unit {
    Unit {
        kind,
        symbol,
        spellings,
        factor,
        offset: 0.0,
        shown: false,
    }
}

const PI: f64 = std::f64::consts::PI;
/// International pound and foot (exact by definition, 1959 agreement).
const POUND: f64 = 0.453_592_37;
const FOOT: f64 = 0.304_8;
/// Standard gravity, m/s² (exact, CGPM 1901): pound-force.
const GRAVITY: f64 = 9.806_65;
/// Mechanical horsepower, 550 ft·lbf/s, and metric horsepower, 75 kgf·m/s.
const HORSEPOWER: f64 = 550.0 * FOOT * POUND * GRAVITY;
const METRIC_HORSEPOWER: f64 = 75.0 * GRAVITY;

/// Every unit; for output the list of a kind goes from small to large.
pub(super) const UNITS: &[Unit] = &[
    other(Kind::Voltage, "µV", &["µV", "uV", "microvolt"], 1e-6),
    unit(
        Kind::Voltage,
        "mV",
        &["mV", "millivolt", "millivolts", "mVdc", "mVac"],
        1e-3,
    ),
    unit(
        Kind::Voltage,
        "V",
        &[
            "V", "volt", "volts", "Vac", "Vdc", "Vrms", "V~", "V=", "Vpp", "Vpk",
        ],
        1.0,
    ),
    unit(
        Kind::Voltage,
        "kV",
        &["kV", "kilovolt", "kilovolts", "kVac", "kVdc"],
        1e3,
    ),
    other(
        Kind::Current,
        "µA",
        &["µA", "uA", "microamp", "microamps"],
        1e-6,
    ),
    unit(
        Kind::Current,
        "mA",
        &["mA", "milliamp", "milliamps", "mAdc", "mAac"],
        1e-3,
    ),
    unit(
        Kind::Current,
        "A",
        &[
            "A", "amp", "amps", "ampere", "amperes", "ampère", "ampères", "Aac", "Adc", "Arms",
            "A~",
        ],
        1.0,
    ),
    unit(Kind::Current, "kA", &["kA", "kiloamp", "kiloamps"], 1e3),
    other(
        Kind::Resistance,
        "µΩ",
        &["µΩ", "uΩ", "µohm", "uohm", "microohm", "microohms"],
        1e-6,
    ),
    unit(
        Kind::Resistance,
        "mΩ",
        &["mΩ", "mohm", "mohms", "milliohm", "milliohms"],
        1e-3,
    ),
    unit(Kind::Resistance, "Ω", &["Ω", "ohm", "ohms", "R", "E"], 1.0),
    unit(
        Kind::Resistance,
        "kΩ",
        &["kΩ", "kohm", "kohms", "kiloohm", "kilohm", "kilohms", "k"],
        1e3,
    ),
    unit(
        Kind::Resistance,
        "MΩ",
        &[
            "MΩ", "Mohm", "Mohms", "megohm", "megohms", "megaohm", "megaohms", "meg", "megs",
            "Meg", "M",
        ],
        1e6,
    ),
    unit(
        Kind::Resistance,
        "GΩ",
        &[
            "GΩ", "Gohm", "Gohms", "gigohm", "gigohms", "gigaohm", "gigaohms", "G",
        ],
        1e9,
    ),
    other(Kind::Power, "mW", &["mW", "milliwatt", "milliwatts"], 1e-3),
    unit(Kind::Power, "W", &["W", "watt", "watts"], 1.0),
    unit(Kind::Power, "kW", &["kW", "kilowatt", "kilowatts"], 1e3),
    unit(Kind::Power, "MW", &["MW", "megawatt", "megawatts"], 1e6),
    other(Kind::Power, "hp", &["hp", "horsepower", "bhp"], HORSEPOWER),
    other(Kind::Power, "PS", &["PS", "cv"], METRIC_HORSEPOWER),
    unit(
        Kind::ApparentPower,
        "VA",
        &["VA", "voltampere", "voltamperes"],
        1.0,
    ),
    unit(Kind::ApparentPower, "kVA", &["kVA"], 1e3),
    unit(Kind::ApparentPower, "MVA", &["MVA"], 1e6),
    unit(
        Kind::Energy,
        "J",
        &["J", "joule", "joules", "Ws", "Nm"],
        1.0,
    ),
    unit(
        Kind::Energy,
        "kJ",
        &["kJ", "kilojoule", "kilojoules", "kWs"],
        1e3,
    ),
    unit(Kind::Energy, "MJ", &["MJ", "megajoule", "megajoules"], 1e6),
    other(Kind::Energy, "Wh", &["Wh"], 3.6e3),
    other(Kind::Energy, "kWh", &["kWh"], 3.6e6),
    unit(Kind::Frequency, "Hz", &["Hz", "hertz", "cps", "1/s"], 1.0),
    unit(Kind::Frequency, "kHz", &["kHz", "kilohertz"], 1e3),
    unit(Kind::Frequency, "MHz", &["MHz", "megahertz"], 1e6),
    other(Kind::Time, "ns", &["ns", "nanosecond", "nanoseconds"], 1e-9),
    unit(
        Kind::Time,
        "µs",
        &["µs", "us", "microsecond", "microseconds", "usec"],
        1e-6,
    ),
    unit(
        Kind::Time,
        "ms",
        &["ms", "millisecond", "milliseconds", "msec"],
        1e-3,
    ),
    unit(
        Kind::Time,
        "s",
        &["s", "sec", "secs", "second", "seconds"],
        1.0,
    ),
    unit(
        Kind::Time,
        "min",
        &["min", "mins", "minute", "minutes"],
        60.0,
    ),
    unit(
        Kind::Time,
        "h",
        &["h", "hr", "hrs", "hour", "hours"],
        3600.0,
    ),
    other(Kind::Time, "d", &["d", "day", "days"], 86_400.0),
    Unit {
        kind: Kind::Temperature,
        symbol: "°C",
        spellings: &["°C", "C", "degC", "celsius", "degrees", "deg", "°"],
        factor: 1.0,
        offset: 273.15,
        shown: true,
    },
    Unit {
        kind: Kind::Temperature,
        symbol: "°F",
        spellings: &["°F", "F", "degF", "fahrenheit"],
        factor: 5.0 / 9.0,
        offset: 273.15 - 32.0 * 5.0 / 9.0,
        shown: false,
    },
    other(Kind::Temperature, "K", &["K", "kelvin"], 1.0),
    unit(
        Kind::TemperatureDifference,
        "K",
        &["K", "kelvin", "°C", "C", "degC", "degrees", "deg"],
        1.0,
    ),
    other(
        Kind::TemperatureDifference,
        "°F",
        &["°F", "F", "degF"],
        5.0 / 9.0,
    ),
    unit(Kind::Ratio, "%", &["%", "percent", "pct", "per cent"], 1e-2),
    other(Kind::Ratio, "‰", &["‰", "permille"], 1e-3),
    other(Kind::Ratio, "×", &["×", "x", "times", "pu", "perunit"], 1.0),
    unit(
        Kind::Count,
        "",
        &["", "poles", "pole", "pieces", "pcs", "ppr", "counts"],
        1.0,
    ),
    unit(
        Kind::Speed,
        "rpm",
        &[
            "rpm", "r/min", "rev/min", "1/min", "min-1", "/min", "U/min", "tr/min", "rot/min",
            "t/min",
        ],
        2.0 * PI / 60.0,
    ),
    other(Kind::Speed, "rad/s", &["rad/s", "radians/s"], 1.0),
    other(Kind::Speed, "r/s", &["r/s", "rev/s", "rps"], 2.0 * PI),
    unit(
        Kind::Torque,
        "N·m",
        &["Nm", "Nmeter", "newtonmetre", "newtonmeter"],
        1.0,
    ),
    unit(Kind::Torque, "kN·m", &["kNm"], 1e3),
    other(
        Kind::Torque,
        "lb·ft",
        &[
            "lbft",
            "lb-ft",
            "lbf-ft",
            "lbfft",
            "ftlb",
            "ft-lb",
            "ftlbf",
            "ft-lbf",
            "ftlbs",
            "ft-lbs",
            "footpound",
            "footpounds",
            "foot-pound",
            "foot-pounds",
        ],
        POUND * GRAVITY * FOOT,
    ),
    other(
        Kind::Torque,
        "lb·in",
        &[
            "lbin", "lb-in", "lbf-in", "inlb", "in-lb", "inlbs", "in-lbs",
        ],
        POUND * GRAVITY * FOOT / 12.0,
    ),
    other(
        Kind::Torque,
        "oz·in",
        &["ozin", "oz-in", "ozfin", "ozf-in", "inoz", "in-oz"],
        POUND / 16.0 * GRAVITY * FOOT / 12.0,
    ),
    other(
        Kind::Torque,
        "kgf·m",
        &["kgfm", "kgm", "kpm", "kgf-m", "mkg", "mkp"],
        GRAVITY,
    ),
    other(Kind::Torque, "N·cm", &["Ncm"], 1e-2),
    unit(
        Kind::Inertia,
        "kg·m²",
        &["kgm²", "kgm2", "kg-m2", "kg-m²", "kgsqm"],
        1.0,
    ),
    other(Kind::Inertia, "kg·cm²", &["kgcm²", "kgcm2", "kg-cm2"], 1e-4),
    other(
        Kind::Inertia,
        "lb·ft²",
        &["lbft²", "lbft2", "lb-ft2", "lb-ft²", "lbmft2", "lbm-ft2"],
        POUND * FOOT * FOOT,
    ),
    other(
        Kind::Inertia,
        "lb·in²",
        &["lbin²", "lbin2", "lb-in2", "lb-in²"],
        POUND * FOOT * FOOT / 144.0,
    ),
    other(
        Kind::Inertia,
        "lb·in·s²",
        &[
            "lbins²",
            "lbins2",
            "lb-in-s2",
            "lb-in-s²",
            "inlbs²",
            "inlbs2",
            "in-lb-s2",
            "in-lb-s²",
        ],
        POUND * GRAVITY * FOOT / 12.0,
    ),
    other(
        Kind::Inertia,
        "slug·ft²",
        &[
            "slugft²",
            "slugft2",
            "slug-ft2",
            "slug-ft²",
            "lbfts²",
            "lbfts2",
            "lb-ft-s2",
            "lb-ft-s²",
        ],
        POUND * GRAVITY * FOOT,
    ),
    other(
        Kind::Inertia,
        "oz·in²",
        &["ozin²", "ozin2", "oz-in2", "oz-in²"],
        POUND / 16.0 * FOOT * FOOT / 144.0,
    ),
    other(Kind::Inertia, "g·cm²", &["gcm²", "gcm2", "g-cm2"], 1e-7),
    other(
        Kind::Inertia,
        "kgf·m·s²",
        &["kgfms²", "kgfms2", "kgf-m-s2", "kpms2"],
        GRAVITY,
    ),
    other(
        Kind::Capacitance,
        "pF",
        &["pF", "picofarad", "picofarads"],
        1e-12,
    ),
    unit(
        Kind::Capacitance,
        "nF",
        &["nF", "nanofarad", "nanofarads"],
        1e-9,
    ),
    unit(
        Kind::Capacitance,
        "µF",
        &["µF", "uF", "microfarad", "microfarads", "mfd"],
        1e-6,
    ),
    unit(
        Kind::Capacitance,
        "mF",
        &["mF", "millifarad", "millifarads"],
        1e-3,
    ),
    unit(Kind::Capacitance, "F", &["F", "farad", "farads"], 1.0),
    unit(Kind::Inductance, "µH", &["µH", "uH", "microhenry"], 1e-6),
    unit(Kind::Inductance, "mH", &["mH", "millihenry"], 1e-3),
    unit(Kind::Inductance, "H", &["H", "henry"], 1.0),
    unit(Kind::Charge, "µC", &["µC", "uC", "microcoulomb"], 1e-6),
    unit(Kind::Charge, "mC", &["mC", "millicoulomb"], 1e-3),
    unit(Kind::Charge, "C", &["C", "coulomb", "coulombs"], 1.0),
    unit(
        Kind::Length,
        "mm",
        &["mm", "millimetre", "millimeter"],
        1e-3,
    ),
    other(
        Kind::Length,
        "cm",
        &["cm", "centimetre", "centimeter"],
        1e-2,
    ),
    unit(
        Kind::Length,
        "m",
        &["m", "metre", "metres", "meter", "meters", "mtr", "mtrs"],
        1.0,
    ),
    unit(Kind::Length, "km", &["km", "kilometre", "kilometer"], 1e3),
    other(
        Kind::Length,
        "yd",
        &["yd", "yds", "yard", "yards"],
        3.0 * FOOT,
    ),
    other(Kind::Length, "ft", &["ft", "foot", "feet", "'"], FOOT),
    other(
        Kind::Length,
        "in",
        &["in", "inch", "inches", "\""],
        FOOT / 12.0,
    ),
    unit(Kind::Area, "mm²", &["mm²", "mm2", "sqmm", "qmm"], 1e-6),
    other(Kind::Area, "cm²", &["cm²", "cm2"], 1e-4),
    unit(Kind::Area, "m²", &["m²", "m2", "sqm"], 1.0),
    // One circular mil is pi/4 square mils; a mil is a thousandth of an inch.
    other(
        Kind::Area,
        "kcmil",
        &["kcmil", "MCM"],
        PI / 4.0 * 1e3 * (FOOT / 12.0 * 1e-3) * (FOOT / 12.0 * 1e-3),
    ),
    unit(Kind::Mass, "g", &["g", "gram", "grams"], 1e-3),
    unit(Kind::Mass, "kg", &["kg", "kilogram", "kilograms"], 1.0),
    unit(Kind::Mass, "t", &["t", "tonne", "tonnes"], 1e3),
    other(Kind::Mass, "lb", &["lb", "lbs", "pound", "pounds"], POUND),
    unit(Kind::Velocity, "m/s", &["m/s", "mps"], 1.0),
    other(Kind::Velocity, "m/min", &["m/min"], 1.0 / 60.0),
    other(Kind::Velocity, "ft/min", &["ft/min", "fpm"], FOOT / 60.0),
    other(Kind::Velocity, "mm/s", &["mm/s"], 1e-3),
    other(Kind::Velocity, "m/µs", &["m/µs", "m/us"], 1e6),
    unit(Kind::Airflow, "m³/h", &["m³/h", "m3/h"], 1.0 / 3600.0),
    other(Kind::Airflow, "m³/s", &["m³/s", "m3/s"], 1.0),
    other(
        Kind::Airflow,
        "cfm",
        &["cfm", "ft3/min"],
        FOOT * FOOT * FOOT / 60.0,
    ),
    unit(Kind::VoltsPerHertz, "V/Hz", &["V/Hz", "V/H"], 1.0),
    unit(
        Kind::ResistancePerLength,
        "Ω/km",
        &["Ω/km", "ohm/km", "ohms/km"],
        1e-3,
    ),
    other(Kind::ResistancePerLength, "Ω/m", &["Ω/m", "ohm/m"], 1.0),
    other(
        Kind::ResistancePerLength,
        "Ω/kft",
        &["Ω/kft", "ohm/kft", "ohms/kft", "ohm/1000ft"],
        1.0 / (1e3 * FOOT),
    ),
    unit(
        Kind::CapacitancePerLength,
        "µF/km",
        &["µF/km", "uF/km"],
        1e-9,
    ),
    other(Kind::CapacitancePerLength, "pF/m", &["pF/m"], 1e-12),
    other(Kind::CapacitancePerLength, "nF/m", &["nF/m"], 1e-9),
    other(
        Kind::CapacitancePerLength,
        "pF/ft",
        &["pF/ft"],
        1e-12 / FOOT,
    ),
    unit(
        Kind::HeatTransfer,
        "W/(m²·K)",
        &["W/m²K", "W/m2K", "W/(m²K)", "W/(m2K)"],
        1.0,
    ),
    unit(Kind::BitRate, "bit/s", &["bit/s", "bps", "baud", "bd"], 1.0),
    unit(
        Kind::BitRate,
        "kbit/s",
        &["kbit/s", "kbps", "kbaud", "kbd"],
        1e3,
    ),
    unit(Kind::BitRate, "Mbit/s", &["Mbit/s", "Mbps", "Mbaud"], 1e6),
];

/// The units of one kind; those that are shown go from small to large.
pub fn of(kind: Kind) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |unit| unit.kind == kind)
}
