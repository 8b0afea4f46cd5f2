//! The DC bus against the supply that charges it.

use std::f64::consts::{PI, SQRT_2};

use uom::si::f64::{ElectricPotential, Ratio};

use super::define::{Check, Example, Outputs, Verdict, band, nameplate, output, reading};
use crate::quantity::Kind;

/// DC bus voltage of a charged drive at rest: the capacitors hold the peak of the line voltage.
///
/// Formula: `U_dc = √2 · U_LL`
/// Symbols: `U_dc` DC bus voltage [V]; `U_LL` supply voltage, line to line, rms [V]
/// Valid:   diode bridge with capacitor, motor stopped; one or three phases
/// Source:  mohan-power-electronics, ch. 5
pub fn bus_at_rest(supply_voltage: ElectricPotential) -> ElectricPotential {
    supply_voltage * SQRT_2
}

/// Mean of a six-pulse bridge's output, to which a loaded bus falls.
///
/// Formula: `U_d = 3√2/π · U_LL = 1.3505 · U_LL`
/// Symbols: as for [`bus_at_rest`]
/// Valid:   three-phase diode bridge, no commutation drop
/// Source:  mohan-power-electronics, ch. 5
pub fn six_pulse_mean(supply_voltage: ElectricPotential) -> ElectricPotential {
    supply_voltage * (3.0 * SQRT_2 / PI)
}

/// Line voltage that charges a resting bus to this value: `U_LL = U_dc / √2`.
///
/// Source: as for [`bus_at_rest`]
pub fn supply_from_bus(bus_voltage: ElectricPotential) -> ElectricPotential {
    bus_voltage / SQRT_2
}

/// Difference of two readings of one voltage, relative to the second.
pub fn difference(shown: ElectricPotential, measured: ElectricPotential) -> Ratio {
    shown / measured - Ratio::new::<uom::si::ratio::ratio>(1.0)
}

const SUPPLY: super::define::Input = nameplate(
    "supply_voltage",
    Kind::Voltage,
    "V",
    ("90 V", "760 V"),
    "supply voltage, line to line, as measured or from the nameplate",
);
const BUS: super::define::Input = reading(
    "bus_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "1500 V"),
    "DC bus voltage between its plus and minus terminals",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[Check {
    name: "bus-at-rest",
    purpose: "DC bus voltage to expect with the motor stopped, and the reading against it",
    inputs: &[SUPPLY, BUS],
    outputs: &[
        output(
            "expected_bus_voltage",
            Kind::Voltage,
            "V",
            "bus voltage at rest",
        ),
        output("ratio", Kind::Ratio, "%", "reading against expectation"),
    ],
    formula: "U_dc = √2 · U_LL (U_dc: DC bus voltage; U_LL: supply voltage, line to line, rms)",
    valid: "diode bridge with capacitor, motor stopped for some seconds, one or three phases",
    sources: &["mohan-power-electronics: ch. 5"],
    expect: &[
        "{expected_bus_voltage}, as √2 × {supply_voltage}",
        "1.41 times the supply voltage",
    ],
    bands: &[
        band(
            "ratio > 103 %",
            Verdict::Bad,
            "More than a diode bridge can give: energy comes back from a load, or a meter is wrong.",
            "mohan-power-electronics",
        ),
        band(
            "ratio < 90 %",
            Verdict::Bad,
            "The bus is not charged to the line's peak: look at the supply, the bridge and the precharge.",
            "practice",
        ),
        band(
            "ratio < 97 %",
            Verdict::Suspect,
            "A little low for a drive at rest: compare with the supply measured at this moment.",
            "practice",
        ),
        band(
            "",
            Verdict::Normal,
            "As the rectified supply gives.",
            "mohan-power-electronics",
        ),
    ],
    doubtful: &["ratio > 180 %"],
    example: Example {
        inputs: &[("supply_voltage", "400 V"), ("bus_voltage", "566 V")],
        output: ("expected_bus_voltage", "565.69 V"),
        tolerance: 1e-4,
    },
    compute: |inputs| {
        let expected = inputs.voltage("supply_voltage").map(bus_at_rest);
        let ratio = inputs
            .voltage("bus_voltage")
            .zip(expected)
            .map(|(bus, expected)| bus / expected);
        Ok(Outputs::new()
            .with_some("expected_bus_voltage", expected)
            .with_some("ratio", ratio))
    },
}];
