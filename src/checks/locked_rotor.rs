//! Starting current of a motor: by its code letter, and against its rated current.

use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, ElectricPotential, Power};
use uom::si::power::watt;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, choice, nameplate, optional, output,
    word,
};
use super::motor_table::HORSEPOWER_WATTS;
use super::shared::{
    MOTOR_RATED_CURRENT, MOTOR_RATED_POWER, MOTOR_RATED_VOLTAGE, STARTING_CURRENT, contradiction,
    number, share,
};
use crate::quantity::{Kind, Quantity};

/// Code letters with the lowest kVA per hp of each; the next letter's lowest is no longer
/// included. Source: nema-mg1, 10.37.2
const CODE_LETTERS: [(&str, f64); 19] = [
    ("A", 0.0),
    ("B", 3.15),
    ("C", 3.55),
    ("D", 4.0),
    ("E", 4.5),
    ("F", 5.0),
    ("G", 5.6),
    ("H", 6.3),
    ("J", 7.1),
    ("K", 8.0),
    ("L", 9.0),
    ("M", 10.0),
    ("N", 11.2),
    ("P", 12.5),
    ("R", 14.0),
    ("S", 16.0),
    ("T", 18.0),
    ("U", 20.0),
    ("V", 22.4),
];

/// The code letter of a motor that takes so many kVA per hp with its rotor locked.
///
/// Formula: the last letter whose lowest figure is reached
/// Symbols: `kva_per_hp` apparent power at rated voltage [kVA] over rated power [hp]
/// Valid:   from zero up
/// Source:  nema-mg1, 10.37.2
pub fn code_letter(kva_per_hp: f64) -> &'static str {
    CODE_LETTERS
        .iter()
        .rev()
        .find(|(_, from)| kva_per_hp >= *from)
        .map_or("A", |(letter, _)| letter)
}

/// From and to below how many kVA per hp a code letter stands; the last has no upper end.
///
/// Errors:  a letter that is no code letter
/// Source:  nema-mg1, 10.37.2
pub fn code_letter_range(letter: &str) -> Result<(f64, Option<f64>), CheckError> {
    let at = CODE_LETTERS
        .iter()
        .position(|(own, _)| *own == letter)
        .ok_or_else(|| contradiction("code letters run from A to V, without I, O and Q"))?;
    Ok((
        CODE_LETTERS[at].1,
        CODE_LETTERS.get(at + 1).map(|(_, to)| *to),
    ))
}

/// Locked-rotor current from kVA per hp.
///
/// Formula: `I = s · P · 1000 / (√3 · U)`
/// Symbols: `s` kVA per hp; `P` rated power [hp]; `U` rated voltage [V]
/// Valid:   three-phase motor at rated voltage, rotor at rest
/// Source:  nema-mg1, 10.37.2
pub fn locked_rotor_current(
    kva_per_hp: f64,
    power: Power,
    voltage: ElectricPotential,
) -> ElectricCurrent {
    let horsepower = power.get::<watt>() / HORSEPOWER_WATTS;
    let volts = voltage.get::<volt>();
    ElectricCurrent::new::<ampere>(kva_per_hp * horsepower * 1000.0 / (3f64.sqrt() * volts))
}

/// Starting current straight from the line, relative to rated current, from and to.
///
/// Source: practice
pub const STARTING_MULTIPLE: (f64, f64) = (6.0, 8.0);

