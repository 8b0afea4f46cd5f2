// The sums of a motor's nameplate.
// src/checks/motor.rs explains each with its source; these give the same.
{
  const LOWEST_NO_LOAD_CURRENT = 0.25;
  const HIGHEST_NO_LOAD_CURRENT = 0.5;

  const fullLoadCurrent = (power, voltage, efficiency, powerFactor) =>
    power / (voltage * Math.sqrt(3) * efficiency * powerFactor);
  const synchronousSpeed = (frequency, poles) => {
    if (poles < 2 || poles % 2 !== 0) {
      throw new Contradiction(
        "poles come in pairs: 2, 4, 6, 8 and so on, as counted around the stator",
      );
    }
    return (4 * Math.PI * frequency) / poles;
  };
  const slip = (synchronous, speed) => (synchronous - speed) / synchronous;
  const outputVoltage = (ratedVoltage, ratedFrequency, frequency) =>
    ratedVoltage * Math.min(frequency / ratedFrequency, 1);
  const fieldWeakeningTorque = (ratedFrequency, frequency) =>
    Math.min(ratedFrequency / frequency, 1);

  sums["full-load-current"] = (i) =>
    known({
      current: given(
        fullLoadCurrent,
        i.motor_rated_power,
        i.motor_rated_voltage,
        i.motor_efficiency,
        i.motor_power_factor,
      ),
    });

  sums["current-to-rating"] = (i) => {
    const toRated = ratio(i.motor_current, i.motor_rated_current);
    return known({
      ratio: toRated,
      ratio_with_service_factor: ratio(toRated, i.motor_service_factor),
    });
  };

  sums["motor-no-load-current"] = (i) => {
    const times = (factor) => given((rated) => rated * factor, i.motor_rated_current);
    return known({
      lowest_expected: times(LOWEST_NO_LOAD_CURRENT),
      highest_expected: times(HIGHEST_NO_LOAD_CURRENT),
      ratio: ratio(i.motor_current, i.motor_rated_current),
    });
  };

  sums["synchronous-speed"] = (i) =>
    known({ speed: given(synchronousSpeed, i.motor_rated_frequency, i.motor_poles) });

  sums["slip"] = (i) => {
    const frequency =
      i.output_frequency === undefined ? i.motor_rated_frequency : i.output_frequency;
    const synchronous = given(synchronousSpeed, frequency, i.motor_poles);
    return known({
      slip: given(slip, synchronous, i.motor_speed),
      synchronous_speed: synchronous,
    });
  };

  sums["rated-torque"] = (i) => known({ torque: ratio(i.motor_rated_power, i.motor_rated_speed) });

  sums["volts-per-hertz"] = (i) => {
    const rated = ratio(i.motor_rated_voltage, i.motor_rated_frequency);
    const set = ratio(i.set_voltage, i.set_frequency);
    return known({ deviation: deviation(set, rated), rated_ratio: rated, set_ratio: set });
  };

  sums["output-voltage"] = (i) => {
    const expected = given(
      outputVoltage,
      i.motor_rated_voltage,
      i.motor_rated_frequency,
      i.output_frequency,
    );
    return known({
      expected_voltage: expected,
      torque_share: given(fieldWeakeningTorque, i.motor_rated_frequency, i.output_frequency),
      deviation: deviation(i.output_voltage, expected),
      notes: ["The output is pulsed: a meter without a low-pass filter misreads it."],
    });
  };

  sums["nameplate-setting"] = (i) =>
    known({ deviation: deviation(i.set_value_current, i.motor_rated_current) });
}
