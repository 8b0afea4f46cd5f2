// The sums of the ripple on the DC bus.
// src/checks/ripple.rs explains each with its source; these give the same.
{
  const largestHealthyRipple = (supply) => busAtRest(supply) - sixPulseTrough(supply);
  const positive = (value) => (value > 0 ? value : undefined);

  const capacitanceAtMost = (current, frequency, ripple, crest) => {
    const pulses = frequency > 200 ? 6 : 2;
    let charging = 0;
    if (crest !== undefined) {
      const level = Math.min(Math.max(1 - ripple / crest, Math.cos(Math.PI / pulses)), 1);
      charging = (Math.acos(level) * pulses) / (2 * Math.PI);
    }
    return (current * ((1 - charging) / frequency)) / ripple;
  };

  const pattern = (times) => {
    if (times > 5 && times <= 8) return "six-pulse";
    return times > 1.5 && times <= 3 ? "two-pulse" : "neither";
  };

  sums["ripple-frequency"] = (i) => {
    const times = ratio(i.ripple_frequency, i.supply_frequency);
    return known({
      ratio: times,
      six_pulse: given((frequency) => frequency * 6, i.supply_frequency),
      two_pulse: given((frequency) => frequency * 2, i.supply_frequency),
      pattern: given(pattern, times),
    });
  };

  sums["ripple-share"] = (i) => {
    if (i.bus_voltage <= 0) {
      throw new Contradiction("there is no bus voltage to compare the ripple with");
    }
    return known({
      ratio: ratio(i.ripple_voltage, i.bus_voltage),
      largest_healthy: given(largestHealthyRipple, i.supply_voltage),
    });
  };

  sums["ripple-estimate"] = (i) => {
    const estimate = given(rippleVoltage, i.bus_current, i.ripple_frequency, i.bus_capacitance);
    const ripple = positive(i.ripple_voltage);
    const crest = given(busAtRest, i.supply_voltage);
    const most = given(
      (current, frequency, voltage) => capacitanceAtMost(current, frequency, voltage, crest),
      positive(i.bus_current),
      i.ripple_frequency,
      ripple,
    );
    return known({
      estimate,
      ratio: ratio(ripple, positive(estimate)),
      capacitance: most,
      capacitance_share: ratio(most, i.bus_capacitance),
    });
  };
}
