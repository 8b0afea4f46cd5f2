//! The power-side checks against published and recomputed figures: one row a figure, each with its
//! source, in `data/check-values-power.csv`.

use std::collections::BTreeMap;

use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricPotential, Frequency, Ratio};
use uom::si::frequency::hertz;
use uom::si::ratio::ratio;
use whytrip::checks::{
    self, Evaluation, Value, cable, dc_bus, motor_cable, overload, ride_through, ripple,
};
use whytrip::quantity::{self, Kind, with_unit};

const ROWS: &str = include_str!("../data/check-values-power.csv");

/// Rows that no computation gives, with the reason.
const NOT_COVERED: &[(&str, &str)] = &[(
    "SPH-5",
    "a statement, not a sum: an open line carries nothing; open_line_is_named tests what follows from it",
)];

struct Row {
    id: String,
    calculator: String,
    inputs: BTreeMap<String, String>,
    expected: String,
    unit: String,
    tolerance: String,
}

impl Row {
    fn input(&self, name: &str) -> &str {
        self.inputs
            .get(name)
            .unwrap_or_else(|| panic!("{}: no input {name}", self.id))
    }

    /// The number that an input begins with.
    fn number(&self, name: &str) -> f64 {
        numbers(self.input(name))[0]
    }

    fn is(&self, name: &str, value: &str) -> bool {
        self.inputs.get(name).is_some_and(|own| own == value)
    }
}

fn rows() -> Vec<Row> {
    csv::Reader::from_reader(ROWS.as_bytes())
        .records()
        .map(|record| {
            let record = record.expect("a row");
            let field = |at: usize| record.get(at).expect("a field").to_owned();
            let inputs = field(2)
                .split("; ")
                .filter_map(|part| part.split_once('='))
                .map(|(name, value)| (name.to_owned(), value.to_owned()))
                .collect();
            Row {
                id: field(0),
                calculator: field(1),
                inputs,
                expected: field(3),
                unit: field(4),
                tolerance: field(5),
            }
        })
        .collect()
}

/// What a computation gave for a row.
enum Got {
    Numbers(Vec<f64>),
    Word(String),
}

impl From<f64> for Got {
    fn from(value: f64) -> Got {
        Got::Numbers(vec![value])
    }
}

impl<const N: usize> From<[f64; N]> for Got {
    fn from(values: [f64; N]) -> Got {
        Got::Numbers(values.to_vec())
    }
}

/// Runs a check on inputs as typed.
fn run(name: &str, typed: &[(&str, &str)]) -> Evaluation {
    try_run(name, typed).unwrap_or_else(|error| panic!("{name} {typed:?}: {error}"))
}

fn try_run(name: &str, typed: &[(&str, &str)]) -> Result<Evaluation, String> {
    crate::asked::note(name, typed);
    let check = checks::find(name).unwrap_or_else(|| panic!("no check {name}"));
    let given = checks::read_inputs(check, typed.iter().copied())?;
    checks::evaluate(check, &given).map_err(|error| error.to_string())
}

trait Results {
    fn number(&self, output: &str, unit: &str) -> f64;
    fn word(&self, output: &str) -> Got;
}

impl Results for Evaluation {
    fn number(&self, output: &str, unit: &str) -> f64 {
        let name = self.check.name;
        let computed = self
            .output(output)
            .unwrap_or_else(|| panic!("{name}: no {output}"));
        match computed.value {
            Value::Quantity(quantity) => {
                with_unit(quantity, unit).unwrap_or_else(|| panic!("{name}: {output} in {unit}"))
            }
            Value::Word(_) => panic!("{name}: {output} is a word"),
        }
    }

    fn word(&self, output: &str) -> Got {
        match self.output(output).map(|computed| &computed.value) {
            Some(Value::Word(word)) => Got::Word(word.clone()),
            _ => panic!("{}: no word {output}", self.check.name),
        }
    }
}

/// The numbers in a text, without signs; what stands in brackets is left out.
fn numbers(text: &str) -> Vec<f64> {
    let mut depth = 0;
    let plain: String = text
        .chars()
        .filter(|c| {
            depth += i32::from(*c == '(');
            let keep = depth == 0;
            depth -= i32::from(*c == ')');
            keep
        })
        .collect();
    plain
        .replace("..", " ")
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter_map(|part| part.trim_end_matches('.').parse().ok())
        .collect()
}

fn close(row: &Row, got: f64, wanted: f64) -> bool {
    let allowed = match row.tolerance.as_str() {
        "exact" | "band" => 1e-9 * wanted.abs().max(1.0),
        text if text.ends_with('%') => numbers(text)[0] / 100.0 * wanted.abs(),
        text => numbers(text)[0],
    };
    (got - wanted).abs() <= allowed
}

/// Three values in one input: `460,467,450 V`.
fn three(row: &Row, name: &str, unit: &str) -> [String; 3] {
    let values = numbers(row.input(name));
    [0, 1, 2].map(|at| format!("{} {unit}", values[at]))
}

fn volts(value: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(value)
}

fn percent(value: Ratio) -> f64 {
    value.get::<ratio>() * 100.0
}

