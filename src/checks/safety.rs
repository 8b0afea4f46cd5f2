//! Figures that stand behind the cautions: shock, discharge, distance, meter, disconnection.

use uom::si::electric_charge::microcoulomb;
use uom::si::electric_potential::{kilovolt, volt};
use uom::si::f64::{ElectricCharge, ElectricPotential, Length, Ratio, Time};
use uom::si::length::foot;
use uom::si::time::second;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, band, choice, nameplate, output, word,
};
use crate::quantity::{Kind, Quantity};

/// Which rule on discharge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DischargeRule {
    /// Machines: fixed parts.
    Machine,
    /// Machines: pins of a plug that is pulled.
    MachinePlug,
    /// Power drive systems.
    Drive,
}

/// What must be left of a stored charge, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DischargeLimit {
    /// Voltage that may be left.
    pub voltage: ElectricPotential,
    /// Charge that may be left at any voltage.
    pub charge: ElectricCharge,
    /// Time after switching off.
    pub time: Time,
}

/// Discharge limits by rule.
///
/// Source: iec-60204-1, 6.2.4 (machines); iec-61800-5-1 (drives, from memory), where a label with the
/// time stands in for a quick discharge
pub fn discharge_limit(rule: DischargeRule) -> DischargeLimit {
    let (charge, time) = match rule {
        DischargeRule::Machine => (60.0, 5.0),
        DischargeRule::MachinePlug => (60.0, 1.0),
        DischargeRule::Drive => (50.0, 5.0),
    };
    DischargeLimit {
        voltage: ElectricPotential::new::<volt>(60.0),
        charge: ElectricCharge::new::<microcoulomb>(charge),
        time: Time::new::<second>(time),
    }
}

/// Voltage limits by situation, with the standard they stand in.
///
/// Source: iec-60204-1, 6.2.4; iec-60364-4-41 (50 V and 120 V from memory); cfr-1910-333, (a)(1)
pub const TOUCH_LIMITS: [(&str, f64, &str); 4] = [
    ("residual-dc", 60.0, "IEC 60204-1, 6.2.4"),
    ("ac", 50.0, "IEC 60364-4-41"),
    ("touch-dc", 120.0, "IEC 60364-4-41, ripple-free DC"),
    ("exposed-us", 50.0, "29 CFR 1910.333(a)(1)"),
];

/// Nominal voltage [V] above which US law asks to prove the tester before and after. Below it the
/// same is good practice. Source: cfr-1910-333, (b)(2)(iv)(B).
pub const TESTER_PROOF_ABOVE: f64 = 600.0;

/// Approach distances to a fixed live part, limited and restricted; nothing outside the rows held.
///
/// Valid:  AC 151 V to 750 V, DC 301 V to 1 kV
/// Source: nfpa-70e, Table 130.4(E)(a) and (b)
pub fn approach(voltage: ElectricPotential, dc: bool) -> Option<(Length, Length)> {
    let range = if dc { 301.0..=1000.0 } else { 151.0..=750.0 };
    range
        .contains(&voltage.get::<volt>())
        .then(|| (Length::new::<foot>(3.5), Length::new::<foot>(1.0)))
}

/// Impulse voltage that a meter of a rated voltage and category stands; none below 300 V.
///
/// Source: iec-61010-2-030, impulse voltages of measurement categories
pub fn impulse_voltage(rating: ElectricPotential, category: u8) -> Option<ElectricPotential> {
    let [two, three, four] = match rating.get::<volt>() {
        v if v >= 1000.0 => [6.0, 8.0, 12.0],
        v if v >= 600.0 => [4.0, 6.0, 8.0],
        v if v >= 300.0 => [2.5, 4.0, 6.0],
        _ => return None,
    };
    Some(ElectricPotential::new::<kilovolt>(match category {
        4 => four,
        3 => three,
        _ => two,
    }))
}

/// Longest disconnection time of a final AC circuit.
///
/// Formula: table by voltage to earth, `50 V < U₀`
/// Source:  iec-60364-4-41, Table 41.1
pub fn disconnection_time(to_earth: ElectricPotential, tt: bool) -> Time {
    let (tn, own) = match to_earth.get::<volt>() {
        v if v <= 120.0 => (0.8, 0.3),
        v if v <= 230.0 => (0.4, 0.2),
        v if v <= 400.0 => (0.2, 0.07),
        _ => (0.1, 0.04),
    };
    Time::new::<second>(if tt { own } else { tn })
}

fn category(text: Option<&str>) -> u8 {
    match text {
        Some("IV") => 4,
        Some("III") => 3,
        _ => 2,
    }
}

