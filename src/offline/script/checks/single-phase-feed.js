// The sums of drives on one phase.
// src/checks/single_phase_feed.rs explains each with its source; these give the same.
{
  const CONTINUOUS_SHARE = 0.8;

  const singlePhaseCurrent = (threePhase) => threePhase * Math.sqrt(3);
  const doublerBus = (supply) => supply * (2 * Math.SQRT2);
  const outletShaftPower = (voltage, breaker, powerFactor, efficiency) =>
    voltage * breaker * CONTINUOUS_SHARE * powerFactor * efficiency;

  sums["single-phase-feed"] = (i) => {
    const left = given((rated, share) => rated * share, i.drive_rated_current, i.single_phase_share);
    const frequency = given((supply) => supply * 2, i.supply_frequency);
    return known({
      output_current: left,
      ratio: ratio(i.motor_rated_current, left),
      input_current: given(singlePhaseCurrent, i.drive_input_current),
      ripple_frequency: frequency,
      ripple: given(rippleVoltage, i.motor_rated_current, frequency, i.bus_capacitance),
      notes: [
        "Half is a habit of the trade: the drive's own manual rules, and may forbid it.",
      ],
    });
  };

  sums["voltage-doubler"] = (i) =>
    known({
      peak_bus_voltage: given(doublerBus, i.supply_voltage),
      motor_voltage: given((supply) => supply * 2, i.supply_voltage),
      ratio: ratio(i.bus_voltage, i.supply_voltage),
    });

  sums["outlet-power"] = (i) => {
    const power = given(
      outletShaftPower,
      i.supply_voltage,
      i.breaker_rating,
      i.input_power_factor,
      i.total_efficiency,
    );
    return known({
      current: given((breaker) => breaker * CONTINUOUS_SHARE, i.breaker_rating),
      shaft_power: power,
      ratio: ratio(i.motor_rated_power, power),
    });
  };
}
