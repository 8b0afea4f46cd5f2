//! What must hold for any input: every check stays finite, and the sums obey the physics they stand for.

use std::collections::BTreeMap;
use std::f64::consts::{PI, SQRT_2};

use proptest::prelude::*;
use uom::si::angular_velocity::radian_per_second;
use uom::si::area::square_millimeter;
use uom::si::capacitance::farad;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::electrical_resistance::ohm;
use uom::si::f64::{
    AngularVelocity, Area, Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance,
    Length, Power, Ratio, Time,
};
use uom::si::length::meter;
use uom::si::power::watt;
use uom::si::ratio::ratio;
use uom::si::time::second;
use uom::si::torque::newton_meter;
use whytrip::checks::{
    self, Check, CheckError, Given, Need, Origin, Value, cable, dc_bus, locked_rotor, motor,
    motor_cable, overload, ride_through, ripple, supply, trip_class, unbalance,
};
use whytrip::quantity::{Bound, Quantity, Reading};

const MOST_INPUTS: usize = 12;

/// An input's value from two random numbers: left out, at a limit, or between them.
fn given(input: &'static checks::Input, how: u8, at: f64) -> Option<Given> {
    if !input.choices.is_empty() {
        let word = input.choices[(at * input.choices.len() as f64) as usize % input.choices.len()];
        return (how > 0).then(|| Given::Word(word.to_owned()));
    }
    let (least, most) = checks::limits(input).expect("limits that can be read");
    let (low, high) = (least.si(), most.si());
    let si = match how {
        0 if input.need != Need::Required => return None,
        0 | 1 => low,
        2 => high,
        3 if low > 0.0 => (low * (high / low).powf(at)).clamp(low, high),
        _ => low + (high - low) * at,
    };
    Some(Given::Reading(Reading {
        value: Quantity::from_si(input.kind, si),
        resolution: 1e-3 * si.abs(),
        bound: Bound::Exact,
    }))
}

