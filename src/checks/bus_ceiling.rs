//! How high a DC bus may stand: what the rectifier gives, what the load adds, what the terminals reach.

use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricPotential, Ratio};

use super::dc_bus::bus_at_rest;
use super::define::{Check, Example, Outputs, Verdict, band, nameplate, optional, output};
use super::shared::{BUS_VOLTAGE, SUPPLY_VOLTAGE};
use crate::quantity::Kind;

/// Voltage that the dc terminals of a drive can reach, by the nominal supply it is built for: 450 V
/// up to 240 V, 900 V up to 500 V, 1200 V up to 690 V. A supply may stand a tenth above its nominal.
///
/// Source: practice; the drive's own manual has its trip level
pub fn terminal_voltage(supply: ElectricPotential) -> ElectricPotential {
    ElectricPotential::new::<volt>(match supply.get::<volt>() {
        small if small <= 264.0 => 450.0,
        usual if usual <= 550.0 => 900.0,
        _ => 1200.0,
    })
}

/// The checks of this area.
pub const CHECKS: &[Check] = &[Check {
    name: "bus-ceiling",
    purpose: "How high the DC terminals can stand, and how much of a reading comes from the load",
    inputs: &[
        SUPPLY_VOLTAGE,
        BUS_VOLTAGE,
        optional(nameplate(
            "overvoltage_limit",
            Kind::Voltage,
            "V",
            ("100 V", "1500 V"),
            "DC bus voltage at which this drive trips on overvoltage, from its own manual",
        )),
    ],
    outputs: &[
        output(
            "rectifier_ceiling",
            Kind::Voltage,
            "V",
            "highest that the rectifier alone gives",
        ),
        output(
            "terminal_voltage",
            Kind::Voltage,
            "V",
            "what the terminals can reach with energy from the load",
        ),
        output(
            "from_load",
            Kind::Voltage,
            "V",
            "part of the reading that comes from the load",
        ),
        output(
            "ratio",
            Kind::Ratio,
            "%",
            "reading against the rectifier's ceiling",
        ),
        output(
            "to_limit",
            Kind::Ratio,
            "%",
            "reading against what the terminals can reach, or this drive's trip level",
        ),
    ],
    formula: "U_rect = √2 · U (707 V at 500 V); terminals about 450 V on supplies of nominally up to 240 V, 900 V up to 500 V, 1200 V up to 690 V, each with a tenth to spare (U: supply voltage as it is at this moment)",
    valid: "diode bridge; with the supply as measured now, not as on the nameplate; choose meter, leads and gloves for the terminal voltage",
    sources: &["mohan-power-electronics: ch. 5", "practice"],
    expect: &[
        "up to {rectifier_ceiling} from the rectifier alone; the terminals can reach {terminal_voltage}",
    ],
    bands: &[
        band(
            "to_limit > 100 %",
            Verdict::Bad,
            "Above what the drive is built for: it should have tripped. Stay away from it and isolate the supply.",
            "practice",
        ),
        band(
            "ratio > 103 %",
            Verdict::Suspect,
            "Above the rectifier's ceiling: the rest is energy from the load. Normal for a moment while braking, not at rest.",
            "mohan-power-electronics",
        ),
        band(
            "",
            Verdict::Normal,
            "No more than the rectifier gives.",
            "mohan-power-electronics",
        ),
    ],
    doubtful: &["ratio > 220 %"],
    example: Example {
        inputs: &[("supply_voltage", "500 V"), ("bus_voltage", "790 V")],
        output: ("rectifier_ceiling", "707.1 V"),
        tolerance: 1e-3,
    },
    compute: |inputs| {
        let supply = inputs.voltage("supply_voltage");
        let ceiling = supply.map(bus_at_rest);
        let terminals = supply.map(terminal_voltage);
        let bus = inputs.voltage("bus_voltage");
        let limit = inputs.voltage("overvoltage_limit");
        let from_load = bus
            .zip(ceiling)
            .map(|(bus, ceiling)| (bus - ceiling).max(ElectricPotential::default()));
        let outputs = Outputs::new()
            .with_some("rectifier_ceiling", ceiling)
            .with_some("terminal_voltage", terminals)
            .with_some("from_load", from_load)
            .with_some(
                "ratio",
                bus.zip(ceiling)
                    .map(|(bus, ceiling)| -> Ratio { bus / ceiling }),
            )
            .with_some(
                "to_limit",
                bus.zip(limit.or(terminals))
                    .map(|(bus, most)| -> Ratio { bus / most }),
            );
        Ok(match limit {
            Some(_) => outputs,
            None => outputs.note("What the terminals reach is a habit of the trade; this drive's own manual has its trip level: give it as overvoltage_limit."),
        })
    },
}];
