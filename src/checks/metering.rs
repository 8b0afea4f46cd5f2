//! What a reading is worth, as named checks; the same sums run behind every verdict.

use uom::si::f64::{ElectricPotential, Ratio};
use uom::si::power::watt;
use uom::si::ratio::ratio;

use super::define::{
    Check, Example, Input, Inputs, Outputs, assumed, nameplate, optional, output, reading,
};
use super::meter::{Accuracy, limit_of_error, standard_uncertainty};
use super::shared::{VOLTAGE_L1_L2, VOLTAGE_L2_L3, VOLTAGE_L3_L1, contradiction, three_voltages};
use crate::quantity::{Bound, Kind, Quantity, Reading};

/// Coverage factor of about 95 %. Source: jcgm-100, 6.3.3.
pub const COVERAGE: f64 = 2.0;

/// Root of the sum of squares of uncorrelated uncertainties.
///
/// Formula: `u = √(Σ uᵢ²)`
/// Valid:   uncorrelated, each already multiplied by its sensitivity
/// Source:  jcgm-100, 5.1.2
pub fn combined(uncertainties: &[f64]) -> f64 {
    uncertainties.iter().map(|u| u * u).sum::<f64>().sqrt()
}

/// Standard uncertainty of a display's last digit: half of it as a rectangle.
///
/// Formula: `u = d / (2·√3)`
/// Source:  jcgm-100, F.2.2.1
pub fn resolution_uncertainty(last_digit: f64) -> f64 {
    last_digit / 2.0 / 3f64.sqrt()
}

/// Largest deviation of three voltages from their mean, with its standard uncertainty.
///
/// Formula: `v = |U_i/Ū − 1|`, `u² = ((1/Ū − U_i/3Ū²)² + 2·(U_i/3Ū²)²)·u_U²`, about `(0.8165·u_U/Ū)²`
/// Symbols: `U_i` voltage farthest from the mean `Ū`; `u_U` standard uncertainty of each
/// Valid:   uncorrelated readings; one meter's gain error cancels, so the true one is smaller
/// Source:  jcgm-100, 5.1.2
pub fn unbalance_with_uncertainty(
    voltages: [ElectricPotential; 3],
    relative_limit: Ratio,
) -> (Ratio, Ratio) {
    let mean = voltages.iter().map(|v| v.value).sum::<f64>() / 3.0;
    let farthest = voltages.iter().map(|v| v.value).fold(mean, |far, v| {
        if (v - mean).abs() > (far - mean).abs() {
            v
        } else {
            far
        }
    });
    let shared = farthest / (3.0 * mean * mean);
    let own = 1.0 / mean - shared;
    let u = relative_limit.get::<ratio>() * mean / 3f64.sqrt();
    let uncertainty = combined(&[own * u, shared * u, shared * u]);
    (
        Ratio::new::<ratio>((farthest / mean - 1.0).abs()),
        Ratio::new::<ratio>(uncertainty),
    )
}

const MEASURED_VOLTAGE: Input = reading(
    "measured_voltage",
    Kind::Voltage,
    "V",
    ("-2000 V", "2000 V"),
    "voltage as the meter shows it",
);

const fn percent(name: &'static str, value: &'static str) -> Input {
    assumed(
        nameplate(
            name,
            Kind::Ratio,
            "%",
            ("0 %", "20 %"),
            "percent of reading, from the meter's data",
        ),
        value,
    )
}

const fn digits(name: &'static str, value: &'static str) -> Input {
    assumed(
        nameplate(
            name,
            Kind::Count,
            "",
            ("0", "200"),
            "digits of the last place, from the meter's data",
        ),
        value,
    )
}

const VOLTAGE_DIGIT: Input = nameplate(
    "voltage_last_digit",
    Kind::Voltage,
    "V",
    ("1 µV", "10 V"),
    "value of the last place in the range used: 0.1 V for a display of 480.0 V",
);
const CURRENT_DIGIT: Input = nameplate(
    "current_last_digit",
    Kind::Current,
    "A",
    ("1 µA", "10 A"),
    "value of the last place in the range used",
);

/// A reading with the accuracy that goes with it, from the inputs of these names.
fn read(inputs: &Inputs, names: [&str; 4]) -> Option<(Reading, Accuracy)> {
    let quantity = |name| match inputs.get(name) {
        Some(super::define::Value::Quantity(quantity)) => Some(*quantity),
        _ => None,
    };
    let [value, percent, digits, last] = names.map(quantity);
    let reading = Reading {
        value: value?,
        resolution: last?.si(),
        bound: Bound::Exact,
    };
    let accuracy = Accuracy {
        percent: percent?.si() * 100.0,
        digits: digits?.si(),
        fixed: 0.0,
    };
    Some((reading, accuracy))
}

