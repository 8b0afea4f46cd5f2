//! Tables of motor currents by horsepower, as a code prints them for sizing conductors.

use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, ElectricPotential, Power};
use uom::si::power::watt;

use super::define::{Check, CheckError, Example, Outputs, Verdict, band, optional, output};
use super::shared::{
    MOTOR_RATED_CURRENT, MOTOR_RATED_POWER, MOTOR_RATED_VOLTAGE, STARTING_CURRENT, contradiction,
};
use crate::quantity::Kind;

/// One mechanical horsepower: 550 ft·lbf/s.
pub const HORSEPOWER_WATTS: f64 = 550.0 * 0.304_8 * 0.453_592_37 * 9.806_65;

/// Rated voltages of the columns, each with the nameplate voltages that belong to it.
const COLUMNS: [(f64, f64, f64); 5] = [
    (200.0, 200.0, 200.0),
    (208.0, 208.0, 208.0),
    (230.0, 220.0, 240.0),
    (460.0, 440.0, 480.0),
    (575.0, 550.0, 600.0),
];

/// Full-load current [A] by horsepower, for the five columns. Source: nec-430, Table 430.250.
const FULL_LOAD: [(f64, [f64; 5]); 21] = [
    (0.5, [2.5, 2.4, 2.2, 1.1, 0.9]),
    (0.75, [3.7, 3.5, 3.2, 1.6, 1.3]),
    (1.0, [4.8, 4.6, 4.2, 2.1, 1.7]),
    (1.5, [6.9, 6.6, 6.0, 3.0, 2.4]),
    (2.0, [7.8, 7.5, 6.8, 3.4, 2.7]),
    (3.0, [11.0, 10.6, 9.6, 4.8, 3.9]),
    (5.0, [17.5, 16.7, 15.2, 7.6, 6.1]),
    (7.5, [25.3, 24.2, 22.0, 11.0, 9.0]),
    (10.0, [32.2, 30.8, 28.0, 14.0, 11.0]),
    (15.0, [48.3, 46.2, 42.0, 21.0, 17.0]),
    (20.0, [62.1, 59.4, 54.0, 27.0, 22.0]),
    (25.0, [78.2, 74.8, 68.0, 34.0, 27.0]),
    (30.0, [92.0, 88.0, 80.0, 40.0, 32.0]),
    (40.0, [120.0, 114.0, 104.0, 52.0, 41.0]),
    (50.0, [150.0, 143.0, 130.0, 65.0, 52.0]),
    (60.0, [177.0, 169.0, 154.0, 77.0, 62.0]),
    (75.0, [221.0, 211.0, 192.0, 96.0, 77.0]),
    (100.0, [285.0, 273.0, 248.0, 124.0, 99.0]),
    (125.0, [359.0, 343.0, 312.0, 156.0, 125.0]),
    (150.0, [414.0, 396.0, 360.0, 180.0, 144.0]),
    (200.0, [552.0, 528.0, 480.0, 240.0, 192.0]),
];

/// Locked-rotor current [A] at 460 V, designs B, C and D. Source: nec-430, Table 430.251(B).
const LOCKED_ROTOR: [(f64, f64); 17] = [
    (1.0, 15.0),
    (2.0, 25.0),
    (3.0, 32.0),
    (5.0, 46.0),
    (7.5, 63.5),
    (10.0, 81.0),
    (15.0, 116.0),
    (20.0, 145.0),
    (25.0, 183.0),
    (30.0, 218.0),
    (40.0, 290.0),
    (50.0, 363.0),
    (60.0, 435.0),
    (75.0, 543.0),
    (100.0, 725.0),
    (150.0, 1085.0),
    (200.0, 1450.0),
];

/// Full-load current of a three-phase motor as the code's table has it.
///
/// Formula: table look-up by horsepower and rated voltage; no values between
/// Symbols: power within 4 % of a table size, so that metric sizes find their row
/// Valid:   induction motors at normal speeds, 0.5 to 200 hp, 200 to 600 V
/// Errors:  a power or voltage that the table doesn't have
/// Source:  nec-430, Table 430.250
pub fn table_full_load_current(
    power: Power,
    voltage: ElectricPotential,
) -> Result<ElectricCurrent, CheckError> {
    let volts = voltage.get::<volt>();
    let column = COLUMNS
        .iter()
        .position(|(_, least, most)| volts >= *least && volts <= *most)
        .ok_or_else(|| {
            contradiction(
                "the table has columns for 200, 208, 220 to 240, 440 to 480 and 550 to 600 V only; \
                 use the nameplate's current",
            )
        })?;
    let (_, row) = row_of(&FULL_LOAD, power)?;
    Ok(ElectricCurrent::new::<ampere>(row[column]))
}

