// The sums of the speed potentiometer. src/checks/potentiometer.rs explains each with its source; these
// must give the same.
{
  // The input's resistance with that of the track behind it, as the wiper sees both.
  const loaded = (position, pot, input) => input + pot * position * (1 - position);
  const wiperVoltage = (reference, position, pot, input) =>
    reference * position * (input / loaded(position, pot, input));
  const referenceCurrent = (reference, position, pot, input) =>
    (reference * (input + pot * position)) / (pot * loaded(position, pot, input));

  sums["potentiometer"] = (i) => {
    const all = [
      i.reference_voltage,
      i.wiper_position,
      i.potentiometer_resistance,
      i.input_resistance,
    ];
    const expected = given(wiperVoltage, ...all);
    return known({
      expected_wiper_voltage: expected,
      reference_current: ratio(i.reference_voltage, i.potentiometer_resistance),
      loaded_reference_current: given(referenceCurrent, ...all),
      difference: difference(i.measured_wiper_voltage, expected),
    });
  };

  sums["reference-supply"] = (i) =>
    known({
      deviation: given(
        (measured, rated) => (measured - rated) / rated,
        i.measured_reference_voltage,
        i.reference_voltage,
      ),
    });

  sums["potentiometer-value"] = (i) =>
    known({
      resistance: i.potentiometer_resistance,
      reference_current: ratio(i.reference_voltage, i.potentiometer_resistance),
    });
}
