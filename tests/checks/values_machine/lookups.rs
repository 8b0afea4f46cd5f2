//! Rows that state a table, a band or a class, or whose inputs are written in words.

use whytrip::checks::Verdict::{Bad, Normal, Suspect};
use whytrip::checks::{sensors, serial_bus};
use whytrip::quantity::{self, Kind};

use super::support::{Row, as_published, near, published, run, same, si, verdict, word};

/// Checks a row, if its calculator is one of these.
pub fn check(row: &Row) -> Option<Result<(), String>> {
    Some(match row.calculator.as_str() {
        "inertia.convert" => convert(row),
        "brake.resistor_max" => resistor_max(row),
        "brake.min_stop_time" => min_stop_time(row),
        "insulation.min" => winding_minimum(row),
        "insulation.test_voltage" => test_voltage(row),
        "insulation.predict" => predict(row),
        "insulation.pi_min" => pi_min(row),
        "insulation.neta" | "insulation.iec60364_6" | "insulation.iec60204_1" => test_table(row),
        "insulation.cable" => cable(row),
        "insulation.parallel" => parallel(row),
        "winding.rise" => rise(row),
        "winding.correct" => correct(row),
        "winding.unbalance" => unbalance(row),
        "rtd.lead_error" => lead_error(row),
        "ptc.single_limit" => ptc_limit(row, "1"),
        "ptc.triple_limit" => ptc_limit(row, "3"),
        "ptc.trip_band" | "ptc.reset_band" | "ptc.short" => ptc_bands(row),
        "insulation_class.life_factor" => life_factor(row),
        "enclosure.area" => enclosure_area(row),
        "enclosure.airflow" | "enclosure.airflow_const" => airflow(row),
        "signal.ne43_band" => ne43_band(row),
        "signal.di_type" => di_type(row),
        "signal.supply_24v" => supply_24v(row),
        "capacitor.limit" => discharge_limit(row),
        "capacitor.wait" => wait(row),
        "capacitor.life" => life(row),
        "capacitor.life_composite" => life_mixed(row, "life"),
        "capacitor.life_equiv_temp" => life_mixed(row, "equivalent_temperature"),
        "capacitor.end_of_life" => end_of_life(row),
        "modbus.t1_5" => character_gap(row),
        "modbus.crc16" => frame_check(row),
        "rs485.line_resistance" => line_resistance(row),
        "rs485.threshold" => threshold(row),
        "rs485.idle" => idle(row),
        "rs485.bias_voltage" => bias_voltage(row),
        "can.line_resistance" => can_resistance(row),
        "can.max_length" => can_length(row),
        "can.idle" | "can.dominant" => can_levels(row),
        "meter.limit" => meter(row, "limit"),
        "meter.standard" | "meter.expanded" | "meter.resolution" => meter_parts(row),
        "meter.combined_power" => power(row, "standard_uncertainty"),
        "meter.combined_power_expanded" => power(row, "expanded_uncertainty"),
        "meter.rss" => combined(row),
        "meter.unbalance" => unbalance_uncertainty(row),
        "safety.touch_limit" | "safety.deenergize" => touch_limit(row),
        "safety.instrument_check" => tester(row),
        "safety.approach_ac" | "safety.approach_dc" => approach(row),
        "safety.meter_category" => meter_category(row),
        "safety.disconnection" => disconnection(row),
        _ => return None,
    })
}

/// `80 ohm at 20 C` as its two parts.
fn at(text: &str) -> Result<(&str, &str), String> {
    text.split_once(" at ")
        .ok_or_else(|| format!("no \"at\" in {text}"))
}

/// `100..200` as its two ends; one figure is both.
fn ends(text: &str) -> (&str, &str) {
    text.split_once("..").unwrap_or((text, text))
}

fn convert(row: &Row) -> Result<(), String> {
    if let Ok(effect) = row.get("GD2") {
        let number = effect.split(' ').next().unwrap_or_default();
        let result = run(
            "flywheel-inertia",
            &[("flywheel_effect", &format!("{number} kg.m2"))],
        )?;
        return as_published(row, &result, "inertia");
    }
    let typed = row.get("case").or_else(|_| row.get("WK2"))?;
    // A gear of 1:1 hands the inertia through, typed in one unit and read in another.
    let result = run(
        "reflected-inertia",
        &[("load_inertia", typed), ("gear_ratio", "1")],
    )?;
    as_published(row, &result, "inertia")
}

fn resistor_max(row: &Row) -> Result<(), String> {
    let threshold = row.get("v_on")?.trim_end_matches(" (assumed threshold)");
    let result = run(
        "brake-resistor-range",
        &[
            ("chopper_threshold", threshold),
            ("peak_power", row.get("p_peak")?),
            ("chopper_current", "20 A"),
        ],
    )?;
    as_published(row, &result, "largest_resistance")
}

