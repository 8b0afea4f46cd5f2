//! What it takes to bring a mass up to speed, and what comes back when it stops.

use uom::si::angular_velocity::radian_per_second;
use uom::si::energy::joule;
use uom::si::f64::{
    AngularVelocity, Energy, Mass, MomentOfInertia, Power, Ratio, Time, Torque, Velocity,
};
use uom::si::moment_of_inertia::kilogram_square_meter;
use uom::si::power::watt;
use uom::si::time::second;
use uom::si::torque::newton_meter;

use super::define::{
    Check, CheckError, Example, Input, Outputs, Verdict, assumed, band, choice, nameplate,
    optional, output, setting,
};
use super::shared::{INERTIA, MOTOR_RATED_POWER, MOTOR_RATED_SPEED, MOTOR_SPEED};
use crate::quantity::Kind;

/// Kinetic energy between two speeds.
///
/// Formula: `E = J · (ω₁² − ω₂²) / 2`
/// Symbols: `E` energy [J]; `J` inertia at the motor shaft [kg·m²]; `ω₁`, `ω₂` speeds [rad/s]
/// Valid:   one rigid train, all inertia referred to the shaft at which the speed is taken
/// Source:  iso-80000-4, kinetic energy, torque, power (from memory)
pub fn kinetic_energy(
    inertia: MomentOfInertia,
    from: AngularVelocity,
    to: AngularVelocity,
) -> Energy {
    let squares = from.value * from.value - to.value * to.value;
    Energy::new::<joule>(inertia.value * squares / 2.0)
}

/// Torque that changes the speed of an inertia evenly in a time.
///
/// Formula: `T = J · Δω / t`, in r/min `T = J · Δn / (9.549 · t)`
/// Symbols: `T` torque [N·m]; `J` inertia [kg·m²]; `Δω` change of speed [rad/s]; `t` time [s]
/// Valid:   linear ramp, `t > 0`; load torque not counted
/// Source:  iso-80000-4, kinetic energy, torque, power (from memory)
pub fn torque_for_ramp(inertia: MomentOfInertia, change: AngularVelocity, time: Time) -> Torque {
    Torque::new::<newton_meter>(inertia.value * change.value / time.value)
}

/// Time in which a net torque changes the speed of an inertia: `t = J · Δω / T`.
///
/// Source: as for [`torque_for_ramp`]
pub fn time_for_torque(inertia: MomentOfInertia, change: AngularVelocity, net: Torque) -> Time {
    Time::new::<second>(inertia.value * change.value / net.value)
}

/// Torque of a rated power at a rated speed: `T = P / ω` (in kW and r/min `9549.3 · P / n`).
///
/// Source: as for [`torque_for_ramp`]
pub fn torque_of_power(power: Power, speed: AngularVelocity) -> Torque {
    Torque::new::<newton_meter>(power.value / speed.value)
}

/// Power of a torque at a speed: `P = T · ω`.
///
/// Source: as for [`torque_for_ramp`]
pub fn power_of_torque(torque: Torque, speed: AngularVelocity) -> Power {
    Power::new::<watt>(torque.value * speed.value)
}

/// Which way the power flows through a gearbox.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flow {
    /// The motor drives the load.
    Driving,
    /// The load drives the motor.
    Braking,
}

/// Load inertia as the motor shaft feels it.
///
/// Formula: `J_m = J_L / i²`, divided by the efficiency when driving, multiplied by it when braking
/// Symbols: `J_L` inertia at the load shaft [kg·m²]; `i` motor speed to load speed; `η` efficiency
/// Valid:   rigid gearing, `i > 0`, `0 < η ≤ 1`
/// Source:  iso-80000-4 by equal energy (from memory); practice for the efficiency
pub fn reflected_inertia(
    load: MomentOfInertia,
    gear_ratio: Ratio,
    efficiency: Ratio,
    flow: Flow,
) -> MomentOfInertia {
    let squared = gear_ratio * gear_ratio;
    match flow {
        Flow::Driving => load / squared / efficiency,
        Flow::Braking => load / squared * efficiency,
    }
}

/// A mass in straight motion as an inertia at the motor shaft.
///
/// Formula: `J = m · (v / ω)²`
/// Symbols: `m` mass [kg]; `v` its speed [m/s] while the motor turns at `ω` [rad/s]
/// Valid:   no slip between drum or belt and mass, `ω > 0`
/// Source:  iso-80000-4 by equal kinetic energy (from memory)
pub fn linear_inertia(mass: Mass, velocity: Velocity, speed: AngularVelocity) -> MomentOfInertia {
    let radius = velocity.value / speed.value;
    MomentOfInertia::new::<kilogram_square_meter>(mass.value * radius * radius)
}

