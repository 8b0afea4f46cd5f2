//! Figures that are in print and wrong: the checks must not give them.

use super::support::{near, run, si, word};

/// A correct value, and the misprint that must stay out of its tolerance.
fn right_not_wrong(got: f64, right: f64, wrong: f64, what: &str) -> Result<(), String> {
    near(got, right, 5e-4, what)?;
    match near(got, wrong, 1e-4, what) {
        Ok(()) => Err(format!("{what}: the misprint {wrong}")),
        Err(_) => Ok(()),
    }
}

/// IEC 60751 prints 138.51 Ω at 100 °C, 92.16 Ω at −20 °C and 35.54 Ω at −160 °C; 138.50 and 92.13
/// belong to an older curve, 35.34 is a misprint.
#[test]
fn platinum_by_the_present_curve() -> Result<(), String> {
    for (temperature, right, wrong) in [
        ("100 °C", 138.51, 138.50),
        ("-20 °C", 92.16, 92.13),
        ("-160 °C", 35.54, 35.34),
    ] {
        let result = run("pt100-resistance", &[("sensor_temperature", temperature)])?;
        let got = si(&result, "resistance")?;
        let shown = (got * 100.0).round() / 100.0;
        assert!((shown - right).abs() < 0.005, "{temperature}: {got}");
        assert!((shown - wrong).abs() > 0.005, "{temperature}: {got}");
    }
    Ok(())
}

/// Resistance method with k = 234.5: 0.1991 Ω; 0.00393 applied at 25 °C gives 0.200 Ω.
#[test]
fn winding_corrected_from_its_own_temperature() -> Result<(), String> {
    let result = run(
        "winding-resistance-at",
        &[
            ("resistance", "0.150 Ω"),
            ("measured_temperature", "25 °C"),
            ("wanted_temperature", "110 °C"),
        ],
    )?;
    right_not_wrong(
        si(&result, "resistance")?,
        0.1991,
        0.200,
        "winding at 110 °C",
    )
}

/// Two terminators of 120 Ω in parallel are 60 Ω (Ohm), not 200 Ω to 500 Ω.
#[test]
fn two_terminators_are_sixty_ohms() -> Result<(), String> {
    for check in ["rs485-termination", "can-termination"] {
        let result = run(check, &[("line_resistance", "60 Ω")])?;
        right_not_wrong(si(&result, "expected_resistance")?, 60.0, 200.0, check)?;
    }
    Ok(())
}

/// IEEE 43-2013, halving for each 10 K: 3 MΩ at 70 °C is 24 MΩ at 40 °C; a graph read as 7 gives 21 MΩ.
#[test]
fn insulation_by_the_rule_not_by_the_graph() -> Result<(), String> {
    let result = run(
        "insulation-resistance",
        &[
            ("insulation_resistance", "3 MΩ"),
            ("winding_temperature", "70 °C"),
        ],
    )?;
    right_not_wrong(
        si(&result, "resistance_at_40")?,
        24e6,
        21e6,
        "insulation at 40 °C",
    )
}

/// IEC 60204-1, 6.2.4 counts the voltage, not the way the leads lie; and a meter over its range has
/// told no voltage at all.
#[test]
fn a_charged_bus_never_passes_as_discharged() -> Result<(), String> {
    use whytrip::checks::Verdict::Bad;
    for typed in ["-310 V", "310 V", "60 V", "0.6 kV"] {
        let result = run("residual-voltage", &[("residual_voltage", typed)])?;
        assert_eq!(super::support::verdict(&result)?, Bad, "{typed}");
    }
    for typed in ["OL", ">20 V"] {
        assert!(
            run("residual-voltage", &[("residual_voltage", typed)]).is_err(),
            "{typed}"
        );
    }
    Ok(())
}

/// An open loop is no hot sensor and no balanced winding, whatever the arithmetic gives.
#[test]
fn open_circuits_are_named() -> Result<(), String> {
    use whytrip::checks::Verdict::Bad;
    let result = run("pt100-temperature", &[("sensor_resistance", "OL")])?;
    assert_eq!(word(&result, "state")?, "open");
    let result = run("ptc-resistance", &[("ptc_resistance", "OL")])?;
    assert_eq!(word(&result, "state")?, "tripped or open");
    let open = [
        ("resistance_u_v", "OL"),
        ("resistance_v_w", "OL"),
        ("resistance_w_u", "OL"),
    ];
    assert_eq!(
        super::support::verdict(&run("winding-balance", &open)?)?,
        Bad
    );
    let result = run("diode-drop", &[("forward_voltage", "OL")])?;
    assert_eq!(super::support::verdict(&result)?, Bad);
    Ok(())
}
