//! What a motor's nameplate says it should do, and the readings against it.

use std::f64::consts::PI;

use uom::si::angular_velocity::radian_per_second;
use uom::si::f64::{
    AngularVelocity, ElectricCurrent, ElectricPotential, Frequency, MagneticFlux, Power, Ratio,
    Torque,
};
use uom::si::frequency::hertz;
use uom::si::power::watt;
use uom::si::torque::newton_meter;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, nameplate, optional,
    output, reading, setting,
};
use super::shared::{
    MEASURED_MOTOR_SPEED, MOTOR_CURRENT, MOTOR_POLES, MOTOR_RATED_CURRENT, MOTOR_RATED_FREQUENCY,
    MOTOR_RATED_POWER, MOTOR_RATED_SPEED, MOTOR_RATED_VOLTAGE, MOTOR_SERVICE_FACTOR,
    OUTPUT_FREQUENCY, contradiction, number, share,
};
use crate::quantity::Kind;

/// Line current of a three-phase motor at rated load.
///
/// Formula: `I = P / (√3 · U · η · cos φ)`
/// Symbols: `P` shaft power [W]; `U` line voltage [V]; `η` efficiency; `cos φ` power factor
/// Valid:   three-phase motor on a sine supply, all values at one load
/// Source:  fitzgerald-electric-machinery, app. A
pub fn full_load_current(
    power: Power,
    voltage: ElectricPotential,
    efficiency: Ratio,
    power_factor: Ratio,
) -> ElectricCurrent {
    power / (voltage * 3f64.sqrt() * efficiency * power_factor)
}

/// Speed of the rotating field.
///
/// Formula: `n_s = 120 · f / p`
/// Symbols: `n_s` synchronous speed [r/min]; `f` frequency [Hz]; `p` number of poles
/// Valid:   rotating-field motors; an even number of poles
/// Errors:  a number of poles that is odd or no whole number
/// Source:  fitzgerald-electric-machinery, ch. 4
pub fn synchronous_speed(
    frequency: Frequency,
    poles: Ratio,
) -> Result<AngularVelocity, CheckError> {
    let poles = number(poles);
    if poles < 2.0 || poles % 2.0 != 0.0 {
        return Err(contradiction(
            "poles come in pairs: 2, 4, 6, 8 and so on, as counted around the stator",
        ));
    }
    Ok(AngularVelocity::new::<radian_per_second>(
        4.0 * PI * frequency.get::<hertz>() / poles,
    ))
}

/// How far the rotor stays behind the field.
///
/// Formula: `s = (n_s − n) / n_s`
/// Symbols: `n_s` synchronous speed [r/min]; `n` rotor speed [r/min]
/// Valid:   induction motors; negative while the load drives the motor
/// Source:  fitzgerald-electric-machinery, ch. 6
pub fn slip(synchronous: AngularVelocity, speed: AngularVelocity) -> Ratio {
    (synchronous - speed) / synchronous
}

/// Torque at the shaft.
///
/// Formula: `T = P / ω = 60 · P / (2π · n)`
/// Symbols: `T` torque [N·m]; `P` shaft power [W]; `n` speed [r/min]
/// Valid:   speed above zero
/// Source:  fitzgerald-electric-machinery, ch. 4
pub fn rated_torque(power: Power, speed: AngularVelocity) -> Torque {
    Torque::new::<newton_meter>(power.get::<watt>() / speed.get::<radian_per_second>())
}

/// Voltage for each hertz, which sets the motor's flux.
///
/// Formula: `U / f`
/// Symbols: `U` voltage [V]; `f` frequency [Hz]
/// Valid:   frequency above zero
/// Source:  mohan-power-electronics, ch. 14
pub fn volts_per_hertz(voltage: ElectricPotential, frequency: Frequency) -> MagneticFlux {
    voltage / frequency
}