fn min_stop_time(row: &Row) -> Result<(), String> {
    same(row.expected.as_str(), "no: 14412 J >> 237.6 J", "expected")?;
    let result = run(
        "bus-absorption",
        &[
            ("inertia", row.get("J")?),
            ("motor_speed", row.get("n")?),
            ("bus_capacitance", row.get("C")?),
            ("bus_voltage", row.get("v1")?),
            ("highest_bus_voltage", row.get("v2")?),
        ],
    )?;
    near(
        si(&result, "stop_energy")?,
        14412.0,
        1e-3,
        "energy of the stop",
    )?;
    near(
        si(&result, "energy")?,
        237.6,
        1e-3,
        "energy that the bus takes",
    )?;
    same(verdict(&result)?, Bad, "verdict")
}

fn winding_minimum(row: &Row) -> Result<(), String> {
    let (voltages, winding): (&[&str], &str) = match row.get("winding")? {
        "ac form-wound >=1 kV, made after about 1970" => (&["1 kV", "4.16 kV"], "form"),
        "random-wound, or form-wound below 1 kV" => (&["400 V", "690 V"], "random"),
        "dc armature" => (&["440 V"], "dc-armature"),
        other => return Err(format!("winding {other}")),
    };
    for voltage in voltages {
        let typed = [("motor_rated_voltage", *voltage), ("winding", winding)];
        as_published(row, &run("insulation-minimum", &typed)?, "least_resistance")?;
    }
    if winding == "random" {
        let typed = [("motor_rated_voltage", "999 V"), ("winding", "form")];
        as_published(row, &run("insulation-minimum", &typed)?, "least_resistance")?;
    }
    Ok(())
}

fn test_voltage(row: &Row) -> Result<(), String> {
    let rated = row.get("v_rated")?;
    let points = match rated {
        "<1000 V" => ["50 V".to_owned(), "999 V".to_owned()],
        ">12000 V" => ["12001 V".to_owned(), "15 kV".to_owned()],
        rated => {
            let (low, high) = ends(rated.trim_end_matches(" V"));
            [format!("{low} V"), format!("{high} V")]
        }
    };
    let (low, high) = ends(&row.expected);
    for point in points {
        let result = run(
            "insulation-test-voltage",
            &[("rated_voltage", point.as_str())],
        )?;
        for (output, wanted) in [("lowest_test_voltage", low), ("highest_test_voltage", high)] {
            near(
                si(&result, output)?,
                published(Kind::Voltage, wanted, "V")?,
                1e-9,
                &point,
            )?;
        }
    }
    Ok(())
}

fn predict(row: &Row) -> Result<(), String> {
    let (resistance, from) = at(row.get("r")?)?;
    let result = run(
        "insulation-resistance-at",
        &[
            ("resistance", resistance),
            ("measured_temperature", from),
            ("wanted_temperature", row.get("T")?),
            ("rule", row.get("rule")?),
        ],
    )?;
    as_published(row, &result, "resistance")
}

fn pi_min(row: &Row) -> Result<(), String> {
    let class = row.get("class")?.split(' ').next().unwrap_or_default();
    let result = run(
        "polarization-index",
        &[
            ("resistance_1_min", "100 MΩ"),
            ("resistance_10_min", "200 MΩ"),
            ("thermal_class", class),
        ],
    )?;
    as_published(row, &result, "least_index")
}

/// `500 V dc; ≥1 Mohm`: one test voltage and the least resistance.
fn test_table(row: &Row) -> Result<(), String> {
    let (voltage, least) = row
        .expected
        .split_once("; ")
        .ok_or("no \";\" in expected")?;
    let voltage = published(Kind::Voltage, voltage.trim_end_matches(" V dc"), "V")?;
    let least = least.trim_start_matches('≥').trim_end_matches(" Mohm");
    let least = published(Kind::Resistance, least, "Mohm")?;
    let typed: &[[(&str, &str); 3]] = match (row.calculator.as_str(), row.id.as_str()) {
        ("insulation.neta", _) => &[[
            ("rated_voltage", row.get("v_rated")?),
            ("rule", "neta-mts"),
            ("circuit", "mains"),
        ]],
        ("insulation.iec60204_1", _) => &[[
            ("rated_voltage", "400 V"),
            ("rule", "iec-60204-1"),
            ("circuit", "mains"),
        ]],
        (_, "INS-IEC-1") => &[
            [
                ("rated_voltage", "230 V"),
                ("rule", "iec-60364-6"),
                ("circuit", "mains"),
            ],
            [
                ("rated_voltage", "500 V"),
                ("rule", "iec-60364-6"),
                ("circuit", "mains"),
            ],
        ],
        (_, "INS-IEC-2") => &[
            [
                ("rated_voltage", "501 V"),
                ("rule", "iec-60364-6"),
                ("circuit", "mains"),
            ],
            [
                ("rated_voltage", "690 V"),
                ("rule", "iec-60364-6"),
                ("circuit", "mains"),
            ],
        ],
        (_, "INS-IEC-3") => &[[
            ("rated_voltage", "24 V"),
            ("rule", "iec-60364-6"),
            ("circuit", "extra-low"),
        ]],
        _ => return Err("unknown row".to_owned()),
    };
    for typed in typed {
        let result = run("insulation-test-voltage", typed)?;
        near(
            si(&result, "lowest_test_voltage")?,
            voltage,
            1e-9,
            "lowest test voltage",
        )?;
        near(
            si(&result, "highest_test_voltage")?,
            voltage,
            1e-9,
            "highest test voltage",
        )?;
        near(
            si(&result, "least_resistance")?,
            least,
            1e-9,
            "least resistance",
        )?;
    }
    Ok(())
}

