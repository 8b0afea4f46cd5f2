//! The DC bus against the supply that charges it.

use std::f64::consts::{PI, SQRT_2};

use uom::si::f64::{ElectricCurrent, ElectricPotential, Frequency, Inductance, Ratio};

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, nameplate, optional, output, reading,
};
use super::shared::{BUS_CURRENT, BUS_VOLTAGE, SUPPLY_FREQUENCY, SUPPLY_VOLTAGE, share};
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

/// Lowest instant of a six-pulse bridge's output, where two line voltages cross.
///
/// Formula: `U_min = √2 · cos 30° · U_LL = 1.2247 · U_LL`
/// Symbols: as for [`bus_at_rest`]
/// Valid:   three healthy, balanced phases; no smaller bus is possible with all three
/// Source:  mohan-power-electronics, ch. 5
pub fn six_pulse_trough(supply_voltage: ElectricPotential) -> ElectricPotential {
    supply_voltage * (SQRT_2 * (PI / 6.0).cos())
}

/// Mean between one pole of a six-pulse bridge and the star point: half of the whole bridge.
///
/// Formula: `U_d3 = 3√6/(2π) · U_ph = 1.1695 · U_ph`
/// Symbols: `U_d3` mean [V]; `U_ph` supply voltage, line to star point, rms [V]
/// Valid:   three-pulse (half-wave) diode circuit, no commutation drop
/// Source:  mohan-power-electronics, ch. 5
pub fn three_pulse_mean(phase_voltage: ElectricPotential) -> ElectricPotential {
    phase_voltage * (3.0 * 6f64.sqrt() / (2.0 * PI))
}

/// Mean of a single-phase bridge's output without a capacitor.
///
/// Formula: `U_d = 2√2/π · U = 0.9003 · U`
/// Symbols: `U_d` mean [V]; `U` supply voltage, rms [V]
/// Valid:   single-phase diode bridge, no filter; a capacitor can only raise it
/// Source:  mohan-power-electronics, ch. 5
pub fn single_phase_mean(supply_voltage: ElectricPotential) -> ElectricPotential {
    supply_voltage * (2.0 * SQRT_2 / PI)
}

/// Voltage that a six-pulse bridge loses while current passes from one phase to the next.
///
/// Formula: `ΔU = 6 · f · L_s · I_d`
/// Symbols: `f` supply frequency [Hz]; `L_s` source inductance a phase [H]; `I_d` bus current [A]
/// Valid:   smooth bus current, commutation shorter than 60°
/// Source:  mohan-power-electronics, ch. 5 (from memory)
pub fn commutation_drop(
    supply_frequency: Frequency,
    source_inductance: Inductance,
    bus_current: ElectricCurrent,
) -> ElectricPotential {
    supply_frequency * source_inductance * bus_current * 6.0
}

/// Line voltage that charges a resting bus to this value: `U_LL = U_dc / √2`.
///
/// Source: as for [`bus_at_rest`]
pub fn supply_from_bus(bus_voltage: ElectricPotential) -> ElectricPotential {
    bus_voltage / SQRT_2
}

/// Difference of two readings of one voltage, relative to the second.
pub fn difference(shown: ElectricPotential, measured: ElectricPotential) -> Ratio {
    shown / measured - share(1.0)
}

