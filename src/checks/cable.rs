//! Resistance of a cable's conductors by their size, and the voltage they lose.

use uom::si::area::{square_meter, square_millimeter};
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::electrical_resistance::ohm;
use uom::si::f64::{
    Area, ElectricCurrent, ElectricPotential, ElectricalResistance, Length, Ratio,
    ThermodynamicTemperature,
};
use uom::si::length::{foot, meter};
use uom::si::thermodynamic_temperature::degree_celsius;

use super::define::{
    Check, CheckError, Example, Input, Inputs, Outputs, Verdict, assumed, band, choice, nameplate,
    optional, output, reading,
};
use super::shared::{CABLE_LENGTH, SUPPLY_VOLTAGE, contradiction, number};
use crate::quantity::{Kind, Quantity};

/// What a conductor is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Plain (uncoated) copper.
    Copper,
    /// Aluminium.
    Aluminium,
}

/// A conductor's resistance at the temperature of its table.
#[derive(Clone, Copy, Debug)]
pub struct Conductor {
    /// Resistance of one metre [Ω].
    pub ohms_per_metre: f64,
    /// Temperature that this holds at [°C].
    pub at_celsius: f64,
    /// Temperature coefficient at that temperature [1/K].
    pub coefficient: f64,
    /// Which table it is from.
    pub table: &'static str,
}

/// Largest resistance [Ω/km] at 20 °C, class 2: size [mm²], plain copper, aluminium.
/// Source: iec-60228, Table 2
const METRIC: [(f64, f64, Option<f64>); 19] = [
    (0.5, 36.0, None),
    (0.75, 24.5, None),
    (1.0, 18.1, None),
    (1.5, 12.1, None),
    (2.5, 7.41, None),
    (4.0, 4.61, None),
    (6.0, 3.08, None),
    (10.0, 1.83, Some(3.08)),
    (16.0, 1.15, Some(1.91)),
    (25.0, 0.727, Some(1.2)),
    (35.0, 0.524, Some(0.868)),
    (50.0, 0.387, Some(0.641)),
    (70.0, 0.268, Some(0.443)),
    (95.0, 0.193, Some(0.32)),
    (120.0, 0.153, Some(0.253)),
    (150.0, 0.124, Some(0.206)),
    (185.0, 0.0991, Some(0.164)),
    (240.0, 0.0754, Some(0.125)),
    (300.0, 0.0601, Some(0.1)),
];

/// Resistance [Ω/kft] at 75 °C: size [circular mils], copper stranded, copper solid, aluminium
/// stranded; uncoated. Source: nec-ch9, Table 8
#[allow(clippy::approx_constant)] // 3.14 Ω/kft is 14 AWG, not π
const CIRCULAR_MIL: [(f64, f64, Option<f64>, f64); 18] = [
    (4110.0, 3.14, Some(3.07), 5.17),
    (6530.0, 1.98, Some(1.93), 3.25),
    (10380.0, 1.24, Some(1.21), 2.04),
    (16510.0, 0.778, Some(0.764), 1.28),
    (26240.0, 0.491, None, 0.808),
    (41740.0, 0.308, None, 0.508),
    (52620.0, 0.245, None, 0.403),
    (66360.0, 0.194, None, 0.319),
    (83690.0, 0.154, None, 0.253),
    (105600.0, 0.122, None, 0.201),
    (133100.0, 0.0967, None, 0.159),
    (167800.0, 0.0766, None, 0.126),
    (211600.0, 0.0608, None, 0.1),
    (250000.0, 0.0515, None, 0.0847),
    (300000.0, 0.0429, None, 0.0707),
    (350000.0, 0.0367, None, 0.0605),
    (400000.0, 0.0321, None, 0.0529),
    (500000.0, 0.0258, None, 0.0424),
];

/// One circular mil [m²]: a circle of a thousandth of an inch.
const CIRCULAR_MIL_AREA: f64 = std::f64::consts::PI / 4.0 * 25.4e-6 * 25.4e-6;
/// A thousand feet [m].
const KILOFOOT: f64 = 304.8;
/// How far a size may lie from its table's: wire gauges are rounded.
const SAME_SIZE: f64 = 0.005;

/// Resistivity at 20 °C [Ω·mm²/km] and its temperature coefficient [1/K].
///
/// Source: iec-60028 for copper; iec-60889 for aluminium (coefficient from memory)
pub fn resistivity(metal: Metal) -> (f64, f64) {
    match metal {
        Metal::Copper => (17.241, 0.00393),
        Metal::Aluminium => (28.264, 0.00403),
    }
}