fn cable(row: &Row) -> Result<(), String> {
    let constant = row.get("k")?.trim_end_matches(".km");
    let result = run(
        "cable-insulation",
        &[
            ("resistance_of_one_kilometre", constant),
            ("cable_length", row.get("length")?),
        ],
    )?;
    as_published(row, &result, "expected_resistance")
}

fn parallel(row: &Row) -> Result<(), String> {
    let (one, other) = row.get("r")?.split_once(" and ").ok_or("no \" and \"")?;
    let result = run(
        "insulation-in-parallel",
        &[
            ("motor_insulation_resistance", &format!("{one} Mohm")),
            ("cable_insulation_resistance", other),
        ],
    )?;
    as_published(row, &result, "resistance")
}

/// The metal and rule that a row's constant stands for.
fn metal(row: &Row) -> Result<[(&'static str, &'static str); 2], String> {
    match row.get("k")? {
        "234.5" => Ok([("metal", "copper"), ("rule", "ieee")]),
        "235" => Ok([("metal", "copper"), ("rule", "iec")]),
        "225" => Ok([("metal", "aluminium"), ("rule", "ieee")]),
        other => Err(format!("k = {other}")),
    }
}

fn rise(row: &Row) -> Result<(), String> {
    let (cold, temperature) = at(row.get("r_cold")?)?;
    let [metal, rule] = metal(row)?;
    let result = run(
        "winding-rise",
        &[
            ("cold_resistance", cold),
            ("cold_temperature", temperature),
            ("hot_resistance", row.get("r_hot")?),
            metal,
            rule,
        ],
    )?;
    as_published(row, &result, "rise")
}

fn correct(row: &Row) -> Result<(), String> {
    let (resistance, from) = at(row.get("r")?)?;
    let [metal, rule] = metal(row)?;
    let result = run(
        "winding-resistance-at",
        &[
            ("resistance", resistance),
            ("measured_temperature", from),
            ("wanted_temperature", row.get("T")?),
            metal,
            rule,
        ],
    )?;
    as_published(row, &result, "resistance")
}

fn unbalance(row: &Row) -> Result<(), String> {
    let [one, two, three] = three(row.get("r")?, " ohm")?;
    let result = run(
        "winding-balance",
        &[
            ("resistance_u_v", &one),
            ("resistance_v_w", &two),
            ("resistance_w_u", &three),
        ],
    )?;
    as_published(row, &result, "unbalance")?;
    // Both rows lie at or within the 2 % of a random winding.
    same(verdict(&result)?, Normal, "verdict")
}

/// `1.02,1.00,0.98 ohm` as three readings.
fn three(text: &str, unit: &str) -> Result<[String; 3], String> {
    let readings: Vec<String> = text
        .trim_end_matches(unit)
        .split(',')
        .map(|number| format!("{number}{unit}"))
        .collect();
    readings
        .try_into()
        .map_err(|_| format!("not three: {text}"))
}

fn lead_error(row: &Row) -> Result<(), String> {
    same(
        row.inputs.as_str(),
        "case=lead loop=1.0 ohm; wires=2; sensor=Pt100 at 100 C",
        "inputs",
    )?;
    let result = run(
        "pt100-lead-error",
        &[
            ("lead_resistance", "1.0 ohm"),
            ("sensor_temperature", "100 C"),
        ],
    )?;
    as_published(row, &result, "error")
}

