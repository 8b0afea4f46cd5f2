//! Dew: when the air's water settles on what is colder than the air.

use uom::si::f64::{Ratio, TemperatureInterval, ThermodynamicTemperature};
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::define::{Check, Example, Input, Outputs, Verdict, band, optional, output, reading};
use super::derating::difference;
use crate::quantity::Kind;

/// Constants of the Magnus formula over water: a number, and a temperature [°C].
///
/// Source: wmo-8, Annex 4.B
const MAGNUS: (f64, f64) = (17.62, 243.12);

/// Temperature at which the air's water begins to settle.
///
/// Formula: `g = ln φ + a · t / (b + t)`, `t_d = b · g / (a − g)`
/// Symbols: `φ` relative humidity; `t` air temperature [°C]; `a` 17.62; `b` 243.12 °C
/// Valid:   over water, −45 °C to 60 °C; `φ > 0`
/// Source:  wmo-8, Annex 4.B
pub fn dew_point(air: ThermodynamicTemperature, humidity: Ratio) -> ThermodynamicTemperature {
    let (a, b) = MAGNUS;
    let celsius = air.get::<degree_celsius>();
    let g = humidity.get::<ratio>().ln() + a * celsius / (b + celsius);
    ThermodynamicTemperature::new::<degree_celsius>(b * g / (a - g))
}

const AIR_TEMPERATURE: Input = reading(
    "air_temperature",
    Kind::Temperature,
    "°C",
    ("-40 °C", "60 °C"),
    "temperature of the air that reaches the surface",
);
const RELATIVE_HUMIDITY: Input = reading(
    "relative_humidity",
    Kind::Ratio,
    "%",
    ("1 %", "100 %"),
    "relative humidity of that air",
);
const SURFACE_TEMPERATURE: Input = reading(
    "surface_temperature",
    Kind::Temperature,
    "°C",
    ("-40 °C", "90 °C"),
    "temperature of the coldest surface: heatsink, cabinet wall, cooled plate",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[Check {
    name: "dew-point",
    purpose: "Dew point of the air, and whether water settles on a surface",
    inputs: &[
        AIR_TEMPERATURE,
        RELATIVE_HUMIDITY,
        optional(SURFACE_TEMPERATURE),
    ],
    outputs: &[
        output("dew_point", Kind::Temperature, "°C", "dew point"),
        output(
            "margin",
            Kind::TemperatureDifference,
            "K",
            "surface minus dew point",
        ),
    ],
    formula: "g = ln φ + 17.62 · t / (243.12 + t), t_d = 243.12 · g / (17.62 − g) (φ: relative humidity; t: air temperature in °C; t_d: dew point in °C)",
    valid: "air temperature from −45 °C to 60 °C, dew over water; within about a tenth of a kelvin",
    sources: &["wmo-8: Annex 4.B", "practice"],
    expect: &["every surface warmer than the dew point by 3 K or more"],
    bands: &[
        band(
            "margin < 0 K",
            Verdict::Bad,
            "Water settles here: leave the equipment off until it is warm and dry.",
            "wmo-8",
        ),
        band(
            "margin < 3 K",
            Verdict::Suspect,
            "Close to dew: a colder night or warmer, wetter air is enough. Heat the cabinet.",
            "practice",
        ),
        band("", Verdict::Normal, "The surface stays dry.", "practice"),
    ],
    doubtful: &["margin > 60 K"],
    example: Example {
        inputs: &[
            ("air_temperature", "25 °C"),
            ("relative_humidity", "60 %"),
            ("surface_temperature", "15 °C"),
        ],
        output: ("dew_point", "16.7 °C"),
        tolerance: 2e-4,
    },
    compute: |inputs| {
        let dew = inputs
            .temperature("air_temperature")
            .zip(inputs.ratio("relative_humidity"))
            .map(|(air, humidity)| dew_point(air, humidity));
        let margin = inputs
            .temperature("surface_temperature")
            .zip(dew)
            .map(|(surface, dew)| -> TemperatureInterval { difference(surface, dew) });
        Ok(Outputs::new()
            .with_some("dew_point", dew)
            .with_some("margin", margin))
    },
}];