fn dc_bus_row(row: &Row) -> Option<Got> {
    let supply = || {
        row.inputs
            .get("v_ll")
            .or(row.inputs.get("v"))
            .expect("a supply voltage")
    };
    Some(match row.calculator.as_str() {
        "dc_bus.mean_6pulse" => run(
            "bus-loaded",
            &[("supply_voltage", supply()), ("bus_voltage", "1 V")],
        )
        .number("mean_bus_voltage", "V")
        .into(),
        "dc_bus.trough_6pulse" => run(
            "bus-loaded",
            &[("supply_voltage", supply()), ("bus_voltage", "1 V")],
        )
        .number("lowest_bus_voltage", "V")
        .into(),
        "dc_bus.peak_noload" | "dc_bus.noload_phase_lost" => run(
            "bus-at-rest",
            &[("supply_voltage", supply()), ("bus_voltage", "1 V")],
        )
        .number("expected_bus_voltage", "V")
        .into(),
        "dc_bus.mean_2pulse" => run(
            "bus-single-phase",
            &[("supply_voltage", supply()), ("bus_voltage", "1 V")],
        )
        .number("mean_bus_voltage", "V")
        .into(),
        "dc_bus.factor" if row.is("pulses", "6") => {
            dc_bus::six_pulse_mean(volts(1.0)).get::<volt>().into()
        }
        "dc_bus.factor" => dc_bus::three_pulse_mean(volts(1.0)).get::<volt>().into(),
        "dc_bus.loaded_mean" => run(
            "bus-commutation-drop",
            &[
                ("supply_voltage", supply()),
                ("supply_frequency", row.input("f")),
                ("source_inductance", row.input("L_s")),
                ("bus_current", row.input("I_d")),
            ],
        )
        .number("mean_bus_voltage", "V")
        .into(),
        "dc_bus.infer_supply" => run("supply-from-bus", &[("bus_voltage", row.input("v_bus"))])
            .number("supply_voltage", "V")
            .into(),
        "dc_bus.max_passive" => run(
            "bus-range",
            &[
                ("supply_voltage", row.input("v_nom")),
                ("supply_tolerance_above", row.input("supply")),
            ],
        )
        .number("highest_bus_voltage", "V")
        .into(),
        "dc_bus.min_mean" => run(
            "bus-range",
            &[
                ("supply_voltage", row.input("v_nom")),
                (
                    "supply_tolerance_below",
                    row.input("supply").trim_start_matches('-'),
                ),
            ],
        )
        .number("lowest_mean_bus_voltage", "V")
        .into(),
        _ => return None,
    })
}

fn band(nominal: &str, measured: &str, rule: &str) -> Evaluation {
    run(
        "supply-band",
        &[
            ("supply_voltage", nominal),
            ("line_voltage", measured),
            ("rule", rule),
        ],
    )
}

fn negative_sequence_limit(rule: &str) -> f64 {
    run(
        "negative-sequence-unbalance",
        &[
            ("voltage_l1_l2", "400 V"),
            ("voltage_l2_l3", "400 V"),
            ("voltage_l3_l1", "400 V"),
            ("rule", rule),
        ],
    )
    .number("limit", "%")
}

fn supply_row(row: &Row) -> Option<Got> {
    Some(match row.calculator.as_str() {
        "supply.en50160_band" => {
            let result = band(row.input("v_nom"), "100 V", "en-50160");
            [
                result.number("lowest_voltage", "V"),
                result.number("highest_voltage", "V"),
                result.number("lowest_tolerated", "V"),
            ]
            .into()
        }
        "supply.en50160_freq" => {
            let result = run(
                "supply-frequency",
                &[
                    ("supply_frequency", row.input("f_nom")),
                    ("measured_frequency", "50 Hz"),
                    ("network", row.input("system")),
                ],
            );
            [
                "lowest_frequency",
                "highest_frequency",
                "lowest_tolerated",
                "highest_tolerated",
            ]
            .map(|output| result.number(output, "Hz"))
            .into()
        }
        "supply.en50160_unbalance" => negative_sequence_limit("en-50160").into(),
        "supply.en50160_thd" => run("supply-distortion", &[("voltage_distortion", "3 %")])
            .number("limit", "%")
            .into(),
        "supply.iec60038" => {
            let result = band("400 V", "400 V", "iec-60038");
            assert!((result.number("lowest_tolerated", "V") - 360.0).abs() < 1e-9);
            ((result.number("highest_tolerated", "V") / 400.0 - 1.0) * 100.0).into()
        }
        "supply.iec61000_2_4" => {
            let rule = format!("iec-61000-2-4-class-{}", row.input("class"));
            let result = band("400 V", "400 V", &rule);
            let above = (result.number("highest_voltage", "V") / 400.0 - 1.0) * 100.0;
            let below = (1.0 - result.number("lowest_voltage", "V") / 400.0) * 100.0;
            let unbalance = negative_sequence_limit(&rule);
            if row.is("class", "2") {
                assert!((above - below).abs() < 1e-9);
                [above, unbalance].into()
            } else {
                [above, below, unbalance].into()
            }
        }
        "supply.c84_1" => {
            let (low, high) = match row.input("range") {
                "A" => ("lowest_voltage", "highest_voltage"),
                _ => ("lowest_tolerated", "highest_tolerated"),
            };
            let at = |rule| {
                let result = band(row.input("v_nom"), row.input("v_nom"), rule);
                [result.number(low, "V"), result.number(high, "V")]
            };
            let [service, utilization] = [at("ansi-c84-1-service"), at("ansi-c84-1-utilization")];
            [service[0], service[1], utilization[0], utilization[1]].into()
        }
        "supply.c84_1_class" => {
            band(row.input("v_nom"), row.input("v"), "ansi-c84-1-service").word("range")
        }
        "supply.motor_band" => {
            let rated = row.input("v_rated");
            let result = run(
                "line-fed-motor-supply",
                &[("motor_rated_voltage", rated), ("line_voltage", rated)],
            );
            [
                result.number("lowest_voltage", "V"),
                result.number("highest_voltage", "V"),
            ]
            .into()
        }
        "supply.motor_combined" => {
            let signed = |name: &str| -> f64 {
                let text = row.input(name).trim_end_matches(" %");
                text.parse()
                    .unwrap_or_else(|_| panic!("{}: {text}", row.id))
            };
            run(
                "line-fed-motor-supply",
                &[
                    ("motor_rated_voltage", "400 V"),
                    ("line_voltage", &format!("{} V", 400.0 + 4.0 * signed("dv"))),
                    ("motor_rated_frequency", "50 Hz"),
                    (
                        "measured_frequency",
                        &format!("{} Hz", 50.0 + 0.5 * signed("df")),
                    ),
                ],
            )
            .word("range")
        }
        _ => return None,
    })
}

