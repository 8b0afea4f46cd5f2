//! What insulation readings say together: over time, over length, over temperature.

use uom::si::electrical_resistance::megaohm;
use uom::si::f64::{ElectricalResistance, Length, Ratio};
use uom::si::length::kilometer;

use super::define::{
    Check, Example, Input, Outputs, Verdict, band, choice, nameplate, optional, output, reading,
    word,
};
use super::insulation::{RULE, factor_to_40, rule_of};
use crate::quantity::{Kind, Quantity};

/// Insulation resistance of two things measured together.
///
/// Formula: `R = R₁ · R₂ / (R₁ + R₂)`
/// Symbols: `R₁`, `R₂` insulation resistance of motor and cable [Ω]
/// Valid:   both to the same earth; below the smaller of the two
/// Source:  iec-80000-6, resistance (from memory)
pub fn in_parallel(one: ElectricalResistance, other: ElectricalResistance) -> ElectricalResistance {
    (one.recip() + other.recip()).recip()
}

/// Insulation resistance of a cable: `R = k / L`, with `k` the resistance of one kilometre.
///
/// Valid:  same cable, same temperature
/// Source: iec-80000-6, conductance in parallel along the length (from memory)
pub fn of_cable(one_kilometre: ElectricalResistance, length: Length) -> ElectricalResistance {
    one_kilometre * (Length::new::<kilometer>(1.0) / length)
}

/// Least polarization index by thermal class.
///
/// Source: ieee-43 (2000), table of minimum polarization index
pub fn least_polarization_index(thermal_class: &str) -> f64 {
    if thermal_class == "A" { 1.5 } else { 2.0 }
}

/// One-minute resistance above which the polarization index tells nothing.
///
/// Source: ieee-43 (from memory)
pub fn index_tells_nothing_above() -> ElectricalResistance {
    ElectricalResistance::new::<megaohm>(5000.0)
}

const fn megohms(name: &'static str, what: &'static str) -> Input {
    reading(name, Kind::Resistance, "MΩ", ("1 kΩ", "10000 GΩ"), what)
}

