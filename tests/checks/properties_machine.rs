//! What holds for any input: no panic, no number that is none, and the physics' own symmetries.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use uom::si::f64::{
    AngularVelocity, Capacitance, ElectricPotential, ElectricalResistance, Frequency, Length,
    MomentOfInertia, Power, Ratio, ThermodynamicTemperature, Time,
};
use uom::si::{
    angular_velocity::radian_per_second, capacitance::farad, electric_potential::volt,
    electrical_resistance::ohm, frequency::hertz, length::meter,
    moment_of_inertia::kilogram_square_meter, power::watt, ratio::ratio,
    thermodynamic_temperature::degree_celsius, time::second,
};
use whytrip::checks::{
    self, Check, CheckError, Evaluation, Given, Input, Need, Origin, Value, braking, capacitor,
    capacitor_life, contacts, derating, enclosure, encoder, inertia, insulation, insulation_trend,
    metering, potentiometer, precharge, safety, sensors, serial_bus, signal, thermal_class,
    winding,
};
use whytrip::quantity::{self, Bound, Kind, Quantity, Reading};

/// The areas that these tests speak for.
const AREAS: &[&[Check]] = &[
    inertia::CHECKS,
    braking::CHECKS,
    insulation::CHECKS,
    insulation_trend::CHECKS,
    winding::CHECKS,
    sensors::CHECKS,
    thermal_class::CHECKS,
    derating::CHECKS,
    enclosure::CHECKS,
    signal::CHECKS,
    potentiometer::CHECKS,
    contacts::CHECKS,
    capacitor::CHECKS,
    precharge::CHECKS,
    capacitor_life::CHECKS,
    encoder::CHECKS,
    serial_bus::CHECKS,
    metering::CHECKS,
    safety::CHECKS,
];

fn all() -> impl Iterator<Item = &'static Check> {
    AREAS.iter().flat_map(|area| area.iter())
}

/// A value between an input's limits: `place` 0 to 1, by decades where the range spans them.
fn within(input: &'static Input, place: f64) -> Given {
    if !input.choices.is_empty() {
        let last = input.choices.len() - 1;
        let pick = ((place * input.choices.len() as f64) as usize).min(last);
        return Given::Word(input.choices[pick].to_owned());
    }
    let (least, most) = checks::limits(input).expect("limits");
    let (least, most) = (least.si(), most.si());
    let value = match place {
        p if p <= 0.0 => least,
        p if p >= 1.0 => most,
        p if least > 0.0 && most / least > 100.0 => least * (most / least).powf(p),
        p => least + (most - least) * p,
    };
    Given::Reading(Reading {
        value: Quantity::from_si(input.kind, value.clamp(least, most)),
        resolution: value.abs() * 1e-3,
        bound: Bound::Exact,
    })
}

fn sound(
    check: &'static Check,
    result: Result<Evaluation, CheckError>,
) -> Result<(), TestCaseError> {
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
            Value::Quantity(quantity) => prop_assert!(quantity.si().is_finite()),
            Value::Word(word) => prop_assert!(!word.is_empty()),
        }
        prop_assert!(
            computed.uncertainty.is_finite() && computed.uncertainty >= 0.0,
            "{}: {}",
            check.name,
            computed.name
        );
    }
    // Everything computed is declared, in its kind.
    let again = (check.compute)(&evaluation.inputs)
        .map_err(|error| TestCaseError::fail(format!("{}: {error}", check.name)))?;
    for (name, value) in &again.values {
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
    Ok(())
}