fn unbalance_row(row: &Row) -> Option<Got> {
    let voltages = |check: &str, output: &str| -> Got {
        let [a, b, c] = three(row, "v", "V");
        run(
            check,
            &[
                ("voltage_l1_l2", &a),
                ("voltage_l2_l3", &b),
                ("voltage_l3_l1", &c),
            ],
        )
        .number(output, "%")
        .into()
    };
    Some(match row.calculator.as_str() {
        "unbalance.nema" => voltages("voltage-unbalance", "unbalance"),
        "unbalance.spread_not_nema" => voltages("voltage-unbalance", "spread"),
        "unbalance.vuf" => voltages("negative-sequence-unbalance", "unbalance"),
        "unbalance.derating" => run(
            "unbalance-derating",
            &[("voltage_unbalance", row.input("unbalance"))],
        )
        .number("derating", "×")
        .into(),
        "unbalance.extra_rise" => run(
            "unbalance-derating",
            &[("voltage_unbalance", row.input("unbalance"))],
        )
        .number("added_temperature_rise", "%")
        .into(),
        "unbalance.current" => {
            let [a, b, c] = three(row, "i", "A");
            run(
                "current-unbalance",
                &[("current_l1", &a), ("current_l2", &b), ("current_l3", &c)],
            )
            .number("unbalance", "%")
            .into()
        }
        "unbalance.current_from_voltage" => {
            let result = run(
                "current-unbalance-from-voltage",
                &[("voltage_unbalance", row.input("v_unbalance"))],
            );
            [
                result.number("lowest_expected", "%"),
                result.number("highest_expected", "%"),
            ]
            .into()
        }
        _ => return None,
    })
}

fn motor_row(row: &Row) -> Option<Got> {
    Some(match row.calculator.as_str() {
        "motor.nec_flc" => run(
            "table-full-load-current",
            &[
                ("motor_rated_power", row.input("hp")),
                ("motor_rated_voltage", row.input("v")),
            ],
        )
        .number("current", "A")
        .into(),
        "motor.fla" => run(
            "full-load-current",
            &[
                ("motor_rated_power", row.input("p")),
                ("motor_rated_voltage", row.input("v")),
                ("motor_efficiency", &format!("{} ×", row.input("eff"))),
                ("motor_power_factor", row.input("pf")),
            ],
        )
        .number("current", "A")
        .into(),
        "motor.sync_speed" => run(
            "synchronous-speed",
            &[
                ("motor_rated_frequency", row.input("f")),
                ("motor_poles", row.input("poles")),
            ],
        )
        .number("speed", "rpm")
        .into(),
        "motor.slip" => {
            let (frequency, poles) = match row.number("n_s") as u32 {
                1500 => ("50 Hz", "4"),
                1800 => ("60 Hz", "4"),
                3000 => ("50 Hz", "2"),
                1000 => ("50 Hz", "6"),
                other => panic!("{}: {other}", row.id),
            };
            run(
                "slip",
                &[
                    ("motor_speed", row.input("n")),
                    ("motor_rated_frequency", frequency),
                    ("motor_poles", poles),
                ],
            )
            .number("slip", "%")
            .into()
        }
        "motor.torque" => run(
            "rated-torque",
            &[
                ("motor_rated_power", row.input("p")),
                ("motor_rated_speed", row.input("n")),
            ],
        )
        .number(
            "torque",
            if row.unit == "lb.ft" {
                "lb·ft"
            } else {
                "N·m"
            },
        )
        .into(),
        "units" if row.is("case", "1 hp") => quantity::parse(Kind::Power, "1 hp", None)
            .expect("a power")
            .value
            .si()
            .into(),
        "units" => quantity::parse(Kind::Torque, row.input("case"), None)
            .expect("a torque")
            .value
            .si()
            .into(),
        "motor.volts_per_hertz" => run(
            "volts-per-hertz",
            &[
                ("motor_rated_voltage", row.input("v")),
                ("motor_rated_frequency", row.input("f")),
                ("set_voltage", "400 V"),
                ("set_frequency", "50 Hz"),
            ],
        )
        .number("rated_ratio", "V/Hz")
        .into(),
        "motor.vhz_voltage" => run(
            "output-voltage",
            &[
                ("motor_rated_voltage", row.input("v_base")),
                ("motor_rated_frequency", row.input("f_base")),
                ("output_frequency", row.input("f")),
            ],
        )
        .number("expected_voltage", "V")
        .into(),
        "motor.field_weakening_torque" => run(
            "output-voltage",
            &[
                ("motor_rated_voltage", "400 V"),
                ("motor_rated_frequency", row.input("f_base")),
                ("output_frequency", row.input("f")),
            ],
        )
        .number("torque_share", "%")
        .into(),
        "motor.noload_current" => {
            let result = run(
                "motor-no-load-current",
                &[("motor_current", "40 A"), ("motor_rated_current", "100 A")],
            );
            [
                result.number("lowest_expected", "A"),
                result.number("highest_expected", "A"),
            ]
            .into()
        }
        _ => return None,
    })
}