fn ptc_limit(row: &Row, sensors: &str) -> Result<(), String> {
    let offsets: &[&str] = match row.get("t")? {
        "TNF-20 and below" => &["-20 K", "-60 K"],
        "TNF-5" => &["-5 K"],
        "TNF+5" => &["5 K"],
        "TNF+15" => &["15 K", "40 K"],
        other => return Err(format!("t = {other}")),
    };
    let (output, number) = match row.expected.strip_prefix('≤') {
        Some(number) => ("highest_resistance", number),
        None => ("lowest_resistance", row.expected.trim_start_matches('≥')),
    };
    let wanted = published(Kind::Resistance, number, &row.unit)?;
    for offset in offsets {
        let typed = [("response_offset", *offset), ("sensors_in_series", sensors)];
        near(
            si(&run("ptc-limit", &typed)?, output)?,
            wanted,
            1e-9,
            offset,
        )?;
    }
    Ok(())
}

/// The bands as constants, and the states on both sides of their ends.
fn ptc_bands(row: &Row) -> Result<(), String> {
    let state = |ohms: &str| {
        let result = run("ptc-resistance", &[("ptc_resistance", ohms)])?;
        word(&result, "state").map(str::to_owned)
    };
    let pair = |text: &str| -> Result<(f64, f64), String> {
        let (low, high) = ends(text);
        Ok((
            published(Kind::Resistance, low, "ohm")?,
            published(Kind::Resistance, high, "ohm")?,
        ))
    };
    match row.id.as_str() {
        "TMP-PTC-T" => {
            same(sensors::PTC_TRIP, pair(&row.expected)?, "trip band")?;
            same(
                state("1651 Ω")?.as_str(),
                "trip band",
                "above the lower end",
            )?;
            same(state("4000 Ω")?.as_str(), "trip band", "at the upper end")?;
            same(
                state("4001 Ω")?.as_str(),
                "tripped or open",
                "above the upper end",
            )
        }
        "TMP-PTC-R" => {
            same(sensors::PTC_RESET, pair(&row.expected)?, "reset band")?;
            same(state("750 Ω")?.as_str(), "normal", "at the lower end")?;
            same(
                state("751 Ω")?.as_str(),
                "hot or too many sensors",
                "above it",
            )
        }
        _ => {
            let limit = published(
                Kind::Resistance,
                row.expected.trim_start_matches('<'),
                "ohm",
            )?;
            same(sensors::PTC_SHORT, limit, "short")?;
            same(state("19.9 Ω")?.as_str(), "short", "below")?;
            same(state("60 Ω")?.as_str(), "normal", "three cold sensors")
        }
    }
}

fn life_factor(row: &Row) -> Result<(), String> {
    let offset = row.get("dT")?.trim_end_matches(" K vs class limit");
    let offset: f64 = offset.parse().map_err(|_| format!("dT = {offset}"))?;
    let temperature = format!("{} C", 155.0 + offset);
    let typed = [
        ("winding_temperature", temperature.as_str()),
        ("thermal_class", "F"),
    ];
    as_published(row, &run("thermal-class", &typed)?, "life_share")
}

fn enclosure_area(row: &Row) -> Result<(), String> {
    let placement = row.get("placement")?.replace(", ", "-").replace(' ', "-");
    let result = run(
        "enclosure-area",
        &[
            ("enclosure_height", row.get("H")?),
            ("enclosure_width", row.get("W")?),
            ("enclosure_depth", row.get("D")?),
            ("placement", &placement),
        ],
    )?;
    as_published(row, &result, "area")
}

fn airflow(row: &Row) -> Result<(), String> {
    if row.calculator == "enclosure.airflow_const" {
        let typed = [
            ("heat_loss", "1 W"),
            ("temperature_rise", "1 K"),
            ("rule", "air-at-20"),
        ];
        let flow = si(&run("enclosure-airflow", &typed)?, "airflow")?;
        return near(
            flow * 3600.0,
            published(Kind::Count, &row.expected, "")?,
            2e-3,
            "constant",
        );
    }
    let rule = if row.get("const").is_ok() {
        "common"
    } else {
        "air-at-20"
    };
    let typed = [
        ("heat_loss", row.get("p")?),
        ("temperature_rise", row.get("dT")?),
        ("rule", rule),
    ];
    as_published(row, &run("enclosure-airflow", &typed)?, "airflow")
}

fn ne43_band(row: &Row) -> Result<(), String> {
    let state = |text: &str| {
        let result = run("loop-current", &[("loop_current", text)])?;
        word(&result, "state").map(str::to_owned)
    };
    let expect = |text: &str, wanted: &str| {
        let judged = match wanted {
            "valid" => Normal,
            "between bands" => Suspect,
            _ => Bad,
        };
        same(
            verdict(&run("loop-current", &[("loop_current", text)])?)?,
            judged,
            text,
        )?;
        same(state(text)?.as_str(), wanted, text)
    };
    if row.id == "SIG-N-A" {
        same(row.expected.as_str(), "3.8..20.5", "expected")?;
        expect("3.8 mA", "valid")?;
        expect("20.5 mA", "valid")?;
        expect("3.79 mA", "between bands")?;
        return expect("20.51 mA", "between bands");
    }
    same(row.expected.as_str(), "≤3.6 or ≥21.0", "expected")?;
    expect("3.6 mA", "failure low")?;
    expect("3.61 mA", "between bands")?;
    expect("21.0 mA", "failure high")?;
    expect("20.99 mA", "between bands")
}

