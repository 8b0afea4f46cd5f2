//! Rows whose inputs go into a check as they stand, and whose expected value is one output.

use super::support::{self, Row};

/// How the rows of one calculator are run.
struct Plan {
    calculator: &'static str,
    check: &'static str,
    output: &'static str,
    /// The row's key, the check's input (empty: the check takes it for granted), a unit to add.
    keys: &'static [(&'static str, &'static str, &'static str)],
    /// Inputs that the check needs and the output doesn't depend on, or that pick the rule.
    fixed: &'static [(&'static str, &'static str)],
}

const fn plan(
    calculator: &'static str,
    check: &'static str,
    output: &'static str,
    keys: &'static [(&'static str, &'static str, &'static str)],
    fixed: &'static [(&'static str, &'static str)],
) -> Plan {
    Plan {
        calculator,
        check,
        output,
        keys,
        fixed,
    }
}

const ANY_MOTOR: &[(&str, &str)] = &[
    ("motor_rated_power", "1 kW"),
    ("motor_rated_speed", "1500 rpm"),
];
const STOP: &[(&str, &str, &str)] = &[
    ("J", "inertia", ""),
    ("n", "motor_speed", ""),
    ("w", "motor_speed", ""),
    ("n1", "motor_speed", ""),
    ("n2", "final_speed", ""),
    ("t_stop", "deceleration_time", ""),
];