const CIRCUIT_VOLTAGE: Input = nameplate(
    "circuit_voltage",
    Kind::Voltage,
    "V",
    ("1 V", "1500 V"),
    "nominal voltage of the circuit",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "touch-limit",
        purpose: "Voltage up to which a rule takes a part as not dangerous to touch",
        inputs: &[choice(
            "situation",
            &["residual-dc", "ac", "touch-dc", "exposed-us"],
            "what is left on a bus, AC, smooth DC as touch voltage, or exposed parts by US law",
        )],
        outputs: &[output("voltage", Kind::Voltage, "V", "limit")],
        formula: "60 V DC left on a bus; 50 V AC; 120 V smooth DC; 50 V exposed parts by US law",
        valid: "dry places, healthy adults; local rules come first, and the lowest figure is the safe one",
        sources: &[
            "iec-60204-1: 6.2.4",
            "iec-60364-4-41: conventional touch voltage (from memory)",
            "cfr-1910-333: (a)(1)",
        ],
        expect: &["below {voltage}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("situation", "residual-dc")],
            output: ("voltage", "60 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let situation = inputs.word("situation").unwrap_or("residual-dc");
            let Some((_, limit, rule)) = TOUCH_LIMITS.iter().find(|(own, _, _)| *own == situation)
            else {
                return Ok(Outputs::new());
            };
            Ok(Outputs::new()
                .with("voltage", ElectricPotential::new::<volt>(*limit))
                .note(format!(
                    "By {rule}. Where rules differ, work to the lowest."
                )))
        },
    },
    Check {
        name: "discharge-limit",
        purpose: "What may be left of a stored charge, and how soon",
        inputs: &[choice(
            "rule",
            &["iec-60204-1", "iec-60204-1-plug", "iec-61800-5-1"],
            "machine, pins of a plug that is pulled, or drive",
        )],
        outputs: &[
            output("voltage", Kind::Voltage, "V", "voltage that may be left"),
            output(
                "charge",
                Kind::Charge,
                "µC",
                "charge that may be left at any voltage",
            ),
            output("time", Kind::Time, "s", "time after switching off"),
        ],
        formula: "60 V within 5 s, exempt up to 60 µC, plug pins 1 s (IEC 60204-1); 60 V or 50 µC within 5 s (IEC 61800-5-1)",
        valid: "a drive's bus keeps neither; its label then states the waiting time, and that rules",
        sources: &[
            "iec-60204-1: 6.2.4",
            "iec-61800-5-1: discharge of capacitors (from memory)",
        ],
        expect: &["below {voltage} or {charge} within {time}, or a label with the time"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("rule", "iec-60204-1-plug")],
            output: ("time", "1 s"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let (rule, note) = match inputs.word("rule") {
                Some("iec-60204-1-plug") => (
                    DischargeRule::MachinePlug,
                    "By IEC 60204-1, pins of a plug.",
                ),
                Some("iec-61800-5-1") => (DischargeRule::Drive, "By IEC 61800-5-1."),
                _ => (DischargeRule::Machine, "By IEC 60204-1."),
            };
            let limit = discharge_limit(rule);
            Ok(Outputs::new()
                .with("voltage", limit.voltage)
                .with("charge", limit.charge)
                .with("time", limit.time)
                .note(note)
                .note("Where the label states a waiting time, that rules; then prove dead."))
        },
    },
    Check {
        name: "tester-proof",
        purpose: "Whether the law asks to prove the voltage tester before and after",
        inputs: &[CIRCUIT_VOLTAGE],
        outputs: &[
            word("duty", "by what it is asked for"),
            output(
                "law_above",
                Kind::Voltage,
                "V",
                "voltage above which US law asks for it",
            ),
        ],
        formula: "required by US law above 600 V; good practice at every voltage",
        valid: "every voltage: prove the tester on a known source, test, prove it again",
        sources: &["cfr-1910-333: (b)(2)(iv)(B)", "practice"],
        expect: &["prove the tester, test, prove it again"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("circuit_voltage", "480 V")],
            output: ("duty", "required by good practice"),
            tolerance: 0.0,
        },
        compute: |inputs| {
            let outputs = match inputs.voltage("circuit_voltage") {
                Some(voltage) if voltage.get::<volt>() > TESTER_PROOF_ABOVE => {
                    Outputs::new().with_word("duty", "required by law")
                }
                Some(_) => Outputs::new().with_word("duty", "required by good practice"),
                None => Outputs::new(),
            };
            Ok(outputs
                .with(
                    "law_above",
                    ElectricPotential::new::<volt>(TESTER_PROOF_ABOVE),
                )
                .note("Prove the tester on a known source before and after, at every voltage."))
        },
    },
    Check {
        name: "approach-distance",
        purpose: "Approach distances to an exposed, fixed live part",
        inputs: &[
            CIRCUIT_VOLTAGE,
            choice(
                "system",
                &["ac", "dc"],
                "AC between conductors, or DC such as a drive's bus",
            ),
        ],
        outputs: &[
            output("limited", Kind::Length, "m", "limited approach boundary"),
            output(
                "restricted",
                Kind::Length,
                "m",
                "restricted approach boundary",
            ),
        ],
        formula: "AC 151 V to 750 V and DC 301 V to 1 kV: limited 3 ft 6 in, restricted 1 ft",
        valid: "AC 151 V to 750 V, DC 301 V to 1 kV, fixed parts; arc flash is another matter",
        sources: &["nfpa-70e: Table 130.4(E)(a) and (b)"],
        expect: &[
            "unqualified people at least {limited} away, nobody unprotected within {restricted}",
        ],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("circuit_voltage", "500 V"), ("system", "dc")],
            output: ("restricted", "1 ft"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let dc = inputs.word("system") == Some("dc");
            let Some(voltage) = inputs.voltage("circuit_voltage") else {
                return Ok(Outputs::new());
            };
            let Some((limited, restricted)) = approach(voltage, dc) else {
                return Err(CheckError::Contradiction(
                    "the rows held are AC 151 V to 750 V and DC 301 V to 1 kV; take others from NFPA 70E itself"
                        .to_owned(),
                ));
            };
            Ok(Outputs::new()
                .with("limited", limited)
                .with("restricted", restricted)
                .note("By NFPA 70E; local codes come first."))
        },
    },
    Check {
        name: "meter-fit",
        purpose: "Whether a meter's voltage and category suit the point that is measured",
        inputs: &[
            nameplate(
                "meter_voltage_rating",
                Kind::Voltage,
                "V",
                ("30 V", "3000 V"),
                "voltage printed beside the category at the meter's sockets",
            ),
            nameplate(
                "point_voltage",
                Kind::Voltage,
                "V",
                ("1 V", "1500 V"),
                "voltage of the point to earth, and on a bus between plus and minus: the larger",
            ),
            choice(
                "meter_category",
                &["II", "III", "IV"],
                "measurement category printed on the meter and its leads: the lower of the two",
            ),
            choice(
                "point_category",
                &["III", "II", "IV"],
                "III in the fixed installation and in a drive, IV at the service entrance, II on a socket",
            ),
        ],
        outputs: &[
            output(
                "impulse_voltage",
                Kind::Voltage,
                "V",
                "impulse that the meter stands",
            ),
            output(
                "voltage_share",
                Kind::Ratio,
                "%",
                "point against the meter's voltage",
            ),
            output(
                "category_shortfall",
                Kind::Count,
                "",
                "categories that the meter lacks",
            ),
        ],
        formula: "meter voltage and category at least those of the point; impulse by table: 300 V 2.5, 4, 6 kV, 600 V 4, 6, 8 kV, 1000 V 6, 8, 12 kV for category II, III, IV",
        valid: "meter and leads sound and of one rating",
        sources: &["iec-61010-2-030: measurement categories"],
        expect: &["a meter of at least {point_voltage}, category III or higher in a drive"],
        bands: &[
            band(
                "voltage_share > 100 %",
                Verdict::Bad,
                "Don't measure: the point has more voltage than the meter stands.",
                "iec-61010-2-030",
            ),
            band(
                "category_shortfall > 0",
                Verdict::Bad,
                "Don't measure: the meter's category is too low for this point.",
                "iec-61010-2-030",
            ),
            band(
                "",
                Verdict::Normal,
                "The meter suits the point.",
                "iec-61010-2-030",
            ),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("meter_voltage_rating", "600 V"),
                ("point_voltage", "566 V"),
                ("meter_category", "III"),
            ],
            output: ("impulse_voltage", "6 kV"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let meter = category(inputs.word("meter_category"));
            let point = category(inputs.word("point_category").or(Some("III")));
            let rating = inputs.voltage("meter_voltage_rating");
            let share = inputs
                .voltage("point_voltage")
                .zip(rating)
                .map(|(point, rating)| -> Ratio { point / rating });
            let shortfall = f64::from(point.saturating_sub(meter));
            Ok(Outputs::new()
                .with_some(
                    "impulse_voltage",
                    rating.and_then(|rating| impulse_voltage(rating, meter)),
                )
                .with_some("voltage_share", share)
                .with(
                    "category_shortfall",
                    Quantity::from_si(Kind::Count, shortfall),
                ))
        },
    },
    Check {
        name: "disconnection-time",
        purpose: "Longest time in which a protective device must clear an earth fault",
        inputs: &[
            nameplate(
                "voltage_to_earth",
                Kind::Voltage,
                "V",
                ("50 V", "1000 V"),
                "nominal AC voltage of a line conductor to earth",
            ),
            choice("earthing", &["TN", "TT"], "earthing of the supply"),
        ],
        outputs: &[output(
            "time",
            Kind::Time,
            "s",
            "longest disconnection time",
        )],
        formula: "table by voltage to earth up to 120, 230, 400 V and above: TN 0.8, 0.4, 0.2, 0.1 s; TT 0.3, 0.2, 0.07, 0.04 s",
        valid: "final AC circuits; distribution circuits may take longer",
        sources: &["iec-60364-4-41: Table 41.1"],
        expect: &["within {time}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("voltage_to_earth", "230 V")],
            output: ("time", "0.4 s"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let tt = inputs.word("earthing") == Some("TT");
            let time = inputs
                .voltage("voltage_to_earth")
                .map(|voltage| disconnection_time(voltage, tt));
            Ok(Outputs::new().with_some("time", time).note(if tt {
                "For a TT supply."
            } else {
                "For a TN supply."
            }))
        },
    },
];