/// Inertia of a flywheel effect GD² in kgf·m²: `J = GD² / 4`, the diameter being twice the radius.
///
/// Source: definition of the flywheel effect
pub fn inertia_of_flywheel_effect(flywheel_effect: MomentOfInertia) -> MomentOfInertia {
    flywheel_effect / 4.0
}

const LOAD_TORQUE: Input = nameplate(
    "load_torque",
    Kind::Torque,
    "N·m",
    ("-1000000 N·m", "1000000 N·m"),
    "torque that the load itself needs, at the motor shaft; negative where it pulls along",
);
pub(super) const DECELERATION_TIME: Input = setting(
    "deceleration_time",
    Kind::Time,
    "s",
    ("10 ms", "4 h"),
    "time from the speed to standstill, as the drive's ramp is set or as timed",
);
const CYCLE_TIME: Input = optional(nameplate(
    "cycle_time",
    Kind::Time,
    "s",
    ("100 ms", "24 h"),
    "time from one stop to the next",
));
const FINAL_SPEED: Input = assumed(
    nameplate(
        "final_speed",
        Kind::Speed,
        "rpm",
        ("0 rpm", "60000 rpm"),
        "motor speed at the lower end of the ramp",
    ),
    "0 rpm",
);
const SOURCE: &str = "iso-80000-4: kinetic energy, torque, power (from memory)";

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "acceleration-torque",
        purpose: "Torque that the ramp asks of the motor for the inertia alone, against rated torque",
        inputs: &[
            INERTIA,
            MOTOR_SPEED,
            setting(
                "acceleration_time",
                Kind::Time,
                "s",
                ("10 ms", "4 h"),
                "time from standstill to the speed, as the drive's ramp is set or as timed",
            ),
            MOTOR_RATED_POWER,
            MOTOR_RATED_SPEED,
        ],
        outputs: &[
            output("torque", Kind::Torque, "N·m", "torque for the inertia"),
            output("share_of_rated", Kind::Ratio, "%", "share of rated torque"),
            output("rated_torque", Kind::Torque, "N·m", "rated torque"),
            output(
                "time_at_rated_torque",
                Kind::Time,
                "s",
                "time in which rated torque alone accelerates the inertia",
            ),
        ],
        formula: "T = J · ω / t, T_N = P / ω_N (T: torque; J: inertia; ω: speed; t: ramp time; P: rated power; ω_N: rated speed)",
        valid: "linear ramp from standstill up to rated speed; the load's own torque comes on top",
        sources: &[SOURCE, "practice"],
        expect: &[
            "longer than {time_at_rated_torque}, as {inertia} × {motor_speed} / {rated_torque}",
            "long enough to ask for less than rated torque",
        ],
        bands: &[
            band(
                "share_of_rated > 150 %",
                Verdict::Bad,
                "More than most overload reserves before any load is added: the ramp is too short.",
                "practice",
            ),
            band(
                "share_of_rated > 100 %",
                Verdict::Suspect,
                "Above rated torque before any load is added: only within the overload time, if at all.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "The ramp asks for no more than rated torque.",
                "practice",
            ),
        ],
        doubtful: &["share_of_rated > 2000 %"],
        example: Example {
            inputs: &[
                ("inertia", "0.5 kg·m²"),
                ("motor_speed", "1500 rpm"),
                ("acceleration_time", "5 s"),
                ("motor_rated_power", "15 kW"),
                ("motor_rated_speed", "1460 rpm"),
            ],
            output: ("torque", "15.708 N·m"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let inertia = inputs.inertia("inertia");
            let speed = inputs.speed("motor_speed");
            let rated = inputs
                .power("motor_rated_power")
                .zip(inputs.speed("motor_rated_speed"))
                .map(|(power, speed)| torque_of_power(power, speed));
            let moved = inertia.zip(speed);
            let torque = moved
                .zip(inputs.time("acceleration_time"))
                .map(|((inertia, speed), time)| torque_for_ramp(inertia, speed, time));
            let shortest = moved
                .zip(rated)
                .map(|((inertia, speed), rated)| time_for_torque(inertia, speed, rated));
            Ok(Outputs::new()
                .with_some("torque", torque)
                .with_some("share_of_rated", torque.zip(rated).map(|(t, r)| t / r))
                .with_some("rated_torque", rated)
                .with_some("time_at_rated_torque", shortest)
                .note("The load's own torque comes on top."))
        },
    },
    Check {
        name: "acceleration-time",
        purpose: "Time in which the motor's torque brings the inertia up to speed",
        inputs: &[
            INERTIA,
            MOTOR_SPEED,
            nameplate(
                "motor_torque",
                Kind::Torque,
                "N·m",
                ("0.001 N·m", "1000000 N·m"),
                "torque that motor and drive can give while accelerating",
            ),
            assumed(LOAD_TORQUE, "0 N·m"),
        ],
        outputs: &[
            output("time", Kind::Time, "s", "acceleration time"),
            output(
                "net_torque",
                Kind::Torque,
                "N·m",
                "torque left for the inertia",
            ),
        ],
        formula: "t = J · ω / (T_M − T_L) (J: inertia; ω: speed; T_M: motor torque; T_L: load torque)",
        valid: "both torques constant over the ramp, motor torque above load torque",
        sources: &[SOURCE],
        expect: &["{time}, as {inertia} × {motor_speed} / {net_torque}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("inertia", "1.5 kg·m²"),
                ("motor_speed", "1800 rpm"),
                ("motor_torque", "40 N·m"),
            ],
            output: ("time", "7.0686 s"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let torques = inputs
                .torque("motor_torque")
                .zip(inputs.torque("load_torque"));
            let net = torques.map(|(motor, load)| motor - load);
            if net.is_some_and(|net| net.value <= 0.0) {
                return Err(CheckError::Contradiction(
                    "the load takes all of the motor's torque: nothing is left to accelerate with"
                        .to_owned(),
                ));
            }
            let time = inputs
                .inertia("inertia")
                .zip(inputs.speed("motor_speed"))
                .zip(net)
                .map(|((inertia, speed), net)| time_for_torque(inertia, speed, net));
            Ok(Outputs::new()
                .with_some("time", time)
                .with_some("net_torque", net))
        },
    },
    Check {
        name: "stop-energy",
        purpose: "Energy and power that come back from the load on one stop",
        inputs: &[
            INERTIA,
            MOTOR_SPEED,
            DECELERATION_TIME,
            FINAL_SPEED,
            CYCLE_TIME,
        ],
        outputs: &[
            output("energy", Kind::Energy, "J", "energy of one stop"),
            output(
                "average_power",
                Kind::Power,
                "W",
                "average power while stopping",
            ),
            output(
                "peak_power",
                Kind::Power,
                "W",
                "power at the start of the stop",
            ),
            output("torque", Kind::Torque, "N·m", "braking torque"),
            output(
                "cycle_power",
                Kind::Power,
                "W",
                "power averaged over the cycle",
            ),
        ],
        formula: "E = J · (ω₁² − ω₂²) / 2, T = J · (ω₁ − ω₂) / t, P_peak = T · ω₁, P_avg = E / t (J: inertia; ω: speeds; t: stop time)",
        valid: "linear ramp; losses of motor and machine not counted, they take a part of it",
        sources: &[SOURCE],
        expect: &["{energy} a stop, as half of {inertia} × the square of {motor_speed}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("inertia", "1.2 kg·m²"),
                ("motor_speed", "1480 rpm"),
                ("deceleration_time", "8 s"),
            ],
            output: ("energy", "14412 J"),
            tolerance: 1e-4,
        },
        compute: |inputs| {
            let speeds = inputs.speed("motor_speed").zip(inputs.speed("final_speed"));
            if speeds.is_some_and(|(from, to)| to >= from) {
                return Err(CheckError::Contradiction(
                    "final_speed is not below motor_speed: that is no stop".to_owned(),
                ));
            }
            let time = inputs.time("deceleration_time");
            let moved = inputs.inertia("inertia").zip(speeds);
            let energy = moved.map(|(inertia, (from, to))| kinetic_energy(inertia, from, to));
            let torque = moved.zip(time).map(|((inertia, (from, to)), time)| {
                let change = AngularVelocity::new::<radian_per_second>(from.value - to.value);
                torque_for_ramp(inertia, change, time)
            });
            let peak = torque
                .zip(speeds)
                .map(|(torque, (from, _))| power_of_torque(torque, from));
            Ok(Outputs::new()
                .with_some("energy", energy)
                .with_some("average_power", energy.zip(time).map(|(e, t)| e / t))
                .with_some("peak_power", peak)
                .with_some("torque", torque)
                .with_some(
                    "cycle_power",
                    energy.zip(inputs.time("cycle_time")).map(|(e, t)| e / t),
                ))
        },
    },
    Check {
        name: "reflected-inertia",
        purpose: "Load inertia behind a gear, as the motor shaft feels it",
        inputs: &[
            nameplate(
                "load_inertia",
                Kind::Inertia,
                "kg·m²",
                ("0.00001 kg·m²", "10000000 kg·m²"),
                "inertia at the load shaft, from the machine's papers",
            ),
            nameplate(
                "gear_ratio",
                Kind::Count,
                "",
                ("0.01", "10000"),
                "motor speed divided by load speed, from the gearbox plate",
            ),
            assumed(
                nameplate(
                    "gear_efficiency",
                    Kind::Ratio,
                    "%",
                    ("10 %", "100 %"),
                    "efficiency of the gear, from its papers",
                ),
                "100 %",
            ),
            choice(
                "power_flow",
                &["driving", "braking"],
                "whether the motor drives the load or the load drives the motor",
            ),
        ],
        outputs: &[output(
            "inertia",
            Kind::Inertia,
            "kg·m²",
            "inertia at the motor shaft",
        )],
        formula: "J = J_L / i², divided by η when driving, multiplied by η when braking (J_L: load inertia; i: gear ratio; η: efficiency)",
        valid: "rigid gearing; the motor's own inertia is to be added",
        sources: &[SOURCE, "practice"],
        expect: &["{inertia}, as {load_inertia} / {gear_ratio}²"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("load_inertia", "20 kg·m²"), ("gear_ratio", "10")],
            output: ("inertia", "0.2 kg·m²"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let flow = match inputs.word("power_flow") {
                Some("braking") => Flow::Braking,
                _ => Flow::Driving,
            };
            let inertia = inputs
                .inertia("load_inertia")
                .zip(inputs.count("gear_ratio"))
                .zip(inputs.ratio("gear_efficiency"))
                .map(|((load, gear), efficiency)| reflected_inertia(load, gear, efficiency, flow));
            Ok(Outputs::new()
                .with_some("inertia", inertia)
                .note(match flow {
                    Flow::Driving => {
                        "The motor drives the load: the gear's loss adds to what it feels."
                    }
                    Flow::Braking => "The load drives the motor: the gear's loss helps to stop it.",
                }))
        },
    },
    Check {
        name: "linear-inertia",
        purpose: "A mass in straight motion as an inertia at the motor shaft",
        inputs: &[
            nameplate(
                "mass",
                Kind::Mass,
                "kg",
                ("1 g", "1000 t"),
                "mass that moves",
            ),
            nameplate(
                "load_velocity",
                Kind::Velocity,
                "m/s",
                ("0.0001 m/s", "100 m/s"),
                "speed of the mass while the motor turns at motor_speed",
            ),
            MOTOR_SPEED,
        ],
        outputs: &[output(
            "inertia",
            Kind::Inertia,
            "kg·m²",
            "inertia at the motor shaft",
        )],
        formula: "J = m · (v / ω)² (m: mass; v: its speed; ω: motor speed)",
        valid: "no slip between motor and mass",
        sources: &[SOURCE],
        expect: &["{inertia}, as {mass} × ({load_velocity} / {motor_speed})²"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("mass", "500 kg"),
                ("load_velocity", "1.2 m/s"),
                ("motor_speed", "1450 rpm"),
            ],
            output: ("inertia", "0.03123 kg·m²"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let inertia = inputs
                .mass("mass")
                .zip(inputs.velocity("load_velocity"))
                .zip(inputs.speed("motor_speed"))
                .map(|((mass, velocity), speed)| linear_inertia(mass, velocity, speed));
            Ok(Outputs::new().with_some("inertia", inertia))
        },
    },
    Check {
        name: "flywheel-inertia",
        purpose: "Inertia from a flywheel effect GD², as older papers give it",
        inputs: &[nameplate(
            "flywheel_effect",
            Kind::Inertia,
            "kg·m²",
            ("0.00004 kg·m²", "400000 kg·m²"),
            "GD² in kgf·m², weight times diameter squared; type the figure as kg·m²",
        )],
        outputs: &[output("inertia", Kind::Inertia, "kg·m²", "inertia J")],
        formula: "J = GD² / 4 (GD²: flywheel effect, with the diameter in place of the radius)",
        valid: "GD² only; WR² and WK² in lb·ft² are inertias already",
        sources: &["practice"],
        expect: &["{inertia}, a quarter of {flywheel_effect}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("flywheel_effect", "12 kg·m²")],
            output: ("inertia", "3 kg·m²"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let inertia = inputs
                .inertia("flywheel_effect")
                .map(inertia_of_flywheel_effect);
            Ok(Outputs::new().with_some("inertia", inertia))
        },
    },
];