/// Locked-rotor current of a three-phase motor as the code's table has it.
///
/// Formula: table value at 460 V, times `460 V / U`
/// Symbols: `U` rated voltage [V]; power within 4 % of a table size
/// Valid:   designs B, C and D, sizes from 1 to 200 hp that the table has, 200 to 600 V
/// Errors:  a power that the table doesn't have
/// Source:  nec-430, Table 430.251(B); nema-mg1, 12.35 for other voltages (from memory)
pub fn table_locked_rotor_current(
    power: Power,
    voltage: ElectricPotential,
) -> Result<ElectricCurrent, CheckError> {
    let (_, current) = row_of(&LOCKED_ROTOR, power)?;
    Ok(ElectricCurrent::new::<ampere>(current) * (460.0 / voltage.get::<volt>()))
}

fn row_of<T: Copy>(table: &[(f64, T)], power: Power) -> Result<(f64, T), CheckError> {
    let horsepower = power.get::<watt>() / HORSEPOWER_WATTS;
    table
        .iter()
        .find(|(size, _)| (horsepower / size - 1.0).abs() <= 0.04)
        .copied()
        .ok_or_else(|| {
            let sizes: Vec<String> = table.iter().map(|(size, _)| size.to_string()).collect();
            contradiction(format!(
                "the table has no such motor; its sizes in hp are {}",
                sizes.join(", ")
            ))
        })
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "table-full-load-current",
        purpose: "Full-load current by horsepower from the code's table, and the nameplate against it",
        inputs: &[
            MOTOR_RATED_POWER,
            MOTOR_RATED_VOLTAGE,
            optional(MOTOR_RATED_CURRENT),
        ],
        outputs: &[
            output(
                "current",
                Kind::Current,
                "A",
                "full-load current by the table",
            ),
            output("ratio", Kind::Ratio, "%", "nameplate against table"),
        ],
        formula: "table look-up by horsepower and rated voltage",
        valid: "three-phase induction motors, 0.5 to 200 hp, 200 to 600 V; for conductors and short-circuit \
                protection only: the overload protection is set by the nameplate",
        sources: &["nec-430: Table 430.250", "nec-430: 430.6(A)", "practice"],
        expect: &["near {current}"],
        bands: &[
            band(
                "ratio > 130 %",
                Verdict::Suspect,
                "Far above the table: check power, voltage and connection.",
                "practice",
            ),
            band(
                "ratio < 70 %",
                Verdict::Suspect,
                "Far below the table: check power, voltage and connection.",
                "practice",
            ),
            band("", Verdict::Normal, "Near the table's current.", "practice"),
        ],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("motor_rated_power", "20 hp"),
                ("motor_rated_voltage", "460 V"),
            ],
            output: ("current", "27 A"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let current = inputs
                .power("motor_rated_power")
                .zip(inputs.voltage("motor_rated_voltage"))
                .map(|(power, voltage)| table_full_load_current(power, voltage))
                .transpose()?;
            let ratio = inputs
                .current("motor_rated_current")
                .zip(current)
                .map(|(rated, current)| rated / current);
            Ok(Outputs::new()
                .with_some("current", current)
                .with_some("ratio", ratio)
                .note("For conductors and short-circuit protection. Set the overload protection by the nameplate."))
        },
    },
    Check {
        name: "table-locked-rotor-current",
        purpose: "Largest locked-rotor current by horsepower from the code's table, and a start against it",
        inputs: &[
            MOTOR_RATED_POWER,
            MOTOR_RATED_VOLTAGE,
            optional(STARTING_CURRENT),
        ],
        outputs: &[
            output(
                "current",
                Kind::Current,
                "A",
                "largest locked-rotor current by the table",
            ),
            output("ratio", Kind::Ratio, "%", "reading against table"),
        ],
        formula: "table value at 460 V × 460 V / U (U: rated voltage)",
        valid: "three-phase motors of design B, C or D, 1 to 200 hp, 200 to 600 V, started straight from the line",
        sources: &[
            "nec-430: Table 430.251(B)",
            "nema-mg1: 12.35 (other voltages from memory)",
        ],
        expect: &["at most {current}"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "More than such a motor may draw: a winding fault, high voltage, or another design.",
                "nec-430",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what such a motor may draw.",
                "nec-430",
            ),
        ],
        doubtful: &["ratio > 400 %"],
        example: Example {
            inputs: &[
                ("motor_rated_power", "50 hp"),
                ("motor_rated_voltage", "460 V"),
            ],
            output: ("current", "363 A"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let current = inputs
                .power("motor_rated_power")
                .zip(inputs.voltage("motor_rated_voltage"))
                .map(|(power, voltage)| table_locked_rotor_current(power, voltage))
                .transpose()?;
            let ratio = inputs
                .current("starting_current")
                .zip(current)
                .map(|(starting, current)| starting / current);
            Ok(Outputs::new()
                .with_some("current", current)
                .with_some("ratio", ratio))
        },
    },
];
