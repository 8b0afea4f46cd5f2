//! What a winding's insulation stands.

use uom::si::f64::{Ratio, TemperatureInterval, ThermodynamicTemperature};
use uom::si::ratio::ratio;
use uom::si::temperature_interval::kelvin as kelvin_interval;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::define::{Check, Example, Outputs, Verdict, band, choice, output, reading};
use crate::quantity::Kind;

/// Thermal class: letter, highest temperature [°C], highest rise by resistance over 40 °C [K].
///
/// Source: iec-60085 for the temperature; iec-60034-1, temperature-rise table (from memory), for the
/// rise of machines from 0.6 kW to 200 kW
pub const CLASSES: [(&str, f64, f64); 5] = [
    ("A", 105.0, 60.0),
    ("E", 120.0, 75.0),
    ("B", 130.0, 80.0),
    ("F", 155.0, 105.0),
    ("H", 180.0, 125.0),
];

/// Life of insulation against that at the limit of its class.
///
/// Formula: `L = 2^(−ΔT/10)`
/// Symbols: `ΔT` temperature above the limit [K]
/// Valid:   near the limit; the true halving interval lies between 8 K and 12 K
/// Source:  Montsinger's rule; practice for its 10 K
pub fn life_share(above_limit: TemperatureInterval) -> Ratio {
    Ratio::new::<ratio>(2f64.powf(-above_limit.get::<kelvin_interval>() / 10.0))
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[Check {
    name: "thermal-class",
    purpose: "Winding temperature against the limit of its thermal class, and what it costs in life",
    inputs: &[
        reading(
            "winding_temperature",
            Kind::Temperature,
            "°C",
            ("-50 °C", "300 °C"),
            "winding temperature by its sensor or by resistance",
        ),
        choice(
            "thermal_class",
            &["F", "A", "E", "B", "H"],
            "thermal class of the winding, from the nameplate",
        ),
    ],
    outputs: &[
        output(
            "temperature_limit",
            Kind::Temperature,
            "°C",
            "limit of the class",
        ),
        output(
            "rise_limit",
            Kind::TemperatureDifference,
            "K",
            "highest rise by resistance over 40 °C",
        ),
        output(
            "margin",
            Kind::TemperatureDifference,
            "K",
            "limit minus temperature",
        ),
        output(
            "life_share",
            Kind::Ratio,
            "%",
            "life against that at the limit",
        ),
    ],
    formula: "margin = t_limit − t, life = 2^(margin / 10 K) (t: winding temperature; t_limit: 105, 120, 130, 155, 180 °C for class A, E, B, F, H)",
    valid: "rise limits for machines from 0.6 kW to 200 kW; the life rule near the limit only",
    sources: &[
        "iec-60085",
        "iec-60034-1: temperature rise by resistance (from memory)",
        "practice",
    ],
    expect: &["below {temperature_limit}, the limit of the class"],
    bands: &[
        band(
            "margin < 0 K",
            Verdict::Bad,
            "Above the limit of its class: it ages fast.",
            "iec-60085",
        ),
        band(
            "margin < 10 K",
            Verdict::Suspect,
            "Within 10 K of the limit: too hot to stay there.",
            "practice",
        ),
        band(
            "",
            Verdict::Normal,
            "Below the limit of its class.",
            "iec-60085",
        ),
    ],
    doubtful: &["margin < -80 K", "margin > 220 K"],
    example: Example {
        inputs: &[("winding_temperature", "165 °C"), ("thermal_class", "F")],
        output: ("life_share", "50 %"),
        tolerance: 1e-9,
    },
    compute: |inputs| {
        let letter = inputs.word("thermal_class").unwrap_or("F");
        let Some((_, limit, rise)) = CLASSES.iter().find(|(own, _, _)| *own == letter) else {
            return Ok(Outputs::new());
        };
        let kelvin = TemperatureInterval::new::<kelvin_interval>;
        let margin = inputs
            .temperature("winding_temperature")
            .map(|temperature| kelvin(limit - temperature.get::<degree_celsius>()));
        Ok(Outputs::new()
            .with(
                "temperature_limit",
                ThermodynamicTemperature::new::<degree_celsius>(*limit),
            )
            .with("rise_limit", kelvin(*rise))
            .with_some("margin", margin)
            .with_some("life_share", margin.map(|margin| life_share(-margin)))
            .note(format!("Judged as thermal class {letter}.")))
    },
}];
