//! What holds for any input of the sums on sizing, feeding and protecting a drive: no panic, no number
//! that is none, and the physics' own scaling, order and limits.

use std::collections::BTreeMap;

use proptest::prelude::*;
use uom::si::f64::{
    Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Frequency, Power, Ratio,
    ThermodynamicTemperature,
};
use uom::si::{
    capacitance::farad, electric_current::ampere, electric_potential::volt,
    electrical_resistance::ohm, frequency::hertz, power::kilowatt, ratio::ratio,
    thermodynamic_temperature::degree_celsius,
};
use whytrip::checks::precharge::ChargingSource;
use whytrip::checks::{
    self, Check, CheckError, Evaluation, Given, Input, Need, Value, Verdict, bus_ceiling,
    condensation, dc_bus, display, generator, line_reactor, motor_cooling, motor_flux,
    potentiometer, precharge, protection, ripple, single_phase_feed, sizing,
};
use whytrip::quantity::{Bound, Quantity, Reading};

/// The areas that these tests speak for.
const AREAS: &[&[Check]] = &[
    bus_ceiling::CHECKS,
    condensation::CHECKS,
    display::CHECKS,
    generator::CHECKS,
    line_reactor::CHECKS,
    motor_cooling::CHECKS,
    motor_flux::CHECKS,
    potentiometer::CHECKS,
    precharge::CHECKS,
    protection::CHECKS,
    ripple::CHECKS,
    single_phase_feed::CHECKS,
    sizing::CHECKS,
];

/// A value between an input's limits, by decades where the range spans them.
fn within(input: &'static Input, place: f64) -> Given {
    if !input.choices.is_empty() {
        let pick = (place * input.choices.len() as f64) as usize;
        return Given::Word(input.choices[pick.min(input.choices.len() - 1)].to_owned());
    }
    let (least, most) = checks::limits(input).expect("limits");
    let (least, most) = (least.si(), most.si());
    let value = if least > 0.0 && most / least > 100.0 {
        least * (most / least).powf(place)
    } else {
        least + (most - least) * place
    };
    Given::Reading(Reading {
        value: Quantity::from_si(input.kind, value.clamp(least, most)),
        resolution: value.abs() * 1e-3,
        bound: Bound::Exact,
    })
}

fn sound(check: &Check, result: Result<Evaluation, CheckError>) -> Result<(), TestCaseError> {
    let evaluation = match result {
        Ok(evaluation) => evaluation,
        Err(CheckError::Contradiction(reason)) => {
            prop_assert!(reason.len() > 20, "{}: {reason}", check.name);
            return Ok(());
        }
        Err(other) => return Err(TestCaseError::fail(format!("{}: {other}", check.name))),
    };
    for computed in &evaluation.outputs {
        match &computed.value {
            Value::Quantity(quantity) => prop_assert!(quantity.si().is_finite(), "{}", check.name),
            Value::Word(word) => prop_assert!(!word.is_empty(), "{}", check.name),
        }
        prop_assert!(computed.uncertainty.is_finite() && computed.uncertainty >= 0.0);
    }
    Ok(())
}

