//! Protective and switching devices by meter: residual current, coil voltage, touch voltage.

use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricPotential, Ratio};

use super::define::{
    Check, Example, Input, Outputs, Verdict, band, choice, nameplate, optional, output, reading,
    word,
};
use super::safety::TOUCH_LIMITS;
use crate::quantity::Kind;

/// Where a coil must pull in, relative to its rated voltage, with the rule's name.
///
/// Source: iec-60947-4-1, limits of operation (from memory); practice for brakes
pub fn coil_band(device: Option<&str>) -> ((f64, f64), &'static str) {
    match device {
        Some("brake") => (
            (0.90, 1.10),
            "a habit of the trade for brake coils; the brake's plate rules",
        ),
        _ => ((0.85, 1.10), "IEC 60947-4-1, from memory"),
    }
}

const RESIDUAL_CURRENT: Input = reading(
    "residual_current",
    Kind::Current,
    "mA",
    ("0 mA", "100 A"),
    "residual current: clamp round all live conductors together, without the protective conductor",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "residual-current",
        purpose: "Residual current in service against what the residual-current device is rated for",
        inputs: &[
            RESIDUAL_CURRENT,
            nameplate(
                "rcd_rating",
                Kind::Current,
                "mA",
                ("5 mA", "30 A"),
                "rated residual current of the device (IΔn), from its plate",
            ),
            choice(
                "rcd_type",
                &["B", "F", "A", "AC"],
                "type of the device, from the sign on its plate",
            ),
        ],
        outputs: &[
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "residual current of the rated one",
            ),
            word("suits", "whether such a device suits a drive behind it"),
            output(
                "highest_in_service",
                Kind::Current,
                "mA",
                "residual current that should not be passed in service",
            ),
        ],
        formula: "ratio = I / IΔn; no trip up to 50 %, trip at 100 %; in service at most 30 % (I: residual current; IΔn: rated residual current)",
        valid: "a clamp that sees the drive's frequencies: many show less than flows; filters and long shielded cables leak by design",
        sources: &[
            "iec-61008-1: non-operating current 0.5 · IΔn (from memory)",
            "iec-60364-5-53: 531.3.2, 0.3 · IΔn in service (from memory)",
            "iec-60755: types (from memory)",
        ],
        expect: &[
            "at most {highest_in_service} in service; the device trips between 50 % and 100 % of {rcd_rating}",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "The device must trip: find the leak. Do not bridge the device and do not fit a coarser one without the designer's word.",
                "iec-61008-1",
            ),
            band(
                "ratio > 50 %",
                Verdict::Bad,
                "The device may trip at any time without a fault: too much leakage on one device, or a beginning earth fault.",
                "iec-61008-1",
            ),
            band(
                "ratio > 30 %",
                Verdict::Suspect,
                "More than is planned for in service: switching on a drive may trip it.",
                "iec-60364-5-53",
            ),
            band(
                "",
                Verdict::Normal,
                "Room enough for switching on, if the type of the device suits the drive: see the result above.",
                "iec-60364-5-53",
            ),
        ],
        doubtful: &["ratio > 2000 %"],
        example: Example {
            inputs: &[("residual_current", "120 mA"), ("rcd_rating", "300 mA")],
            output: ("ratio", "40 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let rated = inputs.current("rcd_rating");
            let ratio = inputs
                .current("residual_current")
                .zip(rated)
                .map(|(current, rated)| -> Ratio { current / rated });
            let (suits, note) = match inputs.word("rcd_type").unwrap_or("B") {
                "B" => (
                    "yes",
                    "Type B sees smooth dc as well, which a three-phase drive can leak.",
                ),
                "F" => (
                    "single-phase drives only",
                    "Type F suits single-phase drives; smooth dc of a three-phase drive can blind it.",
                ),
                "A" => (
                    "no",
                    "Type A can be blinded by the smooth dc of a three-phase drive: where that may flow, type B is asked for.",
                ),
                _ => (
                    "no",
                    "Type AC sees sine currents only: a drive's fault current can pass it unseen.",
                ),
            };
            Ok(Outputs::new()
                .with_some("ratio", ratio)
                .with_word("suits", suits)
                .with_some("highest_in_service", rated.map(|rated| rated * 0.3))
                .note(note))
        },
    },
    Check {
        name: "coil-voltage",
        purpose: "Voltage at a contactor's or brake's coil against what it needs to pull in",
        inputs: &[
            reading(
                "coil_voltage",
                Kind::Voltage,
                "V",
                ("-1000 V", "1000 V"),
                "voltage at the coil's own terminals while it is commanded on",
            ),
            nameplate(
                "coil_rated_voltage",
                Kind::Voltage,
                "V",
                ("5 V", "1000 V"),
                "rated voltage, from the coil",
            ),
            choice(
                "device",
                &["contactor", "brake"],
                "contactor or relay, or the coil of a holding brake",
            ),
        ],
        outputs: &[
            output("ratio", Kind::Ratio, "%", "reading of the rated voltage"),
            output(
                "lowest_voltage",
                Kind::Voltage,
                "V",
                "lowest voltage to pull in",
            ),
            output(
                "highest_voltage",
                Kind::Voltage,
                "V",
                "highest voltage for hours",
            ),
            output(
                "beyond",
                Kind::Ratio,
                "%",
                "how far outside, of the rated voltage",
            ),
        ],
        formula: "85 % to 110 % of the rated voltage for a contactor, 90 % to 110 % for a brake (ratio = |U| / U_r; U: at the coil; U_r: rated)",
        valid: "measured at the coil while it is commanded on; a brake on a rectifier with over-excitation is held at half voltage after pulling in",
        sources: &[
            "iec-60947-4-1: limits of operation (from memory)",
            "practice",
        ],
        expect: &["{lowest_voltage} to {highest_voltage} while it is commanded on"],
        bands: &[
            band(
                "ratio < 20 %",
                Verdict::Bad,
                "No voltage reaches the coil: look at the command, the fuse and the wiring before it.",
                "practice",
            ),
            band(
                "beyond > 0 %",
                Verdict::Bad,
                "Outside what the coil works at: below, it chatters or a brake drags; above, it burns.",
                "iec-60947-4-1",
            ),
            band(
                "",
                Verdict::Normal,
                "The coil gets what it needs.",
                "iec-60947-4-1",
            ),
        ],
        doubtful: &["ratio > 250 %"],
        example: Example {
            inputs: &[("coil_voltage", "19 V"), ("coil_rated_voltage", "24 V")],
            output: ("lowest_voltage", "20.4 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let ((low, high), rule) = coil_band(inputs.word("device"));
            let rated = inputs.voltage("coil_rated_voltage");
            let ratio = inputs
                .voltage("coil_voltage")
                .map(ElectricPotential::abs)
                .zip(rated)
                .map(|(voltage, rated)| -> Ratio { voltage / rated });
            let beyond = ratio.map(|ratio| {
                super::shared::share(super::shared::beyond(
                    super::shared::number(ratio),
                    (low, high),
                ))
            });
            Ok(Outputs::new()
                .with_some("ratio", ratio)
                .with_some("lowest_voltage", rated.map(|rated| rated * low))
                .with_some("highest_voltage", rated.map(|rated| rated * high))
                .with_some("beyond", beyond)
                .note(format!("Limits by {rule}.")))
        },
    },
    Check {
        name: "touch-voltage",
        purpose: "Voltage between a metal part and earth against what may be touched",
        inputs: &[
            reading(
                "touch_voltage",
                Kind::Voltage,
                "V",
                ("-1500 V", "1500 V"),
                "voltage between the part and earth, by a meter with a load switched in, so that a stray voltage collapses",
            ),
            optional(nameplate(
                "local_limit",
                Kind::Voltage,
                "V",
                ("6 V", "120 V"),
                "lower limit of the local rules: wet places, livestock, medical rooms",
            )),
            choice(
                "situation",
                &["ac", "touch-dc", "residual-dc", "exposed-us"],
                "AC, smooth DC, what is left on a bus, or exposed parts by US law",
            ),
        ],
        outputs: &[
            output("limit", Kind::Voltage, "V", "limit"),
            output("ratio", Kind::Ratio, "%", "reading of the limit"),
        ],
        formula: "ratio = |U| / U_L, U_L = 50 V AC, 120 V smooth DC, 60 V left on a bus, 50 V by US law (U: reading; U_L: limit)",
        valid: "dry places, healthy adults; where the local rules give a lower figure, that one",
        sources: &[
            "iec-60364-4-41: conventional touch voltage (from memory)",
            "iec-60204-1: 6.2.4",
            "cfr-1910-333: (a)(1)",
            "practice",
        ],
        expect: &["next to nothing, at any rate well below {limit}"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "Dangerous to touch: keep people away, isolate the supply and find the fault.",
                "iec-60364-4-41",
            ),
            band(
                "ratio > 20 %",
                Verdict::Suspect,
                "Below the limit, but a bonded part has no such voltage: look at its protective conductor. A charge left on a bus is judged by residual-voltage.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "As a bonded part should be.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 1000 %"],
        example: Example {
            inputs: &[("touch_voltage", "35 V"), ("situation", "ac")],
            output: ("ratio", "70 %"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let situation = inputs.word("situation").unwrap_or("ac");
            let (limit, rule) = TOUCH_LIMITS
                .iter()
                .find(|(own, ..)| *own == situation)
                .map_or((50.0, "IEC 60364-4-41"), |(_, limit, rule)| (*limit, *rule));
            let own = inputs.voltage("local_limit");
            let limit = ElectricPotential::new::<volt>(limit);
            let limit = own.map_or(limit, |own| own.min(limit));
            let ratio = inputs
                .voltage("touch_voltage")
                .map(|voltage| -> Ratio { voltage.abs() / limit });
            let rule = if own.is_some() {
                "the lower of the local rules and that of "
            } else {
                ""
            }
            .to_owned()
                + rule;
            Ok(Outputs::new()
                .with("limit", limit)
                .with_some("ratio", ratio)
                .note(format!(
                    "By {rule}. Where rules differ, work to the lowest."
                )))
        },
    },
];