const SOURCE_INDUCTANCE: Input = nameplate(
    "source_inductance",
    Kind::Inductance,
    "mH",
    ("0 mH", "50 mH"),
    "inductance of the supply a phase, line choke included",
);
const DISPLAYED: Input = reading(
    "displayed_bus_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "1500 V"),
    "DC bus voltage that the drive shows",
);
const MEASURED: Input = reading(
    "measured_bus_voltage",
    Kind::Voltage,
    "V",
    ("20 V", "1500 V"),
    "DC bus voltage measured at the terminals at the same moment",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "bus-at-rest",
        purpose: "DC bus voltage to expect with the motor stopped, and the reading against it",
        inputs: &[SUPPLY_VOLTAGE, BUS_VOLTAGE],
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
        sources: &["mohan-power-electronics: ch. 5", "practice"],
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
                .with_some("ratio", ratio)
                .note("With one line missing a resting bus shows the same: a lost phase only shows under load."))
        },
    },
    Check {
        name: "bus-loaded",
        purpose: "DC bus voltage to expect under load, and the reading against the supply",
        inputs: &[SUPPLY_VOLTAGE, BUS_VOLTAGE],
        outputs: &[
            output(
                "mean_bus_voltage",
                Kind::Voltage,
                "V",
                "six-pulse mean, where a loaded bus ends",
            ),
            output(
                "peak_bus_voltage",
                Kind::Voltage,
                "V",
                "peak, where an idle bus stands",
            ),
            output(
                "lowest_bus_voltage",
                Kind::Voltage,
                "V",
                "lowest instant of three healthy phases",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "reading against the supply voltage; 135 % is the mean",
            ),
        ],
        formula: "U_mean = 3√2/π · U_LL, U_peak = √2 · U_LL, U_min = √2 · cos 30° · U_LL \
                  (U_LL: supply voltage, line to line, rms)",
        valid: "three-phase diode bridge, motor running; the supply measured at the same moment",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &[
            "between {mean_bus_voltage} and {peak_bus_voltage}, as 1.35 to 1.41 × {supply_voltage}",
            "1.35 to 1.41 times the supply voltage",
        ],
        bands: &[
            band(
                "ratio > 144 %",
                Verdict::Bad,
                "More than the line's peak: energy comes back from the load, or one of the two meters is wrong.",
                "mohan-power-electronics",
            ),
            band(
                "ratio < 122.5 %",
                Verdict::Bad,
                "Lower than three phases ever fall: a phase is missing or the way in is open.",
                "mohan-power-electronics",
            ),
            band(
                "ratio < 130 %",
                Verdict::Suspect,
                "Low under load: a weak supply, a precharge resistor still in circuit, or a lost phase.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Between the mean and the peak of the rectified supply.",
                "mohan-power-electronics",
            ),
        ],
        doubtful: &["ratio > 255 %", "ratio < 20 %"],
        example: Example {
            inputs: &[("supply_voltage", "480 V"), ("bus_voltage", "655 V")],
            output: ("mean_bus_voltage", "648.23 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let supply = inputs.voltage("supply_voltage");
            let ratio = inputs
                .voltage("bus_voltage")
                .zip(supply)
                .map(|(bus, supply)| bus / supply);
            Ok(Outputs::new()
                .with_some("mean_bus_voltage", supply.map(six_pulse_mean))
                .with_some("peak_bus_voltage", supply.map(bus_at_rest))
                .with_some("lowest_bus_voltage", supply.map(six_pulse_trough))
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "bus-single-phase",
        purpose: "DC bus voltage to expect under load on a single-phase supply",
        inputs: &[SUPPLY_VOLTAGE, BUS_VOLTAGE],
        outputs: &[
            output(
                "mean_bus_voltage",
                Kind::Voltage,
                "V",
                "mean without any capacitor, the lowest possible",
            ),
            output(
                "peak_bus_voltage",
                Kind::Voltage,
                "V",
                "peak, where an idle bus stands",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "reading against the supply voltage",
            ),
        ],
        formula: "U_mean = 2√2/π · U, U_peak = √2 · U (U: supply voltage, rms)",
        valid: "single-phase diode bridge with capacitor, no voltage doubler",
        sources: &["mohan-power-electronics: ch. 5", "practice"],
        expect: &[
            "between {mean_bus_voltage} and {peak_bus_voltage}, near the upper, as 0.9 to 1.41 × {supply_voltage}",
            "a little below 1.41 times the supply voltage",
        ],
        bands: &[
            band(
                "ratio > 144 %",
                Verdict::Bad,
                "More than the line's peak: energy comes back from the load, or a meter is wrong.",
                "mohan-power-electronics",
            ),
            band(
                "ratio < 90 %",
                Verdict::Bad,
                "Lower than a bridge gives without any capacitor: half the bridge or the way in is open.",
                "mohan-power-electronics",
            ),
            band(
                "ratio < 115 %",
                Verdict::Suspect,
                "Low under load: a weak supply, worn capacitors or too much load.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "As a capacitor on a single-phase bridge holds.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 255 %"],
        example: Example {
            inputs: &[("supply_voltage", "230 V"), ("bus_voltage", "310 V")],
            output: ("mean_bus_voltage", "207.07 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let supply = inputs.voltage("supply_voltage");
            let ratio = inputs
                .voltage("bus_voltage")
                .zip(supply)
                .map(|(bus, supply)| bus / supply);
            Ok(Outputs::new()
                .with_some("mean_bus_voltage", supply.map(single_phase_mean))
                .with_some("peak_bus_voltage", supply.map(bus_at_rest))
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "bus-commutation-drop",
        purpose: "How far the supply's inductance pulls a loaded bus down",
        inputs: &[
            SUPPLY_VOLTAGE,
            SUPPLY_FREQUENCY,
            SOURCE_INDUCTANCE,
            BUS_CURRENT,
            optional(BUS_VOLTAGE),
        ],
        outputs: &[
            output("drop", Kind::Voltage, "V", "voltage lost in commutation"),
            output(
                "mean_bus_voltage",
                Kind::Voltage,
                "V",
                "six-pulse mean less that drop",
            ),
            output("ratio", Kind::Ratio, "%", "reading against that mean"),
        ],
        formula: "U_d = 3√2/π · U_LL − 6 · f · L_s · I_d \
                  (f: supply frequency; L_s: inductance a phase; I_d: bus current)",
        valid: "three-phase diode bridge, smooth bus current, commutation shorter than 60°",
        sources: &["mohan-power-electronics: ch. 5 (from memory)", "practice"],
        expect: &["{mean_bus_voltage}, {drop} less than 1.35 × {supply_voltage}"],
        bands: &[
            band(
                "ratio < 95 %",
                Verdict::Suspect,
                "Lower than load and choke explain: measure the three lines under load.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "Load and choke explain it.",
                "practice",
            ),
        ],
        doubtful: &["mean_bus_voltage < 50 V"],
        example: Example {
            inputs: &[
                ("supply_voltage", "480 V"),
                ("supply_frequency", "60 Hz"),
                ("source_inductance", "0.3 mH"),
                ("bus_current", "40 A"),
            ],
            output: ("mean_bus_voltage", "643.91 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let drop = inputs
                .frequency("supply_frequency")
                .zip(inputs.inductance("source_inductance"))
                .zip(inputs.current("bus_current"))
                .map(|((frequency, inductance), current)| {
                    commutation_drop(frequency, inductance, current)
                });
            let mean = inputs
                .voltage("supply_voltage")
                .zip(drop)
                .map(|(supply, drop)| six_pulse_mean(supply) - drop);
            if let (Some(mean), Some(supply)) = (mean, inputs.voltage("supply_voltage"))
                && mean < supply * 0.675
            {
                return Err(super::shared::contradiction(
                    "this inductance would take more than half the bus at this current; the formula \
                     ends long before: check inductance and current",
                ));
            }
            let ratio = inputs
                .voltage("bus_voltage")
                .zip(mean)
                .map(|(bus, mean)| bus / mean);
            Ok(Outputs::new()
                .with_some("drop", drop)
                .with_some("mean_bus_voltage", mean)
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "bus-range",
        purpose: "Highest and lowest DC bus voltage that the supply's tolerance allows",
        inputs: &[
            SUPPLY_VOLTAGE,
            assumed(
                nameplate(
                    "supply_tolerance_above",
                    Kind::Ratio,
                    "%",
                    ("0 %", "30 %"),
                    "how far the supply may rise above nominal",
                ),
                "10 %",
            ),
            assumed(
                nameplate(
                    "supply_tolerance_below",
                    Kind::Ratio,
                    "%",
                    ("0 %", "50 %"),
                    "how far the supply may fall below nominal",
                ),
                "15 %",
            ),
            optional(BUS_VOLTAGE),
        ],
        outputs: &[
            output(
                "highest_bus_voltage",
                Kind::Voltage,
                "V",
                "idle bus on the highest supply",
            ),
            output(
                "lowest_mean_bus_voltage",
                Kind::Voltage,
                "V",
                "loaded bus on the lowest supply",
            ),
            output(
                "to_highest",
                Kind::Ratio,
                "%",
                "reading against the highest",
            ),
            output(
                "to_lowest",
                Kind::Ratio,
                "%",
                "reading against the lowest mean",
            ),
        ],
        formula: "U_max = √2 · (1 + a) · U_n, U_min = 3√2/π · (1 − b) · U_n \
                  (U_n: nominal supply voltage; a, b: tolerance above and below)",
        valid: "three-phase diode bridge, no energy coming back from the load",
        sources: &[
            "mohan-power-electronics: ch. 5",
            "en-50160: 4.2.2 (from memory)",
        ],
        expect: &["between {lowest_mean_bus_voltage} and {highest_bus_voltage}"],
        bands: &[
            band(
                "to_highest > 100 %",
                Verdict::Bad,
                "Higher than this supply can charge it: energy comes back from the load, or the supply is too high.",
                "mohan-power-electronics",
            ),
            band(
                "to_lowest < 100 %",
                Verdict::Bad,
                "Lower than the lowest allowed supply gives under load.",
                "mohan-power-electronics",
            ),
            band(
                "",
                Verdict::Normal,
                "Within what the supply's tolerance explains.",
                "mohan-power-electronics",
            ),
        ],
        doubtful: &["to_highest > 180 %"],
        example: Example {
            inputs: &[("supply_voltage", "400 V")],
            output: ("highest_bus_voltage", "622.25 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let nominal = inputs.voltage("supply_voltage");
            let highest = nominal
                .zip(inputs.ratio("supply_tolerance_above"))
                .map(|(nominal, above)| bus_at_rest(nominal * (share(1.0) + above)));
            let lowest = nominal
                .zip(inputs.ratio("supply_tolerance_below"))
                .map(|(nominal, below)| six_pulse_mean(nominal * (share(1.0) - below)));
            let bus = inputs.voltage("bus_voltage");
            Ok(Outputs::new()
                .with_some("highest_bus_voltage", highest)
                .with_some("lowest_mean_bus_voltage", lowest)
                .with_some(
                    "to_highest",
                    bus.zip(highest).map(|(bus, limit)| bus / limit),
                )
                .with_some("to_lowest", bus.zip(lowest).map(|(bus, limit)| bus / limit)))
        },
    },
    Check {
        name: "bus-display-agreement",
        purpose: "Whether the drive's own DC bus reading agrees with a meter",
        inputs: &[DISPLAYED, MEASURED],
        outputs: &[output(
            "difference",
            Kind::Ratio,
            "%",
            "display against meter",
        )],
        formula: "d = U_shown / U_measured − 1",
        valid: "both read at the same moment, bus steady",
        sources: &["practice"],
        expect: &[
            "{measured_bus_voltage} on the display, within 2 %",
            "both the same, within 2 %",
        ],
        bands: &[
            band(
                "difference > 5 %",
                Verdict::Bad,
                "The drive sees more than there is: its overvoltage and undervoltage limits are shifted.",
                "practice",
            ),
            band(
                "difference < -5 %",
                Verdict::Bad,
                "The drive sees less than there is: its overvoltage and undervoltage limits are shifted.",
                "practice",
            ),
            band(
                "difference > 2 %",
                Verdict::Suspect,
                "A little more than two instruments should differ.",
                "practice",
            ),
            band(
                "difference < -2 %",
                Verdict::Suspect,
                "A little more than two instruments should differ.",
                "practice",
            ),
            band("", Verdict::Normal, "Display and meter agree.", "practice"),
        ],
        doubtful: &["difference > 100 %"],
        example: Example {
            inputs: &[
                ("displayed_bus_voltage", "583 V"),
                ("measured_bus_voltage", "565 V"),
            ],
            output: ("difference", "3.186 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let difference = inputs
                .voltage("displayed_bus_voltage")
                .zip(inputs.voltage("measured_bus_voltage"))
                .map(|(shown, measured)| difference(shown, measured));
            Ok(Outputs::new().with_some("difference", difference))
        },
    },
    Check {
        name: "supply-from-bus",
        purpose: "Line voltage that a resting DC bus points to",
        inputs: &[BUS_VOLTAGE],
        outputs: &[output(
            "supply_voltage",
            Kind::Voltage,
            "V",
            "supply voltage, line to line",
        )],
        formula: "U_LL = U_dc / √2 (U_dc: DC bus voltage at rest)",
        valid: "diode bridge with capacitor, motor stopped for some seconds",
        sources: &["mohan-power-electronics: ch. 5"],
        expect: &["1.41 times the supply voltage"],
        bands: &[],
        doubtful: &["supply_voltage > 800 V"],
        example: Example {
            inputs: &[("bus_voltage", "565 V")],
            output: ("supply_voltage", "399.52 V"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            Ok(Outputs::new().with_some(
                "supply_voltage",
                inputs.voltage("bus_voltage").map(supply_from_bus),
            ))
        },
    },
];