/// `off -3..5 V; on 15..30 V at 2..15 mA`.
fn di_type(row: &Row) -> Result<(), String> {
    let result = run(
        "digital-input",
        &[("input_voltage", "24 V"), ("input_type", row.get("type")?)],
    )?;
    let volts = |name: &str| Ok::<String, String>(format!("{}", si(&result, name)?));
    let milliamperes =
        |name: &str| Ok::<String, String>(format!("{}", (si(&result, name)? * 1e6).round() / 1e3));
    let built = format!(
        "off {}..{} V; on {}..{} V at {}..{} mA",
        volts("off_from")?,
        volts("off_to")?,
        volts("on_from")?,
        volts("on_to")?,
        milliamperes("least_current")?,
        milliamperes("most_current")?
    );
    same(built.as_str(), row.expected.as_str(), "limits")?;
    // The limits themselves still count as on and off.
    for volts in ["on_from", "off_to"] {
        let typed = format!("{} V", si(&result, volts)?);
        let at_limit = run(
            "digital-input",
            &[("input_voltage", &typed), ("input_type", row.get("type")?)],
        )?;
        same(verdict(&at_limit)?, Normal, &typed)?;
    }
    let between = [("input_voltage", "8 V"), ("input_type", row.get("type")?)];
    same(verdict(&run("digital-input", &between)?)?, Bad, "8 V")
}

fn supply_24v(row: &Row) -> Result<(), String> {
    let (low, high) = ends(&row.expected);
    let names = if row.id == "SIG-24-1" {
        ["lowest_mean", "highest_mean"]
    } else {
        ["lowest_instantaneous", "highest_instantaneous"]
    };
    let at = |volts: &str| run("control-supply", &[("control_voltage", volts)]);
    let result = at("24 V")?;
    for (name, wanted) in names.iter().zip([low, high]) {
        near(
            si(&result, name)?,
            published(Kind::Voltage, wanted, "V")?,
            1e-9,
            name,
        )?;
    }
    let sides = if row.id == "SIG-24-1" {
        [
            ("20.5 V", Normal),
            ("28.7 V", Normal),
            ("20.3 V", Suspect),
            ("28.9 V", Suspect),
        ]
    } else {
        [
            ("19.3 V", Suspect),
            ("29.9 V", Suspect),
            ("19.1 V", Bad),
            ("30.1 V", Bad),
        ]
    };
    for (typed, wanted) in sides {
        same(verdict(&at(typed)?)?, wanted, typed)?;
    }
    Ok(())
}

fn discharge_limit(row: &Row) -> Result<(), String> {
    let limit = |rule: &str| -> Result<[f64; 3], String> {
        let result = run("discharge-limit", &[("rule", rule)])?;
        Ok([
            si(&result, "voltage")?,
            (si(&result, "charge")? * 1e9).round() / 1e3,
            si(&result, "time")?,
        ])
    };
    if row.id == "CAP-L-1" {
        let [voltage, charge, time] = limit("iec-60204-1")?;
        let [plug_voltage, _, plug_time] = limit("iec-60204-1-plug")?;
        same(plug_voltage, voltage, "voltage at the plug")?;
        let built =
            format!("{voltage} V within {time} s; exempt ≤{charge} uC; plug pins {plug_time} s");
        return same(built.as_str(), row.expected.as_str(), "limits");
    }
    let [voltage, charge, time] = limit("iec-61800-5-1")?;
    let built = format!("<{voltage} V or <{charge} uC within {time} s, else warning with the time");
    same(built.as_str(), row.expected.as_str(), "limits")
}

fn wait(row: &Row) -> Result<(), String> {
    same(
        row.expected.as_str(),
        "5 min, or the label time if longer; then measure",
        "expected",
    )?;
    let quick = [
        ("bus_capacitance", "470 µF"),
        ("discharge_resistance", "22 kΩ"),
        ("bus_voltage", "566 V"),
    ];
    let result = run("discharge-wait", &quick)?;
    near(si(&result, "wait")?, 300.0, 1e-9, "five minutes")?;
    let labelled = [quick[0], quick[1], quick[2], ("label_time", "15 min")];
    let result = run("discharge-wait", &labelled)?;
    near(si(&result, "wait")?, 900.0, 1e-9, "label")?;
    let told = result
        .notes
        .iter()
        .any(|note| note.contains("prove the bus dead"));
    same(told, true, "the caution")
}