/// Output voltage of a drive that keeps the flux up to the rated frequency.
///
/// Formula: `U = U_r · min(f / f_r, 1)`
/// Symbols: `U_r`, `f_r` rated voltage [V] and frequency [Hz]; `f` output frequency [Hz]
/// Valid:   linear characteristic without boost, above some 10 Hz
/// Source:  mohan-power-electronics, ch. 14
pub fn output_voltage(
    rated_voltage: ElectricPotential,
    rated_frequency: Frequency,
    frequency: Frequency,
) -> ElectricPotential {
    rated_voltage * (frequency / rated_frequency).min(share(1.0))
}

/// Share of rated torque that is left above the rated frequency, where voltage can't follow.
///
/// Formula: `T / T_r = min(f_r / f, 1)`
/// Symbols: as for [`output_voltage`]
/// Valid:   constant power up to about twice rated frequency; the breakdown torque falls as 1/f²
/// Source:  mohan-power-electronics, ch. 14
pub fn field_weakening_torque(rated_frequency: Frequency, frequency: Frequency) -> Ratio {
    (rated_frequency / frequency).min(share(1.0))
}

/// No-load current of an induction motor, relative to its rated current, from and to.
///
/// Valid:   four poles, 1 to 100 kW; small and many-pole motors draw more
/// Source:  practice
pub const NO_LOAD_CURRENT: (f64, f64) = (0.25, 0.50);