/// A conductor of this size: from the metric or the American table, whichever has it, else from
/// the resistivity.
///
/// Formula: table look-up; else `R' = ρ / A`
/// Symbols: `A` cross-section [mm²]; `ρ` resistivity at 20 °C [Ω·mm²/km]
/// Valid:   uncoated conductors; direct current
/// Errors:  a solid conductor that the table doesn't have; aluminium below 10 mm²
/// Source:  iec-60228, Table 2; nec-ch9, Table 8 (coefficients from memory)
pub fn conductor(area: Area, metal: Metal, solid: bool) -> Result<Conductor, CheckError> {
    let square_millimetres = area.get::<square_millimeter>();
    let circular_mils = area.get::<square_meter>() / CIRCULAR_MIL_AREA;
    let same = |size: f64, wanted: f64| (size / wanted - 1.0).abs() <= SAME_SIZE;
    let (rho, coefficient) = resistivity(metal);
    let at_20 = |ohms_per_kilometre: f64, table| Conductor {
        ohms_per_metre: ohms_per_kilometre / 1000.0,
        at_celsius: 20.0,
        coefficient,
        table,
    };
    if let Some((_, copper, aluminium)) = METRIC
        .iter()
        .find(|(size, ..)| same(*size, square_millimetres))
    {
        let value = match metal {
            _ if solid => None,
            Metal::Copper => Some(*copper),
            Metal::Aluminium => *aluminium,
        };
        return value
            .map(|value| at_20(value, "IEC 60228 class 2, largest value at 20 °C"))
            .ok_or_else(|| {
                contradiction("the table has stranded conductors only, aluminium from 10 mm² up")
            });
    }
    if let Some((_, stranded, one_wire, aluminium)) = CIRCULAR_MIL
        .iter()
        .find(|(size, ..)| same(*size, circular_mils))
    {
        let (value, coefficient) = match (metal, solid) {
            (Metal::Copper, false) => (Some(*stranded), 0.00323),
            (Metal::Copper, true) => (*one_wire, 0.00323),
            (Metal::Aluminium, false) => (Some(*aluminium), 0.00330),
            (Metal::Aluminium, true) => (None, 0.00330),
        };
        return value
            .map(|value| Conductor {
                ohms_per_metre: value / KILOFOOT,
                at_celsius: 75.0,
                coefficient,
                table: "NEC Chapter 9 Table 8, uncoated, at 75 °C",
            })
            .ok_or_else(|| {
                contradiction("the table has solid conductors from 14 to 8 AWG in copper only")
            });
    }
    Ok(at_20(
        rho / square_millimetres,
        "no table size: resistivity over cross-section at 20 °C",
    ))
}

/// Resistance of one metre at another temperature.
///
/// Formula: `R' = R'_0 · (1 + α · (T − T_0))`
/// Symbols: `R'_0` resistance of one metre at `T_0` [Ω]; `α` coefficient at `T_0` [1/K]
/// Valid:   −40 to 250 °C
/// Source:  iec-60028; nec-ch9, Table 8, note
pub fn resistance_per_metre(
    conductor: Conductor,
    temperature: ThermodynamicTemperature,
) -> ElectricalResistance {
    let above = temperature.get::<degree_celsius>() - conductor.at_celsius;
    ElectricalResistance::new::<ohm>(
        conductor.ohms_per_metre * (1.0 + conductor.coefficient * above),
    )
}

/// Voltage that a cable loses, from resistance and reactance.
///
/// Formula: `ΔU = b · I · L · (R' · cos φ + X' · sin φ)`, `b = √3` on three phases, 2 on one
/// Symbols: `I` current [A]; `L` length, one way [m]; `R'`, `X'` of one metre [Ω]; `cos φ` of the load
/// Valid:   sine current; `ΔU` line to line on three phases
/// Source:  iec-60364-5-52, Annex G (from memory)
pub fn voltage_drop(
    current: ElectricCurrent,
    length: Length,
    resistance_per_metre: ElectricalResistance,
    reactance_per_metre: ElectricalResistance,
    power_factor: Ratio,
    three_phase: bool,
) -> ElectricPotential {
    let cosine = number(power_factor).clamp(0.0, 1.0);
    let sine = (1.0 - cosine * cosine).sqrt();
    let impedance = resistance_per_metre * cosine + reactance_per_metre * sine;
    current * impedance * (length.get::<meter>() * conductors(three_phase))
}

/// Voltage that a cable loses, by the circular-mil rule.
///
/// Formula: `ΔU = b · K · I · L / A`, `b = √3` on three phases, 2 on one
/// Symbols: `K` 12.9 Ω·cmil/ft for copper, 21.2 for aluminium at 75 °C; `L` length, one way [ft];
/// `A` cross-section [circular mils]
/// Valid:   power factor near 1, sizes where reactance is small
/// Source:  nec-ch9, Table 8
pub fn circular_mil_drop(
    current: ElectricCurrent,
    length: Length,
    area: Area,
    metal: Metal,
    three_phase: bool,
) -> ElectricPotential {
    let constant = match metal {
        Metal::Copper => 12.9,
        Metal::Aluminium => 21.2,
    };
    let circular_mils = area.get::<square_meter>() / CIRCULAR_MIL_AREA;
    ElectricPotential::new::<volt>(
        conductors(three_phase) * constant * current.get::<ampere>() * length.get::<foot>()
            / circular_mils,
    )
}