const VOLTAGE_NAMES: [&str; 4] = [
    "measured_voltage",
    "voltage_percent",
    "voltage_digits",
    "voltage_last_digit",
];
const CURRENT_NAMES: [&str; 4] = [
    "measured_current",
    "current_percent",
    "current_digits",
    "current_last_digit",
];

const fn count(name: &'static str) -> Input {
    nameplate(
        name,
        Kind::Count,
        "",
        ("0", "1000000000"),
        "standard uncertainty, all of them in one unit",
    )
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "meter-uncertainty",
        purpose: "By how much a meter's voltage reading may be off",
        inputs: &[
            MEASURED_VOLTAGE,
            percent("voltage_percent", "0.7 %"),
            digits("voltage_digits", "2"),
            VOLTAGE_DIGIT,
        ],
        outputs: &[
            output("limit", Kind::Voltage, "V", "limit of error"),
            output(
                "standard_uncertainty",
                Kind::Voltage,
                "V",
                "standard uncertainty",
            ),
            output(
                "expanded_uncertainty",
                Kind::Voltage,
                "V",
                "expanded uncertainty, about 95 %",
            ),
            output(
                "resolution_uncertainty",
                Kind::Voltage,
                "V",
                "part of the last digit alone",
            ),
        ],
        formula: "a = p · |U| + n · d, u = a / √3, U₉₅ = 2·u, u_d = d / (2·√3) (p: percent of reading; n: digits; d: last place)",
        valid: "the meter within its calibration and its range; on a drive's output only a meter made for it",
        sources: &["jcgm-100: 4.3.7, 6.3.3, F.2.2.1"],
        expect: &[
            "within {limit}",
            "within {voltage_percent} of the reading and {voltage_digits} digits",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("measured_voltage", "480.0 V"),
                ("voltage_percent", "0.5 %"),
                ("voltage_last_digit", "0.1 V"),
            ],
            output: ("standard_uncertainty", "1.501 V"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let volts = |value| Quantity::from_si(Kind::Voltage, value);
            let known = read(inputs, VOLTAGE_NAMES);
            let u = known.map(|(reading, accuracy)| standard_uncertainty(&reading, accuracy));
            let last = inputs.voltage("voltage_last_digit");
            Ok(Outputs::new()
                .with_some("limit", known.map(|(r, a)| volts(limit_of_error(&r, a))))
                .with_some("standard_uncertainty", u.map(volts))
                .with_some("expanded_uncertainty", u.map(|u| volts(COVERAGE * u)))
                .with_some(
                    "resolution_uncertainty",
                    last.map(|d| volts(resolution_uncertainty(d.value))),
                ))
        },
    },
    Check {
        name: "power-uncertainty",
        purpose: "Three-phase power from one voltage and one current, with its uncertainty",
        inputs: &[
            Input {
                limits: ("1 V", "2000 V"),
                ..MEASURED_VOLTAGE
            },
            percent("voltage_percent", "0.7 %"),
            digits("voltage_digits", "2"),
            VOLTAGE_DIGIT,
            reading(
                "measured_current",
                Kind::Current,
                "A",
                ("1 mA", "20 kA"),
                "current as the meter shows it",
            ),
            percent("current_percent", "2 %"),
            digits("current_digits", "5"),
            CURRENT_DIGIT,
            assumed(
                nameplate(
                    "power_factor",
                    Kind::Ratio,
                    "×",
                    ("1 %", "100 %"),
                    "power factor, taken as exact",
                ),
                "100 %",
            ),
        ],
        outputs: &[
            output("power", Kind::Power, "W", "power"),
            output(
                "standard_uncertainty",
                Kind::Ratio,
                "%",
                "relative standard uncertainty",
            ),
            output(
                "expanded_uncertainty",
                Kind::Ratio,
                "%",
                "relative expanded uncertainty, about 95 %",
            ),
        ],
        formula: "P = √3 · U · I · λ, (u_P/P)² = (u_U/U)² + (u_I/I)² (U: line voltage; I: current; λ: power factor)",
        valid: "three balanced phases, voltage and current measured by two uncorrelated meters",
        sources: &["jcgm-100: 5.1.6"],
        expect: &[
            "{power} within {expanded_uncertainty}",
            "the power on the plate at full load, within what both meters leave open",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("measured_voltage", "400.0 V"),
                ("voltage_percent", "0.5 %"),
                ("voltage_last_digit", "0.1 V"),
                ("measured_current", "10.00 A"),
                ("current_percent", "1.0 %"),
                ("current_digits", "3"),
                ("current_last_digit", "0.01 A"),
            ],
            output: ("standard_uncertainty", "0.815 %"),
            tolerance: 1e-2,
        },
        compute: |inputs| {
            let power = inputs
                .voltage("measured_voltage")
                .zip(inputs.current("measured_current"))
                .zip(inputs.ratio("power_factor"))
                .map(|((u, i), factor)| {
                    let watts = 3f64.sqrt() * u.value * i.value * factor.get::<ratio>();
                    uom::si::f64::Power::new::<watt>(watts)
                });
            let relative = |names| {
                read(inputs, names).map(|(reading, accuracy)| {
                    standard_uncertainty(&reading, accuracy) / reading.value.si()
                })
            };
            let u = relative(VOLTAGE_NAMES)
                .zip(relative(CURRENT_NAMES))
                .map(|(voltage, current)| combined(&[voltage, current]));
            Ok(Outputs::new()
                .with_some("power", power)
                .with_some("standard_uncertainty", u.map(Ratio::new::<ratio>))
                .with_some(
                    "expanded_uncertainty",
                    u.map(|u| Ratio::new::<ratio>(COVERAGE * u)),
                ))
        },
    },
    Check {
        name: "combined-uncertainty",
        purpose: "Uncorrelated standard uncertainties taken together",
        inputs: &[
            count("uncertainty_1"),
            count("uncertainty_2"),
            optional(count("uncertainty_3")),
        ],
        outputs: &[
            output(
                "standard_uncertainty",
                Kind::Count,
                "",
                "combined, in the same unit",
            ),
            output(
                "expanded_uncertainty",
                Kind::Count,
                "",
                "expanded, about 95 %",
            ),
        ],
        formula: "u = √(u₁² + u₂² + u₃²), U₉₅ = 2·u (u: standard uncertainties)",
        valid: "uncorrelated; readings of one meter share its gain error",
        sources: &["jcgm-100: 5.1.2"],
        expect: &["{standard_uncertainty}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("uncertainty_1", "1.5"),
                ("uncertainty_2", "0.8"),
                ("uncertainty_3", "0.3"),
            ],
            output: ("standard_uncertainty", "1.726"),
            tolerance: 5e-4,
        },
        compute: |inputs| {
            let third = inputs.count("uncertainty_3").unwrap_or_default();
            let u = inputs
                .count("uncertainty_1")
                .zip(inputs.count("uncertainty_2"))
                .map(|(one, two)| combined(&[one, two, third].map(|u| u.get::<ratio>())));
            let plain = |value| Quantity::from_si(Kind::Count, value);
            Ok(Outputs::new()
                .with_some("standard_uncertainty", u.map(plain))
                .with_some("expanded_uncertainty", u.map(|u| plain(COVERAGE * u))))
        },
    },
    Check {
        name: "unbalance-uncertainty",
        purpose: "Voltage unbalance with the uncertainty that the meter leaves",
        inputs: &[
            VOLTAGE_L1_L2,
            VOLTAGE_L2_L3,
            VOLTAGE_L3_L1,
            percent("voltage_percent", "0.7 %"),
        ],
        outputs: &[
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "largest deviation from the mean",
            ),
            output(
                "expanded_uncertainty",
                Kind::Ratio,
                "%",
                "its expanded uncertainty, about 95 %",
            ),
        ],
        formula: "v = max|U − Ū| / Ū, u ≈ 0.8165 · p / √3, U₉₅ = 2·u (U: each line voltage; Ū: mean; p: limit of error relative to the reading)",
        valid: "as if the readings were uncorrelated; with one meter the true uncertainty is smaller",
        sources: &["nema-mg1: 14.36.2", "jcgm-100: 5.1.2"],
        expect: &[
            "below 1 %, known to within {expanded_uncertainty}",
            "below 1 %",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("voltage_l1_l2", "460 V"),
                ("voltage_l2_l3", "467 V"),
                ("voltage_l3_l1", "450 V"),
                ("voltage_percent", "0.5 %"),
            ],
            output: ("expanded_uncertainty", "0.471 %"),
            tolerance: 1e-2,
        },
        compute: |inputs| {
            let lines = three_voltages(inputs);
            if lines.is_some_and(|lines| lines.iter().all(|line| line.value <= 0.0)) {
                return Err(contradiction(
                    "all three lines read zero: there is no voltage to compare",
                ));
            }
            let both = lines
                .zip(inputs.ratio("voltage_percent"))
                .map(|(lines, limit)| unbalance_with_uncertainty(lines, limit));
            Ok(Outputs::new()
                .with_some("unbalance", both.map(|(unbalance, _)| unbalance))
                .with_some("expanded_uncertainty", both.map(|(_, u)| u * COVERAGE)))
        },
    },
];