fn life(row: &Row) -> Result<(), String> {
    let (rated, rated_temperature) = at(row.get("L0")?)?;
    let result = run(
        "capacitor-life",
        &[
            ("rated_life", rated),
            ("rated_temperature", rated_temperature),
            ("capacitor_temperature", row.get("t")?),
        ],
    )?;
    as_published(row, &result, "life")
}

fn life_mixed(row: &Row, output: &str) -> Result<(), String> {
    let known = [
        "L0=1000 h at 105 C; duty=8 h each at 45/55/65 C",
        "case=as CAP-A-4",
    ];
    same(known.contains(&row.inputs.as_str()), true, "inputs")?;
    let result = run(
        "capacitor-life-mixed",
        &[
            ("rated_life", "1000 h"),
            ("rated_temperature", "105 C"),
            ("temperature_1", "45 C"),
            ("time_1", "8 h"),
            ("temperature_2", "55 C"),
            ("time_2", "8 h"),
            ("temperature_3", "65 C"),
            ("time_3", "8 h"),
        ],
    )?;
    as_published(row, &result, output)
}

fn end_of_life(row: &Row) -> Result<(), String> {
    same(row.expected.as_str(), "C −20 % or ESR ×2..3", "expected")?;
    let capacitance = |measured: &str| {
        let typed = [
            ("rated_capacitance", "1000 µF"),
            ("measured_capacitance", measured),
        ];
        verdict(&run("capacitor-capacitance", &typed)?)
    };
    same(capacitance("790 µF")?, Bad, "21 % less")?;
    same(capacitance("810 µF")?, Suspect, "19 % less")?;
    let series = |measured: &str| {
        let typed = [
            ("rated_series_resistance", "40 mΩ"),
            ("series_resistance", measured),
        ];
        verdict(&run("capacitor-esr", &typed)?)
    };
    same(series("82 mΩ")?, Bad, "more than doubled")?;
    same(series("50 mΩ")?, Normal, "a quarter more")
}

fn character_gap(row: &Row) -> Result<(), String> {
    let rates: &[&str] = match row.get("baud")? {
        ">19200" => &["19201 baud", "115200 baud"],
        "9600" => &["9600 baud"],
        other => return Err(format!("baud = {other}")),
    };
    for rate in rates {
        as_published(
            row,
            &run("modbus-timing", &[("bit_rate", *rate)])?,
            "character_gap",
        )?;
    }
    Ok(())
}

fn frame_check(row: &Row) -> Result<(), String> {
    let frame: Vec<u8> = row
        .get("frame")?
        .split(' ')
        .map(|byte| u8::from_str_radix(byte, 16).map_err(|error| error.to_string()))
        .collect::<Result<_, _>>()?;
    let [low, high] = serial_bus::frame_check(&frame).to_le_bytes();
    same(
        format!("{low:02X} {high:02X}").as_str(),
        row.expected.as_str(),
        "check sum",
    )
}

fn line_resistance(row: &Row) -> Result<(), String> {
    let (terminators, unit_loads) = match row.id.as_str() {
        "FBU-R-1" => ("2", "0"),
        "FBU-R-2" => ("1", "0"),
        "FBU-R-3" => ("3", "0"),
        "FBU-R-4" => ("2", "32"),
        _ => return Err("unknown row".to_owned()),
    };
    let result = run(
        "rs485-termination",
        &[
            ("line_resistance", "60 Ω"),
            ("terminators", terminators),
            ("unit_loads", unit_loads),
        ],
    )?;
    as_published(row, &result, "expected_resistance")?;
    // What a line with two terminators in place should read, judged by this row's figure.
    let typed = format!("{} Ω", row.expected);
    let wanted = match row.id.as_str() {
        "FBU-R-1" => Normal,
        "FBU-R-4" => Suspect,
        _ => Bad,
    };
    same(
        verdict(&run("rs485-termination", &[("line_resistance", &typed)])?)?,
        wanted,
        &typed,
    )
}

fn threshold(row: &Row) -> Result<(), String> {
    let result = run("rs485-idle", &[("idle_voltage", "300 mV")])?;
    let wanted = published(
        Kind::Voltage,
        row.expected.trim_start_matches('±'),
        &row.unit,
    )?;
    near(
        si(&result, "receiver_threshold")?,
        wanted,
        1e-9,
        "threshold",
    )
}

fn idle(row: &Row) -> Result<(), String> {
    same(row.expected.as_str(), "+200..+500", "expected")?;
    for (typed, wanted) in [
        ("200 mV", Normal),
        ("500 mV", Normal),
        ("190 mV", Bad),
        ("510 mV", Suspect),
        ("3 V", Bad),
        ("-300 mV", Bad),
    ] {
        same(
            verdict(&run("rs485-idle", &[("idle_voltage", typed)])?)?,
            wanted,
            typed,
        )?;
    }
    Ok(())
}