/// How many times one conductor's drop counts.
fn conductors(three_phase: bool) -> f64 {
    if three_phase { 3f64.sqrt() } else { 2.0 }
}

const AREA: Input = nameplate(
    "conductor_area",
    Kind::Area,
    "mm²",
    ("0.2 mm²", "1000 mm²"),
    "cross-section of one conductor: 16 mm², 8 AWG or 250 kcmil",
);
const METAL: Input = choice(
    "conductor_metal",
    &["copper", "aluminium"],
    "what the conductor is made of",
);
const STRANDING: Input = choice(
    "conductor_build",
    &["stranded", "solid"],
    "whether the conductor is stranded or one wire",
);
const TEMPERATURE: Input = nameplate(
    "conductor_temperature",
    Kind::Temperature,
    "°C",
    ("-40 °C", "250 °C"),
    "temperature of the conductor",
);
const MEASURED_RESISTANCE: Input = reading(
    "measured_resistance",
    Kind::Resistance,
    "Ω",
    ("0 Ω", "1 GΩ"),
    "resistance of one conductor, end to end, leads subtracted",
);
const LOAD_CURRENT: Input = reading(
    "load_current",
    Kind::Current,
    "A",
    ("0 A", "5 kA"),
    "current that the cable carries",
);
const REACTANCE: Input = nameplate(
    "reactance_per_length",
    Kind::ResistancePerLength,
    "Ω/km",
    ("0 Ω/km", "1 Ω/km"),
    "reactance of the cable at supply frequency, from its data sheet",
);
const POWER_FACTOR: Input = nameplate(
    "load_power_factor",
    Kind::Ratio,
    "×",
    ("0.1 ×", "1 ×"),
    "power factor of the load",
);