fn drive_overload(row: &Row, rule: &str) -> Got {
    let [overload, time] = numbers(row.input("rated"))[..] else {
        panic!("{}: a rating and its time", row.id)
    };
    run(
        "overload-time-left",
        &[
            ("output_current", &format!("{} A", row.number("i"))),
            ("drive_rated_current", "100 A"),
            ("drive_overload", &format!("{overload} %")),
            ("drive_overload_time", &format!("{time} s")),
            ("rule", rule),
        ],
    )
    .number("time", "s")
    .into()
}

fn trip_class(row: &Row) -> Got {
    let trip = |class: &str, multiple: &str, output: &str| {
        run(
            "overload-trip-time",
            &[("trip_class", class), ("multiple", multiple)],
        )
        .number(output, "s")
    };
    let every = |multiple: &str, output: &str| {
        let times = ["5", "10A", "10", "20", "30"].map(|class| trip(class, multiple, output));
        assert!(times.iter().all(|time| *time == times[0]), "{}", row.id);
        times[0].into()
    };
    match row.id.as_str() {
        "OVL-C-NEMA" => ["10", "20", "30"]
            .map(|class| trip(class, "6-nema", "longest_time"))
            .into(),
        "OVL-C-1.05" => every("1.05-cold", "shortest_time"),
        "OVL-C-1.2" => every("1.2-warm", "longest_time"),
        id if id.ends_with("-7.2") => ["shortest_time", "longest_time"]
            .map(|output| trip(row.input("class"), "7.2-cold", output))
            .into(),
        _ => trip(row.input("class"), "1.5-warm", "longest_time").into(),
    }
}

fn overload_row(row: &Row) -> Option<Got> {
    let code = |output: &str| -> Got {
        let mut typed = vec![
            ("motor_rated_current", row.input("fla")),
            ("motor_service_factor", row.input("sf")),
        ];
        match row.inputs.get("rise").map(String::as_str) {
            Some("40 C") => typed.push(("motor_temperature_rise", "40 K")),
            Some(">40 C") => typed.push(("motor_temperature_rise", "80 K")),
            _ => {}
        }
        run("overload-setting-nec", &typed)
            .number(output, "A")
            .into()
    };
    Some(match row.calculator.as_str() {
        "overload.trip_class" => trip_class(row),
        "overload.nec_setting" => code("highest_setting"),
        "overload.nec_ceiling" => code("ceiling"),
        "overload.nec_thermal_protector" => {
            run("thermal-protector", &[("table_current", row.input("flc"))])
                .number("limit", "%")
                .into()
        }
        "overload.drive_i2t_excess" => drive_overload(row, "excess-heat"),
        "overload.drive_i2t_plain" => drive_overload(row, "all-heat"),
        "overload.drive_rating" => {
            let result = run("overload-base-load", &[("drive_duty", row.input("duty"))]);
            [
                result.number("overload", "%"),
                result.number("overload_time", "s"),
                result.number("cycle", "min"),
            ]
            .into()
        }
        "overload.rms_base" => {
            let [overload, time] = numbers(row.input("overload"))[..] else {
                panic!("{}: an overload and its time", row.id)
            };
            run(
                "overload-base-load",
                &[
                    ("drive_overload", &format!("{overload} %")),
                    ("drive_overload_time", &format!("{time} s")),
                    ("overload_cycle", row.input("cycle")),
                ],
            )
            .number("base_load", "%")
            .into()
        }
        "overload.iec_motor_excess" | "overload.iec_motor_torque" => {
            let result = run(
                "motor-occasional-overload",
                &[
                    ("motor_current", "15 A"),
                    ("motor_rated_current", "10 A"),
                    ("overload_duration", "60 s"),
                ],
            );
            if row.calculator.ends_with("torque") {
                assert_eq!(result.number("excess_torque", "×"), row.number("torque"));
                assert_eq!(overload::MOTOR_EXCESS_TORQUE.0, row.number("torque"));
                result.number("excess_torque_time", "s").into()
            } else {
                assert_eq!(result.number("excess_current", "×"), row.number("i"));
                result.number("excess_current_time", "s").into()
            }
        }
        "overload.thermal_model" => {
            let result = run(
                "thermal-trip-time",
                &[
                    ("motor_current", &format!("{} A", 10.0 * row.number("i"))),
                    ("motor_rated_current", "10 A"),
                    ("thermal_time_constant", row.input("tau")),
                    ("pickup_factor", row.input("k")),
                    ("load_before", &format!("{} ×", row.number("preload"))),
                ],
            );
            if row.expected == "never" {
                assert!(result.output("time").is_none());
                result.word("trips")
            } else {
                result.number("time", "s").into()
            }
        }
        _ => return None,
    })
}