fn bias_voltage(row: &Row) -> Result<(), String> {
    let result = run(
        "rs485-idle",
        &[
            ("idle_voltage", "250 mV"),
            ("bias_supply_voltage", row.get("v")?),
            (
                "bias_resistance",
                row.get("r_bias")?.trim_end_matches(" each"),
            ),
            ("terminated_resistance", row.get("bus")?),
        ],
    )?;
    as_published(row, &result, "expected_voltage")
}

fn can_resistance(row: &Row) -> Result<(), String> {
    let result = run("can-termination", &[("line_resistance", "60 Ω")])?;
    as_published(row, &result, "expected_resistance")?;
    for (typed, wanted) in [
        ("54.1 Ω", Normal),
        ("65.9 Ω", Normal),
        ("120 Ω", Bad),
        ("40 Ω", Bad),
    ] {
        let result = run("can-termination", &[("line_resistance", typed)])?;
        same(verdict(&result)?, wanted, typed)?;
    }
    Ok(())
}

fn can_length(row: &Row) -> Result<(), String> {
    let result = run("can-length", &[("bit_rate", row.get("bitrate")?)])?;
    let (low, high) = ends(&row.expected);
    let metres = |text| published(Kind::Length, text, "m");
    near(si(&result, "longest_line")?, metres(low)?, 0.1, "longest")?;
    near(
        si(&result, "generous_length")?,
        metres(high)?,
        0.1,
        "generous",
    )
}

/// `CANH 2.5; CANL 2.5; diff 0`.
fn can_levels(row: &Row) -> Result<(), String> {
    let wanted: Vec<f64> = row
        .expected
        .split("; ")
        .filter_map(|part| part.split(' ').nth(1)?.parse().ok())
        .collect();
    let [high, low, difference] = wanted[..] else {
        return Err("not three figures".to_owned());
    };
    let at = |high: f64, low: f64| {
        run(
            "can-levels",
            &[
                ("can_high_voltage", &format!("{high} V")),
                ("can_low_voltage", &format!("{low} V")),
                ("line_state", row.get("case")?),
            ],
        )
    };
    let result = at(high, low)?;
    near(si(&result, "expected_high")?, high, 1e-9, "high")?;
    near(si(&result, "expected_low")?, low, 1e-9, "low")?;
    near(
        si(&result, "expected_difference")?,
        difference,
        1e-9,
        "difference",
    )?;
    same(verdict(&result)?, Normal, "the state itself")?;
    let other = if difference > 0.0 {
        at(2.5, 2.5)?
    } else {
        at(3.5, 1.5)?
    };
    same(verdict(&other)?, Bad, "the other state")
}

fn meter(row: &Row, output: &str) -> Result<(), String> {
    let (percent, digits) = row.get("spec")?.split_once(" + ").ok_or("no \" + \"")?;
    let result = run(
        "meter-uncertainty",
        &[
            ("measured_voltage", row.get("rdg")?),
            ("voltage_percent", percent),
            ("voltage_digits", digits.trim_end_matches(" digits")),
            ("voltage_last_digit", row.get("digit")?),
        ],
    )?;
    as_published(row, &result, output)
}

/// The standard, expanded and resolution parts of the reading whose limit is 2.6 V.
fn meter_parts(row: &Row) -> Result<(), String> {
    let result = run(
        "meter-uncertainty",
        &[
            ("measured_voltage", "480.0 V"),
            ("voltage_percent", "0.5 %"),
            ("voltage_digits", "2"),
            ("voltage_last_digit", row.get("digit").unwrap_or("0.1 V")),
        ],
    )?;
    let output = match row.calculator.as_str() {
        "meter.standard" => "standard_uncertainty",
        "meter.expanded" => "expanded_uncertainty",
        _ => "resolution_uncertainty",
    };
    as_published(row, &result, output)
}

fn power(row: &Row, output: &str) -> Result<(), String> {
    let known = "V=400.0 V (0.5 %+2d, d=0.1); I=10.00 A (1.0 %+3d, d=0.01); model=sqrt3*V*I*pf with pf exact";
    same(
        row.inputs == known || row.inputs == "case=as UNC-7; k=2",
        true,
        "inputs",
    )?;
    let result = run(
        "power-uncertainty",
        &[
            ("measured_voltage", "400.0 V"),
            ("voltage_percent", "0.5 %"),
            ("voltage_digits", "2"),
            ("voltage_last_digit", "0.1 V"),
            ("measured_current", "10.00 A"),
            ("current_percent", "1.0 %"),
            ("current_digits", "3"),
            ("current_last_digit", "0.01 A"),
        ],
    )?;
    as_published(row, &result, output)
}

