//! Ageing of electrolytic capacitors.

use uom::si::f64::{Ratio, ThermodynamicTemperature, Time};
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::kelvin;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, nameplate, output, reading,
};
use crate::quantity::Kind;

/// Life of an electrolytic capacitor, twice as long for each 10 K less.
///
/// Formula: `L = L₀ · 2^((T₀ − T)/10)`
/// Symbols: `L₀` rated life at `T₀`; `T` temperature of the capacitor [°C]
/// Valid:   below the rated temperature; ripple current comes on top as heat
/// Source:  practice, the ten-degree rule
pub fn life(
    rated: Time,
    rated_temperature: ThermodynamicTemperature,
    temperature: ThermodynamicTemperature,
) -> Time {
    rated * 2f64.powf((rated_temperature.value - temperature.value) / 10.0)
}

/// Life under a mix of temperatures, `L = Σt / Σ(t/L)`; none without any time.
///
/// Valid:  damage adds up
/// Source: practice
pub fn mixed_life(
    rated: Time,
    rated_temperature: ThermodynamicTemperature,
    duty: &[(ThermodynamicTemperature, Time)],
) -> Option<Time> {
    let total: f64 = duty.iter().map(|(_, time)| time.value).sum();
    let used: f64 = duty
        .iter()
        .map(|(at, time)| time.value / life(rated, rated_temperature, *at).value)
        .sum();
    (used > 0.0).then(|| rated * (total / used / rated.value))
}

/// The one temperature that ages as fast: `T = T₀ − 10 K · log₂(L / L₀)`.
///
/// Source: as for [`life`]
pub fn equivalent_temperature(
    rated: Time,
    rated_temperature: ThermodynamicTemperature,
    life: Time,
) -> ThermodynamicTemperature {
    let doublings = (life / rated).get::<ratio>().log2();
    ThermodynamicTemperature::new::<kelvin>(rated_temperature.value - 10.0 * doublings)
}

const RATED_LIFE: Input = nameplate(
    "rated_life",
    Kind::Time,
    "h",
    ("100 h", "1000000 h"),
    "rated life from the capacitor's papers",
);
const RATED_TEMPERATURE: Input = celsius(
    "rated_temperature",
    "temperature of that life, usually printed on the capacitor",
);

const fn celsius(name: &'static str, what: &'static str) -> Input {
    nameplate(name, Kind::Temperature, "°C", ("-40 °C", "150 °C"), what)
}