fn stays_sound(
    check: &'static Check,
    given: &BTreeMap<String, Given>,
) -> Result<(), TestCaseError> {
    let evaluation = match checks::evaluate(check, given) {
        Ok(evaluation) => evaluation,
        Err(CheckError::Contradiction(sentence)) => {
            prop_assert!(sentence.contains(' '), "{}: {sentence}", check.name);
            return Ok(());
        }
        Err(error) => return Err(TestCaseError::fail(format!("{}: {error}", check.name))),
    };
    for computed in &evaluation.outputs {
        prop_assert!(
            computed.uncertainty.is_finite(),
            "{}: {}",
            check.name,
            computed.name
        );
        if let Value::Quantity(quantity) = computed.value {
            prop_assert!(
                quantity.si().is_finite(),
                "{}: {}",
                check.name,
                computed.name
            );
        }
    }
    let raw = (check.compute)(&evaluation.inputs)
        .map_err(|error| TestCaseError::fail(format!("{}: {error}", check.name)))?;
    for (name, value) in &raw.values {
        let declared = check.outputs.iter().find(|output| output.name == *name);
        let kind = match value {
            Value::Quantity(quantity) => Some(quantity.kind()),
            Value::Word(_) => None,
        };
        prop_assert_eq!(
            declared.map(|output| output.kind),
            Some(kind),
            "{}: {}",
            check.name,
            name
        );
    }
    if let Some(text) = &evaluation.expected {
        prop_assert!(
            !text.contains(['{', '}']) && !text.contains("not a number"),
            "{text}"
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn every_check_stays_finite(random in prop::collection::vec((0u8..6, 0.0f64..1.0), MOST_INPUTS)) {
        for check in checks::all() {
            prop_assert!(check.inputs.len() <= MOST_INPUTS, "{}", check.name);
            let all: BTreeMap<String, Given> = check
                .inputs
                .iter()
                .zip(&random)
                .filter_map(|(input, (how, at))| Some((input.name.to_owned(), given(input, *how, *at)?)))
                .collect();
            stays_sound(check, &all)?;
            // What is expected is asked before any reading is taken.
            let known: BTreeMap<String, Given> = check
                .inputs
                .iter()
                .filter(|input| input.origin == Origin::Nameplate)
                .filter_map(|input| Some((input.name.to_owned(), all.get(input.name)?.clone())))
                .collect();
            if let Err(error) = checks::expectation(check, &known) {
                prop_assert!(matches!(error, CheckError::Contradiction(_)), "{}: {error}", check.name);
            }
        }
    }

    #[test]
    fn bus_and_supply_are_inverse(supply in 90.0f64..760.0) {
        let volts = ElectricPotential::new::<volt>;
        let back = dc_bus::supply_from_bus(dc_bus::bus_at_rest(volts(supply)));
        prop_assert!((back.get::<volt>() - supply).abs() < 1e-9);
        let order = [
            dc_bus::six_pulse_trough(volts(supply)),
            dc_bus::six_pulse_mean(volts(supply)),
            dc_bus::bus_at_rest(volts(supply)),
        ];
        prop_assert!(order[0] < order[1] && order[1] < order[2]);
    }

    /// Unbalance knows neither the size nor the order of the lines.
    #[test]
    fn unbalance_ignores_scale_and_order(
        a in 300.0f64..500.0, b in 300.0f64..500.0, c in 300.0f64..500.0, scale in 0.2f64..1.6,
    ) {
        let lines = |values: [f64; 3]| values.map(ElectricPotential::new::<volt>);
        let plain = unbalance::phase_spread(lines([a, b, c])).unwrap().unbalance;
        let moved = unbalance::phase_spread(lines([c * scale, a * scale, b * scale])).unwrap().unbalance;
        prop_assert!((plain - moved).get::<ratio>().abs() < 1e-12);
        let plain = unbalance::negative_sequence(lines([a, b, c])).unwrap();
        let moved = unbalance::negative_sequence(lines([b * scale, a * scale, c * scale])).unwrap();
        prop_assert!((plain - moved).get::<ratio>().abs() < 1e-9);
    }

    /// Symmetrical components (C. L. Fortescue, 1918): line voltages built from a positive and a
    /// negative sequence give that ratio back.
    #[test]
    fn negative_sequence_is_that_of_symmetrical_components(
        positive in 100.0f64..700.0, share in 0.0f64..0.95, angle in -PI..PI,
    ) {
        let lines = [0.0, 2.0 * PI / 3.0, -2.0 * PI / 3.0].map(|turn: f64| {
            let (p, n) = (positive, positive * share);
            let real = p * (-turn).cos() + n * (angle + turn).cos();
            let imaginary = p * (-turn).sin() + n * (angle + turn).sin();
            ElectricPotential::new::<volt>(real.hypot(imaginary))
        });
        let got = unbalance::negative_sequence(lines).unwrap().get::<ratio>();
        prop_assert!((got - share).abs() < 1e-5, "{got} {share}");
    }

    #[test]
    fn torque_times_speed_is_power(power in 50.0f64..1e6, speed in 10.0f64..3000.0) {
        let torque = motor::rated_torque(Power::new::<watt>(power), AngularVelocity::new::<radian_per_second>(speed));
        prop_assert!((torque.get::<newton_meter>() * speed / power - 1.0).abs() < 1e-12);
    }

    #[test]
    fn voltage_and_torque_share_never_both_fall(frequency in 1.0f64..200.0) {
        let hertz = uom::si::f64::Frequency::new::<uom::si::frequency::hertz>;
        let voltage = motor::output_voltage(ElectricPotential::new::<volt>(400.0), hertz(50.0), hertz(frequency));
        let torque = motor::field_weakening_torque(hertz(50.0), hertz(frequency)).get::<ratio>();
        prop_assert!(voltage.get::<volt>() <= 400.0 && torque <= 1.0);
        prop_assert!(voltage.get::<volt>() > 399.999 || torque == 1.0);
    }

    #[test]
    fn more_overload_lasts_shorter(low in 1.02f64..3.0, more in 0.01f64..2.0, rated in 1.05f64..2.0) {
        let share = Ratio::new::<ratio>;
        let minute = Time::new::<second>(60.0);
        for model in [overload::time_by_excess_heat, overload::time_by_all_heat] {
            let long = model(share(low), share(rated), minute).unwrap();
            let short = model(share(low + more), share(rated), minute).unwrap();
            prop_assert!(short < long);
            let own = model(share(rated), share(rated), minute).unwrap();
            prop_assert!((own.get::<second>() - 60.0).abs() < 1e-9);
            prop_assert!(model(share(1.0), share(rated), minute).is_none());
        }
    }

    /// The base load and the overload together heat as much as rated current.
    #[test]
    fn base_load_keeps_the_rms(rated in 1.05f64..1.8, seconds in 10.0f64..90.0) {
        let base = overload::base_load(
            Ratio::new::<ratio>(rated), Time::new::<second>(seconds), Time::new::<second>(600.0),
        ).unwrap().get::<ratio>();
        let rms = ((rated * rated * seconds + base * base * (600.0 - seconds)) / 600.0).sqrt();
        prop_assert!((rms - 1.0).abs() < 1e-9);
    }

    /// The thermal characteristic solves `τ dθ/dt = I² − θ`: stepping that equation trips at the same time.
    #[test]
    fn thermal_time_solves_its_equation(current in 1.2f64..6.0, before in 0.0f64..1.0) {
        let share = Ratio::new::<ratio>;
        let time = trip_class::thermal_trip_time(Time::new::<second>(600.0), share(current), share(before), share(1.05))
            .unwrap().unwrap().get::<second>();
        let step = 0.01;
        let (mut heat, mut clock) = (before * before, 0.0);
        while heat < 1.05 * 1.05 {
            heat += step / 600.0 * (current * current - heat);
            clock += step;
        }
        prop_assert!((clock - time).abs() < 0.02 + 1e-3 * time, "{clock} {time}");
    }

    #[test]
    fn ride_through_is_its_own_inverse(
        microfarads in 100.0f64..10_000.0, power in 100.0f64..1e5, start in 300.0f64..900.0, share in 0.3f64..0.95,
    ) {
        let volts = ElectricPotential::new::<volt>;
        let (power, capacitance) = (Power::new::<watt>(power), Capacitance::new::<farad>(microfarads * 1e-6));
        let time = ride_through::ride_through_time(capacitance, power, volts(start), volts(start * share)).unwrap();
        let back = ride_through::ride_through_capacitance(time, power, volts(start), volts(start * share)).unwrap();
        prop_assert!(((back / capacitance).get::<ratio>() - 1.0).abs() < 1e-9);
        let half = ride_through::ride_through_time(capacitance, power * 2.0, volts(start), volts(start * share)).unwrap();
        prop_assert!(((time / half).get::<ratio>() - 2.0).abs() < 1e-9);
    }

    /// An immunity curve never asks for less at a higher remaining voltage.
    #[test]
    fn immunity_rises_with_remaining_voltage(low in 0.0f64..0.9, more in 0.0f64..0.5, hertz in 45.0f64..66.0) {
        let frequency = uom::si::f64::Frequency::new::<uom::si::frequency::hertz>(hertz);
        for rule in ["semi-f47", "iec-61000-4-11-class-2", "iec-61000-4-11-class-3"] {
            let levels = ride_through::dip_levels(rule).unwrap();
            let at = |remaining| ride_through::required_time(levels, Ratio::new::<ratio>(remaining), frequency);
            prop_assert!(at(low) <= at(low + more), "{rule}");
        }
    }

    #[test]
    fn drop_is_linear_in_current_and_length(current in 1.0f64..400.0, length in 1.0f64..500.0, factor in 0.2f64..1.0) {
        let drop = |amperes, metres, phases| {
            let ohms = ElectricalResistance::new::<ohm>;
            cable::voltage_drop(
                ElectricCurrent::new::<ampere>(amperes), Length::new::<meter>(metres),
                ohms(1.15e-3), ohms(0.08e-3), Ratio::new::<ratio>(factor), phases,
            ).get::<volt>()
        };
        let one = drop(current, length, true);
        prop_assert!((drop(2.0 * current, length, true) / one - 2.0).abs() < 1e-9);
        prop_assert!((drop(current, 3.0 * length, true) / one - 3.0).abs() < 1e-9);
        prop_assert!((drop(current, length, false) / one - 2.0 / 3f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn code_letter_lies_in_its_own_range(figure in 0.0f64..40.0) {
        let (from, to) = locked_rotor::code_letter_range(locked_rotor::code_letter(figure)).unwrap();
        prop_assert!(figure >= from && to.is_none_or(|to| figure < to));
    }

    #[test]
    fn reflection_at_most_doubles(motor in 5.0f64..20_000.0, line in 5.0f64..500.0) {
        let ohms = ElectricalResistance::new::<ohm>;
        let factor = motor_cable::transmission_factor(ohms(motor), ohms(line)).get::<ratio>();
        prop_assert!(factor > 0.0 && factor < 2.0);
        prop_assert_eq!(factor > 1.0, motor > line);
    }

    #[test]
    fn motor_tolerance_is_symmetric_and_grows(voltage in 0.0f64..0.3, frequency in 0.0f64..0.2, more in 0.0f64..0.1) {
        let used = |u: f64, f: f64| {
            supply::motor_tolerance_used(Ratio::new::<ratio>(u), Ratio::new::<ratio>(f)).get::<ratio>()
        };
        prop_assert_eq!(used(voltage, frequency), used(-voltage, -frequency));
        prop_assert!(used(voltage + more, frequency) >= used(voltage, frequency));
        prop_assert!(used(voltage, frequency + more) >= used(voltage, frequency));
    }
}

/// The six-pulse wave is the largest of the six line voltages at each instant: its mean, rms, lowest
/// value and sixth harmonic by summing over a period agree with the closed forms.
#[test]
fn six_pulse_wave_by_summing() {
    const STEPS: usize = 360_000;
    let (mut sum, mut squares, mut lowest, mut sixth) = (0.0, 0.0, f64::INFINITY, 0.0);
    for step in 0..STEPS {
        let angle = 2.0 * PI * step as f64 / STEPS as f64;
        let line = |turn: f64| SQRT_2 * (angle - turn).cos();
        let value = [0.0, 1.0, 2.0]
            .map(|third| line(2.0 * PI / 3.0 * third).abs())
            .into_iter()
            .fold(0.0, f64::max);
        sum += value;
        squares += value * value;
        lowest = value.min(lowest);
        sixth += value * (6.0 * angle).cos();
    }
    let count = STEPS as f64;
    let mean = sum / count;
    let one = ElectricPotential::new::<volt>(1.0);
    let close = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-6, "{got} {wanted}");
    close(dc_bus::six_pulse_mean(one).get::<volt>(), mean);
    close(dc_bus::six_pulse_trough(one).get::<volt>(), lowest);
    close(
        ripple::six_pulse_peak_to_peak().get::<ratio>(),
        (SQRT_2 - lowest) / mean,
    );
    let rms_squared = squares / count;
    close(
        ripple::six_pulse_ripple_factor().get::<ratio>(),
        (rms_squared / (mean * mean) - 1.0).sqrt(),
    );
    let amplitude = (2.0 * sixth / count).abs();
    close(
        ripple::six_pulse_harmonic(6).unwrap().get::<ratio>(),
        amplitude / mean,
    );
    assert!(ripple::six_pulse_harmonic(5).is_none() && ripple::six_pulse_harmonic(0).is_none());
}

/// A table's resistance is never below that of the pure metal, and never far above it: stranding,
/// drawing and rounded sizes add up to a seventh (resistivity of IEC 60028 and IEC 60889).
#[test]
fn conductor_tables_follow_the_resistivity() {
    let metric = [
        0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0,
        185.0, 240.0, 300.0,
    ];
    let american = [
        4110.0, 6530.0, 10380.0, 16510.0, 26240.0, 41740.0, 52620.0, 66360.0, 83690.0, 105_600.0,
        133_100.0, 167_800.0, 211_600.0, 250_000.0, 300_000.0, 350_000.0, 400_000.0, 500_000.0,
    ]
    .map(|mils| mils * 5.067_075e-4);
    for metal in [cable::Metal::Copper, cable::Metal::Aluminium] {
        let (rho, _) = cable::resistivity(metal);
        for area in metric.into_iter().chain(american) {
            let Ok(conductor) =
                cable::conductor(Area::new::<square_millimeter>(area), metal, false)
            else {
                assert!(metal == cable::Metal::Aluminium && area < 10.0);
                continue;
            };
            assert!(!conductor.table.starts_with("no table"), "{area}");
            let at_20 = 1.0 + conductor.coefficient * (20.0 - conductor.at_celsius);
            let excess = conductor.ohms_per_metre * at_20 * 1000.0 * area / rho;
            assert!((0.99..1.15).contains(&excess), "{metal:?} {area}: {excess}");
        }
    }
}

/// One name means one kind of quantity, whichever check asks for it.
#[test]
fn input_names_mean_one_kind() {
    let mut kinds = BTreeMap::new();
    for check in checks::all() {
        for input in check.inputs {
            let kind = *kinds.entry(input.name).or_insert(input.kind);
            assert_eq!(kind, input.kind, "{}: {}", check.name, input.name);
        }
    }
}

/// Every check that judges a reading says beforehand what a healthy one would be.
#[test]
fn judged_readings_have_an_expectation() {
    let mut silent = Vec::new();
    for check in checks::all().filter(|check| !check.bands.is_empty()) {
        let known: BTreeMap<String, Given> = check
            .inputs
            .iter()
            .filter(|input| input.origin == Origin::Nameplate && input.choices.is_empty())
            .filter_map(|input| {
                let typed = check
                    .example
                    .inputs
                    .iter()
                    .find(|(name, _)| *name == input.name)?;
                Some((
                    input.name.to_owned(),
                    checks::read_input(input, typed.1).ok()?,
                ))
            })
            .collect();
        let expected = checks::expectation(check, &known)
            .unwrap_or_else(|error| panic!("{}: {error}", check.name))
            .expected;
        if expected.is_none() {
            silent.push(check.name);
        }
    }
    assert!(silent.is_empty(), "{silent:?}");
}
