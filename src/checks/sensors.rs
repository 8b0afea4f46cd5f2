//! Motor temperature sensors: platinum resistors and PTC thermistors.

use uom::si::electrical_resistance::ohm;
use uom::si::f64::{ElectricalResistance, Ratio, TemperatureInterval, ThermodynamicTemperature};
use uom::si::ratio::ratio;
use uom::si::temperature_interval::kelvin as kelvin_interval;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate, output, reading,
    word,
};
use crate::quantity::Kind;

/// Ends of the platinum scale [°C]. Source: iec-60751.
pub const PLATINUM_SCALE: (f64, f64) = (-200.0, 850.0);

/// Coefficients of the platinum curve. Source: iec-60751.
const A: f64 = 3.9083e-3;
const B: f64 = -5.775e-7;
const C: f64 = -4.183e-12;

fn relative(celsius: f64) -> f64 {
    let below_zero = if celsius < 0.0 {
        C * (celsius - 100.0) * celsius.powi(3)
    } else {
        0.0
    };
    1.0 + A * celsius + B * celsius * celsius + below_zero
}

/// Resistance of a platinum sensor.
///
/// Formula: `R = R₀ · (1 + A·t + B·t² + C·(t − 100)·t³)`, the last term only below 0 °C
/// Symbols: `R₀` resistance at 0 °C [Ω]; `t` temperature [°C]; `A` 3.9083e-3, `B` −5.775e-7, `C` −4.183e-12
/// Valid:   −200 °C to 850 °C
/// Source:  iec-60751
pub fn platinum_resistance(
    nominal: ElectricalResistance,
    temperature: ThermodynamicTemperature,
) -> ElectricalResistance {
    nominal * relative(temperature.get::<degree_celsius>())
}

/// Temperature of a platinum sensor, or nothing off its scale: the curve solved by halving.
///
/// Source: as for [`platinum_resistance`]
pub fn platinum_temperature(
    nominal: ElectricalResistance,
    resistance: ElectricalResistance,
) -> Option<ThermodynamicTemperature> {
    let wanted = (resistance / nominal).get::<ratio>();
    let (mut low, mut high) = PLATINUM_SCALE;
    if !(relative(low)..=relative(high)).contains(&wanted) {
        return None;
    }
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if relative(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(ThermodynamicTemperature::new::<degree_celsius>(
        (low + high) / 2.0,
    ))
}

/// Error that the resistance of the leads makes: `ΔT = R_lead / (dR/dt)`.
///
/// Valid:  two wires; three and four wires cancel it; −200 °C to 850 °C
/// Source: derivative of the curve of iec-60751
pub fn lead_error(
    nominal: ElectricalResistance,
    temperature: ThermodynamicTemperature,
    leads: ElectricalResistance,
) -> TemperatureInterval {
    let celsius = temperature.get::<degree_celsius>();
    let below_zero = if celsius < 0.0 {
        C * (4.0 * celsius.powi(3) - 300.0 * celsius * celsius)
    } else {
        0.0
    };
    let slope = A + 2.0 * B * celsius + below_zero;
    TemperatureInterval::new::<kelvin_interval>((leads / nominal).get::<ratio>() / slope)
}

/// Tolerance of a platinum sensor: class A `0.15 + 0.002·|t|`, class B `0.30 + 0.005·|t|` [K].
///
/// Source: iec-60751
pub fn platinum_tolerance(
    temperature: ThermodynamicTemperature,
    class_a: bool,
) -> TemperatureInterval {
    let size = temperature.get::<degree_celsius>().abs();
    TemperatureInterval::new::<kelvin_interval>(if class_a {
        0.15 + 0.002 * size
    } else {
        0.30 + 0.005 * size
    })
}

/// Loop resistance of a PTC chain [Ω] between which a relay trips on rising temperature, and
/// between which it resets. Source: iec-60947-8 (from memory).
pub const PTC_TRIP: (f64, f64) = (1650.0, 4000.0);
/// See [`PTC_TRIP`].
pub const PTC_RESET: (f64, f64) = (750.0, 1650.0);
/// Loop resistance [Ω] below which a relay reports a short. Source: iec-60947-8 (from memory).
pub const PTC_SHORT: f64 = 20.0;
/// A cold sensor [Ω]. Source: practice.
pub const PTC_COLD: (f64, f64) = (20.0, 100.0);

/// What a PTC loop's resistance means.
///
/// Source: iec-60947-8 (from memory) for short, reset and trip; practice for cold
pub fn ptc_state(loop_resistance: ElectricalResistance, sensors: Ratio) -> &'static str {
    let ohms = loop_resistance.get::<ohm>();
    match ohms {
        r if r < PTC_SHORT => "short",
        r if r < PTC_COLD.0 * sensors.get::<ratio>() => "fewer sensors than stated",
        r if r <= PTC_RESET.0 => "normal",
        r if r <= PTC_TRIP.0 => "hot or too many sensors",
        r if r <= PTC_TRIP.1 => "trip band",
        _ => "tripped or open",
    }
}

