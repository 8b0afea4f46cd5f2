//! Winding resistance: the three against each other, and with temperature.

use uom::si::f64::{ElectricalResistance, Ratio, TemperatureInterval, ThermodynamicTemperature};
use uom::si::ratio::ratio;
use uom::si::temperature_interval::kelvin as kelvin_interval;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::define::{
    Check, CheckError, Example, Input, Inputs, Outputs, Verdict, band, choice, nameplate, output,
    reading,
};
use super::thermal_class::CLASSES;
use crate::quantity::Kind;

/// Largest deviation of three resistances from their mean.
///
/// Formula: `u = max|Rᵢ − R̄| / R̄`
/// Symbols: `Rᵢ` resistances between the three pairs of terminals [Ω]; `R̄` their mean
/// Valid:   at the motor, without starter or cable, all at one temperature, mean above zero
/// Errors:  all three zero
/// Source:  easa-ar100 (2020), clause on winding resistance
pub fn unbalance(
    resistances: [ElectricalResistance; 3],
) -> Result<(Ratio, ElectricalResistance), CheckError> {
    let [a, b, c] = resistances;
    let mean = (a + b + c) / 3.0;
    if mean.value <= 0.0 {
        return Err(CheckError::Contradiction(
            "all three read zero: this meter can't resolve the winding; use a four-wire instrument"
                .to_owned(),
        ));
    }
    let largest = resistances
        .iter()
        .map(|resistance| (*resistance - mean).abs().value)
        .fold(0.0, f64::max);
    Ok((Ratio::new::<ratio>(largest / mean.value), mean))
}

/// The number of °C below zero at which a metal's resistance, drawn as a straight line, is nought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Copper by IEEE and NEMA: 234.5.
    CopperIeee,
    /// Copper by IEC 60034-1: 235.
    CopperIec,
    /// Aluminium: 225.
    Aluminium,
}

impl Metal {
    /// The constant `k` [°C]. Source: nema-mg1 (234.5), iec-60034-1 (235 and 225), all from memory.
    pub fn constant(self) -> f64 {
        match self {
            Metal::CopperIeee => 234.5,
            Metal::CopperIec => 235.0,
            Metal::Aluminium => 225.0,
        }
    }
}

/// Winding resistance at another temperature.
///
/// Formula: `R₂ = R₁ · (k + t₂) / (k + t₁)`
/// Symbols: `R₁`, `R₂` resistance [Ω] at `t₁`, `t₂` [°C]; `k` of the metal
/// Valid:   −50 °C to 250 °C
/// Source:  iec-60034-1, clause on the resistance method (from memory)
pub fn at_temperature(
    resistance: ElectricalResistance,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
    metal: Metal,
) -> ElectricalResistance {
    let k = metal.constant();
    resistance * ((k + to.get::<degree_celsius>()) / (k + from.get::<degree_celsius>()))
}

/// Temperature of a hot winding from its resistance.
///
/// Formula: `t₂ = (R₂ / R₁) · (k + t₁) − k`
/// Symbols: as for [`at_temperature`]
/// Source:  iec-60034-1, clause on the resistance method (from memory)
pub fn temperature_by_resistance(
    cold: ElectricalResistance,
    at: ThermodynamicTemperature,
    hot: ElectricalResistance,
    metal: Metal,
) -> ThermodynamicTemperature {
    let k = metal.constant();
    let celsius = (hot / cold).get::<ratio>() * (k + at.get::<degree_celsius>()) - k;
    ThermodynamicTemperature::new::<degree_celsius>(celsius)
}

/// Highest mean temperature of a winding by resistance: 40 °C and the rise of its class.
///
/// Source: iec-60034-1, temperature-rise table (from memory)
pub fn highest_mean(thermal_class: &str) -> Option<ThermodynamicTemperature> {
    CLASSES
        .iter()
        .find(|(letter, _, _)| *letter == thermal_class)
        .map(|(_, _, rise)| ThermodynamicTemperature::new::<degree_celsius>(40.0 + rise))
}