proptest! {
    #[test]
    fn any_input_in_range_gives_numbers_or_a_sentence(
        places in prop::collection::vec(prop_oneof![8 => 0.0..=1.0f64, 1 => Just(0.0), 1 => Just(1.0)], 12),
        given_too in prop::collection::vec(any::<bool>(), 12),
    ) {
        for check in all() {
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
}

/// Every check says, from what is known before, what a healthy reading would be.
#[test]
fn a_healthy_reading_is_told_before_it_is_taken() {
    for check in all() {
        let known: BTreeMap<String, Given> = check
            .example
            .inputs
            .iter()
            .filter_map(|(name, text)| {
                let input = check.inputs.iter().find(|input| input.name == *name)?;
                (input.origin == Origin::Nameplate).then(|| {
                    (
                        input.name.to_owned(),
                        checks::read_input(input, text).expect(text),
                    )
                })
            })
            .collect();
        let evaluation = checks::expectation(check, &known)
            .unwrap_or_else(|error| panic!("{}: {error}", check.name));
        assert!(evaluation.expected.is_some(), "{}", check.name);
    }
}

/// Units are known, templates name what exists, and every limit's source stands among the sources.
#[test]
fn definitions_hold_together() {
    for check in all() {
        let names: BTreeSet<&str> = check
            .inputs
            .iter()
            .map(|input| input.name)
            .chain(check.outputs.iter().map(|output| output.name))
            .collect();
        for output in check.outputs {
            if let Some(kind) = output.kind {
                let shown = quantity::with_unit(Quantity::from_si(kind, 1.0), output.unit);
                assert!(
                    shown.is_some(),
                    "{}: {} in {}",
                    check.name,
                    output.name,
                    output.unit
                );
            }
        }
        for input in check.inputs.iter().filter(|input| input.choices.is_empty()) {
            assert!(
                quantity::parse(input.kind, "1", Some(input.unit)).is_ok(),
                "{}: {} in {}",
                check.name,
                input.name,
                input.unit
            );
            if let Need::Default(text) = input.need {
                assert!(
                    checks::read_input(input, text).is_ok(),
                    "{}: {text}",
                    check.name
                );
            }
        }
        for template in check.expect {
            for name in template
                .split('{')
                .skip(1)
                .filter_map(|rest| rest.split('}').next())
            {
                assert!(names.contains(name), "{}: {{{name}}}", check.name);
            }
        }
        let sources: Vec<&str> = check
            .sources
            .iter()
            .map(|source| source.split(':').next().unwrap_or_default())
            .collect();
        for band in check.bands {
            let marked = matches!(band.source, "practice" | "memory");
            assert!(
                marked || sources.contains(&band.source),
                "{}: {}",
                check.name,
                band.source
            );
        }
    }
}

/// A word where a number belongs, an unknown choice and a value of another kind are refused.
#[test]
fn what_is_not_an_answer_is_refused() {
    let check = checks::find("insulation-resistance").expect("the check");
    let megohms =
        Given::Reading(quantity::parse(Kind::Resistance, "50 MΩ", None).expect("a resistance"));
    let volts = Given::Reading(quantity::parse(Kind::Voltage, "50 V", None).expect("a voltage"));
    let refused = |reading: &Given, rule: &Given| {
        let given = BTreeMap::from([
            ("insulation_resistance".to_owned(), reading.clone()),
            ("rule".to_owned(), rule.clone()),
        ]);
        checks::evaluate(check, &given).is_err()
    };
    let halving = Given::Word("halving".to_owned());
    assert!(!refused(&megohms, &halving));
    assert!(refused(&megohms, &Given::Word("thirding".to_owned())));
    assert!(refused(&megohms, &megohms));
    assert!(refused(&Given::Word("high".to_owned()), &halving));
    assert!(refused(&volts, &halving));
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs()).max(1e-12)
}

proptest! {
    /// Twice the speed holds four times the energy.
    #[test]
    fn energy_goes_with_the_square_of_speed(j in 1e-4..1e4f64, w in 0.1..5e3f64) {
        let j = MomentOfInertia::new::<kilogram_square_meter>(j);
        let at = |w| inertia::kinetic_energy(j, AngularVelocity::new::<radian_per_second>(w), AngularVelocity::default()).value;
        prop_assert!(close(at(2.0 * w), 4.0 * at(w)));
    }

    /// In a stop of the shortest time the power begins at what the losses take.
    #[test]
    fn shortest_stop_begins_at_the_losses(j in 1e-4..1e3f64, w in 1.0..1e3f64, p in 10.0..1e6f64, k in 0.01..1.0f64) {
        let inertia = MomentOfInertia::new::<kilogram_square_meter>(j);
        let speed = AngularVelocity::new::<radian_per_second>(w);
        let time = braking::minimum_stop_time(inertia, speed, Power::new::<watt>(p), Ratio::new::<ratio>(k));
        let torque = inertia::torque_for_ramp(inertia, speed, time);
        prop_assert!(close(inertia::power_of_torque(torque, speed).value, k * p));
    }

    /// The bus takes exactly the energy that lifts it.
    #[test]
    fn bus_energy_and_rise_agree(c in 1e-6..0.1f64, u in 0.0..1e3f64, rise in 0.1..500.0f64) {
        let c = Capacitance::new::<farad>(c);
        let volts = ElectricPotential::new::<volt>;
        let energy = braking::bus_energy(c, volts(u), volts(u + rise));
        prop_assert!(close(braking::bus_after(c, volts(u), energy).value, u + rise));
    }

    /// The hotter the winding, the more a reading is worth at 40 °C.
    #[test]
    fn correction_grows_with_temperature(t in 10.0..84.0f64, more in 0.01..1.0f64) {
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        for rule in [insulation::Correction::Halving, insulation::Correction::Thermosetting] {
            let cool = insulation::factor_to_40(celsius(t), rule).expect("in range");
            let warm = insulation::factor_to_40(celsius(t + more), rule).expect("in range");
            prop_assert!(warm > cool);
        }
    }

    /// Two insulations together read below the worse of them.
    #[test]
    fn together_below_the_worse(a in 1e3..1e12f64, b in 1e3..1e12f64) {
        let ohms = ElectricalResistance::new::<ohm>;
        let both = insulation_trend::in_parallel(ohms(a), ohms(b)).value;
        prop_assert!(both < a.min(b) && both >= a.min(b) / 2.0 * (1.0 - 1e-9));
    }

    /// Unbalance depends neither on the unit nor on the order.
    #[test]
    fn unbalance_is_relative(a in 0.01..100.0f64, b in 0.01..100.0f64, c in 0.01..100.0f64, k in 0.001..1000.0f64) {
        let ohms = ElectricalResistance::new::<ohm>;
        let of = |three: [f64; 3]| winding::unbalance(three.map(ohms)).expect("above zero").0.value;
        prop_assert!(close(of([a, b, c]), of([c * k, a * k, b * k])));
        prop_assert!((0.0..=2.0).contains(&of([a, b, c])));
    }

    /// A resistance carried to another temperature and back is itself, and gives that temperature.
    #[test]
    fn winding_there_and_back(r in 1e-3..1e3f64, from in -40.0..200.0f64, to in -40.0..200.0f64) {
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        let cold = ElectricalResistance::new::<ohm>(r);
        for metal in [winding::Metal::CopperIeee, winding::Metal::CopperIec, winding::Metal::Aluminium] {
            let hot = winding::at_temperature(cold, celsius(from), celsius(to), metal);
            prop_assert!(close(winding::at_temperature(hot, celsius(to), celsius(from), metal).value, r));
            let found = winding::temperature_by_resistance(cold, celsius(from), hot, metal);
            prop_assert!((found.get::<degree_celsius>() - to).abs() < 1e-6);
        }
    }

    /// The platinum curve and its inverse agree over the whole scale.
    #[test]
    fn platinum_there_and_back(t in -200.0..850.0f64, nominal in 50.0..2000.0f64) {
        let nominal = ElectricalResistance::new::<ohm>(nominal);
        let resistance = sensors::platinum_resistance(nominal, ThermodynamicTemperature::new::<degree_celsius>(t));
        let found = sensors::platinum_temperature(nominal, resistance).expect("on the scale");
        prop_assert!((found.get::<degree_celsius>() - t).abs() < 1e-6);
    }

    /// More height or heat never leaves more current.
    #[test]
    fn derating_never_adds(h in 0.0..4000.0f64, more in 0.0..1000.0f64, t in -20.0..90.0f64) {
        let metres = Length::new::<meter>;
        prop_assert!(derating::altitude_factor(metres(h + more)) <= derating::altitude_factor(metres(h)));
        prop_assert!(derating::air_density_share(metres(h + more)) <= derating::air_density_share(metres(h)));
        prop_assert!(derating::clearance_factor(metres(h + more)) >= derating::clearance_factor(metres(h)));
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        let at = |t| derating::ambient_factor(celsius(t), celsius(40.0), Ratio::new::<ratio>(0.01)).value;
        prop_assert!(at(t + more / 100.0) <= at(t) && (0.0..=1.0).contains(&at(t)));
    }

    /// A cabinet at a wall or in a row gives off less than a free one of its size.
    #[test]
    fn covered_faces_give_off_less(h in 0.1..3.0f64, w in 0.1..3.0f64, d in 0.1..3.0f64) {
        use enclosure::Placement::{AgainstWall, EndOfRow, EndOfRowAtWall, FreeStanding, MiddleOfRow, MiddleOfRowAtWall};
        let metres = Length::new::<meter>;
        let area = |placement| enclosure::effective_area(metres(h), metres(w), metres(d), placement).value;
        prop_assert!(area(FreeStanding) > area(AgainstWall) && area(FreeStanding) > area(EndOfRow));
        prop_assert!(area(EndOfRow) > area(MiddleOfRow) && area(EndOfRow) > area(EndOfRowAtWall));
        prop_assert!(area(MiddleOfRow) > area(MiddleOfRowAtWall));
    }

    /// A loaded wiper gives no more than an unloaded one, and never leaves the reference.
    #[test]
    fn load_only_lowers_the_wiper(x in 0.0..=1.0f64, pot in 100.0..1e6f64, input in 100.0..1e8f64) {
        let ohms = ElectricalResistance::new::<ohm>;
        let reference = ElectricPotential::new::<volt>(10.0);
        let wiper = potentiometer::wiper_voltage(reference, Ratio::new::<ratio>(x), ohms(pot), ohms(input)).value;
        prop_assert!(wiper >= 0.0 && wiper <= 10.0 * x * (1.0 + 1e-12));
    }

    /// After the computed time the bus stands at the safe voltage.
    #[test]
    fn discharge_there_and_back(r in 1e2..1e6f64, c in 1e-5..0.1f64, u0 in 61.0..1500.0f64) {
        let (r, c) = (ElectricalResistance::new::<ohm>(r), Capacitance::new::<farad>(c));
        let volts = ElectricPotential::new::<volt>;
        let time = capacitor::discharge_time(r, c, volts(u0), volts(60.0));
        prop_assert!(close(capacitor::voltage_after(volts(u0), time, r, c).value, 60.0));
        let longest = capacitor::longest_time_constant(time, volts(u0), volts(60.0)).expect("a wait");
        prop_assert!(close(longest.value, r.value * c.value));
    }

    /// Ten kelvin less double the life; a mix of one temperature is that temperature.
    #[test]
    fn life_doubles(t in 0.0..100.0f64, hours in 1.0..1e4f64) {
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        let rated = Time::new::<second>(3.6e6);
        let at = |t| capacitor_life::life(rated, celsius(105.0), celsius(t));
        prop_assert!(close(at(t - 10.0).value, 2.0 * at(t).value));
        let duty = [(celsius(t), Time::new::<second>(hours)); 3];
        let mixed = capacitor_life::mixed_life(rated, celsius(105.0), &duty).expect("some time");
        prop_assert!(close(mixed.value, at(t).value));
        let same = capacitor_life::equivalent_temperature(rated, celsius(105.0), mixed);
        prop_assert!((same.get::<degree_celsius>() - t).abs() < 1e-6);
    }

    /// Frequency and speed of an encoder undo each other.
    #[test]
    fn encoder_there_and_back(pulses in 1.0..1e5f64, speed in 0.01..6e3f64) {
        let pulses = Ratio::new::<ratio>(pulses);
        let speed = AngularVelocity::new::<radian_per_second>(speed);
        let found = encoder::speed_of_frequency(encoder::pulse_frequency(pulses, speed), pulses);
        prop_assert!(close(found.value, speed.value));
    }

    /// A frame with its check sum behind it checks to zero (the code's own property).
    #[test]
    fn a_checked_frame_checks_to_zero(frame in prop::collection::vec(any::<u8>(), 0..64)) {
        let mut whole = frame.clone();
        whole.extend(serial_bus::frame_check(&frame).to_le_bytes());
        prop_assert_eq!(serial_bus::frame_check(&whole), 0);
    }

    /// Faster lines are shorter and quieter for less time.
    #[test]
    fn faster_is_shorter(rate in 5e4..5e5f64, times in 1.0..2.0f64) {
        let rated = Frequency::new::<hertz>;
        prop_assert!(serial_bus::longest_line(rated(rate * times)).0 <= serial_bus::longest_line(rated(rate)).0);
        let bits = Ratio::new::<ratio>(11.0);
        let gap = |rate| serial_bus::frame_gap(rated(rate), bits);
        prop_assert!(gap(rate / 100.0) >= gap(rate / 100.0 * times) && gap(rate) >= gap(rate * times));
    }

    /// A combined uncertainty lies between the largest part and the sum.
    #[test]
    fn combined_between_largest_and_sum(parts in prop::collection::vec(0.0..1e6f64, 1..6)) {
        let whole = metering::combined(&parts);
        let largest = parts.iter().copied().fold(0.0, f64::max);
        prop_assert!(whole >= largest * (1.0 - 1e-12) && whole <= parts.iter().sum::<f64>() * (1.0 + 1e-12) + 1e-12);
    }

    /// More voltage to earth is cut off sooner, and sooner still in a TT supply.
    #[test]
    fn higher_is_cut_off_sooner(u in 50.0..900.0f64, more in 0.0..100.0f64) {
        let time = |u, tt| safety::disconnection_time(ElectricPotential::new::<volt>(u), tt);
        for tt in [false, true] {
            prop_assert!(time(u + more, tt) <= time(u, tt));
        }
        prop_assert!(time(u, true) < time(u, false));
    }

    /// A charge left on the bus is judged alike whichever way the leads lie.
    #[test]
    fn polarity_never_excuses_a_voltage(u in 60.0..1500.0f64) {
        let check = checks::find("residual-voltage").expect("the check");
        for value in [u, -u] {
            let reading = Reading { value: Quantity::from_si(Kind::Voltage, value), resolution: 1.0, bound: Bound::Exact };
            let given = BTreeMap::from([("residual_voltage".to_owned(), Given::Reading(reading))]);
            let verdict = checks::evaluate(check, &given).expect("in range").judgement.expect("a verdict").verdict;
            prop_assert_eq!(verdict, checks::Verdict::Bad);
        }
    }
}