fn ride_through_row(row: &Row) -> Option<Got> {
    Some(match row.calculator.as_str() {
        "ridethrough.capacitance" => run(
            "ride-through-capacitance",
            &[
                ("wanted_time", row.input("t")),
                ("load_power", row.input("p")),
                ("bus_voltage", row.input("v1")),
                ("undervoltage_limit", row.input("v2")),
            ],
        )
        .number("capacitance", "µF")
        .into(),
        "ridethrough.time" => run(
            "ride-through-time",
            &[
                ("bus_capacitance", row.input("C")),
                ("load_power", row.input("p")),
                ("bus_voltage", row.input("v1")),
                ("undervoltage_limit", row.input("v2")),
            ],
        )
        .number("time", "ms")
        .into(),
        "ridethrough.bus_in_sag" => run(
            "bus-in-dip",
            &[
                ("supply_voltage", row.input("v_ll")),
                ("remaining_voltage", &format!("{} %", row.number("sag"))),
            ],
        )
        .number("peak_bus_voltage", "V")
        .into(),
        "ridethrough.semi_f47" => run(
            "dip-immunity",
            &[
                ("remaining_voltage", row.input("sag")),
                ("dip_duration", "0.1 s"),
                ("rule", "semi-f47"),
            ],
        )
        .number("required_time", "s")
        .into(),
        "ridethrough.iec61000_4_11" => iec_dip(row),
        "ridethrough.ieee1159_class" => {
            let frequency = row.number("f");
            let duration = match row.input("duration") {
                cycles if cycles.ends_with("cycles") => {
                    format!("{} s", numbers(cycles)[0] / frequency)
                }
                time => time.to_owned(),
            };
            run(
                "supply-event",
                &[
                    ("remaining_voltage", &format!("{} ×", row.number("v"))),
                    ("dip_duration", &duration),
                    ("supply_frequency", row.input("f")),
                ],
            )
            .word("event")
        }
        _ => return None,
    })
}

/// A level of IEC 61000-4-11, in milliseconds: the table has it, and the check asks no less.
fn iec_dip(row: &Row) -> Got {
    if row.is("case", "interruption") {
        return (ride_through::INTERRUPTION.seconds_at_50 * 1e3).into();
    }
    let classes: &[&str] = match row.input("class") {
        "3" => &["3"],
        _ => &["2", "3"],
    };
    let remaining = row.number("residual");
    let wanted = numbers(&row.expected)[0] / 1e3;
    for class in classes {
        let rule = format!("iec-61000-4-11-class-{class}");
        let levels = ride_through::dip_levels(&rule).expect("a curve");
        assert!(
            levels.iter().any(|level| {
                (level.remaining * 100.0 - remaining).abs() < 1e-9
                    && (level.seconds_at_50 - wanted).abs() < 1e-9
            }),
            "{}",
            row.id
        );
        let required = run(
            "dip-immunity",
            &[
                ("remaining_voltage", row.input("residual")),
                ("dip_duration", "1 ms"),
                ("supply_frequency", row.input("f")),
                ("rule", &rule),
            ],
        )
        .number("required_time", "s");
        assert!(required >= wanted - 1e-9, "{}", row.id);
        // At 0 % two levels are tested; the check gives the longer one.
        if wanted > 0.015 {
            assert!((required - wanted).abs() < 1e-9, "{}", row.id);
        }
    }
    (wanted * 1e3).into()
}

fn ripple_row(row: &Row) -> Option<Got> {
    Some(match row.calculator.as_str() {
        "ripple.frequency" => {
            let output = if row.is("phases", "3") {
                "six_pulse"
            } else {
                "two_pulse"
            };
            run(
                "ripple-frequency",
                &[
                    ("supply_frequency", row.input("f")),
                    ("ripple_frequency", "300 Hz"),
                ],
            )
            .number(output, "Hz")
            .into()
        }
        "ripple.sixpulse_pp" => percent(ripple::six_pulse_peak_to_peak()).into(),
        "ripple.sixpulse_factor" => percent(ripple::six_pulse_ripple_factor()).into(),
        "ripple.sixpulse_6f" => {
            let order = row.number("harmonic") as u32;
            percent(ripple::six_pulse_harmonic(order).expect("a harmonic")).into()
        }
        "ripple.dv" => run(
            "ripple-estimate",
            &[
                ("bus_current", row.input("i")),
                ("ripple_frequency", row.input("f_ripple")),
                ("bus_capacitance", row.input("C")),
            ],
        )
        .number("estimate", "V")
        .into(),
        "ripple.cap_sixpulse" => run(
            "ripple-share",
            &[
                ("bus_voltage", "540 V"),
                ("ripple_voltage", "10 V"),
                ("supply_voltage", row.input("v_ll")),
            ],
        )
        .number("largest_healthy", "V")
        .into(),
        _ => return None,
    })
}

fn rotor_row(row: &Row) -> Option<Got> {
    let single_phasing = |rated: &str| run("single-phasing", &[("motor_rated_current", rated)]);
    let letter = |typed: (&str, &str)| {
        run(
            "locked-rotor-current",
            &[
                ("motor_rated_power", "10 hp"),
                ("motor_rated_voltage", "460 V"),
                typed,
            ],
        )
    };
    Some(match row.calculator.as_str() {
        "singlephase.ratio" => single_phasing("10 A").number("multiple", "×").into(),
        "singlephase.line_current" => single_phasing(row.input("fla"))
            .number("line_current", "A")
            .into(),
        "singlephase.hidden_load" => single_phasing("10 A").number("hidden_load", "%").into(),
        "singlephase.delta_winding" => single_phasing("10 A")
            .number("delta_winding_multiple", "×")
            .into(),
        "lockedrotor.ratio" => {
            let result = run("starting-current", &[("motor_rated_current", "1 A")]);
            [
                result.number("lowest_expected", "A"),
                result.number("highest_expected", "A"),
            ]
            .into()
        }
        "lockedrotor.code_letter" => {
            let result = letter(("code_letter", row.input("letter")));
            let from = result.number("lowest_kva_per_hp", "");
            if row.is("letter", "V") {
                assert!(result.output("highest_kva_per_hp").is_none());
                from.into()
            } else {
                [from, result.number("highest_kva_per_hp", "")].into()
            }
        }
        "lockedrotor.classify" => letter(("kva_per_hp", row.input("kva_per_hp"))).word("letter"),
        "lockedrotor.current" => {
            let result = run(
                "locked-rotor-current",
                &[
                    ("motor_rated_power", &format!("{} hp", row.number("hp"))),
                    ("motor_rated_voltage", row.input("v")),
                    ("kva_per_hp", row.input("kva_per_hp")),
                ],
            );
            result.number("lowest_current", "A").into()
        }
        "lockedrotor.nec_lrc" => run(
            "table-locked-rotor-current",
            &[
                ("motor_rated_power", &format!("{} hp", row.number("hp"))),
                ("motor_rated_voltage", row.input("v")),
            ],
        )
        .number("current", "A")
        .into(),
        _ => return None,
    })
}