fn metal(inputs: &Inputs) -> Metal {
    match inputs.word("conductor_metal") {
        Some("aluminium") => Metal::Aluminium,
        _ => Metal::Copper,
    }
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "conductor-resistance",
        purpose: "Resistance of a cable's conductor by its size, and the reading against it",
        inputs: &[
            AREA,
            METAL,
            STRANDING,
            optional(TEMPERATURE),
            optional(CABLE_LENGTH),
            optional(MEASURED_RESISTANCE),
        ],
        outputs: &[
            output(
                "resistance_per_length",
                Kind::ResistancePerLength,
                "Ω/km",
                "resistance for its length",
            ),
            output(
                "resistance",
                Kind::Resistance,
                "Ω",
                "resistance of one conductor over the length",
            ),
            output("ratio", Kind::Ratio, "%", "reading against that"),
        ],
        formula: "R' from the table of the size, else ρ / A; at temperature R' · (1 + α · (T − T_0)); R = R' · L",
        valid: "uncoated conductors, direct current; metric sizes class 2 at 20 °C, American sizes at 75 °C, \
                each at its table's temperature unless one is given",
        sources: &[
            "iec-60228: Table 2",
            "nec-ch9: Table 8",
            "iec-60028: resistivity of copper",
            "iec-60889: resistivity of aluminium",
            "practice",
        ],
        expect: &[
            "{resistance}, as {resistance_per_length} over the length",
            "{resistance_per_length}",
        ],
        bands: &[
            band(
                "ratio > 130 %",
                Verdict::Bad,
                "Far more than the size gives: a bad joint or crimp, or a thinner or longer cable than thought.",
                "practice",
            ),
            band(
                "ratio > 105 %",
                Verdict::Suspect,
                "A little more than the table's largest: warm cable, leads not subtracted, or a joint.",
                "practice",
            ),
            band(
                "ratio < 70 %",
                Verdict::Suspect,
                "Less than the size gives: a thicker or shorter cable than thought, or a second path.",
                "practice",
            ),
            band("", Verdict::Normal, "As its size gives.", "iec-60228"),
        ],
        doubtful: &["ratio > 10000 %"],
        example: Example {
            inputs: &[
                ("conductor_area", "16 mm²"),
                ("conductor_temperature", "70 °C"),
            ],
            output: ("resistance_per_length", "1.376 Ω/km"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let solid = inputs.word("conductor_build") == Some("solid");
            let Some(area) = inputs.area("conductor_area") else {
                return Ok(Outputs::new());
            };
            let conductor = conductor(area, metal(inputs), solid)?;
            let temperature = inputs.temperature("conductor_temperature").unwrap_or(
                ThermodynamicTemperature::new::<degree_celsius>(conductor.at_celsius),
            );
            let per_metre = resistance_per_metre(conductor, temperature);
            let resistance = inputs
                .length("cable_length")
                .map(|length| per_metre * length.get::<meter>());
            let ratio = inputs
                .resistance("measured_resistance")
                .zip(resistance)
                .map(|(measured, expected)| measured / expected);
            Ok(Outputs::new()
                .with(
                    "resistance_per_length",
                    Quantity::ResistancePerLength(per_metre),
                )
                .with_some("resistance", resistance)
                .with_some("ratio", ratio)
                .note(format!("From: {}.", conductor.table)))
        },
    },
    Check {
        name: "voltage-drop",
        purpose: "Voltage that a cable loses under load",
        inputs: &[
            LOAD_CURRENT,
            CABLE_LENGTH,
            AREA,
            METAL,
            choice("supply_phases", &["three", "one"], "phases of the circuit"),
            choice(
                "rule",
                &["impedance", "circular-mil"],
                "from resistance and reactance, or by the circular-mil rule at 75 °C",
            ),
            assumed(TEMPERATURE, "70 °C"),
            assumed(REACTANCE, "0.08 Ω/km"),
            assumed(POWER_FACTOR, "0.85 ×"),
            optional(SUPPLY_VOLTAGE),
        ],
        outputs: &[
            output("drop", Kind::Voltage, "V", "voltage lost along the cable"),
            output(
                "drop_share",
                Kind::Ratio,
                "%",
                "voltage lost, of the supply voltage",
            ),
        ],
        formula: "impedance: ΔU = b · I · L · (R' · cos φ + X' · sin φ); circular-mil: ΔU = b · K · I · L / A \
                  (b: √3 on three phases, 2 on one; K: 12.9 copper, 21.2 aluminium, Ω·cmil/ft)",
        valid: "sine current, stranded conductors; for the way to the drive, or for a motor fed from the line",
        sources: &[
            "iec-60364-5-52: Annex G (from memory)",
            "nec-ch9: Table 8",
            "nec-210: 210.19(A), informational note",
            "practice",
        ],
        expect: &[
            "{drop}, which is {drop_share} of {supply_voltage}; up to 3 % is usual",
            "{drop}",
            "up to 3 % of the supply voltage",
        ],
        bands: &[
            band(
                "drop_share > 5 %",
                Verdict::Bad,
                "More than supply and branch circuit together should lose.",
                "nec-210",
            ),
            band(
                "drop_share > 3 %",
                Verdict::Suspect,
                "More than a branch circuit should lose.",
                "nec-210",
            ),
            band(
                "",
                Verdict::Normal,
                "No more than a branch circuit should lose.",
                "nec-210",
            ),
        ],
        doubtful: &["drop_share > 30 %"],
        example: Example {
            inputs: &[
                ("load_current", "50 A"),
                ("cable_length", "100 m"),
                ("conductor_area", "16 mm²"),
                ("supply_voltage", "400 V"),
            ],
            output: ("drop", "10.49 V"),
            tolerance: 3e-3,
        },
        compute: |inputs| {
            let three_phase = inputs.word("supply_phases") != Some("one");
            let by_mils = inputs.word("rule") == Some("circular-mil");
            let cable = inputs
                .current("load_current")
                .zip(inputs.length("cable_length"))
                .zip(inputs.area("conductor_area"));
            let drop = match cable {
                None => None,
                Some(((current, length), area)) if by_mils => Some(circular_mil_drop(
                    current,
                    length,
                    area,
                    metal(inputs),
                    three_phase,
                )),
                Some(((current, length), area)) => {
                    let conductor = conductor(area, metal(inputs), false)?;
                    inputs
                        .temperature("conductor_temperature")
                        .map(|temperature| resistance_per_metre(conductor, temperature))
                        .zip(inputs.resistance_per_length("reactance_per_length"))
                        .zip(inputs.ratio("load_power_factor"))
                        .map(|((resistance, reactance), power_factor)| {
                            voltage_drop(
                                current,
                                length,
                                resistance,
                                reactance,
                                power_factor,
                                three_phase,
                            )
                        })
                }
            };
            let share = drop
                .zip(inputs.voltage("supply_voltage"))
                .map(|(drop, supply)| drop / supply);
            Ok(Outputs::new()
                .with_some("drop", drop)
                .with_some("drop_share", share)
                .note(match by_mils {
                    true => {
                        "By the circular-mil rule at 75 °C; power factor and reactance left out."
                    }
                    false => "From resistance and reactance.",
                }))
        },
    },
];
