//! What heat and height take from a drive.

use uom::si::f64::{Length, Ratio, TemperatureInterval, ThermodynamicTemperature};
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::temperature_interval::kelvin as kelvin_interval;

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, known, nameplate, optional, output,
    reading,
};
use super::shared::{AMBIENT_TEMPERATURE, DRIVE_RATED_CURRENT, OUTPUT_CURRENT};
use crate::quantity::{Kind, Quantity};

/// Difference of two temperatures.
pub fn difference(
    one: ThermodynamicTemperature,
    other: ThermodynamicTemperature,
) -> TemperatureInterval {
    TemperatureInterval::new::<kelvin_interval>(one.value - other.value)
}

/// Share of the rated current left at an altitude.
///
/// Formula: `k = 1 − 1 % · (h − 1000) / 100` above 1000 m
/// Symbols: `h` altitude [m]
/// Valid:   up to 4000 m; air-cooled; the drive's own manual rules
/// Source:  practice
pub fn altitude_factor(altitude: Length) -> Ratio {
    let above = (altitude.get::<meter>() - 1000.0).max(0.0);
    Ratio::new::<ratio>(1.0 - 0.01 * above / 100.0)
}

/// Share of the rated current left at an ambient temperature.
///
/// Formula: `k = 1 − s · (t − t₀)` above the reference
/// Symbols: `t` ambient, `t₀` reference temperature; `s` loss for each kelvin, 1 % to 2.5 % by make
/// Valid:   until nothing is left
/// Source:  practice
pub fn ambient_factor(
    ambient: ThermodynamicTemperature,
    reference: ThermodynamicTemperature,
    per_kelvin: Ratio,
) -> Ratio {
    let above = (ambient.value - reference.value).max(0.0);
    Ratio::new::<ratio>((1.0 - per_kelvin.get::<ratio>() * above).max(0.0))
}

/// Density of air at an altitude against sea level.
///
/// Formula: `ρ/ρ₀ = (1 − 2.25577e-5 · h)^4.25588`
/// Symbols: `h` altitude [m]
/// Valid:   up to 11 000 m
/// Source:  iso-2533, standard atmosphere
pub fn air_density_share(altitude: Length) -> Ratio {
    let base = (1.0 - 2.255_77e-5 * altitude.get::<meter>()).max(0.0);
    Ratio::new::<ratio>(base.powf(4.255_88))
}

/// Factor on clearances in air, by the table's next higher altitude.
///
/// Valid:  up to 5000 m
/// Source: iec-60664-1, altitude correction table (from memory)
pub fn clearance_factor(altitude: Length) -> f64 {
    match altitude.get::<meter>() {
        h if h <= 2000.0 => 1.0,
        h if h <= 3000.0 => 1.14,
        h if h <= 4000.0 => 1.29,
        _ => 1.48,
    }
}