fn american_size(size: &str) -> String {
    match size.parse::<u32>() {
        Ok(number) if number >= 250 => format!("{size} kcmil"),
        _ => format!("{size} AWG"),
    }
}

fn conductor(area: &str, extra: &[(&str, &str)], unit: &str) -> Got {
    let mut typed = vec![("conductor_area", area)];
    typed.extend_from_slice(extra);
    run("conductor-resistance", &typed)
        .number("resistance_per_length", unit)
        .into()
}

/// A voltage drop by the circular-mil rule, on 480 V.
fn circular_mil_drop(current: &str, length: &str, area: &str, phases: &str) -> Evaluation {
    run(
        "voltage-drop",
        &[
            ("load_current", current),
            ("cable_length", length),
            ("conductor_area", area),
            ("supply_phases", phases),
            ("rule", "circular-mil"),
            ("supply_voltage", "480 V"),
        ],
    )
}

/// The drop of 50 A over 100 m of 16 mm² copper at 70 °C, power factor 0.85, on 400 V.
fn impedance_drop() -> Evaluation {
    run(
        "voltage-drop",
        &[
            ("load_current", "50 A"),
            ("cable_length", "100 m"),
            ("conductor_area", "16 mm²"),
            ("conductor_temperature", "70 °C"),
            ("reactance_per_length", "0.08 Ω/km"),
            ("load_power_factor", "0.85"),
            ("supply_voltage", "400 V"),
        ],
    )
}

fn cable_row(row: &Row) -> Option<Got> {
    let aluminium = ("conductor_metal", "aluminium");
    Some(match row.calculator.as_str() {
        "cable.iec60228_cu" => conductor(row.input("a"), &[], "Ω/km"),
        "cable.iec60228_al" => conductor(row.input("a"), &[aluminium], "Ω/km"),
        "cable.nec_t8_cu" => {
            let build = if row.input("case").starts_with("solid") {
                "solid"
            } else {
                "stranded"
            };
            conductor(
                &american_size(row.input("size")),
                &[("conductor_build", build)],
                "Ω/kft",
            )
        }
        "cable.nec_t8_al" => conductor(&american_size(row.input("size")), &[aluminium], "Ω/kft"),
        "cable.resistivity" if row.is("metal", "Cu") => {
            cable::resistivity(cable::Metal::Copper).0.into()
        }
        "cable.resistivity" => cable::resistivity(cable::Metal::Aluminium).0.into(),
        "cable.temp" if row.id == "CAB-R-3" => conductor(
            "16 mm²",
            &[("conductor_temperature", row.input("T"))],
            "Ω/km",
        ),
        "cable.temp" => conductor(
            "6 AWG",
            &[("conductor_temperature", row.input("T"))],
            "Ω/kft",
        ),
        "cable.vdrop_cmil" => {
            let area = row.input("size").split(" (").next().expect("a size");
            let phases = if row.is("phases", "3") {
                "three"
            } else {
                "one"
            };
            circular_mil_drop(row.input("i"), row.input("length"), area, phases)
                .number("drop", "V")
                .into()
        }
        "cable.vdrop_iec" => impedance_drop().number("drop", "V").into(),
        "cable.vdrop_pct" if row.id == "CAB-V-2" => {
            circular_mil_drop("40 A", "300 ft", "8 AWG", "three")
                .number("drop_share", "%")
                .into()
        }
        "cable.vdrop_pct" => impedance_drop().number("drop_share", "%").into(),
        _ => return motor_cable_row(row),
    })
}