/// Limit of one sensor's resistance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PtcLimit {
    /// It has at most this.
    AtMost(ElectricalResistance),
    /// It has at least this.
    AtLeast(ElectricalResistance),
    /// Within 5 K of the response temperature there is no limit.
    Steep,
}

/// Limit of a single PTC sensor by its distance from the nominal response temperature.
///
/// Formula: up to −20 K 250 Ω at most, up to −5 K 550 Ω at most; from +5 K 1330 Ω at least, from +15 K 4000 Ω at least
/// Valid:   measured with 2.5 V or less per sensor
/// Source:  din-44081; three in series (DIN 44082) have three times as much
pub fn ptc_limit(offset: TemperatureInterval) -> PtcLimit {
    let ohms = ElectricalResistance::new::<ohm>;
    match offset.get::<kelvin_interval>() {
        k if k <= -20.0 => PtcLimit::AtMost(ohms(250.0)),
        k if k <= -5.0 => PtcLimit::AtMost(ohms(550.0)),
        k if k < 5.0 => PtcLimit::Steep,
        k if k < 15.0 => PtcLimit::AtLeast(ohms(1330.0)),
        _ => PtcLimit::AtLeast(ohms(4000.0)),
    }
}

const NOMINAL: Input = assumed(
    nameplate(
        "nominal_resistance",
        Kind::Resistance,
        "Ω",
        ("50 Ω", "2000 Ω"),
        "sensor's resistance at 0 °C: 100 Ω for a Pt100, 1000 Ω for a Pt1000",
    ),
    "100 Ω",
);
const SENSORS: Input = assumed(
    nameplate(
        "sensors_in_series",
        Kind::Count,
        "",
        ("1", "12"),
        "PTC sensors in the loop: three in most motors",
    ),
    "3",
);
const SENSOR_TEMPERATURE: Input = nameplate(
    "sensor_temperature",
    Kind::Temperature,
    "°C",
    ("-200 °C", "850 °C"),
    "temperature at the sensor",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "pt100-temperature",
        purpose: "Temperature that a platinum sensor's resistance stands for",
        inputs: &[
            reading(
                "sensor_resistance",
                Kind::Resistance,
                "Ω",
                ("0 Ω", "1000 GΩ"),
                "resistance of the sensor, its leads lifted and their own resistance taken off",
            ),
            NOMINAL,
        ],
        outputs: &[
            output(
                "temperature",
                Kind::Temperature,
                "°C",
                "temperature of the sensor",
            ),
            word("state", "whether that is a temperature or a wiring fault"),
        ],
        formula: "R = R₀ · (1 + A·t + B·t² + C·(t − 100)·t³), solved for t (R₀: nominal; A = 3.9083e-3; B = −5.775e-7; C = −4.183e-12 below 0 °C, else 0)",
        valid: "−200 °C to 850 °C; a reading off that scale is given as its end",
        sources: &["iec-60751", "iec-60085: class F", "practice"],
        expect: &[
            "a temperature near the frame's: {nominal_resistance} at 0 °C, 0.39 % more for each kelvin",
        ],
        bands: &[
            band(
                "temperature > 210 °C",
                Verdict::Bad,
                "No motor is that hot: a broken wire or a bad joint.",
                "practice",
            ),
            band(
                "temperature < -100 °C",
                Verdict::Bad,
                "No motor is that cold: a bridged pair or a wrong sensor.",
                "practice",
            ),
            band(
                "temperature > 155 °C",
                Verdict::Suspect,
                "Hotter than class F insulation may be.",
                "iec-60085",
            ),
            band(
                "temperature < -30 °C",
                Verdict::Suspect,
                "Colder than a motor stands: look for a bridge.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "A temperature that a motor can have.",
                "practice",
            ),
        ],
        doubtful: &["temperature > 180 °C", "temperature < -40 °C"],
        example: Example {
            inputs: &[("sensor_resistance", "138.51 Ω")],
            output: ("temperature", "100 °C"),
            tolerance: 5e-5,
        },
        compute: |inputs| {
            let known = inputs
                .resistance("sensor_resistance")
                .zip(inputs.resistance("nominal_resistance"));
            let Some((resistance, nominal)) = known else {
                return Ok(Outputs::new());
            };
            if let Some(temperature) = platinum_temperature(nominal, resistance) {
                let celsius = temperature.get::<degree_celsius>();
                let state = match celsius {
                    t if t > 210.0 => "broken wire or bad joint",
                    t if t < -100.0 => "bridged or wrong sensor",
                    _ => "temperature",
                };
                return Ok(Outputs::new()
                    .with("temperature", temperature)
                    .with_word("state", state));
            }
            let open = resistance > nominal;
            let end = if open {
                PLATINUM_SCALE.1
            } else {
                PLATINUM_SCALE.0
            };
            Ok(Outputs::new()
                .with(
                    "temperature",
                    ThermodynamicTemperature::new::<degree_celsius>(end),
                )
                .with_word("state", if open { "open" } else { "short" })
                .note("Off the sensor's scale; the temperature given is the end of the scale."))
        },
    },
    Check {
        name: "pt100-resistance",
        purpose: "Resistance of a platinum sensor at a temperature, with its tolerance",
        inputs: &[
            SENSOR_TEMPERATURE,
            NOMINAL,
            choice("sensor_class", &["B", "A"], "tolerance class of the sensor"),
        ],
        outputs: &[
            output(
                "resistance",
                Kind::Resistance,
                "Ω",
                "resistance of the sensor",
            ),
            output(
                "tolerance",
                Kind::TemperatureDifference,
                "K",
                "tolerance to either side",
            ),
        ],
        formula: "R = R₀ · (1 + A·t + B·t² + C·(t − 100)·t³); class A ±(0.15 + 0.002·|t|) K, class B ±(0.30 + 0.005·|t|) K (R₀: nominal; t: temperature in °C)",
        valid: "−200 °C to 850 °C",
        sources: &["iec-60751"],
        expect: &["{resistance} at {sensor_temperature}, within {tolerance}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("sensor_temperature", "-20 °C")],
            output: ("resistance", "92.16 Ω"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let temperature = inputs.temperature("sensor_temperature");
            let class_a = inputs.word("sensor_class") == Some("A");
            let resistance = inputs
                .resistance("nominal_resistance")
                .zip(temperature)
                .map(|(nominal, temperature)| platinum_resistance(nominal, temperature));
            Ok(Outputs::new()
                .with_some("resistance", resistance)
                .with_some(
                    "tolerance",
                    temperature.map(|t| platinum_tolerance(t, class_a)),
                ))
        },
    },
    Check {
        name: "pt100-lead-error",
        purpose: "By how much the leads of a two-wire platinum sensor read too hot",
        inputs: &[
            nameplate(
                "lead_resistance",
                Kind::Resistance,
                "Ω",
                ("0 Ω", "100 Ω"),
                "both leads in series, measured with the sensor bridged",
            ),
            SENSOR_TEMPERATURE,
            NOMINAL,
        ],
        outputs: &[output(
            "error",
            Kind::TemperatureDifference,
            "K",
            "reads too hot by",
        )],
        formula: "ΔT = R_lead / (dR/dt), dR/dt = R₀ · (A + 2·B·t), below 0 °C R₀ · (A + 2·B·t + C·(4·t³ − 300·t²)) (R_lead: both leads; R₀: nominal; t: temperature in °C; A, B, C as in pt100-resistance)",
        valid: "two-wire connection; three and four wires cancel it",
        sources: &["iec-60751"],
        expect: &["{error} too hot from {lead_resistance}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("lead_resistance", "1 Ω"), ("sensor_temperature", "100 °C")],
            output: ("error", "2.637 K"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let error = inputs
                .resistance("nominal_resistance")
                .zip(inputs.temperature("sensor_temperature"))
                .zip(inputs.resistance("lead_resistance"))
                .map(|((nominal, temperature), leads)| lead_error(nominal, temperature, leads));
            Ok(Outputs::new().with_some("error", error))
        },
    },
    Check {
        name: "ptc-resistance",
        purpose: "What the resistance of a motor's PTC thermistor loop means",
        inputs: &[
            reading(
                "ptc_resistance",
                Kind::Resistance,
                "Ω",
                ("0 Ω", "1000 GΩ"),
                "resistance of the loop with both leads lifted, at 2.5 V or less per sensor",
            ),
            SENSORS,
        ],
        outputs: &[
            output(
                "resistance",
                Kind::Resistance,
                "Ω",
                "resistance of the loop",
            ),
            output(
                "resistance_per_sensor",
                Kind::Resistance,
                "Ω",
                "resistance of each sensor",
            ),
            word("state", "what that means"),
            output(
                "lowest_cold_resistance",
                Kind::Resistance,
                "Ω",
                "least for a cold loop",
            ),
            output(
                "highest_cold_resistance",
                Kind::Resistance,
                "Ω",
                "most for a cold loop",
            ),
        ],
        formula: "each sensor = R / n; cold 20 Ω to 100 Ω each; short below 20 Ω, trip between 1650 Ω and 4000 Ω for the loop (R: loop resistance; n: sensors in series)",
        valid: "PTC thermistors of one motor; never with an insulation tester",
        sources: &[
            "iec-60947-8: trip, reset and short (from memory)",
            "practice",
        ],
        expect: &[
            "{lowest_cold_resistance} to {highest_cold_resistance} cold, for {sensors_in_series} in series",
        ],
        bands: &[
            band(
                "resistance < 20 Ω",
                Verdict::Bad,
                "Short: bridged, or a damaged lead.",
                "iec-60947-8",
            ),
            band(
                "resistance > 4000 Ω",
                Verdict::Bad,
                "Tripped or open: the motor is hot, or a wire is broken.",
                "iec-60947-8",
            ),
            band(
                "resistance > 1650 Ω",
                Verdict::Bad,
                "In the trip band: the motor is hot.",
                "iec-60947-8",
            ),
            band(
                "resistance > 750 Ω",
                Verdict::Suspect,
                "Warm near its limit, or many sensors in series.",
                "iec-60947-8",
            ),
            band(
                "resistance_per_sensor < 20 Ω",
                Verdict::Suspect,
                "Less than so many cold sensors give: one may be bridged, or there are fewer.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "A loop below its response temperature.",
                "iec-60947-8",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[("ptc_resistance", "900 Ω")],
            output: ("state", "hot or too many sensors"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let sensors = inputs.count("sensors_in_series");
            let resistance = inputs.resistance("ptc_resistance");
            let cold = |one: f64| sensors.map(|n| ElectricalResistance::new::<ohm>(one) * n);
            let known = resistance.zip(sensors);
            let outputs = Outputs::new()
                .with_some("resistance", resistance)
                .with_some("resistance_per_sensor", known.map(|(r, n)| r / n))
                .with_some("lowest_cold_resistance", cold(PTC_COLD.0))
                .with_some("highest_cold_resistance", cold(PTC_COLD.1));
            Ok(match known {
                Some((r, n)) => outputs.with_word("state", ptc_state(r, n)),
                None => outputs,
            })
        },
    },
    Check {
        name: "ptc-limit",
        purpose: "Resistance that a PTC loop must have at a distance from its response temperature",
        inputs: &[
            nameplate(
                "response_offset",
                Kind::TemperatureDifference,
                "K",
                ("-200 K", "100 K"),
                "sensor temperature minus its nominal response temperature",
            ),
            SENSORS,
        ],
        outputs: &[
            output(
                "highest_resistance",
                Kind::Resistance,
                "Ω",
                "the loop has at most",
            ),
            output(
                "lowest_resistance",
                Kind::Resistance,
                "Ω",
                "the loop has at least",
            ),
        ],
        formula: "each sensor: 250 Ω at most up to −20 K, 550 Ω at most up to −5 K, 1330 Ω at least from +5 K, 4000 Ω at least from +15 K; times the sensors in series",
        valid: "measured with 2.5 V or less per sensor",
        sources: &["din-44081: now DIN VDE V 0898-1-401"],
        expect: &[
            "at most {highest_resistance}",
            "at least {lowest_resistance}",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("response_offset", "-5 K")],
            output: ("highest_resistance", "1650 Ω"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let known = inputs
                .temperature_difference("response_offset")
                .zip(inputs.count("sensors_in_series"));
            let Some((offset, sensors)) = known else {
                return Ok(Outputs::new());
            };
            Ok(match ptc_limit(offset) {
                PtcLimit::AtMost(one) => Outputs::new().with("highest_resistance", one * sensors),
                PtcLimit::AtLeast(one) => Outputs::new().with("lowest_resistance", one * sensors),
                PtcLimit::Steep => Outputs::new()
                    .note("Within 5 K of the response temperature the resistance is not fixed."),
            })
        },
    },
];