pub(super) const AMBIENT_LIMIT: Input = assumed(
    nameplate(
        "ambient_limit",
        Kind::Temperature,
        "°C",
        ("20 °C", "80 °C"),
        "highest ambient temperature at full load, from the plate or the manual",
    ),
    "40 °C",
);
const ALTITUDE: Input = nameplate(
    "altitude",
    Kind::Length,
    "m",
    ("-500 m", "4000 m"),
    "height of the site above sea level",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "ambient-margin",
        purpose: "Ambient temperature against the highest for full load",
        inputs: &[AMBIENT_TEMPERATURE, AMBIENT_LIMIT],
        outputs: &[output(
            "margin",
            Kind::TemperatureDifference,
            "K",
            "limit minus ambient",
        )],
        formula: "margin = t_limit − t (t: ambient; t_limit: highest ambient at full load)",
        valid: "air where it enters, not beside the cabinet; 40 °C is the usual reference, the plate rules",
        sources: &[
            "iec-60034-1: reference ambient",
            "iec-61800-2: from memory",
            "practice",
        ],
        expect: &["below {ambient_limit}"],
        bands: &[
            band(
                "margin < 0 K",
                Verdict::Bad,
                "Hotter than the equipment may run at full load.",
                "iec-60034-1",
            ),
            band(
                "margin < 5 K",
                Verdict::Suspect,
                "Hardly any margin for a hot day or a blocked filter.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Cool enough for full load.",
                "iec-60034-1",
            ),
        ],
        doubtful: &["margin > 75 K", "margin < -45 K"],
        example: Example {
            inputs: &[("ambient_temperature", "46 °C")],
            output: ("margin", "-6 K"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let margin = inputs
                .temperature("ambient_limit")
                .zip(inputs.temperature("ambient_temperature"))
                .map(|(limit, ambient)| difference(limit, ambient));
            Ok(Outputs::new().with_some("margin", margin))
        },
    },
    Check {
        name: "derated-current",
        purpose: "Current that a drive may give at this height and ambient temperature",
        inputs: &[
            DRIVE_RATED_CURRENT,
            assumed(ALTITUDE, "0 m"),
            assumed(known(AMBIENT_TEMPERATURE), "40 °C"),
            AMBIENT_LIMIT,
            assumed(
                nameplate(
                    "loss_per_kelvin",
                    Kind::Ratio,
                    "%",
                    ("0.5 %", "5 %"),
                    "current lost for each kelvin above the limit, from the drive's own manual",
                ),
                "1 %",
            ),
            optional(OUTPUT_CURRENT),
        ],
        outputs: &[
            output("current", Kind::Current, "A", "current that is left"),
            output("factor", Kind::Ratio, "%", "share of the rated current"),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "output current against what is left",
            ),
        ],
        formula: "I = I_N · (1 − 1 % · (h − 1000 m) / 100 m) · (1 − s · (t − t_limit)) (I_N: rated current; h: altitude above 1000 m; s: loss per kelvin; t: ambient above the limit)",
        valid: "air-cooled drives up to 4000 m; both slopes differ by make, the drive's own manual rules",
        sources: &["practice"],
        expect: &["up to {current}, which is {factor} of {drive_rated_current}"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the drive may give here.",
                "practice",
            ),
            band(
                "ratio > 95 %",
                Verdict::Suspect,
                "No margin left for a hot day.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the drive may give here.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 300 %"],
        example: Example {
            inputs: &[("drive_rated_current", "100 A"), ("altitude", "2000 m")],
            output: ("current", "90 A"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let heat = inputs
                .temperature("ambient_temperature")
                .zip(inputs.temperature("ambient_limit"))
                .zip(inputs.ratio("loss_per_kelvin"))
                .map(|((ambient, limit), slope)| ambient_factor(ambient, limit, slope));
            let factor = inputs
                .length("altitude")
                .map(altitude_factor)
                .zip(heat)
                .map(|(height, heat)| height * heat);
            let left = inputs
                .current("drive_rated_current")
                .zip(factor)
                .map(|(rated, factor)| rated * factor);
            let load = inputs
                .current("output_current")
                .zip(left.filter(|left| left.value > 0.0))
                .map(|(current, left)| current / left);
            Ok(Outputs::new()
                .with_some("current", left)
                .with_some("factor", factor)
                .with_some("ratio", load)
                .note("1 % for each 100 m above 1000 m is a habit of the trade; the drive's own manual rules."))
        },
    },
    Check {
        name: "heatsink-rise",
        purpose: "Heatsink temperature over the air that cools it",
        inputs: &[
            reading(
                "heatsink_temperature",
                Kind::Temperature,
                "°C",
                ("-40 °C", "200 °C"),
                "heatsink temperature as the drive displays it",
            ),
            AMBIENT_TEMPERATURE,
        ],
        outputs: &[output(
            "rise",
            Kind::TemperatureDifference,
            "K",
            "rise over the air",
        )],
        formula: "rise = t_heatsink − t_ambient",
        valid: "steady load for a quarter of an hour; compare at the same load and switching frequency",
        sources: &["practice"],
        expect: &["no hotter than at the same load when the filters and fan were new"],
        bands: &[],
        doubtful: &["rise < -5 K", "rise > 90 K"],
        example: Example {
            inputs: &[
                ("heatsink_temperature", "75 °C"),
                ("ambient_temperature", "30 °C"),
            ],
            output: ("rise", "45 K"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let rise = inputs
                .temperature("heatsink_temperature")
                .zip(inputs.temperature("ambient_temperature"))
                .map(|(heatsink, ambient)| difference(heatsink, ambient));
            Ok(Outputs::new().with_some("rise", rise))
        },
    },
    Check {
        name: "altitude-effects",
        purpose: "Air density and insulation clearances at an altitude",
        inputs: &[Input {
            limits: ("-500 m", "5000 m"),
            ..ALTITUDE
        }],
        outputs: &[
            output(
                "density_share",
                Kind::Ratio,
                "%",
                "air density against sea level",
            ),
            output(
                "clearance_factor",
                Kind::Count,
                "",
                "factor on clearances in air",
            ),
        ],
        formula: "density = (1 − 2.25577e-5 · h)^4.25588; clearance factor 1.14, 1.29, 1.48 up to 3000, 4000, 5000 m (h: altitude in m)",
        valid: "up to 5000 m; between two rows of the clearance table the higher one is taken",
        sources: &[
            "iso-2533: standard atmosphere",
            "iec-60664-1: altitude correction (from memory)",
        ],
        expect: &["{density_share} of the air at sea level"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("altitude", "2000 m")],
            output: ("density_share", "82.16 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let altitude = inputs.length("altitude");
            let factor = altitude.map(clearance_factor);
            Ok(Outputs::new()
                .with_some("density_share", altitude.map(air_density_share))
                .with_some(
                    "clearance_factor",
                    factor.map(|factor| Quantity::from_si(Kind::Count, factor)),
                ))
        },
    },
];