const EFFICIENCY: Input = nameplate(
    "motor_efficiency",
    Kind::Ratio,
    "%",
    ("20 %", "99.9 %"),
    "efficiency at rated load, from the motor's nameplate",
);
const POWER_FACTOR: Input = nameplate(
    "motor_power_factor",
    Kind::Ratio,
    "×",
    ("0.2 ×", "1 ×"),
    "power factor (cos φ) at rated load, from the motor's nameplate",
);
const SET_VOLTAGE: Input = setting(
    "set_voltage",
    Kind::Voltage,
    "V",
    ("10 V", "1000 V"),
    "motor voltage entered in the drive",
);
const SET_FREQUENCY: Input = setting(
    "set_frequency",
    Kind::Frequency,
    "Hz",
    ("5 Hz", "600 Hz"),
    "frequency entered in the drive for that voltage",
);
const SET_CURRENT: Input = setting(
    "set_value_current",
    Kind::Current,
    "A",
    ("0.05 A", "5 kA"),
    "motor current entered in the drive",
);
const OUTPUT_VOLTAGE: Input = reading(
    "output_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "900 V"),
    "output voltage, line to line: the drive's display, or a meter with a low-pass filter",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "full-load-current",
        purpose: "Rated current from power, voltage, efficiency and power factor",
        inputs: &[
            MOTOR_RATED_POWER,
            MOTOR_RATED_VOLTAGE,
            EFFICIENCY,
            POWER_FACTOR,
        ],
        outputs: &[output(
            "current",
            Kind::Current,
            "A",
            "line current at rated load",
        )],
        formula: "I = P / (√3 · U · η · cos φ) (P: shaft power; U: line voltage; η: efficiency; cos φ: power factor)",
        valid: "three-phase motor at rated load; the nameplate's own current goes before this sum",
        sources: &["fitzgerald-electric-machinery: app. A (from memory)"],
        expect: &["{current} at rated load"],
        bands: &[],
        doubtful: &["current > 6 kA"],
        example: Example {
            inputs: &[
                ("motor_rated_power", "15 kW"),
                ("motor_rated_voltage", "400 V"),
                ("motor_efficiency", "90.6 %"),
                ("motor_power_factor", "0.86"),
            ],
            output: ("current", "27.79 A"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let current = inputs
                .power("motor_rated_power")
                .zip(inputs.voltage("motor_rated_voltage"))
                .zip(inputs.ratio("motor_efficiency"))
                .zip(inputs.ratio("motor_power_factor"))
                .map(|(((power, voltage), efficiency), power_factor)| {
                    full_load_current(power, voltage, efficiency, power_factor)
                });
            Ok(Outputs::new().with_some("current", current))
        },
    },
    Check {
        name: "current-to-rating",
        purpose: "Motor current against its nameplate",
        inputs: &[
            MOTOR_CURRENT,
            MOTOR_RATED_CURRENT,
            assumed(MOTOR_SERVICE_FACTOR, "1 ×"),
        ],
        outputs: &[
            output("ratio", Kind::Ratio, "%", "reading against rated current"),
            output(
                "ratio_with_service_factor",
                Kind::Ratio,
                "%",
                "reading against rated current times service factor",
            ),
        ],
        formula: "ratio = I / I_r, with service factor I / (SF · I_r) (I: reading; I_r: rated current)",
        valid: "steady running; a drive-fed motor has service factor 1 unless its nameplate says otherwise",
        sources: &[
            "iec-60947-4-1: limits of operation (from memory)",
            "nema-mg1: service factor (from memory)",
            "practice",
        ],
        expect: &["at most {motor_rated_current}, the rated current"],
        bands: &[
            band(
                "ratio_with_service_factor > 105 %",
                Verdict::Bad,
                "Overloaded: above 105 % of its setting a motor protection may trip in time.",
                "memory",
            ),
            band(
                "ratio > 100 %",
                Verdict::Suspect,
                "Above the rated current: overload, or low voltage.",
                "nema-mg1",
            ),
            band(
                "ratio < 25 %",
                Verdict::Suspect,
                "Less than a motor draws without load: has it lost its load, or is the clamp on the wrong line?",
                "practice",
            ),
            band("", Verdict::Normal, "Within the nameplate.", "nema-mg1"),
        ],
        doubtful: &["ratio > 1200 %"],
        example: Example {
            inputs: &[("motor_current", "29 A"), ("motor_rated_current", "27 A")],
            output: ("ratio", "107.4 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let ratio = inputs
                .current("motor_current")
                .zip(inputs.current("motor_rated_current"))
                .map(|(current, rated)| current / rated);
            let with_service_factor = ratio
                .zip(inputs.ratio("motor_service_factor"))
                .map(|(ratio, factor)| ratio / factor);
            Ok(Outputs::new()
                .with_some("ratio", ratio)
                .with_some("ratio_with_service_factor", with_service_factor))
        },
    },
    Check {
        name: "motor-no-load-current",
        purpose: "Current of an uncoupled induction motor against what is usual",
        inputs: &[MOTOR_CURRENT, MOTOR_RATED_CURRENT],
        outputs: &[
            output(
                "lowest_expected",
                Kind::Current,
                "A",
                "usual no-load current, from",
            ),
            output(
                "highest_expected",
                Kind::Current,
                "A",
                "usual no-load current, to",
            ),
            output("ratio", Kind::Ratio, "%", "reading against rated current"),
        ],
        formula: "I_0 = 0.25 to 0.50 × I_r (I_r: rated current)",
        valid: "induction motor with four poles, 1 to 100 kW, uncoupled, at rated voltage and frequency",
        sources: &["practice"],
        expect: &["{lowest_expected} to {highest_expected}, 25 to 50 % of {motor_rated_current}"],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "Rated current without load: far too much flux, or the rotor rubs or is held.",
                "practice",
            ),
            band(
                "ratio > 50 %",
                Verdict::Suspect,
                "More than usual: too much voltage for the frequency, or a small or many-pole motor.",
                "practice",
            ),
            band(
                "ratio < 25 %",
                Verdict::Suspect,
                "Less than usual: too little voltage for the frequency, or the clamp misreads.",
                "practice",
            ),
            band("", Verdict::Normal, "As usual without load.", "practice"),
        ],
        doubtful: &["ratio > 300 %"],
        example: Example {
            inputs: &[("motor_current", "10 A"), ("motor_rated_current", "28 A")],
            output: ("highest_expected", "14 A"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let rated = inputs.current("motor_rated_current");
            let ratio = inputs
                .current("motor_current")
                .zip(rated)
                .map(|(current, rated)| current / rated);
            Ok(Outputs::new()
                .with_some(
                    "lowest_expected",
                    rated.map(|rated| rated * NO_LOAD_CURRENT.0),
                )
                .with_some(
                    "highest_expected",
                    rated.map(|rated| rated * NO_LOAD_CURRENT.1),
                )
                .with_some("ratio", ratio))
        },
    },
    Check {
        name: "synchronous-speed",
        purpose: "Speed of the rotating field",
        inputs: &[MOTOR_RATED_FREQUENCY, MOTOR_POLES],
        outputs: &[output("speed", Kind::Speed, "rpm", "synchronous speed")],
        formula: "n_s = 120 · f / p (f: frequency; p: number of poles)",
        valid: "rotating-field motors with an even number of poles",
        sources: &["fitzgerald-electric-machinery: ch. 4 (from memory)"],
        expect: &[],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("motor_rated_frequency", "50 Hz"), ("motor_poles", "4")],
            output: ("speed", "1500 rpm"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let speed = inputs
                .frequency("motor_rated_frequency")
                .zip(inputs.count("motor_poles"))
                .map(|(frequency, poles)| synchronous_speed(frequency, poles))
                .transpose()?;
            Ok(Outputs::new().with_some("speed", speed))
        },
    },
    Check {
        name: "slip",
        purpose: "How far a motor stays behind its field",
        inputs: &[
            MEASURED_MOTOR_SPEED,
            MOTOR_RATED_FREQUENCY,
            MOTOR_POLES,
            optional(OUTPUT_FREQUENCY),
        ],
        outputs: &[
            output("slip", Kind::Ratio, "%", "slip"),
            output(
                "synchronous_speed",
                Kind::Speed,
                "rpm",
                "speed of the field",
            ),
        ],
        formula: "s = (n_s − n) / n_s, n_s = 120 · f / p \
                  (n: shaft speed; f: output frequency, or rated frequency if none is given; p: poles)",
        valid: "induction motor running steadily; give the output frequency unless it runs at rated frequency",
        sources: &[
            "fitzgerald-electric-machinery: ch. 6 (from memory)",
            "practice",
        ],
        expect: &[
            "a little below {synchronous_speed}: by 1 to 5 % at rated load, less when lightly loaded",
        ],
        bands: &[
            band(
                "slip < -1 %",
                Verdict::Suspect,
                "Faster than the field: the load drives the motor, or frequency or poles are not as given.",
                "practice",
            ),
            band(
                "slip > 10 %",
                Verdict::Bad,
                "Far behind its field: overloaded, too little voltage, or rotor trouble.",
                "practice",
            ),
            band(
                "slip > 6 %",
                Verdict::Suspect,
                "Further behind than most motors at rated load: compare with the nameplate speed.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "As an induction motor runs.",
                "practice",
            ),
        ],
        doubtful: &["slip < -20 %"],
        example: Example {
            inputs: &[
                ("motor_speed", "1460 rpm"),
                ("motor_rated_frequency", "50 Hz"),
                ("motor_poles", "4"),
            ],
            output: ("slip", "2.667 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let frequency = inputs
                .frequency("output_frequency")
                .or_else(|| inputs.frequency("motor_rated_frequency"));
            let synchronous = frequency
                .zip(inputs.count("motor_poles"))
                .map(|(frequency, poles)| synchronous_speed(frequency, poles))
                .transpose()?;
            let slip = synchronous
                .zip(inputs.speed("motor_speed"))
                .map(|(synchronous, speed)| slip(synchronous, speed));
            Ok(Outputs::new()
                .with_some("slip", slip)
                .with_some("synchronous_speed", synchronous))
        },
    },
    Check {
        name: "rated-torque",
        purpose: "Torque at rated load",
        inputs: &[MOTOR_RATED_POWER, MOTOR_RATED_SPEED],
        outputs: &[output("torque", Kind::Torque, "N·m", "rated torque")],
        formula: "T = 60 · P / (2π · n) (P: shaft power; n: rated speed); 9550 · kW / rpm",
        valid: "rated power and speed of one nameplate",
        sources: &["fitzgerald-electric-machinery: ch. 4 (from memory)"],
        expect: &["{torque}, as {motor_rated_power} at {motor_rated_speed}"],
        bands: &[],
        doubtful: &["torque > 500 kN·m"],
        example: Example {
            inputs: &[
                ("motor_rated_power", "7.5 kW"),
                ("motor_rated_speed", "1450 rpm"),
            ],
            output: ("torque", "49.393 N·m"),
            tolerance: 5e-4,
        },
        compute: |inputs| {
            let torque = inputs
                .power("motor_rated_power")
                .zip(inputs.speed("motor_rated_speed"))
                .map(|(power, speed)| rated_torque(power, speed));
            Ok(Outputs::new().with_some("torque", torque))
        },
    },
    Check {
        name: "volts-per-hertz",
        purpose: "Voltage and frequency entered in the drive against the motor's nameplate",
        inputs: &[
            MOTOR_RATED_VOLTAGE,
            MOTOR_RATED_FREQUENCY,
            SET_VOLTAGE,
            SET_FREQUENCY,
        ],
        outputs: &[
            output(
                "deviation",
                Kind::Ratio,
                "%",
                "entered against nameplate volts per hertz",
            ),
            output(
                "rated_ratio",
                Kind::VoltsPerHertz,
                "V/Hz",
                "nameplate volts per hertz",
            ),
            output(
                "set_ratio",
                Kind::VoltsPerHertz,
                "V/Hz",
                "entered volts per hertz",
            ),
        ],
        formula: "d = (U_set / f_set) / (U_r / f_r) − 1 (U_r, f_r: nameplate; U_set, f_set: as entered)",
        valid: "nameplate values of the connection actually made, star or delta",
        sources: &["mohan-power-electronics: ch. 14 (from memory)", "practice"],
        expect: &["{motor_rated_voltage} at {motor_rated_frequency}: {rated_ratio}"],
        bands: &[
            band(
                "deviation > 20 %",
                Verdict::Bad,
                "Far too much voltage for the frequency: the motor saturates and draws too much current.",
                "practice",
            ),
            band(
                "deviation < -20 %",
                Verdict::Bad,
                "Far too little voltage for the frequency: the motor is weak and stalls.",
                "practice",
            ),
            band(
                "deviation > 5 %",
                Verdict::Suspect,
                "Too much voltage for the frequency: the motor comes near saturation.",
                "practice",
            ),
            band(
                "deviation < -5 %",
                Verdict::Suspect,
                "Too little voltage for the frequency: the motor is weaker than its nameplate.",
                "practice",
            ),
            band("", Verdict::Normal, "As on the nameplate.", "practice"),
        ],
        doubtful: &["deviation > 250 %", "deviation < -80 %"],
        example: Example {
            inputs: &[
                ("motor_rated_voltage", "460 V"),
                ("motor_rated_frequency", "60 Hz"),
                ("set_voltage", "460 V"),
                ("set_frequency", "50 Hz"),
            ],
            output: ("rated_ratio", "7.667 V/Hz"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let rated = inputs
                .voltage("motor_rated_voltage")
                .zip(inputs.frequency("motor_rated_frequency"))
                .map(|(voltage, frequency)| volts_per_hertz(voltage, frequency));
            let set = inputs
                .voltage("set_voltage")
                .zip(inputs.frequency("set_frequency"))
                .map(|(voltage, frequency)| volts_per_hertz(voltage, frequency));
            let deviation = set.zip(rated).map(|(set, rated)| set / rated - share(1.0));
            Ok(Outputs::new()
                .with_some("deviation", deviation)
                .with_some("rated_ratio", rated)
                .with_some("set_ratio", set))
        },
    },
    Check {
        name: "output-voltage",
        purpose: "Voltage and torque to expect from a drive at its output frequency",
        inputs: &[
            MOTOR_RATED_VOLTAGE,
            MOTOR_RATED_FREQUENCY,
            OUTPUT_FREQUENCY,
            optional(OUTPUT_VOLTAGE),
        ],
        outputs: &[
            output(
                "expected_voltage",
                Kind::Voltage,
                "V",
                "fundamental of the output voltage",
            ),
            output(
                "torque_share",
                Kind::Ratio,
                "%",
                "torque that the motor can keep up, of rated",
            ),
            output(
                "deviation",
                Kind::Ratio,
                "%",
                "reading against expected voltage",
            ),
        ],
        formula: "U = U_r · min(f / f_r, 1), T / T_r = min(f_r / f, 1) \
                  (U_r, f_r: nameplate; f: output frequency)",
        valid: "linear volts per hertz without boost, above some 10 Hz, up to twice rated frequency",
        sources: &["mohan-power-electronics: ch. 14 (from memory)", "practice"],
        expect: &[
            "{expected_voltage} at {output_frequency}",
            "in proportion to frequency, up to {motor_rated_voltage} at {motor_rated_frequency}",
        ],
        bands: &[
            band(
                "deviation > 10 %",
                Verdict::Suspect,
                "More than the frequency calls for: boost, settings, or a meter that reads the pulses.",
                "practice",
            ),
            band(
                "deviation < -10 %",
                Verdict::Suspect,
                "Less than the frequency calls for: low bus, energy saving, settings, or a current limit at work.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "As the frequency calls for.",
                "practice",
            ),
        ],
        doubtful: &["deviation > 100 %"],
        example: Example {
            inputs: &[
                ("motor_rated_voltage", "460 V"),
                ("motor_rated_frequency", "60 Hz"),
                ("output_frequency", "30 Hz"),
            ],
            output: ("expected_voltage", "230 V"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let frequencies = inputs
                .frequency("motor_rated_frequency")
                .zip(inputs.frequency("output_frequency"));
            let expected = inputs
                .voltage("motor_rated_voltage")
                .zip(frequencies)
                .map(|(voltage, (rated, output))| output_voltage(voltage, rated, output));
            let deviation = inputs
                .voltage("output_voltage")
                .zip(expected)
                .map(|(measured, expected)| measured / expected - share(1.0));
            Ok(Outputs::new()
                .with_some("expected_voltage", expected)
                .with_some(
                    "torque_share",
                    frequencies.map(|(rated, output)| field_weakening_torque(rated, output)),
                )
                .with_some("deviation", deviation)
                .note("The output is pulsed: a meter without a low-pass filter misreads it."))
        },
    },
    Check {
        name: "nameplate-setting",
        purpose: "Motor current entered in the drive against the nameplate",
        inputs: &[SET_CURRENT, MOTOR_RATED_CURRENT],
        outputs: &[output(
            "deviation",
            Kind::Ratio,
            "%",
            "entered against rated current",
        )],
        formula: "d = I_set / I_r − 1 (I_set: as entered; I_r: nameplate)",
        valid: "nameplate value of the connection actually made, star or delta",
        sources: &["practice"],
        expect: &["{motor_rated_current}, as on the nameplate"],
        bands: &[
            band(
                "deviation > 15 %",
                Verdict::Bad,
                "Set well above the nameplate: the motor is left without protection.",
                "practice",
            ),
            band(
                "deviation < -15 %",
                Verdict::Bad,
                "Set well below the nameplate: the drive limits or trips before the motor is loaded.",
                "practice",
            ),
            band(
                "deviation > 5 %",
                Verdict::Suspect,
                "Set above the nameplate.",
                "practice",
            ),
            band(
                "deviation < -5 %",
                Verdict::Suspect,
                "Set below the nameplate.",
                "practice",
            ),
            band("", Verdict::Normal, "As on the nameplate.", "practice"),
        ],
        doubtful: &["deviation > 400 %"],
        example: Example {
            inputs: &[
                ("set_value_current", "31 A"),
                ("motor_rated_current", "28 A"),
            ],
            output: ("deviation", "10.71 %"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let deviation = inputs
                .current("set_value_current")
                .zip(inputs.current("motor_rated_current"))
                .map(|(set, rated)| set / rated - share(1.0));
            Ok(Outputs::new().with_some("deviation", deviation))
        },
    },
];