fn motor_cable_row(row: &Row) -> Option<Got> {
    let peak = |typed: &[(&str, &str)]| run("reflected-peak", typed);
    Some(match row.calculator.as_str() {
        "cable.critical_length" => run(
            "cable-critical-length",
            &[
                ("rise_time", row.input("t_rise")),
                ("wave_speed", row.input("v")),
            ],
        )
        .number("critical_length", "m")
        .into(),
        "cable.reflected_peak" => peak(&[
            ("motor_rated_voltage", "400 V"),
            ("bus_voltage", row.input("v_bus")),
            ("cable_impedance", row.input("z0")),
            ("motor_impedance", row.input("zm")),
        ])
        .number("peak_voltage", "V")
        .into(),
        "cable.full_doubling" => peak(&[
            ("motor_rated_voltage", row.input("v_ll")),
            ("supply_voltage", row.input("v_ll")),
        ])
        .number("peak_voltage", "V")
        .into(),
        "cable.nema31_limit" => {
            let (rated, kind) = match row.inputs.get("edition") {
                Some(_) => ("460 V", "inverter-duty-early"),
                None => (row.input("v_rated"), "inverter-duty"),
            };
            peak(&[("motor_rated_voltage", rated), ("motor_kind", kind)])
                .number("limit", "V")
                .into()
        }
        "cable.nema30_limit" => {
            let result = peak(&[
                ("motor_rated_voltage", "460 V"),
                ("motor_kind", "general-purpose"),
            ]);
            [
                result.number("limit", "V"),
                result.number("shortest_rise_time", "µs"),
            ]
            .into()
        }
        "cable.iec60034_18_41" => {
            let overshoot = numbers(row.input("case"))[0];
            peak(&[
                ("motor_rated_voltage", "400 V"),
                ("bus_voltage", "500 V"),
                ("measured_peak_voltage", &format!("{} V", 500.0 * overshoot)),
            ])
            .word("stress")
        }
        "cable.charging_50hz" => run(
            "cable-charging-current",
            &[
                ("cable_length", row.input("length")),
                ("supply_voltage", row.input("v")),
                ("cable_capacitance", row.input("c")),
                ("output_frequency", row.input("f")),
            ],
        )
        .number("sine_current", "mA")
        .into(),
        "cable.charging_typical" => {
            let (least, most) = motor_cable::TYPICAL_CAPACITANCE;
            [least * 1e9, most * 1e9].into()
        }
        _ => return None,
    })
}

fn computed(row: &Row) -> Option<Got> {
    dc_bus_row(row)
        .or_else(|| supply_row(row))
        .or_else(|| unbalance_row(row))
        .or_else(|| motor_row(row))
        .or_else(|| overload_row(row))
        .or_else(|| ride_through_row(row))
        .or_else(|| ripple_row(row))
        .or_else(|| rotor_row(row))
        .or_else(|| cable_row(row))
}