fn share(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn volts(value: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(value)
}

fn amperes(value: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(value)
}

fn cycles(value: f64) -> Frequency {
    Frequency::new::<hertz>(value)
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * other.abs().max(1e-9)
}

proptest! {
    #[test]
    fn any_input_in_range_gives_numbers_or_a_sentence(
        places in prop::collection::vec(prop_oneof![8 => 0.0..=1.0f64, 1 => Just(0.0), 1 => Just(1.0)], 12),
        given_too in prop::collection::vec(any::<bool>(), 12),
    ) {
        for check in AREAS.iter().flat_map(|area| area.iter()) {
            let mut whole = BTreeMap::new();
            let mut part = BTreeMap::new();
            for (at, input) in check.inputs.iter().enumerate() {
                let value = within(input, places[at]);
                if input.need == Need::Required || given_too[at] {
                    whole.insert(input.name.to_owned(), value.clone());
                }
                if given_too[at] {
                    part.insert(input.name.to_owned(), value);
                }
            }
            sound(check, checks::evaluate(check, &whole))?;
            sound(check, checks::expectation(check, &part))?;
        }
    }

    #[test]
    fn flux_scales_with_voltage_and_falls_with_frequency(u in 1.0..1000.0f64, f in 5.0..200.0f64, k in 1.1..3.0f64) {
        let flux = |u, f| motor_flux::relative_flux(volts(u), cycles(f), volts(400.0), cycles(50.0), share(1.0)).value;
        prop_assert!(close(flux(k * u, f), k * flux(u, f)));
        prop_assert!(close(flux(u, k * f), flux(u, f) / k));
        prop_assert!(close(flux(k * u, k * f), flux(u, f)));
    }

    #[test]
    fn a_motor_on_its_own_fan_never_gains_torque_by_slowing(one in 0.5..120.0f64, other in 0.5..120.0f64) {
        let torque = |f, own| motor_cooling::continuous_torque(cycles(f), cycles(60.0), own).value;
        prop_assert!(torque(one, true) > 0.0 && torque(one, true) <= 1.0);
        prop_assert!(torque(one, true) <= torque(one, false));
        if one.max(other) <= 60.0 {
            prop_assert!(torque(one.min(other), true) <= torque(one.max(other), true));
        }
    }

    #[test]
    fn more_inertia_and_more_power_allow_fewer_starts(kilowatts in 0.2..180.0f64, inertia in 0.001..10.0f64, poles in prop::sample::select(vec![2.0, 4.0, 6.0])) {
        let starts = |power: f64, j: f64| {
            let inertia = uom::si::f64::MomentOfInertia::new::<uom::si::moment_of_inertia::kilogram_square_meter>(j);
            motor_cooling::allowed_starts(Power::new::<kilowatt>(power), share(poles), Some(inertia)).expect("in the table").0
        };
        prop_assert!(starts(kilowatts, 2.0 * inertia) <= starts(kilowatts, inertia));
        prop_assert!(starts(kilowatts, 1e-9) >= starts((kilowatts * 1.5).min(185.0), 1e-9));
    }

    #[test]
    fn dew_never_lies_above_the_air(t in -40.0..60.0f64, humidity in 0.01..1.0f64, drier in 0.1..0.99f64) {
        let air = ThermodynamicTemperature::new::<degree_celsius>(t);
        let dew = |h| condensation::dew_point(air, share(h)).get::<degree_celsius>();
        prop_assert!(dew(humidity) <= t + 1e-9);
        prop_assert!(dew(humidity * drier) < dew(humidity));
        prop_assert!((dew(1.0) - t).abs() < 1e-9);
    }

    #[test]
    fn a_bridge_charges_more_slowly_than_constant_voltage(r in 1.0..1000.0f64, c in 1e-5..1e-1f64, k in 1.1..10.0f64) {
        let time = |r, source| precharge::precharge_time(
            ElectricalResistance::new::<ohm>(r), Capacitance::new::<farad>(c), source).value;
        prop_assert!(time(r, ChargingSource::ConstantDc) < time(r, ChargingSource::ThreePhaseBridge));
        prop_assert!(time(r, ChargingSource::ThreePhaseBridge) < time(r, ChargingSource::SinglePhaseBridge));
        prop_assert!(close(time(k * r, ChargingSource::ThreePhaseBridge), k * time(r, ChargingSource::ThreePhaseBridge)));
    }

    #[test]
    fn a_ripple_allows_less_capacitance_the_larger_it_is(i in 0.1..1000.0f64, u in 0.1..60.0f64, k in 1.01..3.0f64) {
        let most = |u, crest| ripple::capacitance_at_most(amperes(i), cycles(300.0), volts(u), crest).value;
        let crest = Some(dc_bus::bus_at_rest(volts(400.0)));
        prop_assert!(most(k * u, crest) < most(u, crest));
        prop_assert!(most(u, crest) <= most(u, None));
        // The bare bound is the estimate turned round.
        let back = ripple::capacitor_ripple(amperes(i), cycles(300.0), Capacitance::new::<farad>(most(u, None)));
        prop_assert!(close(back.value, u));
    }

    #[test]
    fn inductance_only_lowers_what_a_short_circuit_and_the_bus_give(u in 100.0..700.0f64, z in 0.001..0.15f64, more in 0.001..0.1f64) {
        prop_assert!(line_reactor::bus_behind(volts(u), share(z + more)) < line_reactor::bus_behind(volts(u), share(z)));
        prop_assert!(line_reactor::bus_behind(volts(u), share(z)) < dc_bus::six_pulse_mean(volts(u)));
        prop_assert!(line_reactor::current_distortion(share(z + more)) <= line_reactor::current_distortion(share(z)));
        let first = amperes(20_000.0);
        let henry = uom::si::f64::Inductance::new::<uom::si::inductance::henry>;
        let behind = |l| line_reactor::behind_inductance(first, volts(u), cycles(50.0), henry(l));
        prop_assert!(close(behind(0.0).value, first.value));
        prop_assert!(behind(more * 1e-2) < behind(0.0));
    }

    #[test]
    fn a_doubler_gives_twice_a_bridge(u in 90.0..140.0f64) {
        prop_assert!(close(single_phase_feed::doubler_bus(volts(u)).value, 2.0 * dc_bus::bus_at_rest(volts(u)).value));
        prop_assert!(bus_ceiling::terminal_voltage(volts(u)) > dc_bus::bus_at_rest(volts(u)));
    }

    #[test]
    fn terminals_reach_more_than_the_rectifier_gives(u in 90.0..690.0f64) {
        prop_assert!(bus_ceiling::terminal_voltage(volts(u)) > dc_bus::bus_at_rest(volts(u)));
    }
}

fn verdict(name: &str, typed: &[(&str, &str)]) -> Verdict {
    let check = checks::find(name).expect(name);
    let given = checks::read_inputs(check, typed.iter().copied()).expect(name);
    let result = checks::evaluate(check, &given).expect(name);
    result.judgement.expect("a verdict").verdict
}

/// IEC 61008-1: no trip up to half the rated residual current, trip at the whole (from memory).
#[test]
fn residual_current_is_judged_by_the_device() {
    let judged = |current| {
        verdict(
            "residual-current",
            &[("residual_current", current), ("rcd_rating", "30 mA")],
        )
    };
    assert_eq!(judged("5.0 mA"), Verdict::Normal);
    assert_eq!(judged("12.0 mA"), Verdict::Suspect);
    assert_eq!(judged("20.0 mA"), Verdict::Bad);
    assert_eq!(judged("40.0 mA"), Verdict::Bad);
}

/// IEC 60947-4-1: a contactor pulls in from 85 % to 110 % of its coil's voltage (from memory).
#[test]
fn a_coil_is_judged_by_its_device() {
    let judged = |volts, device| {
        verdict(
            "coil-voltage",
            &[
                ("coil_voltage", volts),
                ("coil_rated_voltage", "24 V"),
                ("device", device),
            ],
        )
    };
    assert_eq!(judged("21.0 V", "contactor"), Verdict::Normal);
    assert_eq!(judged("21.0 V", "brake"), Verdict::Bad);
    assert_eq!(judged("20.0 V", "contactor"), Verdict::Bad);
    assert_eq!(judged("27.0 V", "contactor"), Verdict::Bad);
    assert_eq!(judged("0.0 V", "contactor"), Verdict::Bad);
}

/// A rectifier on 500 V ends at 707 V; what stands above is energy from the load.
#[test]
fn what_the_load_adds_to_the_bus_is_told() {
    let judged = |bus| {
        verdict(
            "bus-ceiling",
            &[("supply_voltage", "500 V"), ("bus_voltage", bus)],
        )
    };
    assert_eq!(judged("700 V"), Verdict::Normal);
    assert_eq!(judged("790 V"), Verdict::Suspect);
    assert_eq!(judged("930 V"), Verdict::Bad);
}

/// A motor for 230 V in delta and 400 V in star, put in delta on 400 V, has √3 of its flux.
#[test]
fn the_mix_ups_of_a_nameplate_are_named() {
    for (figure, name) in [
        (3f64.sqrt(), "delta instead of star"),
        (1.0 / 3f64.sqrt(), "star instead of delta"),
        (1.2, "60 Hz voltage at 50 Hz"),
        (50.0 / 60.0, "50 Hz voltage at 60 Hz"),
        (1.0, "as rated"),
    ] {
        assert_eq!(motor_flux::looks_like(share(figure)), name);
    }
    assert!(display::ratio_looks_like(share(2.0)).starts_with("twice"));
    assert!(display::ratio_looks_like(share(1.5)).starts_with("one and a half"));
}

/// NEMA MG 10, Table 2-3, as a trade handbook works it: 25 hp, 4 poles, load 50 lb·ft²: 2.44 starts.
#[test]
fn starts_an_hour_agree_with_the_handbook() {
    let pound_foot = uom::si::f64::MomentOfInertia::new::<
        uom::si::moment_of_inertia::kilogram_square_meter,
    >(50.0 * 0.042_140_11);
    let power = Power::new::<kilowatt>(25.0 * 0.745_699_9);
    let (starts, rest) =
        motor_cooling::allowed_starts(power, share(4.0), Some(pound_foot)).expect("a row");
    assert!((starts - 2.44).abs() < 1e-6, "{starts}");
    assert_eq!(rest.value, 58.0);
    let (starts, _) = motor_cooling::allowed_starts(power, share(4.0), None).expect("a row");
    assert_eq!(starts, 8.8);
    assert!(motor_cooling::allowed_starts(power, share(8.0), None).is_err());
}