fn combined(row: &Row) -> Result<(), String> {
    let parts: Vec<&str> = row.get("u")?.split(", ").collect();
    let [one, two, three] = parts[..] else {
        return Err("not three".to_owned());
    };
    let result = run(
        "combined-uncertainty",
        &[
            ("uncertainty_1", one),
            ("uncertainty_2", two),
            ("uncertainty_3", three),
        ],
    )?;
    as_published(row, &result, "standard_uncertainty")
}

fn unbalance_uncertainty(row: &Row) -> Result<(), String> {
    same(row.get("case")?, "each 0.5 % limit, uncorrelated", "case")?;
    let [one, two, three] = three(row.get("v")?, " V")?;
    let result = run(
        "unbalance-uncertainty",
        &[
            ("voltage_l1_l2", &one),
            ("voltage_l2_l3", &two),
            ("voltage_l3_l1", &three),
            ("voltage_percent", "0.5 %"),
        ],
    )?;
    let wanted = published(Kind::Ratio, &row.expected, "%")?;
    near(
        si(&result, "expanded_uncertainty")?,
        wanted,
        0.05,
        "expanded uncertainty",
    )
}

fn touch_limit(row: &Row) -> Result<(), String> {
    let situation = match row.get("case")? {
        "dc, residual voltage" => "residual-dc",
        "ac" => "ac",
        "dc, conventional touch voltage" => "touch-dc",
        "US, exposed live parts" => "exposed-us",
        other => return Err(format!("case {other}")),
    };
    as_published(
        row,
        &run("touch-limit", &[("situation", situation)])?,
        "voltage",
    )
}

fn tester(row: &Row) -> Result<(), String> {
    let duty = |volts: &str| run("tester-proof", &[("circuit_voltage", volts)]);
    let result = duty("600 V")?;
    as_published(row, &result, "law_above")?;
    same(
        word(&result, "duty")?,
        "required by good practice",
        "at 600 V",
    )?;
    same(
        word(&duty("690 V")?, "duty")?,
        "required by law",
        "above 600 V",
    )
}

fn approach(row: &Row) -> Result<(), String> {
    same(
        row.expected.as_str(),
        "limited 3 ft 6 in; restricted 1 ft 0 in",
        "expected",
    )?;
    let (system, voltages): (&str, &[&str]) = if row.calculator == "safety.approach_dc" {
        ("dc", &["301 V", "500 V", "1000 V"])
    } else {
        ("ac", &["151 V", "208 V", "480 V", "750 V"])
    };
    let feet = |text| quantity::parse(Kind::Length, text, None).map(|reading| reading.value.si());
    for voltage in voltages {
        let result = run(
            "approach-distance",
            &[("circuit_voltage", *voltage), ("system", system)],
        )?;
        let limited = feet("3.5 ft").map_err(|error| error.to_string())?;
        let restricted = feet("1 ft").map_err(|error| error.to_string())?;
        near(si(&result, "limited")?, limited, 1e-9, voltage)?;
        near(si(&result, "restricted")?, restricted, 1e-9, voltage)?;
    }
    match run(
        "approach-distance",
        &[("circuit_voltage", "120 V"), ("system", system)],
    ) {
        Ok(_) => Err("a voltage outside the rows was answered".to_owned()),
        Err(_) => Ok(()),
    }
}

/// `CAT IV 6 kV; CAT III 4 kV; CAT II 2.5 kV`.
fn meter_category(row: &Row) -> Result<(), String> {
    for part in row.expected.split("; ") {
        let (category, impulse) = part
            .trim_start_matches("CAT ")
            .split_once(' ')
            .ok_or("no category")?;
        let result = run(
            "meter-fit",
            &[
                ("meter_voltage_rating", row.get("v_rated")?),
                ("point_voltage", "100 V"),
                ("meter_category", category),
            ],
        )?;
        let impulse = quantity::parse(Kind::Voltage, impulse, None).map_err(|e| e.to_string())?;
        near(
            si(&result, "impulse_voltage")?,
            impulse.value.si(),
            1e-9,
            category,
        )?;
    }
    Ok(())
}

/// `TN 0.8; TT 0.3`.
fn disconnection(row: &Row) -> Result<(), String> {
    let points: &[&str] = match row.get("u0")? {
        "50..120 V" => &["51 V", "120 V"],
        ">120..230 V" => &["121 V", "230 V"],
        ">230..400 V" => &["231 V", "400 V"],
        ">400 V" => &["401 V", "690 V"],
        other => return Err(format!("u0 = {other}")),
    };
    for part in row.expected.split("; ") {
        let (earthing, seconds) = part.split_once(' ').ok_or("no earthing")?;
        let wanted = published(Kind::Time, seconds, "s")?;
        for point in points {
            let typed = [("voltage_to_earth", *point), ("earthing", earthing)];
            near(
                si(&run("disconnection-time", &typed)?, "time")?,
                wanted,
                1e-9,
                point,
            )?;
        }
    }
    Ok(())
}