const KVA_PER_HP: Input = nameplate(
    "kva_per_hp",
    Kind::Count,
    "",
    ("0.1", "60"),
    "locked-rotor kVA per hp, if it is marked instead of a code letter",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "locked-rotor-current",
        purpose: "Starting current that a motor's code letter stands for, and a start against it",
        inputs: &[
            MOTOR_RATED_POWER,
            MOTOR_RATED_VOLTAGE,
            choice(
                "code_letter",
                &[
                    "unknown", "A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N",
                    "P", "R", "S", "T", "U", "V",
                ],
                "code letter on the motor's nameplate",
            ),
            optional(KVA_PER_HP),
            optional(STARTING_CURRENT),
        ],
        outputs: &[
            output(
                "lowest_current",
                Kind::Current,
                "A",
                "locked-rotor current, from",
            ),
            output(
                "highest_current",
                Kind::Current,
                "A",
                "locked-rotor current, to below",
            ),
            output("lowest_kva_per_hp", Kind::Count, "", "kVA per hp, from"),
            output(
                "highest_kva_per_hp",
                Kind::Count,
                "",
                "kVA per hp, to below",
            ),
            word("letter", "code letter"),
            output("ratio", Kind::Ratio, "%", "reading against the highest"),
        ],
        formula: "I = s · P · 1000 / (√3 · U) (s: kVA per hp; P: rated power in hp; U: rated voltage)",
        valid: "three-phase motor straight on the line at rated voltage; in the first moment of a start \
                a peak of up to twice that is no fault",
        sources: &["nema-mg1: 10.37.2"],
        expect: &[
            "{lowest_current} to {highest_current}",
            "at least {lowest_current}",
            "what the code letter stands for",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "More than the code letter stands for: a winding fault or high voltage.",
                "nema-mg1",
            ),
            band(
                "",
                Verdict::Normal,
                "No more than the code letter stands for.",
                "nema-mg1",
            ),
        ],
        doubtful: &["ratio > 300 %"],
        example: Example {
            inputs: &[
                ("motor_rated_power", "10 hp"),
                ("motor_rated_voltage", "460 V"),
                ("code_letter", "H"),
            ],
            output: ("lowest_current", "79.07 A"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let marked = inputs.word("code_letter").filter(|word| *word != "unknown");
            let figure = inputs.count("kva_per_hp").map(number);
            let (letter, from, to) = match (marked, figure) {
                (Some(marked), Some(figure)) if code_letter(figure) != marked => {
                    return Err(contradiction(format!(
                        "{figure} kVA per hp is code letter {}, not {marked}: which is on the nameplate?",
                        code_letter(figure)
                    )));
                }
                (_, Some(figure)) => (code_letter(figure), figure, Some(figure)),
                (Some(marked), None) => {
                    let (from, to) = code_letter_range(marked)?;
                    (marked, from, to)
                }
                (None, None) => {
                    return Ok(Outputs::new().note(
                        "Give the code letter or the kVA per hp from the nameplate; \
                         without either see starting-current.",
                    ));
                }
            };
            let motor = inputs
                .power("motor_rated_power")
                .zip(inputs.voltage("motor_rated_voltage"));
            let current = |figure: f64| {
                motor.map(|(power, voltage)| locked_rotor_current(figure, power, voltage))
            };
            let highest = to.and_then(current);
            let ratio = inputs
                .current("starting_current")
                .zip(highest)
                .map(|(starting, highest)| starting / highest);
            let count = |figure: f64| Quantity::Count(share(figure));
            Ok(Outputs::new()
                .with_some("lowest_current", current(from))
                .with_some("highest_current", highest)
                .with("lowest_kva_per_hp", count(from))
                .with_some("highest_kva_per_hp", to.map(count))
                .with_word("letter", letter)
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "starting-current",
        purpose: "Starting current straight from the line against rated current",
        inputs: &[MOTOR_RATED_CURRENT, optional(STARTING_CURRENT)],
        outputs: &[
            output(
                "lowest_expected",
                Kind::Current,
                "A",
                "usual starting current, from",
            ),
            output(
                "highest_expected",
                Kind::Current,
                "A",
                "usual starting current, to",
            ),
            output("ratio", Kind::Ratio, "%", "reading against rated current"),
        ],
        formula: "I_start = 6 to 8 × I_r (I_r: rated current)",
        valid: "induction motor straight on the line; on a drive the output current stays near rated",
        sources: &["practice"],
        expect: &["{lowest_expected} to {highest_expected}, 6 to 8 times {motor_rated_current}"],
        bands: &[
            band(
                "ratio > 800 %",
                Verdict::Suspect,
                "More than most motors take: a winding fault, high voltage, or a motor of high efficiency.",
                "practice",
            ),
            band(
                "ratio > 400 %",
                Verdict::Normal,
                "As motors start from the line.",
                "practice",
            ),
            band(
                "",
                Verdict::Suspect,
                "Less than a start from the line takes: weak supply, or not the first moment.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 1500 %"],
        example: Example {
            inputs: &[("motor_rated_current", "28 A")],
            output: ("highest_expected", "224 A"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let rated = inputs.current("motor_rated_current");
            let ratio = inputs
                .current("starting_current")
                .zip(rated)
                .map(|(starting, rated)| starting / rated);
            Ok(Outputs::new()
                .with_some(
                    "lowest_expected",
                    rated.map(|rated| rated * STARTING_MULTIPLE.0),
                )
                .with_some(
                    "highest_expected",
                    rated.map(|rated| rated * STARTING_MULTIPLE.1),
                )
                .with_some("ratio", ratio))
        },
    },
];