const fn hours(name: &'static str, what: &'static str) -> Input {
    nameplate(name, Kind::Time, "h", ("0 h", "100000 h"), what)
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "capacitor-life",
        purpose: "Life of an electrolytic capacitor at its temperature",
        inputs: &[
            RATED_LIFE,
            RATED_TEMPERATURE,
            celsius(
                "capacitor_temperature",
                "temperature of the capacitor in service",
            ),
        ],
        outputs: &[output("life", Kind::Time, "h", "life to expect")],
        formula: "L = L₀ · 2^((T₀ − T)/10 K) (L₀: rated life at T₀; T: temperature)",
        valid: "below the rated temperature; a rule of thumb, ripple current shortens it",
        sources: &["practice"],
        expect: &["{life} at {capacitor_temperature}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("rated_life", "1000 h"),
                ("rated_temperature", "105 °C"),
                ("capacitor_temperature", "45 °C"),
            ],
            output: ("life", "64000 h"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let life = inputs
                .time("rated_life")
                .zip(inputs.temperature("rated_temperature"))
                .zip(inputs.temperature("capacitor_temperature"))
                .map(|((rated, at), temperature)| life(rated, at, temperature));
            Ok(Outputs::new().with_some("life", life))
        },
    },
    Check {
        name: "capacitor-life-mixed",
        purpose: "Life of an electrolytic capacitor under three temperatures in turn",
        inputs: &[
            RATED_LIFE,
            RATED_TEMPERATURE,
            celsius("temperature_1", "first temperature"),
            hours("time_1", "time at the first temperature"),
            celsius("temperature_2", "second temperature"),
            hours("time_2", "time at the second temperature"),
            celsius("temperature_3", "third temperature"),
            hours("time_3", "time at the third temperature"),
        ],
        outputs: &[
            output("life", Kind::Time, "h", "life to expect"),
            output(
                "equivalent_temperature",
                Kind::Temperature,
                "°C",
                "one temperature that ages as fast",
            ),
        ],
        formula: "L = Σt / Σ(t / L(T)), L(T) = L₀ · 2^((T₀ − T)/10 K) (t: time at each temperature T)",
        valid: "damage adds up; below the rated temperature",
        sources: &["practice"],
        expect: &["{life}, as at {equivalent_temperature} all the time"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("rated_life", "1000 h"),
                ("rated_temperature", "105 °C"),
                ("temperature_1", "45 °C"),
                ("time_1", "8 h"),
                ("temperature_2", "55 °C"),
                ("time_2", "8 h"),
                ("temperature_3", "65 °C"),
                ("time_3", "8 h"),
            ],
            output: ("life", "27429 h"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let at = |temperature, time| inputs.temperature(temperature).zip(inputs.time(time));
            let duty = at("temperature_1", "time_1")
                .zip(at("temperature_2", "time_2"))
                .zip(at("temperature_3", "time_3"))
                .map(|((one, two), three)| [one, two, three]);
            let rated = inputs
                .time("rated_life")
                .zip(inputs.temperature("rated_temperature"));
            let Some(((rated, rated_at), duty)) = rated.zip(duty) else {
                return Ok(Outputs::new());
            };
            let Some(life) = mixed_life(rated, rated_at, &duty) else {
                return Err(CheckError::Contradiction(
                    "all three times are zero: there is nothing to age".to_owned(),
                ));
            };
            Ok(Outputs::new().with("life", life).with(
                "equivalent_temperature",
                equivalent_temperature(rated, rated_at, life),
            ))
        },
    },
    Check {
        name: "capacitor-capacitance",
        purpose: "Capacitance as measured against the rated value",
        inputs: &[
            nameplate(
                "rated_capacitance",
                Kind::Capacitance,
                "µF",
                ("0.1 µF", "1 F"),
                "capacitance on the label",
            ),
            reading(
                "measured_capacitance",
                Kind::Capacitance,
                "µF",
                ("0 µF", "2 F"),
                "capacitance of the discharged capacitor, one lead free",
            ),
        ],
        outputs: &[output(
            "deviation",
            Kind::Ratio,
            "%",
            "deviation from the rated value",
        )],
        formula: "deviation = C / C_N − 1 (C: measured; C_N: rated capacitance)",
        valid: "discharged and proved dead; new electrolytics lie within −20 % and +20 % of their label, so compare with the first value too",
        sources: &["practice"],
        expect: &["{rated_capacitance}, less a tenth at most"],
        bands: &[
            band(
                "deviation < -20 %",
                Verdict::Bad,
                "At the end of its life: replace the bank.",
                "practice",
            ),
            band(
                "deviation < -10 %",
                Verdict::Suspect,
                "Ageing: plan its replacement.",
                "practice",
            ),
            band("", Verdict::Normal, "As it should be.", "practice"),
        ],
        doubtful: &["deviation > 40 %"],
        example: Example {
            inputs: &[
                ("rated_capacitance", "1000 µF"),
                ("measured_capacitance", "780 µF"),
            ],
            output: ("deviation", "-22 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let deviation = inputs
                .capacitance("measured_capacitance")
                .zip(inputs.capacitance("rated_capacitance"))
                .map(|(measured, rated)| -> Ratio { (measured - rated) / rated });
            Ok(Outputs::new().with_some("deviation", deviation))
        },
    },
    Check {
        name: "capacitor-esr",
        purpose: "Equivalent series resistance against its value when new",
        inputs: &[
            nameplate(
                "rated_series_resistance",
                Kind::Resistance,
                "mΩ",
                ("10 µΩ", "100 Ω"),
                "series resistance when new, from papers or an equal new one",
            ),
            reading(
                "series_resistance",
                Kind::Resistance,
                "mΩ",
                ("0 Ω", "100 kΩ"),
                "series resistance of the discharged capacitor",
            ),
        ],
        outputs: &[output("ratio", Kind::Ratio, "%", "measured against new")],
        formula: "ratio = R / R_new (R: series resistance)",
        valid: "same frequency and temperature for both",
        sources: &["practice"],
        expect: &["close to {rated_series_resistance}"],
        bands: &[
            band(
                "ratio > 200 %",
                Verdict::Bad,
                "Doubled: replace the bank.",
                "practice",
            ),
            band(
                "ratio > 150 %",
                Verdict::Suspect,
                "Rising: plan its replacement.",
                "practice",
            ),
            band("", Verdict::Normal, "As it should be.", "practice"),
        ],
        doubtful: &["ratio < 20 %"],
        example: Example {
            inputs: &[
                ("rated_series_resistance", "40 mΩ"),
                ("series_resistance", "100 mΩ"),
            ],
            output: ("ratio", "250 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let share = inputs
                .resistance("series_resistance")
                .zip(inputs.resistance("rated_series_resistance"))
                .map(|(measured, new)| -> Ratio { measured / new });
            Ok(Outputs::new().with_some("ratio", share))
        },
    },
];