/// Resistance between two terminals from that of one phase: star `2R`, delta `2R/3`.
///
/// Source: iec-80000-6, resistance (from memory)
pub fn line_resistance(phase: ElectricalResistance, delta: bool) -> ElectricalResistance {
    phase * if delta { 2.0 / 3.0 } else { 2.0 }
}

const fn pair(name: &'static str, what: &'static str) -> Input {
    reading(name, Kind::Resistance, "Ω", ("0 Ω", "1000 GΩ"), what)
}

const fn celsius(name: &'static str, what: &'static str) -> Input {
    nameplate(name, Kind::Temperature, "°C", ("-50 °C", "250 °C"), what)
}

const METAL: Input = choice(
    "metal",
    &["copper", "aluminium"],
    "what the winding is made of; copper unless the plate says otherwise",
);
const RULE: Input = choice(
    "rule",
    &["ieee", "iec"],
    "copper's constant: 234.5 by IEEE and NEMA, 235 by IEC",
);

fn metal_of(inputs: &Inputs) -> (Metal, &'static str) {
    match (inputs.word("metal"), inputs.word("rule")) {
        (Some("aluminium"), _) => (Metal::Aluminium, "Aluminium, k = 225."),
        (_, Some("iec")) => (Metal::CopperIec, "Copper by IEC 60034-1, k = 235."),
        _ => (Metal::CopperIeee, "Copper by IEEE and NEMA, k = 234.5."),
    }
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "winding-balance",
        purpose: "The three winding resistances against each other",
        inputs: &[
            pair(
                "resistance_u_v",
                "resistance between motor terminals U and V",
            ),
            pair(
                "resistance_v_w",
                "resistance between motor terminals V and W",
            ),
            pair(
                "resistance_w_u",
                "resistance between motor terminals W and U",
            ),
            choice(
                "winding",
                &["random", "form"],
                "random-wound, as low-voltage motors are, or form-wound",
            ),
        ],
        outputs: &[
            output(
                "unbalance",
                Kind::Ratio,
                "%",
                "largest deviation from the mean",
            ),
            output(
                "mean_resistance",
                Kind::Resistance,
                "Ω",
                "mean of the three",
            ),
            output(
                "highest_resistance",
                Kind::Resistance,
                "Ω",
                "highest of the three",
            ),
            output(
                "unbalance_limit",
                Kind::Ratio,
                "%",
                "limit for this kind of winding",
            ),
            output(
                "share_of_limit",
                Kind::Ratio,
                "%",
                "unbalance against the limit",
            ),
        ],
        formula: "u = max|R − R̄| / R̄ (R: each resistance; R̄: their mean)",
        valid: "at the motor, all three at one temperature; below an ohm only with a four-wire instrument",
        sources: &["easa-ar100: 2020, winding resistance", "practice"],
        expect: &["three alike, within {unbalance_limit} of their mean"],
        bands: &[
            band(
                "highest_resistance > 10 kΩ",
                Verdict::Bad,
                "Open: a winding, a lead or a joint is broken.",
                "practice",
            ),
            band(
                "unbalance > 5 %",
                Verdict::Bad,
                "Open strand, turn fault or wrong connection.",
                "practice",
            ),
            band(
                "share_of_limit > 100 %",
                Verdict::Suspect,
                "A joint, crimp or lead: clean it and measure again.",
                "easa-ar100",
            ),
            band("", Verdict::Normal, "The three agree.", "easa-ar100"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("resistance_u_v", "1.02 Ω"),
                ("resistance_v_w", "1.00 Ω"),
                ("resistance_w_u", "0.98 Ω"),
            ],
            output: ("unbalance", "2 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let three = inputs
                .resistance("resistance_u_v")
                .zip(inputs.resistance("resistance_v_w"))
                .zip(inputs.resistance("resistance_w_u"))
                .map(|((a, b), c)| [a, b, c]);
            let judged = three.map(unbalance).transpose()?;
            let highest = three.map(|[a, b, c]| a.max(b).max(c));
            let form = inputs.word("winding") == Some("form");
            let limit = Ratio::new::<ratio>(if form { 0.01 } else { 0.02 });
            Ok(Outputs::new()
                .with_some("unbalance", judged.map(|(unbalance, _)| unbalance))
                .with_some("mean_resistance", judged.map(|(_, mean)| mean))
                .with_some("highest_resistance", highest)
                .with("unbalance_limit", limit)
                .with_some(
                    "share_of_limit",
                    judged.map(|(unbalance, _)| unbalance / limit),
                ))
        },
    },
    Check {
        name: "winding-resistance-at",
        purpose: "Winding resistance carried to another temperature",
        inputs: &[
            nameplate(
                "resistance",
                Kind::Resistance,
                "Ω",
                ("10 µΩ", "1 MΩ"),
                "winding resistance as measured or from the motor's papers",
            ),
            celsius(
                "measured_temperature",
                "winding temperature of that resistance",
            ),
            celsius("wanted_temperature", "winding temperature to have it for"),
            METAL,
            RULE,
        ],
        outputs: &[output(
            "resistance",
            Kind::Resistance,
            "Ω",
            "resistance at that temperature",
        )],
        formula: "R₂ = R₁ · (k + t₂) / (k + t₁) (R₁: resistance at t₁; R₂: at t₂ in °C; k: 234.5 or 235 copper, 225 aluminium)",
        valid: "one metal throughout; the whole winding at one temperature",
        sources: &[
            "nema-mg1: 12.43 (234.5, from memory)",
            "iec-60034-1: resistance method (235, from memory)",
        ],
        expect: &["{resistance} at {wanted_temperature}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("resistance", "0.150 Ω"),
                ("measured_temperature", "25 °C"),
                ("wanted_temperature", "110 °C"),
            ],
            output: ("resistance", "0.1991 Ω"),
            tolerance: 5e-4,
        },
        compute: |inputs| {
            let (metal, note) = metal_of(inputs);
            let resistance = inputs
                .resistance("resistance")
                .zip(inputs.temperature("measured_temperature"))
                .zip(inputs.temperature("wanted_temperature"))
                .map(|((resistance, from), to)| at_temperature(resistance, from, to, metal));
            Ok(Outputs::new()
                .with_some("resistance", resistance)
                .note(note))
        },
    },
    Check {
        name: "winding-rise",
        purpose: "Temperature of a hot winding from its resistance cold and hot",
        inputs: &[
            nameplate(
                "cold_resistance",
                Kind::Resistance,
                "Ω",
                ("10 µΩ", "1 MΩ"),
                "resistance of the cold winding, between the same terminals",
            ),
            celsius("cold_temperature", "temperature of the cold winding"),
            reading(
                "hot_resistance",
                Kind::Resistance,
                "Ω",
                ("10 µΩ", "1 MΩ"),
                "resistance right after stopping, isolated and proved dead",
            ),
            METAL,
            RULE,
            choice(
                "thermal_class",
                &["F", "A", "E", "B", "H"],
                "thermal class of the winding, from the nameplate",
            ),
        ],
        outputs: &[
            output(
                "rise",
                Kind::TemperatureDifference,
                "K",
                "rise over the cold winding",
            ),
            output(
                "winding_temperature",
                Kind::Temperature,
                "°C",
                "mean winding temperature",
            ),
            output(
                "temperature_limit",
                Kind::Temperature,
                "°C",
                "highest mean temperature: 40 °C and the rise of the class",
            ),
            output(
                "highest_resistance",
                Kind::Resistance,
                "Ω",
                "resistance at that temperature",
            ),
            output(
                "margin",
                Kind::TemperatureDifference,
                "K",
                "limit minus temperature",
            ),
        ],
        formula: "t₂ = (R₂ / R₁) · (k + t₁) − k, rise = t₂ − t₁ (R₁: cold at t₁ in °C; R₂: hot; k: 234.5 or 235 copper, 225 aluminium)",
        valid: "mean of the winding; the hottest spot lies above it; measured before it cools",
        sources: &[
            "nema-mg1: 12.43 (234.5, from memory)",
            "iec-60034-1: resistance method (235) and rise by resistance (from memory)",
            "practice",
        ],
        expect: &[
            "above {cold_resistance}, at most {highest_resistance}, which it has at {temperature_limit}",
        ],
        bands: &[
            band(
                "margin < 0 K",
                Verdict::Bad,
                "Hotter than the class allows at full load in 40 °C.",
                "iec-60034-1",
            ),
            band(
                "margin < 10 K",
                Verdict::Suspect,
                "Close to the limit of its class.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Below the limit of its class.",
                "iec-60034-1",
            ),
        ],
        doubtful: &["winding_temperature > 250 °C", "rise < -5 K"],
        example: Example {
            inputs: &[
                ("cold_resistance", "80 Ω"),
                ("cold_temperature", "20 °C"),
                ("hot_resistance", "100 Ω"),
            ],
            output: ("rise", "63.625 K"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let (metal, note) = metal_of(inputs);
            let cold = inputs.temperature("cold_temperature");
            let hot = inputs
                .resistance("cold_resistance")
                .zip(cold)
                .zip(inputs.resistance("hot_resistance"))
                .map(|((resistance, at), hot)| {
                    temperature_by_resistance(resistance, at, hot, metal)
                });
            let rise = hot.zip(cold).map(|(hot, cold)| {
                TemperatureInterval::new::<kelvin_interval>(hot.value - cold.value)
            });
            let letter = inputs.word("thermal_class").unwrap_or("F");
            let limit = highest_mean(letter);
            let highest = inputs
                .resistance("cold_resistance")
                .zip(cold)
                .zip(limit)
                .map(|((resistance, at), limit)| at_temperature(resistance, at, limit, metal));
            let margin = limit.zip(hot).map(|(limit, hot)| {
                TemperatureInterval::new::<kelvin_interval>(limit.value - hot.value)
            });
            Ok(Outputs::new()
                .with_some("rise", rise)
                .with_some("winding_temperature", hot)
                .with_some("temperature_limit", limit)
                .with_some("highest_resistance", highest)
                .with_some("margin", margin)
                .note(note)
                .note(format!("Judged as thermal class {letter}.")))
        },
    },
    Check {
        name: "winding-line-resistance",
        purpose: "Resistance between two motor terminals from that of one phase winding",
        inputs: &[
            nameplate(
                "phase_resistance",
                Kind::Resistance,
                "Ω",
                ("10 µΩ", "1 MΩ"),
                "resistance of one phase winding, from the motor's papers",
            ),
            choice(
                "connection",
                &["star", "delta"],
                "how the links in the terminal box lie",
            ),
        ],
        outputs: &[output(
            "line_resistance",
            Kind::Resistance,
            "Ω",
            "between two terminals",
        )],
        formula: "star R_line = 2R, delta R_line = 2R / 3 (R: one phase winding)",
        valid: "three equal phase windings, all links in place",
        sources: &["iec-80000-6: resistance (from memory)"],
        expect: &["{line_resistance} between each two terminals"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("phase_resistance", "0.6 Ω"), ("connection", "delta")],
            output: ("line_resistance", "0.4 Ω"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let delta = inputs.word("connection") == Some("delta");
            let line = inputs
                .resistance("phase_resistance")
                .map(|phase| line_resistance(phase, delta));
            Ok(Outputs::new()
                .with_some("line_resistance", line)
                .note(if delta {
                    "Connected in delta."
                } else {
                    "Connected in star."
                }))
        },
    },
];