const PLANS: &[Plan] = &[
    plan(
        "accel.torque",
        "acceleration-torque",
        "torque",
        &[
            ("J", "inertia", ""),
            ("WK2", "inertia", ""),
            ("dn", "motor_speed", ""),
            ("t", "acceleration_time", ""),
        ],
        ANY_MOTOR,
    ),
    plan(
        "accel.time",
        "acceleration-time",
        "time",
        &[
            ("J", "inertia", ""),
            ("dn", "motor_speed", ""),
            ("t_net", "motor_torque", ""),
            ("t_motor", "motor_torque", ""),
            ("t_load", "load_torque", ""),
        ],
        &[],
    ),
    plan(
        "inertia.reflect",
        "reflected-inertia",
        "inertia",
        &[
            ("J_load", "load_inertia", ""),
            ("ratio", "gear_ratio", ""),
            ("eff", "gear_efficiency", "×"),
        ],
        &[],
    ),
    plan(
        "inertia.linear",
        "linear-inertia",
        "inertia",
        &[
            ("m", "mass", ""),
            ("v", "load_velocity", ""),
            ("n", "motor_speed", ""),
        ],
        &[],
    ),
    plan(
        "energy.kinetic",
        "stop-energy",
        "energy",
        STOP,
        &[("deceleration_time", "1 s")],
    ),
    plan("brake.torque", "stop-energy", "torque", STOP, &[]),
    plan("brake.peak_power", "stop-energy", "peak_power", STOP, &[]),
    plan(
        "brake.average_power",
        "stop-energy",
        "average_power",
        STOP,
        &[],
    ),
    // The energy of the row is that of this stop.
    plan(
        "brake.cycle_power",
        "stop-energy",
        "cycle_power",
        &[("E", "", ""), ("cycle", "cycle_time", "")],
        &[
            ("inertia", "1.2 kg.m2"),
            ("motor_speed", "1480 r/min"),
            ("deceleration_time", "8 s"),
        ],
    ),
    plan(
        "brake.resistor_min",
        "brake-resistor-range",
        "smallest_resistance",
        &[
            ("v_on", "chopper_threshold", ""),
            ("i_chopper", "chopper_current", ""),
        ],
        &[("peak_power", "1 kW")],
    ),
    plan(
        "brake.resistor_power",
        "brake-resistor-power",
        "power",
        &[
            ("v_on", "chopper_threshold", ""),
            ("r", "brake_resistance", ""),
        ],
        &[],
    ),
    plan(
        "brake.bus_rise",
        "bus-rise",
        "bus_voltage_after",
        &[
            ("C", "bus_capacitance", ""),
            ("v1", "bus_voltage", ""),
            ("E", "returned_energy", ""),
        ],
        &[],
    ),
    plan(
        "brake.bus_energy",
        "bus-absorption",
        "energy",
        &[
            ("C", "bus_capacitance", ""),
            ("v1", "bus_voltage", ""),
            ("v2", "highest_bus_voltage", ""),
        ],
        &[],
    ),
    plan(
        "brake.hoist_power",
        "lowering-power",
        "power",
        &[
            ("m", "mass", ""),
            ("v", "load_velocity", ""),
            ("eff", "efficiency", "×"),
        ],
        &[],
    ),
    plan(
        "insulation.min_kv_plus_1",
        "insulation-minimum",
        "least_resistance",
        &[("v", "motor_rated_voltage", ""), ("winding", "", "")],
        &[("winding", "before-1970")],
    ),
    plan(
        "insulation.correct_40",
        "insulation-resistance",
        "resistance_at_40",
        &[
            ("r", "insulation_resistance", ""),
            ("T", "winding_temperature", ""),
            ("rule", "rule", ""),
        ],
        &[],
    ),
    plan(
        "insulation.kt_thermosetting",
        "insulation-resistance",
        "correction",
        &[("T", "winding_temperature", "")],
        &[
            ("insulation_resistance", "100 MΩ"),
            ("rule", "thermosetting"),
        ],
    ),
    plan(
        "insulation.pi",
        "polarization-index",
        "index",
        &[
            ("ir_10min", "resistance_10_min", ""),
            ("ir_1min", "resistance_1_min", ""),
        ],
        &[],
    ),
    plan(
        "insulation.pi_applicable",
        "polarization-index",
        "worth",
        &[("ir_1min", "resistance_1_min", "")],
        &[("resistance_10_min", "9000 MΩ")],
    ),
    plan(
        "insulation.dar",
        "dielectric-absorption",
        "absorption",
        &[
            ("ir_60s", "resistance_60_s", ""),
            ("ir_30s", "resistance_30_s", ""),
        ],
        &[],
    ),
    plan(
        "insulation.rule_1mohm_kv",
        "insulation-minimum",
        "least_resistance",
        &[("v", "motor_rated_voltage", "")],
        &[("rule", "megohm-per-kilovolt")],
    ),
    plan(
        "winding.unbalance_limit",
        "winding-balance",
        "unbalance_limit",
        &[("winding", "winding", "")],
        &[
            ("resistance_u_v", "1 Ω"),
            ("resistance_v_w", "1 Ω"),
            ("resistance_w_u", "1 Ω"),
        ],
    ),
    plan(
        "winding.line_from_phase",
        "winding-line-resistance",
        "line_resistance",
        &[
            ("connection", "connection", ""),
            ("r_phase", "phase_resistance", ""),
        ],
        &[],
    ),
    plan(
        "rtd.pt100_r",
        "pt100-resistance",
        "resistance",
        &[("t", "sensor_temperature", "")],
        &[],
    ),
    plan(
        "rtd.pt1000_r",
        "pt100-resistance",
        "resistance",
        &[("t", "sensor_temperature", "")],
        &[("nominal_resistance", "1000 Ω")],
    ),
    plan(
        "rtd.temperature",
        "pt100-temperature",
        "temperature",
        &[
            ("r", "sensor_resistance", ""),
            ("r0", "nominal_resistance", ""),
        ],
        &[],
    ),
    plan(
        "rtd.tolerance",
        "pt100-resistance",
        "tolerance",
        &[
            ("t", "sensor_temperature", ""),
            ("class", "sensor_class", ""),
        ],
        &[],
    ),
    plan(
        "ptc.classify",
        "ptc-resistance",
        "state",
        &[("r", "ptc_resistance", ""), ("sensors", "", "")],
        &[("sensors_in_series", "3")],
    ),
    plan(
        "insulation_class.limit",
        "thermal-class",
        "temperature_limit",
        &[("class", "thermal_class", "")],
        &[("winding_temperature", "80 °C")],
    ),
    plan(
        "insulation_class.rise_by_resistance",
        "thermal-class",
        "rise_limit",
        &[
            ("class", "thermal_class", ""),
            ("ambient", "", ""),
            ("motor", "", ""),
        ],
        &[("winding_temperature", "80 °C")],
    ),
    plan(
        "derating.altitude",
        "derated-current",
        "factor",
        &[("h", "altitude", "")],
        &[("drive_rated_current", "100 A")],
    ),
    plan(
        "derating.air_density",
        "altitude-effects",
        "density_share",
        &[("h", "altitude", "")],
        &[],
    ),
    plan(
        "derating.clearance_altitude",
        "altitude-effects",
        "clearance_factor",
        &[("h", "altitude", "")],
        &[],
    ),
    plan(
        "derating.ambient",
        "derated-current",
        "factor",
        &[("t", "ambient_temperature", ""), ("slope", "", "")],
        &[("drive_rated_current", "100 A"), ("loss_per_kelvin", "1 %")],
    ),
    plan(
        "enclosure.dissipation",
        "enclosure-dissipation",
        "dissipation",
        &[
            ("A", "enclosure_area", ""),
            ("k", "heat_transfer", ""),
            ("dT", "temperature_rise", ""),
        ],
        &[],
    ),
    plan(
        "enclosure.area_needed",
        "enclosure-dissipation",
        "area_needed",
        &[
            ("p", "heat_loss", ""),
            ("k", "heat_transfer", ""),
            ("dT", "temperature_rise", ""),
        ],
        &[("enclosure_area", "1 m²")],
    ),
    plan(
        "enclosure.rise",
        "enclosure-rise",
        "rise",
        &[
            ("p", "heat_loss", ""),
            ("A", "enclosure_area", ""),
            ("k", "heat_transfer", ""),
        ],
        &[],
    ),
    plan(
        "signal.4_20_pct",
        "loop-current",
        "share",
        &[("i", "loop_current", "")],
        &[],
    ),
    plan(
        "signal.4_20_value",
        "loop-current",
        "frequency",
        &[("i", "loop_current", ""), ("range", "", "")],
        &[("scale_low", "0 Hz"), ("scale_high", "60 Hz")],
    ),
    plan(
        "signal.4_20_volts",
        "loop-current",
        "voltage",
        &[("i", "loop_current", ""), ("r", "burden_resistance", "")],
        &[],
    ),
    plan(
        "signal.ne43",
        "loop-current",
        "state",
        &[("i", "loop_current", "")],
        &[],
    ),
    plan(
        "signal.0_10_pct",
        "voltage-signal",
        "share",
        &[("v", "signal_voltage", "")],
        &[],
    ),
    plan(
        "signal.loaded_pot",
        "potentiometer",
        "expected_wiper_voltage",
        &[
            ("v_ref", "reference_voltage", ""),
            ("x", "wiper_position", "×"),
            ("r_pot", "potentiometer_resistance", ""),
            ("r_in", "input_resistance", ""),
        ],
        &[],
    ),
    plan(
        "signal.pot_current",
        "potentiometer",
        "reference_current",
        &[
            ("v_ref", "reference_voltage", ""),
            ("r_pot", "potentiometer_resistance", ""),
        ],
        &[],
    ),
    plan(
        "signal.di_state",
        "digital-input",
        "state",
        &[("type", "input_type", ""), ("v", "input_voltage", "")],
        &[],
    ),
    plan(
        "capacitor.discharge_time",
        "discharge-wait",
        "time",
        &[
            ("r", "discharge_resistance", ""),
            ("C", "bus_capacitance", ""),
            ("v0", "bus_voltage", ""),
            ("v", "safe_voltage", ""),
        ],
        &[],
    ),
    plan(
        "capacitor.voltage_after",
        "discharge-wait",
        "voltage_after_wait",
        &[
            ("r", "discharge_resistance", ""),
            ("C", "bus_capacitance", ""),
            ("v0", "bus_voltage", ""),
            ("t", "label_time", ""),
        ],
        &[],
    ),
    // The row's 300 s are the five minutes of habit.
    plan(
        "capacitor.max_rc_for_5min",
        "discharge-wait",
        "longest_time_constant",
        &[
            ("v0", "bus_voltage", ""),
            ("v", "safe_voltage", ""),
            ("t", "", ""),
        ],
        &[
            ("discharge_resistance", "20 kΩ"),
            ("bus_capacitance", "1000 µF"),
        ],
    ),
    plan(
        "capacitor.energy",
        "stored-energy",
        "energy",
        &[("C", "bus_capacitance", ""), ("v", "bus_voltage", "")],
        &[],
    ),
    plan(
        "capacitor.charge",
        "stored-energy",
        "charge",
        &[("C", "bus_capacitance", ""), ("v", "bus_voltage", "")],
        &[],
    ),
    plan(
        "capacitor.precharge_peak",
        "precharge-time",
        "peak_current",
        &[("v", "bus_voltage", ""), ("r", "precharge_resistance", "")],
        &[("bus_capacitance", "1000 µF")],
    ),
    plan(
        "capacitor.precharge_energy",
        "precharge-time",
        "energy",
        &[("C", "bus_capacitance", ""), ("v", "bus_voltage", "")],
        &[("precharge_resistance", "50 Ω")],
    ),
    plan(
        "capacitor.precharge_95pct",
        "precharge-time",
        "time",
        &[
            ("r", "precharge_resistance", ""),
            ("C", "bus_capacitance", ""),
        ],
        &[("charging_source", "constant-dc")],
    ),
    plan(
        "encoder.frequency",
        "encoder-frequency",
        "frequency",
        &[
            ("ppr", "encoder_pulses", ""),
            ("counts", "encoder_pulses", ""),
            ("n", "motor_speed", ""),
        ],
        &[],
    ),
    plan(
        "encoder.frequency_x4",
        "encoder-frequency",
        "edge_frequency",
        &[("ppr", "encoder_pulses", ""), ("n", "motor_speed", "")],
        &[],
    ),
    plan(
        "encoder.pulses_in_window",
        "encoder-window",
        "pulses",
        &[
            ("ppr", "encoder_pulses", ""),
            ("n", "motor_speed", ""),
            ("window", "sampling_time", ""),
        ],
        &[],
    ),
    plan(
        "encoder.speed",
        "encoder-speed",
        "speed",
        &[("f", "pulse_frequency", ""), ("ppr", "encoder_pulses", "")],
        &[],
    ),
    plan(
        "modbus.t3_5",
        "modbus-timing",
        "frame_gap",
        &[
            ("baud", "bit_rate", "baud"),
            ("bits", "bits_per_character", ""),
        ],
        &[],
    ),
    plan(
        "modbus.frame_time",
        "modbus-timing",
        "frame_time",
        &[
            ("bytes", "frame_bytes", ""),
            ("baud", "bit_rate", "baud"),
            ("bits", "bits_per_character", ""),
        ],
        &[],
    ),
    plan(
        "modbus.frame_plus_gap",
        "modbus-timing",
        "frame_and_gap",
        &[
            ("bytes", "frame_bytes", ""),
            ("baud", "bit_rate", "baud"),
            ("bits", "bits_per_character", ""),
        ],
        &[],
    ),
];

/// Checks a row, if its calculator has a plan.
pub fn check(row: &Row) -> Option<Result<(), String>> {
    PLANS
        .iter()
        .find(|plan| plan.calculator == row.calculator)
        .map(|plan| run(row, plan))
}

fn run(row: &Row, plan: &Plan) -> Result<(), String> {
    let mut typed: Vec<(&str, String)> = plan
        .fixed
        .iter()
        .map(|(name, text)| (*name, (*text).to_owned()))
        .collect();
    for (key, value) in row.pairs() {
        let (_, input, unit) = plan
            .keys
            .iter()
            .find(|(own, _, _)| *own == key)
            .ok_or_else(|| format!("no plan for {key}"))?;
        if input.is_empty() {
            continue;
        }
        typed.retain(|(name, _)| name != input);
        typed.push((input, format!("{value} {unit}").trim().to_owned()));
    }
    let typed: Vec<(&str, &str)> = typed
        .iter()
        .map(|(name, text)| (*name, text.as_str()))
        .collect();
    let result = support::run(plan.check, &typed)?;
    support::as_published(row, &result, plan.output)
}
