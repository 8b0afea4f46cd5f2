// The sums of what a reading is worth. src/checks/metering.rs and src/checks/meter.rs explain each with
// its source; these must give the same.
{
  // Coverage factor of about 95 %.
  const COVERAGE = 2;
  const expanded = (u) => given((own) => COVERAGE * own, u);

  const limitOfError = (reading, percent, digits, lastDigit) =>
    percent * Math.abs(reading) + digits * lastDigit;
  // A limit of error as a rectangle.
  const standard = (limit) => limit / Math.sqrt(3);
  const combined = (...all) => Math.sqrt(all.reduce((sum, u) => sum + u * u, 0));

  const limitOfVoltage = (i) =>
    given(
      limitOfError,
      i.measured_voltage,
      i.voltage_percent,
      i.voltage_digits,
      i.voltage_last_digit,
    );
  const limitOfCurrent = (i) =>
    given(
      limitOfError,
      i.measured_current,
      i.current_percent,
      i.current_digits,
      i.current_last_digit,
    );

  sums["meter-uncertainty"] = (i) => {
    const limit = limitOfVoltage(i);
    const u = given(standard, limit);
    return known({
      limit,
      standard_uncertainty: u,
      expanded_uncertainty: expanded(u),
      resolution_uncertainty: given((digit) => standard(digit / 2), i.voltage_last_digit),
    });
  };

  sums["power-uncertainty"] = (i) => {
    const { measured_voltage: voltage, measured_current: current } = i;
    const u = given(
      combined,
      ratio(given(standard, limitOfVoltage(i)), voltage),
      ratio(given(standard, limitOfCurrent(i)), current),
    );
    return known({
      power: given(
        (one, other, factor) => Math.sqrt(3) * one * other * factor,
        voltage,
        current,
        i.power_factor,
      ),
      standard_uncertainty: u,
      expanded_uncertainty: expanded(u),
    });
  };

  sums["combined-uncertainty"] = (i) => {
    const third = i.uncertainty_3 === undefined ? 0 : i.uncertainty_3;
    const u = given(combined, i.uncertainty_1, i.uncertainty_2, third);
    return known({ standard_uncertainty: u, expanded_uncertainty: expanded(u) });
  };

  // The line farthest from the mean: its deviation, and the standard uncertainty of that.
  const unbalance = (percent, ...lines) => {
    const mean = lines.reduce((sum, line) => sum + line, 0) / lines.length;
    const farthest = lines.reduce(
      (far, line) => (Math.abs(line - mean) > Math.abs(far - mean) ? line : far),
      mean,
    );
    const shared = farthest / (3 * mean * mean);
    const own = 1 / mean - shared;
    const u = standard(percent * mean);
    return [Math.abs(farthest / mean - 1), combined(own * u, shared * u, shared * u)];
  };

  sums["unbalance-uncertainty"] = (i) => {
    const lines = [i.voltage_l1_l2, i.voltage_l2_l3, i.voltage_l3_l1];
    if (lines.every((line) => line <= 0)) {
      throw new Contradiction("all three lines read zero: there is no voltage to compare");
    }
    const [farthest, u] = given(unbalance, i.voltage_percent, ...lines) || [];
    return known({ unbalance: farthest, expanded_uncertainty: expanded(u) });
  };
}