#[test]
pub fn every_row_comes_out() {
    let rows = rows();
    let mut covered = 0;
    let mut wrong = Vec::new();
    for row in &rows {
        if NOT_COVERED.iter().any(|(id, _)| *id == row.id) {
            continue;
        }
        let Some(got) = computed(row) else {
            wrong.push(format!("{}: nothing computes {}", row.id, row.calculator));
            continue;
        };
        covered += 1;
        match got {
            Got::Word(word) if word != row.expected => {
                wrong.push(format!("{}: {word}, not {}", row.id, row.expected));
            }
            Got::Word(_) => {}
            Got::Numbers(got) => {
                let wanted = numbers(&row.expected);
                let same = got.len() == wanted.len()
                    && got
                        .iter()
                        .zip(&wanted)
                        .all(|(got, wanted)| close(row, *got, *wanted));
                if !same {
                    wrong.push(format!("{}: {got:?}, not {}", row.id, row.expected));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(
        NOT_COVERED
            .iter()
            .all(|(id, reason)| !reason.is_empty() && rows.iter().any(|row| row.id == *id))
    );
    assert_eq!(covered + NOT_COVERED.len(), rows.len());
}

#[test]
fn row_ids_are_unique() {
    let rows = rows();
    let mut ids: Vec<&str> = rows.iter().map(|row| row.id.as_str()).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), rows.len());
}

/// Figures that are often printed wrong: the tool gives the right one, by the definition or the
/// table named in the rows above, and not the misprint.
#[test]
#[allow(clippy::approx_constant)] // 3.14 Ω/kft is 14 AWG, not π
fn misprints_are_not_repeated() {
    let unbalance = |volts: [&str; 3]| {
        run(
            "voltage-unbalance",
            &[
                ("voltage_l1_l2", volts[0]),
                ("voltage_l2_l3", volts[1]),
                ("voltage_l3_l1", volts[2]),
            ],
        )
        .number("unbalance", "%")
    };
    // The deviation of the wrong phase gives 1.45 %; (highest - lowest) / mean gives 1.68 %.
    let right = |got: f64, wanted: f64, misprint: f64| {
        assert!(
            (got - wanted).abs() < (wanted - misprint).abs() / 4.0,
            "{got}, not {wanted}"
        );
    };
    right(unbalance(["400 V", "395 V", "388 V"]), 1.606, 1.45);
    right(unbalance(["480 V", "476 V", "472 V"]), 0.840, 1.68);
    // A rounding slip turns 20.05 A into 20.09 A.
    let current = run(
        "full-load-current",
        &[
            ("motor_rated_power", "10 kW"),
            ("motor_rated_voltage", "400 V"),
            ("motor_efficiency", "90 %"),
            ("motor_power_factor", "0.8"),
        ],
    );
    right(current.number("current", "A"), 20.05, 20.09);
    // NEC Table 430.250: transcription slips.
    for (power, voltage, wanted, misprint) in [
        ("1.5 hp", "575 V", 2.4, 2.1),
        ("0.5 hp", "575 V", 0.9, 0.8),
        ("0.75 hp", "230 V", 3.2, 3.1),
    ] {
        let result = run(
            "table-full-load-current",
            &[
                ("motor_rated_power", power),
                ("motor_rated_voltage", voltage),
            ],
        );
        right(result.number("current", "A"), wanted, misprint);
    }
    // NEC Chapter 9 Table 8: the solid column passed off as stranded.
    for (size, wanted, misprint) in [
        ("14 AWG", 3.14, 3.07),
        ("12 AWG", 1.98, 1.93),
        ("10 AWG", 1.24, 1.21),
        ("8 AWG", 0.778, 0.764),
    ] {
        let result = run("conductor-resistance", &[("conductor_area", size)]);
        right(
            result.number("resistance_per_length", "Ω/kft"),
            wanted,
            misprint,
        );
    }
}

/// Kirchhoff's current law: two live lines carry the same current, the open one none.
#[test]
fn open_line_is_named() {
    for (currents, wanted) in [
        (["0 A", "46.8 A", "46.8 A"], "line 1 open"),
        (["46.8 A", "0.2 A", "46.8 A"], "line 2 open"),
        (["46.8 A", "46.8 A", "0 A"], "line 3 open"),
        (["27 A", "26 A", "26.5 A"], "balanced"),
        (["27 A", "20 A", "24 A"], "unbalanced"),
        (["180 A", "178 A", "183 A"], "starting or held"),
    ] {
        let result = run(
            "line-current-pattern",
            &[
                ("current_l1", currents[0]),
                ("current_l2", currents[1]),
                ("current_l3", currents[2]),
                ("motor_rated_current", "27 A"),
            ],
        );
        match result.word("pattern") {
            Got::Word(word) => assert_eq!(word, wanted),
            Got::Numbers(_) => unreachable!("a pattern is a word"),
        }
    }
}

/// Two adiabatic curves of one rating differ: at 200 % they give 25 s and 33.75 s, so the rule is
/// named with the result.
#[test]
fn rule_is_told_where_rules_disagree() {
    for (check, typed) in [
        (
            "supply-band",
            vec![("supply_voltage", "400 V"), ("line_voltage", "390 V")],
        ),
        (
            "supply-frequency",
            vec![
                ("supply_frequency", "50 Hz"),
                ("measured_frequency", "50 Hz"),
            ],
        ),
        (
            "overload-time-left",
            vec![("output_current", "20 A"), ("drive_rated_current", "10 A")],
        ),
        ("overload-trip-time", vec![("trip_class", "10")]),
        (
            "dip-immunity",
            vec![("remaining_voltage", "50 %"), ("dip_duration", "1 s")],
        ),
        (
            "negative-sequence-unbalance",
            vec![
                ("voltage_l1_l2", "400 V"),
                ("voltage_l2_l3", "400 V"),
                ("voltage_l3_l1", "398 V"),
            ],
        ),
        ("conductor-resistance", vec![("conductor_area", "14 AWG")]),
    ] {
        assert!(!run(check, &typed).notes.is_empty(), "{check}");
    }
}

/// Inputs that make no sense together are refused with a sentence, never answered with a number.
#[test]
fn nonsense_is_refused() {
    for (check, typed, part) in [
        (
            "negative-sequence-unbalance",
            vec![
                ("voltage_l1_l2", "400 V"),
                ("voltage_l2_l3", "100 V"),
                ("voltage_l3_l1", "100 V"),
            ],
            "triangle",
        ),
        (
            "voltage-unbalance",
            vec![
                ("voltage_l1_l2", "0 V"),
                ("voltage_l2_l3", "0 V"),
                ("voltage_l3_l1", "0 V"),
            ],
            "no voltage",
        ),
        (
            "current-unbalance",
            vec![
                ("current_l1", "0 A"),
                ("current_l2", "0 A"),
                ("current_l3", "0 A"),
            ],
            "no current",
        ),
        (
            "synchronous-speed",
            vec![("motor_rated_frequency", "50 Hz"), ("motor_poles", "5")],
            "pairs",
        ),
        (
            "ride-through-time",
            vec![
                ("bus_capacitance", "1000 µF"),
                ("load_power", "5 kW"),
                ("bus_voltage", "380 V"),
                ("undervoltage_limit", "400 V"),
            ],
            "at or below",
        ),
        (
            "table-full-load-current",
            vec![
                ("motor_rated_power", "17 hp"),
                ("motor_rated_voltage", "460 V"),
            ],
            "sizes in hp are 0.5",
        ),
        (
            "locked-rotor-current",
            vec![
                ("motor_rated_power", "10 hp"),
                ("motor_rated_voltage", "460 V"),
                ("code_letter", "B"),
                ("kva_per_hp", "6.3"),
            ],
            "code letter H, not B",
        ),
        (
            "overload-trip-time",
            vec![("trip_class", "5"), ("multiple", "6-nema")],
            "NEMA",
        ),
        (
            "overload-base-load",
            vec![
                ("drive_overload", "200 %"),
                ("drive_overload_time", "300 s"),
                ("overload_cycle", "600 s"),
            ],
            "no base load",
        ),
        (
            "full-load-current",
            vec![
                ("motor_rated_power", "10 kW"),
                ("motor_rated_voltage", "400 V"),
                ("motor_efficiency", "0.9 %"),
                ("motor_power_factor", "0.8"),
            ],
            "is outside 20 % to",
        ),
        (
            "conductor-resistance",
            vec![("conductor_area", "6 AWG"), ("conductor_build", "solid")],
            "14 to 8 AWG",
        ),
    ] {
        let error = try_run(check, &typed).expect_err(check);
        assert!(error.contains(part), "{check}: {error}");
    }
}

#[test]
fn curves_are_read_at_their_supply_frequency() {
    let levels = ride_through::dip_levels("iec-61000-4-11-class-2").expect("a curve");
    let one_cycle = |frequency: f64| {
        ride_through::required_time(
            levels,
            Ratio::new::<ratio>(0.0),
            Frequency::new::<hertz>(frequency),
        )
    };
    // One cycle: 20 ms at 50 Hz, 16.7 ms at 60 Hz.
    assert!((one_cycle(50.0).value - 0.020).abs() < 1e-9);
    assert!((one_cycle(60.0).value - 1.0 / 60.0).abs() < 1e-9);
}