fn plain(value: Ratio) -> Quantity {
    Quantity::from_si(Kind::Count, value.get::<uom::si::ratio::ratio>())
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "polarization-index",
        purpose: "Rise of the insulation resistance from one to ten minutes: moisture and dirt",
        inputs: &[
            megohms("resistance_1_min", "insulation resistance after one minute"),
            megohms(
                "resistance_10_min",
                "insulation resistance after ten minutes",
            ),
            choice(
                "thermal_class",
                &["F", "A", "B", "H"],
                "thermal class of the winding, from the nameplate",
            ),
        ],
        outputs: &[
            output("index", Kind::Count, "", "polarization index"),
            output("least_index", Kind::Count, "", "least index of the class"),
            output(
                "share_of_least",
                Kind::Ratio,
                "%",
                "index against the least",
            ),
            word("worth", "whether the index tells anything here"),
        ],
        formula: "PI = R(10 min) / R(1 min) (R: insulation resistance)",
        valid: "form-wound and large machines; tells little on small random windings and nothing above 5000 MΩ",
        sources: &["ieee-43: 2000, minimum polarization index; 5000 MΩ from memory"],
        expect: &["an index of at least {least_index}"],
        bands: &[
            band(
                "share_of_least < 100 %",
                Verdict::Suspect,
                "The resistance hardly rises: moisture or dirt in the winding.",
                "ieee-43",
            ),
            band(
                "",
                Verdict::Normal,
                "The resistance rises as in a dry, clean winding. The ratio alone clears nothing: the insulation minimum must be met as well.",
                "ieee-43",
            ),
        ],
        doubtful: &["index > 20", "index < 0.5"],
        example: Example {
            inputs: &[
                ("resistance_1_min", "1200 MΩ"),
                ("resistance_10_min", "3000 MΩ"),
            ],
            output: ("index", "2.5"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let first = inputs.resistance("resistance_1_min");
            let index = first
                .zip(inputs.resistance("resistance_10_min"))
                .map(|(first, last)| last / first);
            let least = least_polarization_index(inputs.word("thermal_class").unwrap_or("F"));
            let tells = first.is_none_or(|first| first <= index_tells_nothing_above());
            let share = index.filter(|_| tells).map(|index| index / least);
            let outputs = Outputs::new()
                .with_some("index", index.map(plain))
                .with("least_index", Quantity::from_si(Kind::Count, least))
                .with_some("share_of_least", share)
                .note("Small random-wound motors give a low index even when sound.");
            Ok(match first {
                Some(_) if tells => outputs.with_word("worth", "meaningful"),
                Some(_) => outputs.with_word("worth", "not meaningful"),
                None => outputs,
            })
        },
    },
    Check {
        name: "dielectric-absorption",
        purpose: "Rise of the insulation resistance from 30 to 60 seconds",
        inputs: &[
            megohms("resistance_30_s", "insulation resistance after 30 seconds"),
            megohms("resistance_60_s", "insulation resistance after 60 seconds"),
        ],
        outputs: &[output(
            "absorption",
            Kind::Count,
            "",
            "dielectric absorption ratio",
        )],
        formula: "DAR = R(60 s) / R(30 s) (R: insulation resistance)",
        valid: "steady test voltage, winding above the dew point",
        sources: &["practice"],
        expect: &["a ratio above 1.4"],
        bands: &[
            band(
                "absorption < 1.25",
                Verdict::Bad,
                "Poor: wet or dirty insulation.",
                "practice",
            ),
            band(
                "absorption < 1.4",
                Verdict::Suspect,
                "Fair: compare with earlier readings.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Good, provided that the one-minute reading itself meets the insulation minimum: the ratio alone clears nothing.",
                "practice",
            ),
        ],
        doubtful: &["absorption > 10", "absorption < 0.5"],
        example: Example {
            inputs: &[("resistance_30_s", "400 MΩ"), ("resistance_60_s", "560 MΩ")],
            output: ("absorption", "1.4"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let absorption = inputs
                .resistance("resistance_60_s")
                .zip(inputs.resistance("resistance_30_s"))
                .map(|(last, first)| plain(last / first));
            Ok(Outputs::new().with_some("absorption", absorption))
        },
    },
    Check {
        name: "insulation-resistance-at",
        purpose: "Insulation resistance to expect at another temperature",
        inputs: &[
            nameplate(
                "resistance",
                Kind::Resistance,
                "MΩ",
                ("1 kΩ", "10000 GΩ"),
                "insulation resistance as measured before",
            ),
            nameplate(
                "measured_temperature",
                Kind::Temperature,
                "°C",
                ("-20 °C", "180 °C"),
                "winding temperature of that measurement",
            ),
            nameplate(
                "wanted_temperature",
                Kind::Temperature,
                "°C",
                ("-20 °C", "180 °C"),
                "winding temperature to expect it for",
            ),
            RULE,
        ],
        outputs: &[output(
            "resistance",
            Kind::Resistance,
            "MΩ",
            "resistance at that temperature",
        )],
        formula: "R₂ = R₁ · K(t₁) / K(t₂), K as in insulation-resistance (R₁: as measured at t₁; R₂: at t₂)",
        valid: "above the dew point; thermosetting from 10 °C to 85 °C",
        sources: &["ieee-43: 2013, temperature correction (constants from memory)"],
        expect: &["about {resistance} at {wanted_temperature}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("resistance", "200 MΩ"),
                ("measured_temperature", "20 °C"),
                ("wanted_temperature", "50 °C"),
            ],
            output: ("resistance", "25 MΩ"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let (rule, note) = rule_of(inputs);
            let factor = |name| {
                inputs
                    .temperature(name)
                    .map(|temperature| factor_to_40(temperature, rule))
                    .transpose()
            };
            let change = factor("measured_temperature")?
                .zip(factor("wanted_temperature")?)
                .map(|(from, to)| from / to);
            let resistance = inputs
                .resistance("resistance")
                .zip(change)
                .map(|(resistance, change)| resistance * change);
            Ok(Outputs::new()
                .with_some("resistance", resistance)
                .note(note))
        },
    },
    Check {
        name: "cable-insulation",
        purpose: "Insulation resistance to expect of a cable of this length",
        inputs: &[
            nameplate(
                "resistance_of_one_kilometre",
                Kind::Resistance,
                "MΩ",
                ("1 kΩ", "1000 GΩ"),
                "insulation resistance of one kilometre, from the cable's papers (MΩ·km)",
            ),
            nameplate(
                "cable_length",
                Kind::Length,
                "m",
                ("0.1 m", "20 km"),
                "length of the cable",
            ),
            optional(megohms(
                "insulation_resistance",
                "reading on the cable alone, both ends free",
            )),
        ],
        outputs: &[
            output(
                "expected_resistance",
                Kind::Resistance,
                "MΩ",
                "resistance to expect",
            ),
            output("ratio", Kind::Ratio, "%", "reading against expectation"),
        ],
        formula: "R = k / L (k: resistance of one kilometre times one kilometre; L: length)",
        valid: "same temperature as the papers; both ends free",
        sources: &["iec-80000-6: resistance (from memory)"],
        expect: &[
            "{expected_resistance}, as {resistance_of_one_kilometre} × 1 km / {cable_length}",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("resistance_of_one_kilometre", "200 MΩ"),
                ("cable_length", "250 m"),
            ],
            output: ("expected_resistance", "800 MΩ"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let expected = inputs
                .resistance("resistance_of_one_kilometre")
                .zip(inputs.length("cable_length"))
                .map(|(one, length)| of_cable(one, length));
            let ratio = inputs
                .resistance("insulation_resistance")
                .zip(expected)
                .map(|(reading, expected)| reading / expected);
            Ok(Outputs::new()
                .with_some("expected_resistance", expected)
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "insulation-in-parallel",
        purpose: "Reading to expect of motor and cable together from their own readings",
        inputs: &[
            megohms("motor_insulation_resistance", "reading on the motor alone"),
            megohms("cable_insulation_resistance", "reading on the cable alone"),
        ],
        outputs: &[output(
            "resistance",
            Kind::Resistance,
            "MΩ",
            "both together",
        )],
        formula: "R = R₁ · R₂ / (R₁ + R₂) (R₁: motor; R₂: cable)",
        valid: "same earth, same test voltage",
        sources: &["iec-80000-6: resistance (from memory)"],
        expect: &["a little below the worse of the two"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("motor_insulation_resistance", "100 MΩ"),
                ("cable_insulation_resistance", "25 MΩ"),
            ],
            output: ("resistance", "20 MΩ"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let resistance = inputs
                .resistance("motor_insulation_resistance")
                .zip(inputs.resistance("cable_insulation_resistance"))
                .map(|(motor, cable)| in_parallel(motor, cable));
            Ok(Outputs::new().with_some("resistance", resistance))
        },
    },
];
